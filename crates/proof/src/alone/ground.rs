//! What every run of a station shares: the plant, its joints, what comes out of its feed.

use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::friction::darcy_friction_factor;
use physics::vessel::Shape;
use station::Station;
use station::control::{Input, Program};
use station::plumbing::End;
use station::sections::ShutOff;

use super::MOST_BITS;
use super::fault::Joint;
use super::network::{Jointed, Lines};
use super::waters::Water;
use crate::analysis::{Pipework, Setting, pump_suffers_s};
use crate::method::Refusal;
use crate::plant::{DAY_S, Flows, Plant, YEAR_S, stirring};

/// Bore and length of the feed tube (house rule: two metres of quarter-inch push-fit tube, 4.3 mm inside).
const FEED_BORE_M: f64 = 4.3e-3;
const FEED_TUBE_M: f64 = 2.0;
/// Its roughness, m (plastic tube, as `physics::hydraulics::parts` has it).
const FEED_ROUGHNESS_M: f64 = 1.5e-6;
/// Entrance, tap and open end, in velocity heads (house rule).
const FEED_LOSS: f64 = 3.0;

/// What runs of a station share.
pub(crate) struct Ground<'a> {
    pub(crate) station: &'a Station,
    pub(crate) plant: &'a Plant,
    pub(crate) jointed: Option<Jointed>,
    pub(crate) joints: Vec<Joint>,
    /// The brims of each vessel's outlets: volumes at which lines begin, and a little above, m³; and that level, m.
    pub(crate) brims: Vec<Vec<Brim>>,
    /// Volume from which on an overflow pipe takes what comes, and how much it takes, m³ and m³/s.
    pub(crate) overflow: Vec<Option<(f64, f64)>>,
    /// What evaporates from each vessel, m³/s; nothing where that isn't followed.
    pub(crate) dries_m3_s: Vec<f64>,
    /// The waters of the tanks.
    pub(crate) tanks: Vec<Water>,
    /// What a tray under the station holds before water runs over the floor, m³, and whether it runs to the drain.
    pub(crate) tray_m3: f64,
    pub(crate) tray_drained: bool,
    /// Volume below which a fallen switch says "dry", m³.
    pub(crate) floor_m3: Vec<f64>,
    /// What flows while the purifier runs, in the month in which most is made.
    pub(crate) usual: Flows,
    /// What comes out of a feed tube that is off, m³/s.
    pub(crate) burst_m3_s: f64,
    pub(crate) shut_off: bool,
    pub(crate) leak: Option<usize>,
    /// High cut-outs of tanks: the tank, what control hears, and what the tank can gain until then, m³. At the headroom
    /// (house rule: nothing in the file says where they hang).
    pub(crate) tank_highs: Vec<(usize, usize, f64)>,
    /// Valves that close by themselves once nobody holds them, as bits.
    pub(crate) held: u64,
    /// Valves that stay open between tasks, so that a vessel is stirred, as bits.
    pub(crate) rest_open: u64,
    /// By pump: how long it takes water that can't get away, s.
    pub(crate) suffers_s: Vec<f64>,
    /// Temperatures of the room that it is coldest and warmest, °C.
    pub(crate) room_c: (f64, f64),
}

