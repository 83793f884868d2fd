//! How far a length of a vessel can be moved before its file would be refused, and what stands in the way there.
//!
//! Owns: the limits that the rooms beside this one check, told beforehand. A hand that comes to one is stopped by it, so that
//! nobody has to read a refusal.

use physics::vessel::{Dimensions, Shape};

use crate::quantity::{Kind, Length, format_plain, format_tape};
use crate::register::Field;
use crate::station::{Station, Vessel};

/// An end of where a length can be put.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// Where it is, m.
    pub at_m: f64,
    /// Whether the length may be just there.
    pub touches: bool,
    /// What is there: "the stop level is at 880 mm".
    pub why: String,
}

/// Where a length can be put; an end that nothing holds isn't there.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reach {
    /// Below it, the file is refused.
    pub least: Option<End>,
    /// Above it, the file is refused.
    pub most: Option<End>,
}

/// Where a length of a vessel can be put, by its key: a level inside it, `height`, `diameter` or `length`.
pub fn reach(station: &Station, vessel: &Vessel, key: &str) -> Reach {
    let fields = &vessel.fields;
    let tape = |level_m: f64| format_tape(level_m, station.units());
    let level = |name: &str, field: &Option<Field<Length>>| {
        let at_m = field.as_ref()?.value.m();
        Some(End {
            at_m,
            touches: false,
            why: format!("the {name} level is at {}", tape(at_m)),
        })
    };
    let rim = End {
        at_m: vessel.height_m(),
        touches: true,
        why: format!("the rim is at {}", tape(vessel.height_m())),
    };
    let floor = End {
        at_m: 0.0,
        touches: true,
        why: "this is the floor".into(),
    };
    // A fill ends under the overflow.
    let filled = level("overflow", &fields.overflow_level).unwrap_or_else(|| rim.clone());
    match key {
        "height" => Reach {
            least: lowest_rim(station, vessel),
            most: None,
        },
        "diameter" | "length" => Reach {
            least: highest(
                of_shape(station, vessel, key)
                    .into_iter()
                    .chain(least_for_volumes(station, vessel, key)),
            ),
            most: None,
        },
        "start_level" => Reach {
            least: Some(floor),
            most: Some(level("stop", &fields.stop_level).unwrap_or(rim)),
        },
        "stop_level" => Reach {
            least: Some(level("start", &fields.start_level).unwrap_or(floor)),
            most: Some(filled),
        },
        "backup_level" => Reach {
            least: Some(floor),
            most: Some(filled),
        },
        _ => Reach {
            least: Some(floor),
            most: Some(rim),
        },
    }
}

/// The rim stands over every mark and the freeboard, and what the vessel is to hold fits.
fn lowest_rim(station: &Station, vessel: &Vessel) -> Option<End> {
    let fields = &vessel.fields;
    let tape = |level_m: f64| format_tape(level_m, station.units());
    let mark = |name: &str, at_m: f64, touches: bool| End {
        at_m,
        touches,
        why: format!("the {name} level is at {}", tape(at_m)),
    };
    let levels = [
        ("start", &fields.start_level),
        ("stop", &fields.stop_level),
        ("backup", &fields.backup_level),
        ("low cut-out", &fields.low_cutout_level),
        ("heater", &fields.heater_level),
        ("fill-end", &fields.fill_end_level),
    ];
    let mut ends: Vec<End> = levels
        .into_iter()
        .filter_map(|(name, own)| Some(mark(name, own.as_ref()?.value.m(), true)))
        .collect();
    ends.push(mark("outlet", fields.outlet_level.value.m(), true));
    if let Some(overflow) = &fields.overflow_level {
        ends.push(mark("overflow", overflow.value.m(), false));
    }
    let freeboard_m = fields.freeboard.value.m();
    ends.push(End {
        at_m: freeboard_m,
        touches: false,
        why: format!("{} of freeboard are kept", tape(freeboard_m)),
    });
    ends.extend(of_shape(station, vessel, "height"));
    ends.extend(least_for_volumes(station, vessel, "height"));
    highest(ends)
}

/// The end that a hand comes to first from above.
fn highest(ends: impl IntoIterator<Item = End>) -> Option<End> {
    ends.into_iter()
        .max_by(|a, b| a.at_m.total_cmp(&b.at_m).then(b.touches.cmp(&a.touches)))
}

/// A cone is no higher than its vessel, and its lower end no wider.
fn of_shape(station: &Station, vessel: &Vessel, key: &str) -> Option<End> {
    let Dimensions::ConeBottom {
        cone_height_m,
        cone_outlet_diameter_m,
        ..
    } = *vessel.shape.dimensions()
    else {
        return None;
    };
    let (at_m, what) = match key {
        "height" => (cone_height_m, "the cone is"),
        "diameter" => (cone_outlet_diameter_m, "the lower end of the cone is"),
        _ => return None,
    };
    let size = if key == "height" { "high" } else { "wide" };
    Some(End {
        at_m,
        touches: true,
        why: format!("{what} {} {size}", format_tape(at_m, station.units())),
    })
}

/// A batch and a run fit.
fn least_for_volumes(station: &Station, vessel: &Vessel, key: &str) -> Option<End> {
    let fields = &vessel.fields;
    let (what, volume_m3) = [("batch", &fields.batch_volume), ("run", &fields.run_volume)]
        .into_iter()
        .filter_map(|(what, own)| Some((what, own.as_ref()?.value.m3())))
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let volume = format_plain(Kind::Volume, volume_m3, station.units(), &station.currency());
    let at_m = least_that_holds_m(vessel.shape.dimensions(), key, volume_m3)?;
    // It would fit a smaller one, were that a vessel.
    if of_shape(station, vessel, key).is_some_and(|own| at_m < own.at_m + HAIR_M) {
        return None;
    }
    Some(End {
        at_m,
        touches: true,
        why: format!("a {what} of {volume} has to fit"),
    })
}

