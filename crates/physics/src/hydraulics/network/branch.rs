//! A branch: links in series, seen as one, and what it loses.
//!
//! Heads are in metres of a nominal water of 1000 kg/m³, so that lines with fresh and with salt water balance each
//! other by their pressure.

use super::super::GRAVITY_M_S2;
use super::super::friction::{FrictionLaw, FrictionTables};
use super::super::parts::LossCoefficient;
use super::super::pump_curve::PumpCurve;
use super::super::water::LineWater;
use super::element::Line;

/// Density that heads inside the solver count in.
pub(super) const NOMINAL_DENSITY_KG_M3: f64 = 1000.0;
/// Head per flow by which a one-way branch resists the wrong way while the solver finds out which are shut, s/m²:
/// a metre drives 0.001 mL/s. What leaks is taken out afterwards.
pub(super) const WRONG_WAY_S_M2: f64 = 1e9;
/// Least slope the solver divides by. It matters only to a passage without laminar loss through which nothing flows.
pub(super) const LEAST_SLOPE_S_M2: f64 = 1e-2;

/// Friction of all tube of one bore and roughness in a branch: what hangs on the tube alone, and with its water.
#[derive(Debug, Clone, Copy)]
struct Tube {
    /// Reynolds number by flow and the inverse of viscosity, 1/m.
    reynolds_by_bore: f64,
    /// Head by `f·Re²` and the square of viscosity, s²/m³.
    head_by_length: f64,
    friction: Friction,
}

/// Friction of tube with its water.
#[derive(Debug, Clone, Copy)]
pub(super) struct Friction {
    /// Of its relative roughness.
    pub(super) table: usize,
    pub(super) reynolds_per_flow: f64,
    /// Nominal head by `f·Re²`, m.
    pub(super) head_per_resistance: f64,
}

impl Friction {
    /// Whether a flow has the same Reynolds number in both, and the same wall.
    #[inline]
    pub(super) fn is_alike(&self, other: &Self) -> bool {
        self.table == other.table && self.reynolds_per_flow == other.reynolds_per_flow
    }
}

/// A pump in a branch.
#[derive(Debug, Clone)]
struct Driver {
    curve: PumpCurve,
    standing_loss_s2_m5: f64,
    speed: f64,
    /// It lifts from the branch's end to its start.
    reversed: bool,
}

/// What a branch loses, for the present valves, speeds and water.
#[derive(Debug, Clone)]
pub(super) struct Law {
    tubes: Vec<Tube>,
    /// Head of its water per flow and viscosity, 1/m⁴ by m²/s.
    linear_by_viscosity: f64,
    /// Head of its water per flow squared, s²/m⁵.
    quadratic_by_density: f64,
    drivers: Vec<Driver>,
    /// Head of its water that check valves take while they pass, positive along the branch.
    cracking_by_density_m: f64,
    /// What check valves let pass.
    unchecked: [bool; 2],
    forward: bool,
    backward: bool,
    /// Nominal metres per metre of the water in the branch.
    weight: f64,
    /// Nominal head per flow, s/m².
    linear: f64,
    /// Nominal head per flow squared, s²/m⁵.
    quadratic: f64,
    /// What check valves take while they pass, positive along the branch, nominal m.
    cracking_m: f64,
    /// What is lost where nothing flows: what check valves take, less what pumps lift, nominal m.
    standing_m: f64,
}

/// What a branch or a run of them costs at a flow.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Cost {
    /// Loss of head from its start to its end, nominal m.
    pub(super) head_m: f64,
    /// Its slope by flow, s/m², above 0.
    pub(super) slope_s_m2: f64,
}

impl Law {
    /// A branch that costs nothing yet, with room for the parts that will come.
    pub(super) fn with_room(tubes: usize, drivers: usize) -> Self {
        Self {
            tubes: Vec::with_capacity(tubes),
            linear_by_viscosity: 0.0,
            quadratic_by_density: 0.0,
            drivers: Vec::with_capacity(drivers),
            cracking_by_density_m: 0.0,
            unchecked: [true; 2],
            forward: true,
            backward: true,
            weight: 1.0,
            linear: 0.0,
            quadratic: 0.0,
            cracking_m: 0.0,
            standing_m: 0.0,
        }
    }

    /// Takes all parts out but the pumps.
    pub(super) fn clear(&mut self) {
        self.tubes.clear();
        (self.linear_by_viscosity, self.quadratic_by_density) = (0.0, 0.0);
        self.cracking_by_density_m = 0.0;
        self.unchecked = [true; 2];
    }