impl<'a> Ground<'a> {
    /// From a station and its plant by the values of the file.
    ///
    /// # Errors
    /// [`Refusal`] where it is too large or its network can't be built.
    pub(crate) fn new(
        station: &'a Station,
        plant: &'a Plant,
        pipework: Option<Pipework>,
        settings: &[Option<Setting>],
    ) -> Result<Self, Refusal> {
        let jointed = pipework
            .map(|pipework| Jointed::of(station, pipework))
            .transpose()?;
        let joints = jointed.as_ref().map_or_else(Vec::new, |own| own.joints.clone());
        for (what, given) in [
            ("joints of lines", joints.len()),
            ("valves", station.valves.len()),
            ("lines", station.lines.len()),
            ("pumps", station.pumps.len()),
            ("vessels", station.vessels.len()),
        ] {
            if given > MOST_BITS {
                return Err(Refusal::TooMany {
                    what,
                    given,
                    most: MOST_BITS,
                });
            }
        }
        let mut brims: Vec<Vec<Brim>> = Vec::with_capacity(station.vessels.len());
        for own in &station.vessels {
            brims.push(vec![Brim::at(&own.shape, 0.0)?]);
        }
        for terminal in jointed.iter().flat_map(|own| &own.pipework.terminals) {
            if let End::Vessel(vessel) = terminal.end {
                let own = &station.vessels[vessel];
                let level_m = terminal.height_m - own.fields.floor_height.value.m();
                if level_m > 0.0 && level_m < own.height_m() {
                    brims[vessel].push(Brim::at(&own.shape, level_m)?);
                }
            }
        }
        let season_s = season_s(plant);
        let usual = plant
            .purifier
            .as_ref()
            .map_or_else(Flows::default, |purifier| purifier.flows(0, true, season_s));
        let fields = station.purifier.as_ref().map(|purifier| &purifier.fields);
        let program: &Program = &plant.wiring.program;
        let held = station.valves.iter().enumerate().fold(0, |held, (at, valve)| {
            held | u64::from(valve.fields.closes_by_itself()) << at
        });
        Ok(Self {
            station,
            plant,
            joints,
            brims,
            dries_m3_s: Vec::new(),
            overflow: (0..station.vessels.len())
                .map(|vessel| overflow(station, vessel))
                .collect::<Result<Vec<_>, Refusal>>()?,
            tanks: station
                .tanks
                .iter()
                .map(|own| Water {
                    salt_kg_m3: plant
                        .brine
                        .of_volume(1.0, own.fields.salinity.value.practical())
                        .salt_kg,
                    temperature_c: own.fields.temperature.value.c(),
                })
                .collect(),
            tray_m3: station.room.tray.as_ref().map_or(0.0, |tray| tray.value.m3()),
            tray_drained: station.tray_is_drained(),
            floor_m3: station
                .vessels
                .iter()
                .map(|own| Ok(own.shape.volume_m3(FALLEN_M.min(own.height_m()))?))
                .collect::<Result<Vec<f64>, Refusal>>()?,
            usual,
            burst_m3_s: burst_m3_s(station),
            shut_off: fields.is_some_and(|fields| fields.shut_off.value == ShutOff::Sound),
            leak: program.input(Input::Leak),
            tank_highs: station
                .tanks
                .iter()
                .enumerate()
                .filter_map(|(tank, own)| {
                    let input = program.input(Input::TankHigh { tank })?;
                    Some((tank, input, own.headroom_m3()))
                })
                .collect(),
            held,
            rest_open: rest_open(station, settings),
            suffers_s: (0..station.pumps.len())
                .map(|pump| pump_suffers_s(station, pump))
                .collect::<Result<Vec<f64>, Refusal>>()?,
            room_c: (
                station.room.lowest_winter_temperature.value.c(),
                station.room.highest_summer_temperature.value.c(),
            ),
            jointed,
        })
    }

    /// Its network, where it has lines.
    pub(crate) fn lines(&self) -> Option<Lines<'_>> {
        let jointed = self.jointed.as_ref()?;
        Some(Lines::new(self.station, jointed))
    }

    pub(crate) fn program(&self) -> &Program {
        &self.plant.wiring.program
    }

    /// Level in a vessel, m above its floor.
    pub(crate) fn level_m(&self, vessel: usize, volume_m3: f64) -> Result<f64, Refusal> {
        let shape = &self.station.vessels[vessel].shape;
        Ok(shape.level_m(volume_m3.clamp(0.0, shape.full_volume_m3()))?)
    }
}

/// Valves of the tasks that a timer repeats.
fn rest_open(station: &Station, settings: &[Option<Setting>]) -> u64 {
    let mut open = 0;
    for task in stirring(station) {
        let setting = settings.get(task).and_then(Option::as_ref);
        for (valve, own) in setting.iter().flat_map(|setting| setting.open.iter().enumerate()) {
            open |= u64::from(*own) << valve;
        }
    }
    open
}

/// Level at which a switch that has slid down hangs, m (house rule: its own height).
const FALLEN_M: f64 = 0.02;

/// From which volume on an overflow pipe takes water, m³, and how much, m³/s: a pipe that runs full from the rim's height,
/// entrance, two bends and open end in velocity heads (house rule: 3).
fn overflow(station: &Station, vessel: usize) -> Result<Option<(f64, f64)>, Refusal> {
    const HEADS: f64 = 3.0;
    let own = &station.vessels[vessel];
    let Some(level) = &own.fields.overflow_level else {
        return Ok(None);
    };
    let level_m = level.value.m().clamp(0.0, own.height_m());
    let head_m = (own.height_m() - level_m).max(0.0);
    let bore_m = own.fields.overflow_bore.value.m();
    let takes =
        core::f64::consts::FRAC_PI_4 * bore_m * bore_m * libm::sqrt(2.0 * GRAVITY_M_S2 * head_m / HEADS);
    Ok(Some((own.shape.volume_m3(level_m)?, takes)))
}

