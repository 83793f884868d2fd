//! Duty points: where a pump's curve meets that of its system, by textbook and by hand.

#![allow(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::{Element, Line, Network, Pump, Solver};
use physics::hydraulics::parts::LossCoefficient;
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;
/// A thousand US gallons a minute, m³/s.
const KGPM_M3_S: f64 = 3.785_411_784 / 60.0;

/// A pump of a falling parabola `H₀ − a·Q²` lifts water by a height through a pipe of fixed loss: flow and head.
fn duty(points: &[PumpPoint], speed: f64, lift_m: f64, pipe: Line) -> (f64, f64) {
    let mut network = Network::new();
    let low = network.terminal(0.0).unwrap();
    let outlet = network.junction(0.0).unwrap();
    let high = network.terminal(lift_m).unwrap();
    let pump = Pump {
        curve: PumpCurve::through(points).unwrap(),
        standing_loss_s2_m5: 1e6,
    };
    let pump = network.link(low, outlet, Element::Pump(pump)).unwrap();
    network.link(outlet, high, Element::Line(pipe)).unwrap();
    let mut solver: Solver<Churchill> = Solver::new(&network);
    solver.set_terminal(low, 0.0, true).unwrap();
    solver.set_terminal(high, 0.0, true).unwrap();
    solver.set_speed(pump, speed).unwrap();
    solver.solve().unwrap();
    (solver.flow_m3_s(pump), -solver.head_loss_m(pump))
}

/// Points of `490 ft − 0.26·Q²`, Q in thousand gallons a minute, every 200 up to a cubic metre a second.
fn large_pump() -> Vec<PumpPoint> {
    (0..=79)
        .map(|fifth| {
            let kgpm = f64::from(fifth) / 5.0;
            PumpPoint {
                flow_m3_s: kgpm * KGPM_M3_S,
                head_m: (490.0 - 0.26 * kgpm * kgpm) * FOOT_M,
            }
        })
        .collect()
}

/// 1500 ft of 16 inches with a friction factor of 0.030: `f·L/D`, however fast.
fn long_pipe() -> Line {
    let bore_m = 16.0 * INCH_M;
    Line {
        bore_m,
        length_m: 0.0,
        roughness_m: 0.0,
        loss: LossCoefficient::constant(0.030 * 1500.0 * FOOT_M / bore_m),
    }
}

/// A textbook's system curve: a pump of 32 inches at 1170/min moves water into a reservoir 120 ft higher through 1500 ft
/// of 16-inch pipe with f = 0.030. `490 − 0.26·Q² = 120 + 1.335·Q²` gives 15.2 thousand gallons a minute at 430 ft.
///
/// Source: F. M. White, Fluid Mechanics, 7th edition, example 11.6, from memory; the equation was worked again by hand,
/// and the book's 1.335 follows from its data. The book prints three figures: 0.05 in 15.2, 0.5 in 430.
#[test]
fn a_textbook_s_system_curve() {
    let (flow, head) = duty(&large_pump(), 1.0, 120.0 * FOOT_M, long_pipe());
    let (kgpm, head_ft) = (flow / KGPM_M3_S, head / FOOT_M);
    assert!((kgpm - 15.2).abs() < 0.05, "{kgpm}");
    assert!((head_ft - 430.0).abs() < 0.5, "{head_ft}");
    // The same without rounding: Q = √((490 − 120)/(0.26 + k)), k from g, the bore and the loss.
    let area_ft2 = core::f64::consts::FRAC_PI_4 * (16.0 / 12.0) * (16.0 / 12.0);
    let velocity_ft_s = KGPM_M3_S / (FOOT_M * FOOT_M * FOOT_M) / area_ft2;
    let k = 0.030 * 1500.0 / (16.0 / 12.0) * velocity_ft_s * velocity_ft_s / (2.0 * 9.806_65 / FOOT_M);
    assert!((k - 1.335).abs() < 0.002, "{k}");
    let by_hand = ((490.0 - 120.0) / (0.26 + k)).sqrt();
    // Between points 200 gallons apart the curve through them isn't the parabola to more than 1e-4.
    assert!((kgpm / by_hand - 1.0).abs() < 1e-4, "{kgpm} {by_hand}");
}

/// The same pump at other speeds, by the affinity laws: `n²·490 − 0.26·Q² = 120 + k·Q²`, so that against a height the
/// flow falls faster than the speed, and there is none below `n = √(120/490)`, 0.495 (White, chapter 11.4, from memory;
/// the equation by hand).
#[test]
fn speed_moves_the_duty_point_along_the_system_curve() {
    let (full, _) = duty(&large_pump(), 1.0, 120.0 * FOOT_M, long_pipe());
    for (speed, held) in [
        (1.1, false),
        (0.9, false),
        (0.7, false),
        (0.55, false),
        (0.49, true),
    ] {
        let (flow, head) = duty(&large_pump(), speed, 120.0 * FOOT_M, long_pipe());
        if held {
            assert!(flow < 0.0, "{speed}: {flow}");
            continue;
        }
        let share: f64 = (speed * speed * 490.0 - 120.0) / (490.0 - 120.0);
        assert!((flow / full / share.sqrt() - 1.0).abs() < 2e-4, "{speed}: {flow}");
        assert!(
            speed > 1.0 || flow < speed * full,
            "{speed}: against a height flow falls faster than speed"
        );
        let kgpm = flow / KGPM_M3_S;
        let head_ft = head / FOOT_M;
        let by_pump = speed * speed * 490.0 - 0.26 * kgpm * kgpm;
        assert!((head_ft / by_pump - 1.0).abs() < 2e-4, "{speed}: {head_ft}");
    }
}
