//! How high the ends of a line lie.

use super::{End, JoinedLine};
use crate::sections::LineFields;
use crate::station::Station;

/// Heights of a line's two ends above the room's floor, m; `None` in a tank whose height isn't known.
pub(super) fn ends_m(station: &Station, fields: &LineFields, joined: JoinedLine) -> [Option<f64>; 2] {
    let given = |level: &Option<crate::register::Field<crate::quantity::Length>>| {
        level.as_ref().map(|level| level.value.m())
    };
    let height_m = |end: End, level: Option<f64>, first: bool| {
        Some(match end {
            End::Vessel(at) => {
                let vessel = &station.vessels[at];
                let usual = if first {
                    vessel.fields.outlet_level.value.m()
                } else {
                    vessel.height_m()
                };
                vessel.fields.floor_height.value.m() + level.unwrap_or(usual)
            }
            End::Pump(at) => station.pumps[at].fields.height.value.m(),
            End::Tee(at) => station.tees[at].fields.height.value.m(),
            End::Draw(at) => station.draw_points[at].fields.height.value.m(),
            End::Tank(at) => {
                let water = &station.tanks[at].fields.water_height;
                return given(&fields.tank_height).or_else(|| given(water));
            }
        })
    };
    [
        height_m(joined.from, given(&fields.from_level), true),
        height_m(joined.to, given(&fields.to_level), false),
    ]
}
