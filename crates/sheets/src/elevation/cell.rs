//! What one vessel takes on the paper: its body, the dimension line to the left, the labels to the right.

use proof::{LevelMark, Proof, VesselLevels};
use station::quantity::{Kind, format_plain, format_tape};
use station::sections::Water;
use station::{Station, Vessel, shown};

use super::vessel::figure;
use super::{LABEL, LABEL_MM, NAME, QUIET, fitted_between};

/// Left of the body, for the height's dimension line; its figure stands left of that.
const DIMENSION_MM: f64 = 4.6;
/// Between the body and its labels, for the leaders.
pub(crate) const LEADER_MM: f64 = 9.0;
/// From one label's line to the next; on paper that is narrow a finger moves the levels that are set: from one of them to the
/// next it has the 44 px that it needs (a house rule of the look; WCAG 2.2, 2.5.8 asks for 24). A phone shows a millimetre of
/// it as 4.5 px at least.
const LINE_MM: f64 = 1.45 * LABEL_MM;
const FINGER_LINE_MM: f64 = 3.1 * LABEL_MM;
const NARROW_MM: f64 = 100.0;
/// Above the rim: the name.
pub(crate) const HEAD_MM: f64 = 9.0;

/// A label of a level.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Label {
    pub(crate) level_m: f64,
    pub(crate) text: String,
    /// The same to who hears it: with its unit.
    told: String,
    pub(crate) path: String,
}

/// One vessel on the paper.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// From each label's line to the next.
    pub(crate) apart_mm: Vec<f64>,
    pub(crate) name: String,
    pub(crate) shown: String,
    /// Outline from the floor up: half of the width at a level, both in metres.
    pub(crate) outline: Vec<(f64, f64)>,
    pub(crate) height_m: f64,
    pub(crate) floor_m: f64,
    pub(crate) water_m: f64,
    /// Practical salinity of what stands in it; 0 for fresh water.
    pub(crate) salinity: f64,
    pub(crate) labels: Vec<Label>,
    pub(crate) body_mm: f64,
    pub(crate) labels_mm: f64,
    /// What the name and the labels take, at any scale.
    name_mm: f64,
    column_mm: f64,
    pub(crate) dimension_mm: f64,
    pub(crate) above_mm: f64,
    /// What the dimension below the floor says.
    pub(crate) across: String,
    pub(crate) description: String,
}

impl Cell {
    pub(crate) fn width_mm(&self) -> f64 {
        self.dimension_mm + (self.body_mm + LEADER_MM + self.labels_mm).max(self.name_mm)
    }

    /// Puts it to a scale.
    pub(crate) fn put_to(&mut self, scale: f64) {
        let mm_per_m = 1000.0 / scale;
        let widest_m = self.outline.iter().map(|(_, half)| *half).fold(0.0, f64::max);
        self.body_mm = 2.0 * widest_m * mm_per_m;
        // The labels may need more height than the vessel.
        self.above_mm = ((self.floor_m + self.height_m) * mm_per_m).max(self.column_mm) + HEAD_MM;
    }
}

/// The cells of all vessels, still to be put to a scale; labels say the volume to their level too where there is room, and no
/// unit where there is little: the title block does, as for dimensions.
pub(crate) fn cells(station: &Station, proof: &Proof, volumes: bool, room_mm: f64) -> Vec<Cell> {
    station
        .vessels
        .iter()
        .filter_map(|vessel| {
            let levels = proof
                .levels
                .vessels
                .iter()
                .find(|entry| entry.name == vessel.name)?;
            Some(cell(station, proof, vessel, levels, (volumes, room_mm)))
        })
        .collect()
}

