//! Positions, and where lines end in the open.

use station::plumbing::End;
use station::{Situation, Station};

/// Which valves are open and which pumps run, by their places in the station.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Position {
    pub(super) open: Vec<bool>,
    pub(super) runs: Vec<bool>,
}

impl Position {
    /// Whether every valve of a line that somebody turns is open.
    pub(super) fn is_open(&self, station: &Station, line: usize) -> bool {
        let mut valves = station.plumbing.valves_of(line);
        valves.all(|valve| self.open[valve] || !station.valves[valve].fields.kind.value.is_set())
    }
}

/// A line's end in a vessel, a tank or the air.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mouth {
    pub(super) end: End,
    pub(super) line: usize,
    pub(super) height_m: f64,
    /// Whether it stands under water.
    pub(super) gives: bool,
    pub(super) depth_m: f64,
    /// Whether the line ends here, and doesn't begin.
    pub(super) is_last: bool,
}

/// Salinity and temperature at an end.
pub(super) fn water_at(station: &Station, situation: &Situation, end: End) -> (f64, f64) {
    match end {
        End::Vessel(at) => {
            let moment = situation.vessels[at];
            (moment.practical_salinity, moment.temperature_c)
        }
        End::Tank(at) => {
            let fields = &station.tanks[at].fields;
            (fields.salinity.value.practical(), fields.temperature.value.c())
        }
        End::Draw(_) | End::Tee(_) | End::Pump(_) => (0.0, 20.0),
    }
}

/// The mouth of a line at one of its ends, if it is one.
fn mouth(station: &Station, situation: &Situation, line: usize, is_last: bool) -> Option<Mouth> {
    let fields = &station.lines[line].fields;
    let joined = station.plumbing.lines[line];
    let end = if is_last { joined.to } else { joined.from };
    let (height_m, surface_m, touching) = match end {
        End::Vessel(at) => {
            let vessel = &station.vessels[at];
            let floor_m = vessel.fields.floor_height.value.m();
            let level_m = match (is_last, &fields.from_level, &fields.to_level) {
                (false, Some(level), _) | (true, _, Some(level)) => level.value.m(),
                (false, None, _) => vessel.fields.outlet_level.value.m(),
                (true, _, None) => vessel.height_m(),
            };
            (
                floor_m + level_m,
                Some(floor_m + situation.vessels[at].level_m),
                true,
            )
        }
        End::Tank(at) => {
            let water_m = station.tanks[at]
                .fields
                .water_height
                .as_ref()
                .map(|height| height.value.m());
            let own_m = fields.tank_height.as_ref().map(|height| height.value.m());
            // A house rule of the plumbing: a metre, where nobody told.
            (own_m.or(water_m).unwrap_or(1.0), water_m, false)
        }
        End::Draw(at) => (station.draw_points[at].fields.height.value.m(), None, false),
        End::Tee(_) | End::Pump(_) => return None,
    };
    let depth_m = surface_m.map_or(f64::NEG_INFINITY, |surface_m| surface_m - height_m);
    Some(Mouth {
        end,
        line,
        height_m,
        gives: if touching { depth_m >= 0.0 } else { depth_m > 0.0 },
        depth_m: depth_m.max(0.0),
        is_last,
    })
}

/// Every mouth of the lines that are open.
pub(super) fn mouths(station: &Station, situation: &Situation, position: &Position) -> Vec<Mouth> {
    (0..station.lines.len())
        .filter(|line| position.is_open(station, *line))
        .flat_map(|line| [false, true].map(|is_last| mouth(station, situation, line, is_last)))
        .flatten()
        .collect()
}
