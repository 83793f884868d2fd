//! What the tanks need, what the purifier makes, what the vessels hold.

use maud::html;
use proof::Proof;
use sheets::chart::{level_against_volume, same_for_any_run};
use sheets::fragment::{
    DESK_CHART_MM, WIDE_MM, figures, kept, levels_in_short, needs_in_short, supply_in_short,
};
use sheets::{files, tables as read_tables};
use station::Station;

use super::Sheet;
use super::piece::{NONE, named, of_proof, tables};

/// What each tank takes, against what is made.
pub(super) fn needs(station: &Station, proof: &Proof) -> Sheet {
    let own = named(files(station, proof), &["needs"]);
    Sheet {
        heading: needs_in_short(station, proof),
        body: html! {
            div class="pair" {
                (of_proof(station, proof, "needs-by-tank", DESK_CHART_MM))
                (of_proof(station, proof, "supply-by-month", DESK_CHART_MM))
            }
            (tables(&own, NONE))
            (figures(station, proof, &["fresh-need", "salt-need", "peak-day", "need"]))
        },
    }
}

/// What is made in each month and what it costs, how long stores, resin and filters last.
pub(super) fn supply(station: &Station, proof: &Proof) -> Sheet {
    let own = named(
        read_tables(station, proof),
        &[
            "months",
            "runs",
            "ways-to-fill",
            "cost",
            "resin",
            "filters",
            "stores",
        ],
    );
    Sheet {
        heading: supply_in_short(station, proof),
        body: html! {
            div class="pair" {
                (of_proof(station, proof, "supply-by-month", DESK_CHART_MM))
                (of_proof(station, proof, "cost-against-run", DESK_CHART_MM))
            }
            @if let Some(same) = proof.supply.purifier.as_ref().and_then(|made| same_for_any_run(station, made)) {
                p { (kept(&same)) }
            }
            (tables(&own, NONE))
            (figures(station, proof, &["permeate", "margin", "net", "fill-time", "run.", "stores.", "lead-time", "feed."]))
        },
    }
}

/// The vessels to scale with their marks, and what they hold.
pub(super) fn levels(station: &Station, proof: &Proof) -> Sheet {
    let vessels = level_against_volume(station, proof, DESK_CHART_MM).len();
    let own = named(files(station, proof), &["marks"]);
    let soundings = named(files(station, proof), &["soundings"]);
    let names: Vec<String> = station
        .vessels
        .iter()
        .map(|own| format!("{}.", own.name))
        .collect();
    let mut begins = vec!["fresh-always", "salt-full"];
    begins.extend(names.iter().map(String::as_str));
    Sheet {
        heading: levels_in_short(station, proof),
        body: html! {
            (of_proof(station, proof, "elevation", WIDE_MM))
            div class="pair" {
                @for at in 0..vessels {
                    (of_proof(station, proof, &format!("level-against-volume-{}", at + 1), DESK_CHART_MM))
                }
            }
            (tables(&own, NONE))
            @for table in &soundings { (super::piece::folded(table, NONE)) }
            (figures(station, proof, &begins))
        },
    }
}
