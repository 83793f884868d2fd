//! Water brought to a tank through a hose: how high it is lifted, what the hose holds, what happens when the pump stops,
//! and where a hole that breaks the siphon may be.
//!
//! Owns: heights and volumes of the way. Doesn't own: flow and time (`run`), what is worth saying of them (`find`).

use physics::hydraulics::suction::{back_flow_m3, siphon_break_heights};
use serde::Serialize;
use station::plumbing::{End, Task};
use station::{Situation, Station};

use super::Lineup;
use super::look::highest_m;
use super::state::{Setting, State};

/// A hole that doesn't clog at once, m (house rule: 6 mm).
const HOLE_M: f64 = 6e-3;
/// How far a tank may sink before its hole breaks the siphon, m (house rule).
const MAY_SINK_M: f64 = 0.05;
/// What runs on without being noticed in an hour isn't worth a word, m³/s (house rule: a litre).
const UNNOTICED_M3_S: f64 = 1e-3 / 3600.0;

/// What a line does when its pump stops, if no hole and no valve holds it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Siphon {
    /// Nothing.
    None,
    /// It runs on towards the tank.
    RunsOn,
    /// It draws the tank's water back.
    DrawsBack,
}

/// Water brought to a tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Delivery {
    /// The last line: the hose to the tank.
    pub hose: String,
    /// What that holds; what lies lower than both its ends stays in it.
    pub hose_m3: f64,
    /// Level of the source that the lifts are told from; `None` from a tank.
    pub source_level_m: Option<f64>,
    /// Its end or the tank's water, whichever is higher, above the source's water; below 0 it lies lower.
    pub lift_m: f64,
    /// The highest point of the way above the source's water; below 0 it lies lower.
    pub crest_lift_m: f64,
    /// What happens when the pump stops, without a hole.
    pub siphon: Siphon,
    /// Flow of that, where it runs on.
    pub runs_on_m3_per_s: Option<f64>,
    /// Heights above the room's floor between which a hole breaks it; `None` where no height does, or nothing must be
    /// broken.
    pub hole_m: Option<(f64, f64)>,
    /// The hole that the file has.
    pub siphon_break_m: Option<f64>,
    /// What the tank gives back until that hole, or the highest that works, breaks the siphon; where its surface is
    /// known.
    pub back_flow_m3: Option<f64>,
}

/// The delivery of a task that ends in a tank; nothing for another, or where nothing flows.
pub(super) fn delivery(
    station: &Station,
    state: &mut State<'_>,
    task: &Task,
    lineup: &Lineup,
    setting: &Setting,
    way: &[usize],
) -> Option<Delivery> {
    let (End::Tank(tank), Some(last)) = (task.to, way.last().copied()) else {
        return None;
    };
    let moment = lineup.moments.iter().rfind(|moment| moment.nominal.0.is_some())?;
    let pipework = state.pipework;
    let end_m = pipework.lines[last].to_height_m;
    let water_m = water_m(station, tank);
    let top_m = way
        .iter()
        .map(|line| highest_m(pipework, *line))
        .fold(f64::NEG_INFINITY, f64::max);
    let surface_m = match (task.from, moment.source_level_m) {
        (End::Vessel(vessel), Some(level_m)) => {
            station.vessels[vessel].fields.floor_height.value.m() + level_m
        }
        _ => pipework.lines[*way.first()?].from_height_m,
    };
    state.stop_holes(true);
    let on = runs_on_m3_s(station, state, task, setting);
    state.stop_holes(false);
    let back = draws_back(station, task, end_m);
    let siphon = match (on, back) {
        (Some(_), _) => Siphon::RunsOn,
        (None, true) => Siphon::DrawsBack,
        (None, false) => Siphon::None,
    };
    let hole_m = match siphon {
        Siphon::None => None,
        Siphon::RunsOn => hole_against_running_on(station, task, top_m),
        Siphon::DrawsBack => water_m.and_then(|water_m| hole_against_drawing_back(water_m, end_m)),
    };
    let siphon_break_m = way.iter().rev().find_map(|line| {
        let hole = station.lines[*line].fields.siphon_break.as_ref();
        hole.map(|hole| hole.value.m())
    });
    let back_flow_m3 = match (siphon, water_m, &station.tanks[tank].fields.surface) {
        (Siphon::DrawsBack, Some(water_m), Some(surface)) => siphon_break_m
            .or(hole_m.map(|(_, highest_m)| highest_m))
            .and_then(|hole_m| back_flow_m3(surface.value.m2(), water_m, hole_m, HOLE_M).ok()),
        _ => None,
    };
    Some(Delivery {
        hose: station.lines[last].name.clone(),
        hose_m3: pipework.lines[last].volume_m3(),
        source_level_m: moment.source_level_m,
        lift_m: water_m.map_or(end_m, |water_m| water_m.max(end_m)) - surface_m,
        crest_lift_m: top_m - surface_m,
        siphon,
        runs_on_m3_per_s: on,
        hole_m,
        siphon_break_m,
        back_flow_m3,
    })
}

