//! A tank that a pump fills while nobody ends it.

use station::control::Input;
use station::plumbing::End;

use super::super::outcome::HarmKind;
use super::super::start::Phase;
use super::{EXAMPLES, weekend, with_ground};
use crate::alone::Fault;

/// What runs over a tank's rim in a weekend, m³, of the task that fills it by a pump, with these faults.
fn over_m3(text: &str, faults: impl Fn(usize) -> Vec<Fault>) -> f64 {
    with_ground(text, |ground, starts| {
        let start = starts
            .iter()
            .find(|start| {
                matches!(start.phase, Phase::Transfer(_))
                    && start.pump.is_some()
                    && matches!(start.to, Some(End::Tank(_)))
            })
            .expect("a task that fills a tank");
        let Some(End::Tank(tank)) = start.to else {
            unreachable!("asked for above");
        };
        let input = ground.program().input(Input::TankHigh { tank });
        let (outcome, _) = weekend(ground, start, &faults(input.unwrap_or(usize::MAX)));
        let over = outcome.harms.iter();
        over.filter(|own| own.kind == HarmKind::TankOver(tank))
            .map(|own| own.amount)
            .sum()
    })
}

/// Nobody ends the change of a tank: by hand its pump empties the vessel down to its cut-out, so that the tank runs over by
/// that less its headroom. A high cut-out stops the pump at the headroom, and what comes after it is what stands in the lines;
/// stuck dry it is worth nothing.
#[test]
fn a_high_cutout_of_a_tank_stops_what_nobody_ends() {
    for (name, tank) in [("Larkhaven", "touch-pool"), ("Skelder", "broodstock")] {
        let text = EXAMPLES
            .iter()
            .find(|(own, _)| *own == name)
            .expect("an example")
            .1;
        let section = format!("[tanks.{tank}]\n");
        let guarded = text.replace(&section, &format!("{section}high_cutout = true\n"));
        assert_ne!(text, guarded, "{name}");
        let without_m3 = over_m3(text, |_| vec![Fault::NobodyEndsIt]);
        assert!(without_m3 > 0.05, "{name}: {without_m3}");
        let with_m3 = over_m3(&guarded, |_| vec![Fault::NobodyEndsIt]);
        assert!(with_m3 < 0.002, "{name}: {with_m3}");
        let stuck_m3 = over_m3(&guarded, |input| {
            vec![Fault::NobodyEndsIt, Fault::Switch { input, on: false }]
        });
        assert!(
            (stuck_m3 / without_m3 - 1.0).abs() < 1e-6,
            "{name}: {stuck_m3} {without_m3}"
        );
    }
}
