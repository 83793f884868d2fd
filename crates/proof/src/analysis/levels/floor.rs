//! Whether the vessels stand on the floor that there is: each alone, and all that stand beside one another.
//!
//! Vessels at different heights may stand over one another, so only those that meet at a height are laid out, in rows, with
//! room for a hand between. That no rows were found is no proof that there is no way; that their areas are larger is one.

use station::Station;

use crate::analysis::speak::{list, shown, tape};
use crate::finding::{Finding, Severity};

/// Between vessels, m (house rule: a hand gets in).
const GAP_M: f64 = 0.1;

/// A vessel from above, with its walls.
struct Seen<'s> {
    name: &'s str,
    /// Its longer side first, m.
    sides_m: [f64; 2],
    base_m: f64,
    rim_m: f64,
}

/// A tray that is said to run to a drain which the file doesn't know, or stands too low for.
pub(super) fn tray(station: &Station, findings: &mut Vec<Finding>) {
    let room = &station.room;
    if room.tray.is_none() || !room.tray_drained.value || station.tray_is_drained() {
        return;
    }
    let why = match &room.drain_height {
        None => "the file tells of none".to_owned(),
        Some(drain) => format!(
            "the one that there is lies {} above the floor",
            tape(station, drain.value.m())
        ),
    };
    findings.push(Finding::new(
        "tray-without-drain",
        Severity::Should,
        "room.tray_drained",
        format!(
            "The tray is said to run to a drain by itself, and {why}: what it holds is all that keeps the floor dry. Tell the height of the drain, or that the tray isn't drained."
        ),
    ));
}

/// Says which vessels don't stand there; nothing where the floor or a shape isn't told.
pub(super) fn find(station: &Station, findings: &mut Vec<Finding>) {
    let (Some(width), Some(depth)) = (&station.room.floor_width, &station.room.floor_depth) else {
        return;
    };
    let (width_m, depth_m) = (width.value.m(), depth.value.m());
    let floor = format!("{} by {}", tape(station, width_m), tape(station, depth_m));
    let seen: Vec<Seen<'_>> = station.vessels.iter().filter_map(seen).collect();
    let mut fit = Vec::new();
    for own in &seen {
        let [long_m, short_m] = own.sides_m;
        if long_m <= width_m.max(depth_m) && short_m <= width_m.min(depth_m) {
            fit.push(own);
            continue;
        }
        let name = shown(own.name);
        findings.push(Finding::new(
            "floor-too-small",
            Severity::Must,
            format!("vessels.{}", own.name),
            format!(
                "{name} takes {} by {} with its walls; the floor has {floor}. Take a narrower one, or give it more floor.",
                tape(station, long_m),
                tape(station, short_m)
            ),
        ));
    }
    if let Some((beside, surely)) = crowded(&fit, width_m, depth_m) {
        let names: Vec<String> = beside.iter().map(|own| shown(own.name)).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let (severity, what) = match surely {
            true => (Severity::Must, "are larger together than the floor"),
            false => (
                Severity::Should,
                "don't stand in rows, with room for a hand between, on the floor",
            ),
        };
        findings.push(Finding::new(
            "floor-too-small",
            severity,
            "room.floor_width",
            format!(
                "{} {what} of {floor}. Take narrower ones, stand one over another, or give them more floor.",
                list(&names)
            ),
        ));
    }
}

fn seen(vessel: &station::Vessel) -> Option<Seen<'_>> {
    let (length_m, width_m) = vessel.shape.plan_m()?;
    let wall_m = 2.0 * vessel.fields.wall_thickness.value.m();
    let base_m = vessel.fields.floor_height.value.m();
    Some(Seen {
        name: &vessel.name,
        sides_m: [length_m.max(width_m) + wall_m, length_m.min(width_m) + wall_m],
        base_m,
        rim_m: base_m + vessel.height_m(),
    })
}

