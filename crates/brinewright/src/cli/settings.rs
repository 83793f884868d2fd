//! `brinewright flows` where no valve setting is named: all of them, each with its flow and its time.

use proof::{Estimate, Lineup};
use serde::Serialize;
use station::quantity::format_tape;
use station::{Station, spoken};

use super::Answer;
use super::lineups::{NOT_PLUMBED, Row, Source, row};
use super::page::{fill, json};
use super::speaker::Speaker;
use super::table::{First, columns, without_empty};

#[derive(Serialize)]
struct Machine<'p> {
    format: u32,
    lineups: Vec<Row<'p>>,
}

/// Every valve setting at the lowest level of its source at which something flows.
pub(super) fn settings(station: &Station, file: &str) -> Answer {
    let proof = proof::prove(station);
    let lineups = proof.lineups.as_ref().map_or(&[][..], |all| &all.lineups);
    let machine = Machine {
        format: 1,
        lineups: lineups.iter().map(|lineup| row(lineup, Source::Worst)).collect(),
    };
    let mut text = format!("{}\n", proof.title);
    text += &match lineups {
        [] => format!("\n{}\n", fill(NOT_PLUMBED, "", "")),
        [first, ..] => {
            let list = list(&Speaker { station }, lineups);
            let ask = format!("  brinewright flows{file} --lineup {}", first.name);
            format!("{list}\nOne of them line by line:\n{ask}\n")
        }
    };
    Answer {
        text,
        json: json(&machine),
        ..Answer::default()
    }
}

/// A row for each setting.
fn list(speaker: &Speaker<'_>, lineups: &[Lineup]) -> String {
    let told = |estimate: Option<&Estimate>| {
        estimate.map_or_else(Default::default, |estimate| {
            [speaker.plain(estimate), speaker.doubt(estimate)]
        })
    };
    let heads = ["", "source at", "flow", "", "time", ""];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    for lineup in lineups {
        let moment = Source::Worst.of(lineup);
        let [flow, flow_doubt] = told(moment.and_then(|moment| moment.flow.as_ref()));
        let [time, time_doubt] = told(moment.and_then(|moment| moment.time.as_ref()));
        let level_m = moment.and_then(|moment| moment.source_level_m);
        rows.push(vec![
            spoken(&lineup.name),
            level_m.map_or_else(String::new, |level_m| {
                format_tape(level_m, speaker.station.units())
            }),
            match (&lineup.valves_open, flow.as_str()) {
                (None, _) => "no setting".to_owned(),
                (Some(_), "") => "none".to_owned(),
                _ => flow,
            },
            flow_doubt,
            time,
            time_doubt,
        ]);
    }
    format!(
        "\nValve settings, each at the lowest level of its source at which something flows\n{}",
        columns(First::Words, &without_empty(1, &rows))
    )
}
