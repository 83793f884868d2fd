//! What to say of an absence in the letter: what must be mended before anybody goes.

use station::quantity::Kind;

use super::Looked;
use super::answer::{as_it_stands, leaks};
use super::minimal::least;
use super::top::Top;
use super::types::{Absence, By};
use crate::alone::{HarmKind, Spot};
use crate::analysis::speak::say;
use crate::finding::{Finding, Severity};

/// Water on the floor by one fault from which on it must be mended, m³ (house rule: more than a tub; it comes through the
/// ceiling below).
const FLOOD_M3: f64 = 0.1;

/// Adds the findings.
pub(super) fn find(looked: &Looked<'_>, told: &mut Absence) {
    let words = looked.words();
    let faults = &looked.survey.faults;
    for top in [Top::WetFloor, Top::Heat] {
        for own in least(&looked.survey, top, By::Parts) {
            let [fault] = own.faults.as_slice() else { continue };
            let place = words.place(faults[*fault]);
            let name = words.fault(faults[*fault]);
            let hours = own.first_s / 3600.0;
            let when = match hours {
                hours if hours < 1.0 => "within the hour".to_owned(),
                hours => format!("within {hours:.0} hours"),
            };
            let (id, severity, sentence) = if top == Top::WetFloor {
                let severity = if own.floor_m3 > FLOOD_M3 {
                    Severity::Should
                } else {
                    Severity::Note
                };
                let floor = say(looked.station, Kind::Volume, own.floor_m3);
                (
                    "one-fault-floods",
                    severity,
                    format!(
                        "With nobody there, {name} alone puts {floor} on the floor, the first of it {when}."
                    ),
                )
            } else {
                (
                    "one-fault-heats",
                    Severity::Note,
                    format!("With nobody there, {name} alone leaves water too hot or too cold {when}."),
                )
            };
            told.findings
                .push(Finding::new(id, severity, place, sentence).gap(own.floor_m3));
        }
    }
    if let Some(own) = leaks(looked) {
        let sentence = format!(
            "With nobody there, {}: nothing shuts it off.",
            as_it_stands(looked, own)
        );
        let draws = &looked.station.draw_points;
        let place = own.sound.harms.iter().find_map(|harm| match harm.kind {
            HarmKind::Floor(Spot::Draw(draw)) => Some(format!("draw_points.{}", draws[draw].name)),
            _ => None,
        });
        let place = place.unwrap_or_else(|| "lines".to_owned());
        told.findings.push(
            Finding::new("runs-out-as-it-stands", Severity::Must, place, sentence).gap(own.sound.floor_m3),
        );
    }
    told.findings
        .sort_by(|a, b| b.severity.cmp(&a.severity).then(b.gap.total_cmp(&a.gap)));
}