/// Height over an outlet in which what comes in runs out again, m (house rule: half a finger).
const BRIM_M: f64 = 0.005;

/// The brim of an outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Brim {
    /// Volume at which nothing more comes out of it, m³.
    pub(crate) outlet_m3: f64,
    /// Volume and level a little above, m³ and m.
    pub(crate) above_m3: f64,
    pub(crate) above_m: f64,
}

impl Brim {
    fn at(shape: &Shape, level_m: f64) -> Result<Self, Refusal> {
        let above_m = (level_m + BRIM_M).min(shape.height_m());
        Ok(Self {
            outlet_m3: shape.volume_m3(level_m)?,
            above_m3: shape.volume_m3(above_m)?,
            above_m,
        })
    }
}

/// The middle of the month in which most permeate is made: then everything that floods floods most.
pub(crate) fn season_s(plant: &Plant) -> f64 {
    let Some(purifier) = &plant.purifier else {
        return 0.5 * DAY_S;
    };
    let months = &purifier.feeds[0].permeate_m3_s.0;
    let mut best = 0;
    for (at, made) in months.iter().enumerate() {
        if *made > months[best] {
            best = at;
        }
    }
    (best as f64 + 0.5) * YEAR_S / 12.0
}

/// What comes out of a feed tube that is off, m³/s: the tap's pressure against tube, bends and open end, by the friction
/// of Darcy and Weisbach with Churchill's factor; no more than its limiter lets through.
fn burst_m3_s(station: &Station) -> f64 {
    let Some(feed) = &station.feed else { return 0.0 };
    let head_m = feed.pressure.value.pa_gauge() / (1000.0 * GRAVITY_M_S2);
    // Water at 15 °C: 1.14·10⁻⁶ m²/s.
    let viscosity_m2_s = 1.14e-6;
    let mut velocity = libm::sqrt(2.0 * GRAVITY_M_S2 * head_m.max(0.0));
    for _ in 0..60 {
        let reynolds = (velocity * FEED_BORE_M / viscosity_m2_s).max(1.0);
        let friction = darcy_friction_factor(reynolds, FEED_ROUGHNESS_M / FEED_BORE_M).unwrap_or(0.03);
        let heads = FEED_LOSS + friction * FEED_TUBE_M / FEED_BORE_M;
        velocity = libm::sqrt(2.0 * GRAVITY_M_S2 * head_m.max(0.0) / heads);
    }
    let open_m3_s = core::f64::consts::FRAC_PI_4 * FEED_BORE_M * FEED_BORE_M * velocity;
    let limiter = station
        .purifier
        .as_ref()
        .and_then(|own| own.fields.feed_limiter.as_ref());
    limiter.map_or(open_m3_s, |limiter| open_m3_s.min(limiter.value.m3_s()))
}

impl Ground<'_> {
    /// The joints of its lines, in the order in which faults name them.
    pub(crate) fn joints(&self) -> &[Joint] {
        &self.joints
    }

    /// What its purifier takes from the tap while it runs, m³/s.
    pub(crate) fn takes_m3_s(&self) -> f64 {
        self.usual.permeate_m3_s + self.usual.reject_m3_s
    }

    /// What the vessels that it fills lack when they ask for water, m³.
    pub(crate) fn lacks_m3(&self) -> f64 {
        let fills = self.plant.purifier.as_ref().map_or(&[][..], |own| &own.fills);
        fills
            .iter()
            .map(|vessel| {
                (super::start::rests_m3(self, *vessel) - super::start::starts_m3(self, *vessel)).max(0.0)
            })
            .sum()
    }

    /// The longest fill of a year, from the start mark to full, s: in the month in which least is made.
    pub(crate) fn longest_fill_s(&self) -> f64 {
        let Some(purifier) = &self.plant.purifier else {
            return 0.0;
        };
        let least = purifier.feeds[0]
            .permeate_m3_s
            .0
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min);
        if least > 0.0 { self.lacks_m3() / least } else { 0.0 }
    }

    /// The set pressure of a reducer before the purifier, Pa.
    pub(crate) fn reducer(&self) -> Option<f64> {
        let purifier = self.station.purifier.as_ref()?;
        purifier
            .fields
            .reducer
            .as_ref()
            .map(|reducer| reducer.value.pa_gauge())
    }
}