    pub(super) fn add_tube<F: FrictionLaw>(&mut self, line: &Line, tables: &mut FrictionTables<F>) {
        if line.length_m == 0.0 {
            return;
        }
        let bore_m = line.bore_m;
        let table = tables.of(line.roughness_m / bore_m);
        let reynolds_by_bore = 4.0 / (core::f64::consts::PI * bore_m);
        // f·(L/D)·v²/2g with v = Re·ν/D.
        let head_by_length = line.length_m / (2.0 * GRAVITY_M_S2 * bore_m * bore_m * bore_m);
        let same =
            |tube: &&mut Tube| tube.reynolds_by_bore == reynolds_by_bore && tube.friction.table == table;
        match self.tubes.iter_mut().find(same) {
            Some(tube) => tube.head_by_length += head_by_length,
            None => self.tubes.push(Tube {
                reynolds_by_bore,
                head_by_length,
                friction: Friction {
                    table,
                    reynolds_per_flow: 0.0,
                    head_per_resistance: 0.0,
                },
            }),
        }
    }

    pub(super) fn add_loss(&mut self, bore_m: f64, loss: LossCoefficient) {
        let area_m2 = core::f64::consts::FRAC_PI_4 * bore_m * bore_m;
        let per_flow_squared = 1.0 / (2.0 * GRAVITY_M_S2 * area_m2 * area_m2);
        self.quadratic_by_density += loss.turbulent * per_flow_squared;
        // K₁/Re·Q² is K₁·Q/(Re/Q).
        let flow_by_reynolds = core::f64::consts::FRAC_PI_4 * bore_m;
        self.linear_by_viscosity += loss.laminar * per_flow_squared * flow_by_reynolds;
    }

    pub(super) fn add_check(&mut self, cracking_head_m: f64, reversed: bool) {
        self.unchecked[usize::from(!reversed)] = false;
        self.cracking_by_density_m += if reversed {
            -cracking_head_m
        } else {
            cracking_head_m
        };
    }

    pub(super) fn add_pump(&mut self, curve: &PumpCurve, standing_loss_s2_m5: f64, reversed: bool) {
        self.drivers.push(Driver {
            curve: curve.clone(),
            standing_loss_s2_m5,
            speed: 0.0,
            reversed,
        });
    }

    /// Fills it with water.
    pub(super) fn hold(&mut self, water: LineWater) {
        let viscosity = water.kinematic_viscosity_m2_s();
        self.weight = water.density_kg_m3() / NOMINAL_DENSITY_KG_M3;
        let by_resistance = self.weight * (viscosity * viscosity);
        for tube in &mut self.tubes {
            tube.friction.reynolds_per_flow = tube.reynolds_by_bore / viscosity;
            tube.friction.head_per_resistance = tube.head_by_length * by_resistance;
        }
        self.linear = self.weight * (self.linear_by_viscosity * viscosity);
        self.quadratic = self.weight * self.quadratic_by_density;
        self.cracking_m = self.weight * self.cracking_by_density_m;
        self.stand();
    }

    pub(super) fn set_speed(&mut self, pump: usize, speed: f64) {
        self.drivers[pump].speed = speed;
        self.stand();
    }

    /// Lets water pass the ways that check valves and ends leave; whether they changed.
    pub(super) fn set_ways(&mut self, start_gives: bool, end_gives: bool) -> bool {
        let [forward, backward] = self.unchecked;
        let ways = (forward && start_gives, backward && end_gives);
        let changed = ways != (self.forward, self.backward);
        (self.forward, self.backward) = ways;
        changed
    }

    fn stand(&mut self) {
        self.standing_m = self.cracking_m;
        if self.has_pumps() {
            self.standing_m -= self.lift(0.0).0;
        }
    }

    /// Whether water may pass at all.
    pub(super) fn passes(&self) -> bool {
        self.forward || self.backward
    }

    /// Whether water may pass from its start to its end, and back.
    #[inline]
    pub(super) fn ways(&self) -> (bool, bool) {
        (self.forward, self.backward)
    }

    /// Whether water may pass in the direction of this flow.
    pub(super) fn may(&self, flow_m3_s: f64) -> bool {
        if flow_m3_s < 0.0 {
            self.backward
        } else {
            self.forward
        }
    }

    pub(super) fn weight(&self) -> f64 {
        self.weight
    }

    /// What is lost where nothing flows, nominal m.
    pub(super) fn standing_m(&self) -> f64 {
        self.standing_m
    }

    /// Whether a pump lifts or resists in it.
    #[inline]
    pub(super) fn has_pumps(&self) -> bool {
        !self.drivers.is_empty()
    }

    /// What the pumps lift along the branch, nominal m, and its slope, s/m².
    #[inline]
    pub(super) fn lift(&self, flow_m3_s: f64) -> (f64, f64) {
        let each = self.drivers.iter().map(|driver| driver.lift(flow_m3_s));
        let (lift, slope) = each.fold((0.0, 0.0), |sum, (lift, slope)| (sum.0 + lift, sum.1 + slope));
        (self.weight * lift, self.weight * slope)
    }