/// Height of a tank's water, where somebody told it.
pub(super) fn water_m(station: &Station, tank: usize) -> Option<f64> {
    let height = station.tanks[tank].fields.water_height.as_ref();
    height.map(|height| height.value.m())
}

/// What flows on towards the target when the pump of a task is switched off and nobody turns a valve; nothing where
/// nothing worth a word does.
pub(super) fn runs_on_m3_s(
    station: &Station,
    state: &mut State<'_>,
    task: &Task,
    setting: &Setting,
) -> Option<f64> {
    if task.pump.is_none() || task.from == task.to {
        return None;
    }
    let standing = Setting {
        pump: None,
        ..setting.clone()
    };
    let full = super::situation(station, task, "full");
    state.begin(&full, &standing).ok()?;
    state.solve(task.from).ok()?;
    let flow = state.gained_m3_s(task.to);
    (flow >= UNNOTICED_M3_S).then_some(flow)
}

/// Whether the end of a task's last line lies under water that stands higher than its source may sink.
pub(super) fn draws_back(station: &Station, task: &Task, end_m: f64) -> bool {
    let source_low_m = match task.from {
        End::Vessel(vessel) => {
            let vessel = &station.vessels[vessel];
            vessel.fields.floor_height.value.m() + vessel.fields.outlet_level.value.m()
        }
        End::Tank(tank) => water_m(station, tank).unwrap_or(f64::INFINITY),
        _ => return false,
    };
    let target_m = match task.to {
        End::Vessel(vessel) => {
            let full = Situation::full(station);
            Some(station.vessels[vessel].fields.floor_height.value.m() + full.vessels[vessel].level_m)
        }
        End::Tank(tank) => water_m(station, tank),
        _ => None,
    };
    target_m.is_some_and(|target_m| {
        task.pump.is_some() && task.from != task.to && end_m < target_m && target_m > source_low_m
    })
}

/// Heights of a hole that stops water running on: above what the source's own water reaches, under the crest.
pub(super) fn hole_against_running_on(station: &Station, task: &Task, top_m: f64) -> Option<(f64, f64)> {
    let End::Vessel(vessel) = task.from else {
        return None;
    };
    let full = super::situation(station, task, "full");
    let surface_m = station.vessels[vessel].fields.floor_height.value.m() + full.vessels[vessel].level_m;
    let heights = siphon_break_heights(top_m, surface_m, HOLE_M).ok()?;
    Some((heights.lowest_m, heights.highest_m))
}

/// Heights of a hole that stops a tank being drawn back: just under its water, and above the end of the hose.
pub(super) fn hole_against_drawing_back(water_m: f64, end_m: f64) -> Option<(f64, f64)> {
    let lowest_m = (water_m - MAY_SINK_M).max(end_m);
    let heights = siphon_break_heights(water_m, lowest_m, HOLE_M).ok()?;
    Some((heights.lowest_m, heights.highest_m))
}
