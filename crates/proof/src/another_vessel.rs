//! A vessel of the catalogue put in place of one of the file.
//!
//! Owns: where the marks go. Doesn't own: what the new vessel is (`station::catalogue`), whether it is any good (the proof
//! of what comes of it).

use station::catalogue::CatalogueVessel;
use station::edit::Written;
use station::sections::ShapeWord;
use station::{Edit, Station, Vessel};

use crate::analysis::{mark_edit, sides_pass};

/// Marks that keep their height above the floor: an outlet, a heater, what guards a pump.
const LOW: [&str; 4] = ["outlet_level", "low_cutout_level", "heater_level", "start_level"];
/// Marks that keep their distance from the rim: what ends a fill.
const HIGH: [&str; 4] = ["fill_end_level", "stop_level", "backup_level", "overflow_level"];

/// Whether a vessel of the catalogue comes through the station's door, upright or lying; `None` where the file tells of none.
pub fn comes_in(station: &Station, own: &CatalogueVessel) -> Option<bool> {
    // Its plan is told by its outside, its height by its inside.
    let [length_m, width_m] = own.plan_m();
    sides_pass(station, [length_m, width_m, own.height_m() + 2.0 * own.wall_m])
}

/// Edits that put a vessel of the catalogue in place of one of the file. It keeps its name, its water, its floor; low marks
/// keep their height above the floor and high ones their distance from the rim, as fittings do that are moved from one vessel
/// to the next (house rule). Where a vessel is too low for that, all marks come down in proportion.
pub fn another_vessel(station: &Station, vessel: &Vessel, other: &CatalogueVessel) -> Vec<Edit> {
    let (old_m, new_m) = (vessel.height_m(), other.height_m());
    let written = Written::of(&station.text);
    let low = marks(&written, vessel, &LOW);
    let high = marks(&written, vessel, &HIGH);
    let lowest_high_m = high
        .iter()
        .map(|(_, level_m)| level_m + new_m - old_m)
        .fold(new_m, f64::min);
    let highest_low_m = low.iter().map(|(_, level_m)| *level_m).fold(0.0, f64::max);
    let keeps_order = highest_low_m < lowest_high_m;
    let moved = |(path, level_m): &(String, f64), by_m: f64| {
        let to_m = match keeps_order {
            true => level_m + by_m,
            false => level_m * new_m / old_m,
        };
        mark_edit(station, path, to_m)
    };
    let mut edits = other.replaces(&station.text, &vessel.name, station.units());
    let is_cone = |word: ShapeWord| word == ShapeWord::ConeBottom;
    let outlet = format!("vessels.{}.outlet_level", vessel.name);
    // A flat floor has no tip to drain from: the outlet goes back to where outlets usually are.
    let drains = is_cone(vessel.fields.shape.value) && vessel.fields.outlet_level.value.m() <= 0.0;
    if drains && !is_cone(other.body.word()) && written.value(&outlet).is_some() {
        edits.push(Edit {
            path: outlet,
            text: String::new(),
        });
    }
    if !keeps_order {
        let kept = low
            .iter()
            .filter(|(path, _)| !edits.iter().any(|own| own.path == *path));
        let lowered: Vec<Edit> = kept.map(|own| moved(own, 0.0)).collect();
        edits.extend(lowered);
    }
    edits.extend(high.iter().map(|own| moved(own, new_m - old_m)));
    edits
}

