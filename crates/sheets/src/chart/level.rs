//! What a vessel holds against its level, with its marks.

use proof::{Proof, VesselLevels};
use station::quantity::{Kind, UnitSystem, unit_for};
use station::{Station, shown};

use super::{Axis, LABEL, LABEL_MM, Plot};
use crate::drawing::{Anchor, Drawing, Ink, Point, Stroke, at};
use crate::label::spread;

/// From one label's line to the next.
const LINE_MM: f64 = 1.35 * LABEL_MM;
/// For the leaders between the curve's end and the labels.
const LEADER_MM: f64 = 7.0;

/// A mark on the curve: its level, its volume, what it is called.
struct Mark {
    level: f64,
    volume: f64,
    words: &'static str,
}

/// A chart for each vessel; vessels that are alike in body and marks share one.
pub fn level_against_volume(station: &Station, proof: &Proof, width_mm: f64) -> Vec<Drawing> {
    let mut groups: Vec<Vec<&VesselLevels>> = Vec::new();
    for vessel in &proof.levels.vessels {
        match groups.iter_mut().find(|group| alike(group[0], vessel)) {
            Some(group) => group.push(vessel),
            None => groups.push(vec![vessel]),
        }
    }
    groups
        .iter()
        .filter_map(|group| chart(station, proof, group, width_mm))
        .collect()
}

fn alike(one: &VesselLevels, other: &VesselLevels) -> bool {
    let marks = |vessel: &VesselLevels| {
        vessel
            .marks
            .iter()
            .map(|mark| (mark.name, mark.level_m))
            .collect::<Vec<_>>()
    };
    let body = |vessel: &VesselLevels| {
        vessel
            .soundings
            .iter()
            .map(|sounding| (sounding.level_m, sounding.volume_m3))
            .collect::<Vec<_>>()
    };
    body(one) == body(other) && one.holds == other.holds && marks(one) == marks(other)
}

fn chart(station: &Station, proof: &Proof, group: &[&VesselLevels], width_mm: f64) -> Option<Drawing> {
    let vessel = *group.first()?;
    let last = vessel.soundings.last()?;
    let currency = station.currency();
    let volume = unit_for(Kind::Volume, last.volume_m3, station.units(), &currency);
    // Levels as the drawing has them.
    let (length, per_length_m) = match station.units() {
        UnitSystem::Si => ("mm", 1e-3),
        UnitSystem::Us => ("in", 0.0254),
    };
    let marks = marks(proof, vessel, per_length_m, volume.factor);
    let names: Vec<String> = group.iter().map(|vessel| shown(&vessel.name)).collect();
    // Many that are alike would leave no room for what the chart shows.
    let who = match names.as_slice() {
        [first, _, rest @ ..] if !rest.is_empty() => format!("{first} and {} like it", names.len() - 1),
        names => names.join(", "),
    };
    let title = format!("{who}: level against volume");
    let labels_mm = marks
        .iter()
        .map(|mark| LABEL.width_mm(mark.words))
        .fold(0.0, f64::max);
    let mut plot = Plot::with_room(
        &title,
        width_mm,
        Axis::up_to(format!("volume, {}", volume.name), last.volume_m3 / volume.factor),
        Axis::up_to(format!("level, {length}"), last.level_m / per_length_m),
        LEADER_MM + labels_mm,
    );
    let path = format!("vessels.{}", vessel.name);
    doubt(&mut plot, vessel, volume.factor, per_length_m, &path);
    let line = vessel
        .soundings
        .iter()
        .map(|sounding| {
            plot.place(
                sounding.volume_m3 / volume.factor,
                sounding.level_m / per_length_m,
            )
        })
        .collect();
    plot.drawing.line(line, Stroke::Heavy, Ink::Ink, &path);

    let wanted: Vec<f64> = marks
        .iter()
        .map(|mark| plot.place(mark.volume, mark.level).y_mm + 0.5 * LABEL.cap_mm())
        .collect();
    let apart_mm = vec![LINE_MM; wanted.len().saturating_sub(1)];
    let places = spread(&wanted, &apart_mm, plot.top_mm - LABEL_MM, plot.foot_mm);
    for (mark, base_mm) in marks.iter().zip(places) {
        let on_curve = plot.place(mark.volume, mark.level);
        let (edge_mm, label_mm) = (plot.right_mm, base_mm - 0.5 * LABEL.cap_mm());
        plot.drawing.line(
            vec![
                on_curve,
                at(edge_mm, on_curve.y_mm),
                at(edge_mm + LEADER_MM - 2.5, label_mm),
                at(edge_mm + LEADER_MM - 0.8, label_mm),
            ],
            Stroke::Hair,
            Ink::Second,
            &path,
        );
        plot.dot(on_curve, Ink::Ink, &path);
        plot.drawing.text(
            at(edge_mm + LEADER_MM, base_mm),
            Anchor::Start,
            mark.words,
            LABEL,
            &path,
        );
    }
    let told: Vec<String> = marks
        .iter()
        .rev()
        .map(|mark| {
            format!(
                "{} at {:.0} {length}, {:.0} {}",
                mark.words, mark.level, mark.volume, volume.name
            )
        })
        .collect();
    plot.drawing.description = format!(
        "{}: to its rim at {:.0} {length} it holds {:.0} {}. {}.",
        names.join(" or "),
        last.level_m / per_length_m,
        last.volume_m3 / volume.factor,
        volume.name,
        told.join("; ")
    );
    Some(plot.drawing)
}

/// The band of what it may hold at each level, where the file says how sure its sides are.
fn doubt(plot: &mut Plot, vessel: &VesselLevels, per_volume_m3: f64, per_length_m: f64, path: &str) {
    let most = plot.x.to;
    let edge = |end: usize| -> Option<Vec<Point>> {
        vessel
            .soundings
            .iter()
            .map(|sounding| {
                let volume = (sounding.ends_m3?[end] / per_volume_m3).min(most);
                Some(plot.place(volume, sounding.level_m / per_length_m))
            })
            .collect()
    };
    let (Some(low), Some(high)) = (edge(0), edge(1)) else {
        return;
    };
    let area = low.iter().chain(high.iter().rev()).copied().collect();
    plot.drawing.area(area, Ink::Fresh, 1.0, path);
    for edge in [low, high] {
        plot.drawing.line(edge, Stroke::Hair, Ink::Second, path);
    }
}

/// Its marks from the highest down, the rim left out: the curve ends there.
fn marks(proof: &Proof, vessel: &VesselLevels, per_length_m: f64, per_volume_m3: f64) -> Vec<Mark> {
    let batch = proof
        .batch
        .vessels
        .iter()
        .find(|batch| batch.vessel == vessel.name);
    let more = batch.map_or(&[][..], |batch| &batch.marks);
    let mut marks: Vec<Mark> = vessel
        .marks
        .iter()
        .chain(more)
        .filter(|mark| mark.name != "rim")
        .map(|mark| Mark {
            level: mark.level_m / per_length_m,
            volume: mark.volume_m3 / per_volume_m3,
            words: crate::told::mark(mark.name),
        })
        .collect();
    marks.sort_by(|a, b| b.level.total_cmp(&a.level));
    marks
}
