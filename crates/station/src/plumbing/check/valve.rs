//! A valve by itself.

use physics::hydraulics::parts::{LossCoefficient, ValvePosition};

use crate::fault::Fault;
use crate::plumbing::refuse::Refusals;
use crate::sections::{Valve, ValveFields};
use crate::station::Station;

/// Any loss will do to ask whether a valve is shut at an opening.
const SOME_LOSS: LossCoefficient = LossCoefficient {
    turbulent: 1.0,
    laminar: 1000.0,
};

pub(super) fn check(station: &Station, faults: &mut Vec<Fault>) {
    for valve in &station.valves {
        let refusals = &mut Refusals::of("valve", valve, faults);
        let fields = &valve.fields;
        if let (Some(_), Some(cv)) = (&fields.kv, &fields.cv) {
            refusals.value(
                cv,
                "kv and cv say the same in different units, and both are given",
                "keep one of them",
            );
        }
        if let (Some(cracking), false) = (&fields.cracking, fields.kind.value.is_check()) {
            refusals.value(
                cracking,
                "only a check valve has a cracking pressure",
                "leave it out, or write kind = \"spring check\"",
            );
        }
        opening(fields, refusals);
        if valve.name == "none" {
            refusals.whole(
                "a valve can't be named none: in a lineup that means that no valve is open",
                "give it another name",
            );
        }
    }
}

fn opening(fields: &ValveFields, refusals: &mut Refusals<'_>) {
    let kind = fields.kind.value;
    let opening = &fields.opening;
    if !opening.is_given() || opening.value.of_one() >= 1.0 {
        return;
    }
    let named = kind.kind().name();
    if kind.is_check() || kind == Valve::Solenoid {
        refusals.value(
            opening,
            format!("a {named} is open or closed, nothing between"),
            "leave the opening out",
        );
    } else if let Ok(ValvePosition::Closed) = kind.kind().passage_of(SOME_LOSS, opening.value.of_one()) {
        refusals.value(
            opening,
            format!(
                "a {named} is still shut at {:.0} %, so it would never be open",
                100.0 * opening.value.of_one()
            ),
            "give how far it is turned when water is to pass: half open is \"50 %\"",
        );
    }
}