/// Those that meet at some height and don't stand there together, and whether that is sure; the surest, then the most.
fn crowded<'v, 's>(all: &[&'v Seen<'s>], width_m: f64, depth_m: f64) -> Option<(Vec<&'v Seen<'s>>, bool)> {
    let mut worst: Option<(Vec<&Seen<'s>>, bool)> = None;
    for at in all {
        let beside: Vec<&Seen<'s>> = all
            .iter()
            .copied()
            .filter(|own| own.base_m <= at.base_m && at.base_m < own.rim_m)
            .collect();
        let area_m2: f64 = beside.iter().map(|own| own.sides_m[0] * own.sides_m[1]).sum();
        let surely = area_m2 > width_m * depth_m;
        let stands = in_rows(&beside, width_m, depth_m) || in_rows(&beside, depth_m, width_m);
        let is_worse = worst
            .as_ref()
            .is_none_or(|(old, sure)| (surely, beside.len()) > (*sure, old.len()));
        if !stands && is_worse {
            worst = Some((beside, surely));
        }
    }
    worst
}

/// Whether they stand in rows along a side, all with their longer or all with their shorter side along it where that fits;
/// the deepest first, each into the first row that has room.
fn in_rows(all: &[&Seen<'_>], along_m: f64, across_m: f64) -> bool {
    [false, true].into_iter().any(|long_along| {
        let mut turned: Vec<[f64; 2]> = all
            .iter()
            .map(|own| {
                let [long_m, short_m] = own.sides_m;
                let wanted = if long_along {
                    [long_m, short_m]
                } else {
                    [short_m, long_m]
                };
                match wanted[0] <= along_m && wanted[1] <= across_m {
                    true => wanted,
                    false => [wanted[1], wanted[0]],
                }
            })
            .collect();
        turned.sort_by(|a, b| b[1].total_cmp(&a[1]));
        // Of each row: how far it reaches, and how deep it is.
        let mut rows: Vec<[f64; 2]> = Vec::new();
        for [along, across] in turned {
            match rows.iter_mut().find(|row| row[0] + GAP_M + along <= along_m) {
                Some(row) => row[0] += GAP_M + along,
                None => rows.push([along, across]),
            }
        }
        let deep_m: f64 = rows.iter().map(|row| row[1]).sum::<f64>() + GAP_M * (rows.len().max(1) - 1) as f64;
        rows.iter().all(|row| row[0] <= along_m) && deep_m <= across_m
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boxed(name: &'static str, sides_m: [f64; 2], base_m: f64) -> Seen<'static> {
        Seen {
            name,
            sides_m,
            base_m,
            rim_m: base_m + 0.9,
        }
    }

    /// Worked by hand.
    #[test]
    fn who_stands_beside_whom() {
        let two = |second_base_m| {
            [
                boxed("one", [0.8, 0.5], 0.0),
                boxed("other", [0.8, 0.5], second_base_m),
            ]
        };
        for (what, all, floor_m, told) in [
            // 0.5 + 0.1 + 0.5 = 1.1 along, 0.8 across.
            ("just in a row", two(0.0), [1.1, 0.8], None),
            ("a hair too short", two(0.0), [1.099, 0.8], Some(false)),
            // 0.8 along, 0.5 + 0.1 + 0.5 across: the same turned.
            ("turned", two(0.0), [0.8, 1.1], None),
            // 2 x 0.4 m2 on 0.79 m2.
            ("larger than the floor", two(0.0), [0.99, 0.8], Some(true)),
            ("one over the other", two(0.9), [0.8, 0.5], None),
            ("still beside it", two(0.89), [0.8, 0.5], Some(true)),
        ] {
            let refs: Vec<&Seen<'_>> = all.iter().collect();
            let got = crowded(&refs, floor_m[0], floor_m[1]);
            assert_eq!(got.as_ref().map(|(_, surely)| *surely), told, "{what}");
            assert!(got.is_none_or(|(beside, _)| beside.len() == 2), "{what}");
        }
    }

    /// Four of 0.6 by 0.6 stand two by two on 1.3 by 1.3, never in one row.
    #[test]
    fn two_rows() {
        let all = ["a", "b", "c", "d"].map(|name| boxed(name, [0.6, 0.6], 0.0));
        let refs: Vec<&Seen<'_>> = all.iter().collect();
        assert!(crowded(&refs, 1.3, 1.3).is_none());
        assert_eq!(crowded(&refs, 1.29, 1.3).map(|(_, surely)| surely), Some(false));
    }
}