fn cell(
    station: &Station,
    proof: &Proof,
    vessel: &Vessel,
    levels: &VesselLevels,
    (volumes, room_mm): (bool, f64),
) -> Cell {
    let units = station.units();
    let batch = proof
        .batch
        .vessels
        .iter()
        .find(|batch| batch.vessel == vessel.name);
    let say = |mark: &LevelMark, words: &str, path: String| {
        let volume = format_plain(Kind::Volume, mark.volume_m3, units, &station.currency());
        let told = format!("{words} {}", format_tape(mark.level_m, units));
        Label {
            level_m: mark.level_m,
            text: match volumes {
                true => format!("{told}, {volume}"),
                false => format!("{words} {}", figure(station, mark.level_m)),
            },
            told: format!("{told}, {volume}"),
            path,
        }
    };
    let name = &vessel.name;
    let mut labels: Vec<Label> = levels
        .marks
        .iter()
        .map(|mark| {
            let key = match mark.name {
                "rim" => "height".to_owned(),
                "low cut-out" => "low_cutout_level".to_owned(),
                other => format!("{other}_level"),
            };
            say(mark, mark.name, format!("vessels.{name}.{key}"))
        })
        .collect();
    let batch_marks = batch.map_or(&[][..], |batch| &batch.marks);
    labels.extend(batch_marks.iter().map(|mark| {
        say(
            mark,
            crate::told::mark(mark.name),
            format!("vessels.{name}.batch_volume"),
        )
    }));
    labels.sort_by(|a, b| b.level_m.total_cmp(&a.level_m));

    let salty = vessel.fields.holds.value == Water::Salt;
    let water_m = water_level(levels, batch_marks, salty);
    let floor_m = vessel.fields.floor_height.value.m().max(0.0);
    let height_m = vessel.height_m();
    let is_set = |label: &Label| label.path.ends_with("_level");
    let apart_mm: Vec<f64> = labels
        .windows(2)
        .map(|pair| match (room_mm < NARROW_MM, pair.iter().all(is_set)) {
            (true, true) => FINGER_LINE_MM,
            // With one that isn't set between two that are, these have as much.
            (true, false) => 0.5 * FINGER_LINE_MM,
            (false, _) => LINE_MM,
        })
        .collect();
    let column_mm = apart_mm.iter().sum::<f64>() + LINE_MM;
    let shown = shown(name);
    let description = format!(
        "{shown}: {} high, its floor {} above the room's, {}. {}.",
        format_tape(height_m, units),
        format_tape(floor_m, units),
        if salty { "salt water" } else { "fresh water" },
        labels
            .iter()
            .map(|label| label.told.as_str())
            .collect::<Vec<_>>()
            .join("; ")
    );
    let dimension_mm = DIMENSION_MM
        + [height_m, floor_m]
            .map(|length| QUIET.width_mm(&figure(station, length)))
            .into_iter()
            .fold(0.0, f64::max);
    let shown = fitted_between(&shown, room_mm - dimension_mm, NAME);
    Cell {
        apart_mm,
        name: name.clone(),
        name_mm: NAME.width_mm(&shown),
        shown,
        height_m,
        floor_m,
        water_m,
        salinity: match salty {
            true => vessel.fields.target_salinity.value.practical(),
            false => 0.0,
        },
        body_mm: 0.0,
        labels_mm: labels
            .iter()
            .map(|label| LABEL.width_mm(&label.text))
            .fold(0.0, f64::max),
        dimension_mm,
        above_mm: 0.0,
        column_mm,
        across: across(station, vessel),
        outline: outline(vessel),
        labels,
        description,
    }
}

/// How high the water is drawn: as full as the station is in ordinary running.
fn water_level(levels: &VesselLevels, batch: &[LevelMark], salty: bool) -> f64 {
    let of = |marks: &[LevelMark], name: &str| {
        marks
            .iter()
            .find(|mark| mark.name == name)
            .map(|mark| mark.level_m)
    };
    let full = if salty { of(batch, "finished") } else { None };
    full.or_else(|| of(&levels.marks, "stop"))
        .unwrap_or(0.8 * levels.height_m)
        .min(levels.height_m)
}

/// Half widths from the floor to the rim.
fn outline(vessel: &Vessel) -> Vec<(f64, f64)> {
    let height = vessel.height_m();
    let half_at = |level: f64| match vessel.shape.plan_at_m(level) {
        Ok(Some((length, _))) => 0.5 * length,
        // A measured vessel has no plan: a square of its mean section stands for it.
        _ => 0.5 * libm::sqrt(vessel.shape.full_volume_m3() / height),
    };
    vessel
        .bends_m()
        .into_iter()
        .map(|level| (level, half_at(level)))
        .collect()
}

/// Across the rim: a diameter, or both sides of a box; of a lying cylinder its length and its diameter.
fn across(station: &Station, vessel: &Vessel) -> String {
    use station::sections::ShapeWord;
    let (rim, widest) = (vessel.shape.plan_at_m(vessel.height_m()), vessel.shape.plan_m());
    let say = |length_m: f64| figure(station, length_m);
    match (vessel.fields.shape.value, rim, widest) {
        (ShapeWord::HorizontalCylinder, _, Some((length, diameter))) => {
            format!("{} x Ø {}", say(length), say(diameter))
        }
        (ShapeWord::Box | ShapeWord::TaperedBox, Ok(Some((length, width))), _) => {
            format!("{} x {}", say(length), say(width))
        }
        (_, Ok(Some((diameter, _))), _) => format!("Ø {}", say(diameter)),
        // A measured vessel: nobody knows its plan.
        _ => String::new(),
    }
}