/// Those of a vessel's marks that stand in the file, with their level above its floor, m.
fn marks(written: &Written<'_>, vessel: &Vessel, keys: &[&str]) -> Vec<(String, f64)> {
    let fields = &vessel.fields;
    let level_m = |key: &str| match key {
        "outlet_level" => Some(fields.outlet_level.value.m()),
        "low_cutout_level" => fields.low_cutout_level.as_ref().map(|own| own.value.m()),
        "heater_level" => fields.heater_level.as_ref().map(|own| own.value.m()),
        "start_level" => fields.start_level.as_ref().map(|own| own.value.m()),
        "fill_end_level" => fields.fill_end_level.as_ref().map(|own| own.value.m()),
        "stop_level" => fields.stop_level.as_ref().map(|own| own.value.m()),
        "backup_level" => fields.backup_level.as_ref().map(|own| own.value.m()),
        "overflow_level" => fields.overflow_level.as_ref().map(|own| own.value.m()),
        _ => None,
    };
    keys.iter()
        .map(|key| (format!("vessels.{}.{key}", vessel.name), level_m(key)))
        .filter(|(path, _)| written.value(path).is_some())
        .filter_map(|(path, level_m)| Some((path, level_m?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use station::catalogue::CATALOGUE;
    use station::{Station, edit};

    use super::another_vessel;

    const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

    fn read(text: &str) -> Station {
        Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"))
    }

    /// What is said of a vessel on offer is what the proof says of it once it stands there.
    #[test]
    fn what_is_said_not_to_come_in_does_not() {
        let narrow = LARKHAVEN.replace("door_width = \"880 mm\"", "door_width = \"560 mm\"");
        assert_ne!(narrow, LARKHAVEN);
        let station = read(&narrow);
        let mut counts = [0; 2];
        for other in CATALOGUE {
            let comes_in = super::comes_in(&station, other).expect("a door is told");
            counts[usize::from(comes_in)] += 1;
            let edits = other.replaces(&narrow, "fresh", station.units());
            let Ok(there) = Station::read(&edit::apply(&narrow, &edits).expect("it can be edited")) else {
                continue;
            };
            let findings = crate::sketch(&there).findings;
            let told = findings
                .iter()
                .any(|own| own.id == "door-too-narrow" && own.place == "vessels.fresh");
            assert_eq!(told, !comes_in, "{other:?}");
        }
        assert!(counts.iter().all(|count| *count > 0), "{counts:?}");
        let open = narrow.replace("door_width = \"560 mm\"", "");
        assert_eq!(super::comes_in(&read(&open), &CATALOGUE[0]), None);
    }

    /// By hand: from 1010 mm to 925 mm the rim comes down by 85 mm, and so do stop (880) and backup (890); outlet, cut-out and
    /// start stay. The ± stays with its mark.
    #[test]
    fn high_marks_go_with_the_rim() {
        let station = read(LARKHAVEN);
        let fresh = &station.vessels[0];
        let other = CATALOGUE
            .iter()
            .find(|own| own.what == "upright tank" && own.nominal_m3 == 0.3)
            .expect("one of 300 L");
        let text = edit::apply(LARKHAVEN, &another_vessel(&station, fresh, other)).expect("it can be edited");
        let value = |key: &str| edit::value(&text, &format!("vessels.fresh.{key}")).map(ToOwned::to_owned);
        for (key, wanted) in [
            ("height", "\"925 mm\""),
            ("outlet_level", "\"60 mm ± 4 mm\""),
            ("start_level", "\"260 mm ± 5 mm\""),
            ("stop_level", "\"795 mm ± 5 mm\""),
            ("backup_level", "\"805 mm ± 6 mm\""),
        ] {
            assert_eq!(value(key).as_deref(), Some(wanted), "{key}");
        }
    }

    /// A cone drains at its tip; the flat floor that comes in its place has its outlet where outlets usually are.
    #[test]
    fn an_outlet_at_the_tip_goes_with_the_cone() {
        let station = read(LARKHAVEN);
        let salt = &station.vessels[1];
        for (what, there) in [("upright tank", false), ("cone-bottomed tank", true)] {
            let other = CATALOGUE
                .iter()
                .find(|own| own.what == what && own.nominal_m3 == 0.5)
                .expect("one of 500 L");
            let text =
                edit::apply(LARKHAVEN, &another_vessel(&station, salt, other)).expect("it can be edited");
            assert_eq!(
                edit::value(&text, "vessels.salt.outlet_level").is_some(),
                there,
                "{what}"
            );
        }
    }

    /// Each vessel of the catalogue in place of each of Larkhaven's: the marks keep their order and stay below the rim, and
    /// nothing else of the file is touched.
    #[test]
    fn marks_keep_their_order_in_any_vessel() {
        let station = read(LARKHAVEN);
        for vessel in &station.vessels {
            for other in CATALOGUE {
                let edits = another_vessel(&station, vessel, other);
                let prefix = format!("vessels.{}.", vessel.name);
                assert!(edits.iter().all(|own| own.path.starts_with(&prefix)));
                let text = edit::apply(LARKHAVEN, &edits).expect("it can be edited");
                let level_m = |key: &str| {
                    let written = edit::value(&text, &format!("{prefix}{key}"))?;
                    // Thousands are set apart: `1 010 mm`.
                    let (millimetres, _) = written.split_once("mm")?;
                    let digits: String = millimetres.chars().filter(char::is_ascii_digit).collect();
                    Some(digits.parse::<f64>().ok()? / 1000.0)
                };
                let height_m = level_m("height").expect("a height");
                let marks: Vec<f64> = [
                    "outlet_level",
                    "low_cutout_level",
                    "start_level",
                    "stop_level",
                    "backup_level",
                ]
                .iter()
                .filter_map(|key| level_m(key))
                .collect();
                // Two marks may fall on one step of the tape in a low vessel.
                assert!(marks.is_sorted(), "{} in {}: {marks:?}", vessel.name, other.what);
                assert!(marks.iter().all(|own| *own < height_m), "{marks:?} in {height_m}");
            }
        }
    }
}
