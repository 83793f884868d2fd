//! Water brought to a tank through a hose, in words: how high it is lifted, what stays in the hose, what a siphon does.

use proof::{Delivery, Lineup, Siphon};
use station::quantity::{Kind, format_tape};

use super::speaker::Speaker;

/// The delivery of a task that ends in a tank.
pub(super) fn delivery(speaker: &Speaker<'_>, lineup: &Lineup, delivery: &Delivery) -> String {
    let tape = |m: f64| format_tape(m, speaker.station.units());
    let volume = |m3: f64| speaker.exact(Kind::Volume, m3);
    let mut out = Vec::new();
    let from = match delivery.source_level_m {
        Some(level_m) => format!("with {} at {}", lineup.from, tape(level_m)),
        None => format!("from {}", lineup.from),
    };
    out.push(match (delivery.lift_m > 0.0, delivery.crest_lift_m > 0.0) {
        (true, _) => format!(
            "{}, it lifts water {} to {}, and {} to the top of its way.",
            capital(&from),
            tape(delivery.lift_m),
            lineup.to,
            tape(delivery.crest_lift_m)
        ),
        (false, true) => format!(
            "{}, it lifts water {} to the top of its way, from where it runs down to {}.",
            capital(&from),
            tape(delivery.crest_lift_m),
            lineup.to
        ),
        (false, false) => format!(
            "{}, it runs downhill all the way to {}.",
            capital(&from),
            lineup.to
        ),
    });
    out.push(format!(
        "{} holds {}; what lies lower than both its ends stays in it.",
        capital(&delivery.hose),
        volume(delivery.hose_m3)
    ));
    let stops = match delivery.siphon {
        Siphon::None => None,
        Siphon::RunsOn => Some(format!(
            "it runs on to {}{}",
            lineup.to,
            delivery.runs_on_m3_per_s.map_or_else(String::new, |flow| format!(
                " at {}",
                speaker.exact(Kind::Flow, flow)
            ))
        )),
        Siphon::DrawsBack => Some(format!("it draws the water of {} back", lineup.to)),
    };
    if let Some(stops) = stops {
        let works = delivery.hole_m.map(|(lowest_m, highest_m)| {
            format!(
                "between {} and {} above the room's floor",
                tape(lowest_m),
                tape(highest_m)
            )
        });
        out.push(match (delivery.siphon_break_m, works) {
            (Some(hole_m), Some(works)) => format!(
                "Without a hole {stops} when the pump stops; its hole is at {}, and works {works}.",
                tape(hole_m)
            ),
            (Some(hole_m), None) => format!(
                "When the pump stops {stops}: its hole at {} doesn't break that. Close a valve first.",
                tape(hole_m)
            ),
            (None, Some(works)) => {
                format!("When the pump stops {stops}, unless a hole {works} lets air in.")
            }
            (None, None) => format!("When the pump stops {stops}: close a valve first."),
        });
        if let (Some(back), Siphon::DrawsBack) = (delivery.back_flow_m3, delivery.siphon) {
            out.push(format!("Until the hole is free, {} come back.", volume(back)));
        }
    }
    out.join(" ")
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