    /// What is lost besides what pumps lift: by tubes; by flow; by flow squared; whatever flows.
    #[inline]
    pub(super) fn parts(&self) -> (impl Iterator<Item = Friction>, f64, f64, f64) {
        let tubes = self.tubes.iter().map(|tube| tube.friction);
        (tubes, self.linear, self.quadratic, self.cracking_m)
    }

    /// What is lost at a flow; the wrong way through a one-way branch costs a great deal, but not everything.
    /// Friction is looked up by the number of a table and a Reynolds number.
    pub(super) fn cost(&self, flow_m3_s: f64, friction: impl FnMut(usize, f64) -> (f64, f64)) -> Cost {
        if !self.may(flow_m3_s) {
            return Cost {
                head_m: self.standing_m + WRONG_WAY_S_M2 * flow_m3_s,
                slope_s_m2: WRONG_WAY_S_M2,
            };
        }
        let (tubes, linear, quadratic, cracking_m) = self.parts();
        let own = lost((linear, quadratic, cracking_m), tubes, flow_m3_s, friction);
        if !self.has_pumps() {
            return own;
        }
        own.lifted(self.lift(flow_m3_s))
    }
}

/// What is lost at a flow without what pumps lift.
#[inline(always)]
pub(super) fn lost(
    (linear, quadratic, cracking_m): (f64, f64, f64),
    tubes: impl Iterator<Item = Friction>,
    flow_m3_s: f64,
    mut friction: impl FnMut(usize, f64) -> (f64, f64),
) -> Cost {
    let size = flow_m3_s.abs();
    let mut head = size * (linear + quadratic * size);
    let mut slope = linear + 2.0 * quadratic * size;
    for tube in tubes {
        let (resistance, rise) = friction(tube.table, size * tube.reynolds_per_flow);
        head += tube.head_per_resistance * resistance;
        slope += tube.head_per_resistance * tube.reynolds_per_flow * rise;
    }
    Cost {
        head_m: head.copysign(flow_m3_s) + cracking_m,
        slope_s_m2: slope.max(LEAST_SLOPE_S_M2),
    }
}

impl Cost {
    /// Less what pumps lift, with its slope.
    #[inline]
    pub(super) fn lifted(self, (lift_m, slope_s_m2): (f64, f64)) -> Self {
        Self {
            head_m: self.head_m - lift_m,
            slope_s_m2: (self.slope_s_m2 - slope_s_m2).max(LEAST_SLOPE_S_M2),
        }
    }
}

impl Driver {
    #[inline]
    fn lift(&self, flow_m3_s: f64) -> (f64, f64) {
        if self.reversed {
            let (lift, slope) = pump_lift(&self.curve, self.standing_loss_s2_m5, self.speed, -flow_m3_s);
            (-lift, slope)
        } else {
            pump_lift(&self.curve, self.standing_loss_s2_m5, self.speed, flow_m3_s)
        }
    }
}

/// What a pump lifts along itself, and its slope: by its curve while it runs; standing, or against water that is
/// driven back, by its loss as a passage.
#[inline]
pub(super) fn pump_lift(
    curve: &PumpCurve,
    standing_loss_s2_m5: f64,
    speed: f64,
    flow_m3_s: f64,
) -> (f64, f64) {
    if speed > 0.0 && flow_m3_s >= 0.0 {
        return curve.at_speed(flow_m3_s, speed);
    }
    let size = flow_m3_s.abs();
    let own = speed * speed * curve.shut_off_head_m();
    (
        own - standing_loss_s2_m5 * size * flow_m3_s,
        -2.0 * standing_loss_s2_m5 * size,
    )
}

/// Loss of head in a line, m of its own water, by the law itself.
pub(super) fn line_loss_m<F: FrictionLaw>(line: &Line, water: LineWater, flow_m3_s: f64) -> f64 {
    let viscosity = water.kinematic_viscosity_m2_s();
    let reynolds = 4.0 * flow_m3_s.abs() / (core::f64::consts::PI * line.bore_m * viscosity);
    let (resistance, _) = F::resistance(reynolds, line.roughness_m / line.bore_m);
    let cubed = line.bore_m * line.bore_m * line.bore_m;
    let friction = line.length_m * viscosity * viscosity / (2.0 * GRAVITY_M_S2 * cubed) * resistance;
    friction.copysign(flow_m3_s) + passage_loss_m(line.bore_m, line.loss, water, flow_m3_s)
}

/// Loss of head in a passage, m of its own water.
pub(super) fn passage_loss_m(bore_m: f64, loss: LossCoefficient, water: LineWater, flow_m3_s: f64) -> f64 {
    let velocity = flow_m3_s / (core::f64::consts::FRAC_PI_4 * bore_m * bore_m);
    let by_reynolds = loss.laminar * water.kinematic_viscosity_m2_s() / bore_m;
    velocity * (loss.turbulent * velocity.abs() + by_reynolds) / (2.0 * GRAVITY_M_S2)
}
