//! A valve by itself.

use physics::hydraulics::parts::{
    FittingKind, LossCoefficient, ValvePosition, kv_from_cv, kv_from_loss, loss_from_kv,
};

use crate::fault::Fault;
use crate::plumbing::Plumbing;
use crate::plumbing::refuse::Refusals;
use crate::sections::{Valve, ValveFields};
use crate::station::Station;

/// Any loss will do to ask whether a valve is shut at an opening.
const SOME_LOSS: LossCoefficient = LossCoefficient {
    turbulent: 1.0,
    laminar: 1000.0,
};

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (at, valve) in station.valves.iter().enumerate() {
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
        own_kv(station, plumbing, at, refusals);
        if valve.name == "none" {
            refusals.whole(
                "a valve can't be named none: in a lineup that means that no valve is open",
                "give it another name",
            );
        }
    }
}

/// A Kv that no valve of the line's bore has: a loss below a thousandth of the velocity head.
fn own_kv(station: &Station, plumbing: &Plumbing, at: usize, refusals: &mut Refusals<'_>) {
    let fields = &station.valves[at].fields;
    let (field, kv) = match (&fields.kv, &fields.cv) {
        (Some(kv), _) => (kv, Ok(kv.value.plain())),
        (None, Some(cv)) => (cv, kv_from_cv(cv.value.plain())),
        (None, None) => return,
    };
    let Some(line) = plumbing.line_of_valve.get(at) else {
        return;
    };
    let measured = station.lines[*line]
        .fields
        .bore
        .as_ref()
        .map(|bore| bore.value.m());
    let Some(bore_m) = measured.or_else(|| plumbing.lines[*line].tube.map(|tube| tube.inner_diameter_m))
    else {
        return;
    };
    let fits = kv
        .and_then(|kv| loss_from_kv(kv, bore_m))
        .is_ok_and(|loss| (LEAST_LOSS..=MOST_LOSS).contains(&loss));
    if !fits {
        let wide = FittingKind::Union
            .loss(bore_m)
            .and_then(|union| kv_from_loss(union.turbulent.max(0.05), bore_m));
        let about = wide.map_or(String::new(), |kv| {
            format!("; a ball valve as wide as this line has about kv = {kv:.0}")
        });
        refusals.value(
            field,
            "no valve of this line's bore passes so much, or so little",
            format!("check the unit, m³/h for kv and US gal/min for cv{about}"),
        );
    }
}

/// Losses of an open valve that are believed; the parts' own range.
const LEAST_LOSS: f64 = 1e-3;
const MOST_LOSS: f64 = 1e9;

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