/// Where a shape would end first, the halvings come to its end from above and stay this far off at most, m.
const HAIR_M: f64 = 1e-5;
/// Halvings of what a length can be: to a thousandth of a millimetre.
const HALVINGS: u32 = 24;

/// The least length of this key, all others being as they are, with which a vessel holds so much; nothing where it holds less
/// as it is.
fn least_that_holds_m(dimensions: &Dimensions, key: &str, volume_m3: f64) -> Option<f64> {
    let mut tried = dimensions.clone();
    let now_m = *length_of(&mut tried, key)?;
    // A length at which a shape isn't one, as a cone that is higher than its vessel, holds nothing.
    let mut holds = |length_m: f64| {
        if let Some(own) = length_of(&mut tried, key) {
            *own = length_m;
        }
        Shape::new(tried.clone()).is_ok_and(|shape| shape.full_volume_m3() >= volume_m3)
    };
    if !holds(now_m) {
        return None;
    }
    let (mut too_small_m, mut enough_m) = (0.0, now_m);
    for _ in 0..HALVINGS {
        let middle_m = 0.5 * (too_small_m + enough_m);
        if holds(middle_m) {
            enough_m = middle_m;
        } else {
            too_small_m = middle_m;
        }
    }
    Some(enough_m)
}

fn length_of<'a>(dimensions: &'a mut Dimensions, key: &str) -> Option<&'a mut f64> {
    match (key, dimensions) {
        (
            "height",
            Dimensions::Cylinder { height_m, .. }
            | Dimensions::TaperedRound { height_m, .. }
            | Dimensions::Box { height_m, .. }
            | Dimensions::TaperedBox { height_m, .. }
            | Dimensions::ConeBottom { height_m, .. },
        ) => Some(height_m),
        ("diameter", Dimensions::Cylinder { diameter_m, .. } | Dimensions::ConeBottom { diameter_m, .. }) => {
            Some(diameter_m)
        }
        ("length", Dimensions::Box { length_m, .. }) => Some(length_m),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::reach;
    use crate::edit::{Edit, apply};
    use crate::quantity::UnitSystem;
    use crate::station::Station;

    const EXAMPLES: [&str; 3] = [
        include_str!("../../../../stations/larkhaven.toml"),
        include_str!("../../../../stations/juniper-street-school.toml"),
        include_str!("../../../../stations/skelder-hatchery.toml"),
    ];
    const KEYS: [&str; 8] = [
        "start_level",
        "stop_level",
        "backup_level",
        "low_cutout_level",
        "outlet_level",
        "height",
        "diameter",
        "length",
    ];

    /// The ends are where reading begins to refuse: an independent way to the same limits.
    #[test]
    fn a_file_is_read_up_to_an_end_and_refused_beyond_it() {
        let mut tried = 0;
        let over = "overflow_level = \"950 mm\"\nstart_level";
        // Also with an overflow, which ends a fill under the rim.
        let drained = EXAMPLES[0].replacen("start_level", over, 1);
        // And a cone with nothing above it: its vessel ends where it does, though a batch would fit a smaller one.
        let bare = |batch: &str| {
            let of_heater = |line: &&str| !line.starts_with("heater") && !line.starts_with("batch_volume");
            let (before, after) = EXAMPLES[0]
                .split_once("[vessels.salt]\n")
                .expect("its salt vessel");
            let (own, after) = after.split_once("\n\n").expect("a blank line after it");
            let own: Vec<&str> = own.lines().filter(of_heater).collect();
            format!("{before}[vessels.salt]\n{}\n{batch}\n\n{after}", own.join("\n"))
        };
        let [small, none] = ["batch_volume = \"20 L\"", ""].map(bare);
        let altered = [&drained, &small, &none].map(String::as_str);
        for text in EXAMPLES.into_iter().chain(altered) {
            let station = Station::read(text).expect("an example");
            for vessel in &station.vessels {
                for key in KEYS {
                    let path = format!("vessels.{}.{key}", vessel.name);
                    if station.span_of(&path).is_none() {
                        continue;
                    }
                    let is_read = |length_m: f64| {
                        let set = Edit::quoted(&path, &format!("{:.6} mm", 1e3 * length_m));
                        Station::read(&apply(text, &[set]).expect("an edit")).is_ok()
                    };
                    let reach = reach(&station, vessel, key);
                    for (end, inwards) in [(&reach.least, 1.0), (&reach.most, -1.0)] {
                        let Some(end) = end else { continue };
                        // A level under the floor isn't even read as a length.
                        let off_m = inwards * 1e-4;
                        assert!(is_read(end.at_m + off_m), "{path} inside, where {}", end.why);
                        assert!(!is_read(end.at_m - off_m), "{path} beyond, where {}", end.why);
                        // Inches, and what a volume asks for, aren't told to the last bit in millimetres.
                        let is_exact = station.units() == UnitSystem::Si && !end.why.starts_with("a ");
                        if end.at_m > 0.0 && is_exact {
                            assert_eq!(is_read(end.at_m), end.touches, "{path}, where {}", end.why);
                        }
                        tried += 1;
                    }
                }
            }
        }
        assert!(tried > 40, "only {tried}");
    }
}
