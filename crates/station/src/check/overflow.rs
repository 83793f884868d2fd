//! Where an overflow pipe can't begin: at the rim or above, or where the fill hasn't stopped yet.

use super::purifier::fault;
use crate::fault::Fault;
use crate::quantity::format_tape;
use crate::station::{Station, Vessel};

pub(super) fn check(station: &Station, vessel: &Vessel, faults: &mut Vec<Fault>) {
    let fields = &vessel.fields;
    let Some(overflow) = &fields.overflow_level else {
        return;
    };
    let (begins_m, rim_m) = (overflow.value.m(), vessel.height_m());
    let tape = |level_m| format_tape(level_m, station.units());
    let rim = tape(rim_m);
    if begins_m >= rim_m {
        faults.push(fault(
            overflow,
            "the overflow isn't under the rim, so the vessel runs over before it",
            format!("the vessel `{}` is {rim} high", vessel.name),
            format!(
                "put it under the rim; {} keeps the freeboard of {}",
                tape(rim_m - fields.freeboard.value.m()),
                tape(fields.freeboard.value.m())
            ),
        ));
    }
    let fills_to = [
        ("stop", "stop_level", &fields.stop_level),
        ("backup", "backup_level", &fields.backup_level),
    ]
    .into_iter()
    .filter_map(|(name, key, level)| Some((name, key, level.as_ref()?.value.m())))
    // One of them, the higher, says both.
    .max_by(|a, b| a.2.total_cmp(&b.2));
    if let Some((name, key, level_m)) = fills_to
        && begins_m <= level_m
    {
        faults.push(fault(
            overflow,
            format!("the overflow isn't above the {name} level, so the fill runs to the drain"),
            format!("the vessel `{}` fills to {}", vessel.name, tape(level_m)),
            // Above the rim the level has a fault of its own.
            if level_m < rim_m {
                format!(
                    "put it between {} and the rim at {rim}, or lower {key}",
                    tape(level_m)
                )
            } else {
                format!("lower {key} first")
            },
        ));
    }
}
