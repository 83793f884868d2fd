//! A line by itself: its ends, levels, counts and measurements.

use crate::fault::Fault;
use crate::plumbing::height::ends_m;
use crate::plumbing::refuse::Refusals;
use crate::plumbing::{End, JoinedLine, Plumbing};
use crate::quantity::{UnitSystem, format_tape};
use crate::sections::LineFields;
use crate::station::Station;

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (line, joined) in station.lines.iter().zip(&plumbing.lines) {
        let refusals = &mut Refusals::of("line", line, faults);
        ends(&line.fields, *joined, refusals);
        levels(station, &line.fields, *joined, refusals);
        counts(&line.fields, refusals);
        barbs(
            &line.fields,
            joined.bore_m(&line.fields),
            station.units(),
            refusals,
        );
        measured(&line.fields, refusals);
        heights(station, &line.fields, *joined, refusals);
    }
}

fn ends(fields: &LineFields, joined: JoinedLine, refusals: &mut Refusals<'_>) {
    if joined.from == joined.to {
        refusals.value(
            &fields.to,
            "this line ends where it begins",
            "let it end somewhere else; what goes round in a vessel goes by a line to the pump and another back",
        );
    }
    if let End::Draw(_) = joined.from {
        refusals.value(
            &fields.from,
            "a draw point gives no water to a line",
            "a line ends at a draw point: exchange `from` and `to`",
        );
    }
    if let (Some(height), false, false) = (&fields.tank_height, joined.from.is_tank(), joined.to.is_tank()) {
        refusals.value(
            height,
            "`tank_height` is the height of an end in a tank, but the line has none there",
            "leave it out; in a vessel write from_level or to_level",
        );
    }
    if joined.from.is_tank() && joined.to.is_tank() {
        refusals.value(
            &fields.to,
            "this line joins two tanks, which the station serves but doesn't join",
            "let one of its ends be a vessel, a pump, a tee or a draw point",
        );
    }
}

fn levels(station: &Station, fields: &LineFields, joined: JoinedLine, refusals: &mut Refusals<'_>) {
    let both = [
        (&fields.from_level, joined.from, "from_level", "begins"),
        (&fields.to_level, joined.to, "to_level", "ends"),
    ];
    for (level, end, key, verb) in both {
        let Some(level) = level else { continue };
        match end {
            End::Vessel(at) => {
                let vessel = &station.vessels[at];
                if key == "from_level" && level.value.m() >= vessel.height_m() {
                    refusals.value(
                        level,
                        "this line begins above the rim and can take no water",
                        format!(
                            "the vessel `{}` is {} high: give a level below that, from the vessel's own floor",
                            vessel.name,
                            format_tape(vessel.height_m(), station.units())
                        ),
                    );
                }
            }
            End::Tank(_) => refusals.value(
                level,
                format!("`{key}` is a level in a vessel, but the line {verb} in a tank"),
                "write tank_height, its height above the room's floor",
            ),
            End::Pump(_) | End::Tee(_) | End::Draw(_) => refusals.value(
                level,
                format!(
                    "`{key}` is a level in a vessel, but the line {verb} at a {}",
                    end.kind()
                ),
                format!("leave it out; a {} has its own height", end.kind()),
            ),
        }
    }
}

fn counts(fields: &LineFields, refusals: &mut Refusals<'_>) {
    for (count, what) in [
        (&fields.elbows, "elbows"),
        (&fields.half_elbows, "elbows of 45 degrees"),
        (&fields.bends, "bends"),
        (&fields.unions, "unions"),
        (&fields.couplings, "couplings"),
        (&fields.barbs, "barbs"),
    ] {
        let number = count.value.plain();
        if number.fract() != 0.0 {
            refusals.value(
                count,
                format!("{number} {what} can't be"),
                "count them: a whole number, or leave it out for none",
            );
        }
    }
}

fn barbs(fields: &LineFields, bore_m: Option<f64>, units: UnitSystem, refusals: &mut Refusals<'_>) {
    let Some(barb) = &fields.barb_bore else { return };
    if fields.barbs.value.plain() < 1.0 {
        refusals.value(
            barb,
            "the bore of a barb is given, but the line has no barb",
            "add barbs = 1, or leave the bore out",
        );
    } else if let Some(bore_m) = bore_m.filter(|bore_m| barb.value.m() >= *bore_m) {
        refusals.value(
            barb,
            "a barb is narrower inside than the hose that is pushed over it",
            format!(
                "the hose has a bore of {}: measure through the barb, or leave it out",
                format_tape(bore_m, units)
            ),
        );
    }
}

fn measured(fields: &LineFields, refusals: &mut Refusals<'_>) {
    match (&fields.measured_flow, &fields.measured_drop) {
        (Some(flow), None) => refusals.value(
            flow,
            "a measured flow says nothing without the pressure that was lost at it",
            "add measured_drop, or leave both out and have the line computed",
        ),
        (None, Some(drop)) => refusals.value(
            drop,
            "a measured drop says nothing without the flow at which it was measured",
            "add measured_flow, or leave both out and have the line computed",
        ),
        _ => {}
    }
}

/// Crest and hole against the ends.
///
/// Whether the line is long enough for them is no refusal: a vessel that is tried higher would make the file unreadable.
fn heights(station: &Station, fields: &LineFields, joined: JoinedLine, refusals: &mut Refusals<'_>) {
    let units = station.units();
    let ends = ends_m(station, fields, joined);
    // A tank whose height isn't known tells nothing; the other end does.
    let high_m = ends.into_iter().flatten().fold(f64::NEG_INFINITY, f64::max);
    let mut top_m = high_m;
    if let Some(crest) = &fields.crest {
        if crest.value.m() < high_m {
            return refusals.value(
                crest,
                "the crest is lower than an end of the line",
                format!(
                    "one of its ends is at {} above the room's floor; leave the crest out where the line has none",
                    format_tape(high_m, units)
                ),
            );
        }
        top_m = crest.value.m();
    }
    if let (Some(hole), [Some(from_m), Some(to_m)]) = (&fields.siphon_break, ends) {
        let low_m = from_m.min(to_m);
        let at_m = hole.value.m();
        if at_m > top_m {
            refusals.value(
                hole,
                "this hole is above the whole line",
                format!(
                    "the line's highest point is at {} above the room's floor: put the hole there or lower, or give the crest",
                    format_tape(top_m, units)
                ),
            );
        } else if at_m < low_m {
            refusals.value(
                hole,
                "this hole is below both ends of the line, where it leaks and lets no air in",
                format!(
                    "put it above the water, between {} and {} above the room's floor",
                    format_tape(low_m, units),
                    format_tape(top_m, units)
                ),
            );
        }
    }
}
