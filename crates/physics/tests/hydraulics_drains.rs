//! Vessels that drain, fill and level out through a hose: network and integrator together, against
//! `validation/drains.json` (a general integrator on the energy equation).

#![expect(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

use crate::hydraulics_support;
use crate::vessel_support;

use std::convert::Infallible;

use hydraulics_support::{Blend, json};
use physics::hydraulics::friction::{Churchill, FrictionLaw};
use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Solver};
use physics::hydraulics::{GRAVITY_M_S2, LineWater, LossCoefficient};
use physics::numerics::ode::{Direction, Settings, System, Watch, Workspace, integrate};
use physics::vessel::Shape;
use serde_json::Value;
use vessel_support::{number, shape};

/// Two ends and a hose; the state is what has gone through it.
struct Hose<F> {
    solver: Solver<F>,
    first: Option<(Shape, f64)>,
    second: Option<(Shape, f64)>,
    /// Heights of the ends' own zero, and what stands there where no vessel does.
    second_floor_m: f64,
    fixed_m: f64,
    density: f64,
    wanted_m3: f64,
}

impl<F: FrictionLaw> Hose<F> {
    fn level(vessel: &Option<(Shape, f64)>, change_m3: f64) -> Option<f64> {
        let (shape, start_m) = vessel.as_ref()?;
        shape.level_m(shape.volume_m3(*start_m).unwrap() + change_m3).ok()
    }

    fn flow(&mut self, moved_m3: f64) -> f64 {
        let pressure = self.density * GRAVITY_M_S2;
        let source_m = match &self.first {
            Some(_) => Self::level(&self.first, -moved_m3).unwrap(),
            None => self.fixed_m,
        };
        let target_m = match &self.second {
            Some(_) => self.second_floor_m + Self::level(&self.second, moved_m3).unwrap(),
            None => self.fixed_m,
        };
        self.solver
            .set_terminal(NodeId(0), source_m * pressure, true)
            .unwrap();
        self.solver
            .set_terminal(NodeId(1), target_m * pressure, true)
            .unwrap();
        self.solver.solve().unwrap();
        self.solver.flow_m3_s(LinkId(0))
    }
}

impl<F: FrictionLaw> System for Hose<F> {
    type Refusal = Infallible;

    fn slopes(&mut self, _t: f64, moved: &[f64], slopes: &mut [f64]) -> Result<(), Infallible> {
        slopes[0] = self.flow(moved[0]);
        Ok(())
    }

    fn events(&mut self, _t: f64, moved: &[f64], values: &mut [f64]) -> Result<(), Infallible> {
        values[0] = moved[0] - self.wanted_m3;
        Ok(())
    }
}

/// Time until a case has delivered a volume, and the flow then.
fn run<F: FrictionLaw>(case: &Value, wanted_m3: f64) -> (f64, f64) {
    let hose = &case["hose"];
    let (fluid, kind) = (&case["fluid"], case["kind"].as_str().unwrap());
    let mut network = Network::new();
    // Both ends at the height of the first vessel's floor: what stands over them is their pressure.
    let (from, to) = (network.terminal(0.0).unwrap(), network.terminal(0.0).unwrap());
    let line = Line {
        bore_m: number(hose, "diameter_m"),
        length_m: number(hose, "length_m"),
        roughness_m: number(hose, "roughness_m"),
        // The velocity head at the end is always lost, and isn't in the file's sum.
        loss: LossCoefficient::constant(number(hose, "sum_K") + 1.0),
    };
    network.link(from, to, Element::Line(line)).unwrap();
    let mut solver = Solver::<F>::new(&network);
    let density = number(fluid, "rho_kg_m3");
    solver.set_water_everywhere(LineWater::new(density, number(fluid, "nu_m2_s")).unwrap());
    let own = || Some((shape(&case["vessel_1"]), number(case, "level_1_start_m")));
    let mut hose = Hose {
        solver,
        first: None,
        second: None,
        second_floor_m: 0.0,
        fixed_m: 0.0,
        density,
        wanted_m3,
    };
    match kind {
        "drain" => {
            hose.first = own();
            hose.fixed_m = -number(case, "outlet_below_floor_m");
        }
        "fill" => {
            hose.second = own();
            hose.fixed_m = number(case, "source_head_above_floor_m");
        }
        "equalise" => {
            hose.first = own();
            hose.second = Some((shape(&case["vessel_2"]), number(case, "level_2_start_m")));
            hose.second_floor_m = number(case, "floor_2_above_floor_1_m");
        }
        other => panic!("{other}"),
    }
    let watches = [Watch {
        direction: Direction::Rising,
        ends: true,
    }];
    let settings = Settings {
        relative_tolerance: 1e-9,
        absolute_tolerance: &[1e-11],
        first_step: None,
        longest_step: f64::INFINITY,
        most_steps: 10_000,
        event_tolerance: 1e-6,
        watches: &watches,
    };
    let mut moved = [0.0];
    let outcome = integrate(
        &mut hose,
        0.0,
        1e5,
        &mut moved,
        &settings,
        &mut Workspace::new(1, 1),
        |_| {},
    )
    .unwrap();
    assert_eq!(outcome.event, Some(0));
    (outcome.t, hose.flow(wanted_m3))
}

/// The reference's own law of friction: times to 1e-5, the file's tolerance, and flows to 1e-6.
#[test]
fn drains_take_the_reference_times() {
    let data = json("drains.json");
    let mut count = 0;
    for case in data["cases"].as_array().unwrap() {
        for result in case["results"].as_array().unwrap() {
            let (time, flow) = run::<Blend>(case, number(result, "delivered_m3"));
            let told = format!("{} {}", case["name"], result["delivered_m3"]);
            assert!(
                (time / number(result, "time_s") - 1.0).abs() < 1e-5,
                "{told}: {time} s"
            );
            assert!(
                (flow / number(result, "flow_m3_s") - 1.0).abs() < 1e-6,
                "{told}: {flow} m³/s"
            );
            count += 1;
        }
    }
    assert!(count >= 12, "{count}");
}

/// The station's own law: the file has these times too, to 1e-5; the reference's within 0.5 %, as for any sound law.
#[test]
fn drains_by_the_own_law() {
    let data = json("drains.json");
    for case in data["cases"].as_array().unwrap() {
        for result in case["results"].as_array().unwrap() {
            let (time, _) = run::<Churchill>(case, number(result, "delivered_m3"));
            let told = format!("{} {}", case["name"], result["delivered_m3"]);
            let own = number(result, "time_churchill_s");
            assert!((time / own - 1.0).abs() < 1e-5, "{told}: {time} s against {own}");
            let transition = (2000.0..4000.0).contains(&number(result, "Re"));
            let allowed = if transition { 0.1 } else { 0.005 };
            assert!(
                (time / number(result, "time_s") - 1.0).abs() < allowed,
                "{told}: {time} s"
            );
        }
    }
}
