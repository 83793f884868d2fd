//! Laws that hold for every station and every fault.

use station::edit::{Edit, apply, hanging};

use super::super::{Fault, Harm, HarmKind, Phase};
use super::{EXAMPLES, all_faults, weekend, with_ground};

/// Water that leaves a vessel or a tank through lines arrives somewhere: another vessel, a tank, a container, the floor.
/// The network's flows balance to rounding, so that the sums do to 10⁻⁹.
#[test]
fn no_water_is_lost_or_made() {
    for (name, text) in EXAMPLES {
        with_ground(text, |ground, starts| {
            for start in starts {
                for fault in all_faults(ground) {
                    let (outcome, _) = weekend(ground, start, &[fault]);
                    assert!(
                        outcome.residual < 1e-9,
                        "{name} {:?} {fault:?}: {:e}",
                        start.phase,
                        outcome.residual
                    );
                    assert!(!outcome.restless, "{name} {:?} {fault:?}", start.phase);
                    for harm in &outcome.harms {
                        let sane = harm.at_s.is_finite() && harm.at_s >= 0.0 && harm.amount.is_finite();
                        assert!(sane, "{name} {:?} {fault:?} {harm:?}", start.phase);
                    }
                }
            }
        });
    }
}

/// The same where a line has no valve: its joint lies at its vessel itself.
#[test]
fn no_water_is_lost_or_made_without_a_valve() {
    let (_, text) = EXAMPLES[0];
    for valve in ["fresh-outlet", "fresh-spout", "salt-outlet"] {
        let path = format!("valves.{valve}");
        let own = hanging(text, &path);
        assert!(own.sections.is_empty(), "{own:?}");
        let gone = Edit {
            path,
            text: String::new(),
        };
        let edits: Vec<Edit> = own.values.into_iter().chain([gone]).collect();
        let text = apply(text, &edits).expect("a text");
        with_ground(&text, |ground, starts| {
            let stands_m3: f64 = starts[0]
                .contents
                .iter()
                .map(|own| ground.plant.brine.volume_m3(*own))
                .sum();
            for start in starts.iter().take(3) {
                for fault in all_faults(ground) {
                    let (outcome, _) = weekend(ground, start, &[fault]);
                    assert!(
                        outcome.residual < 1e-9,
                        "{valve} {:?} {fault:?}: {:e}",
                        start.phase,
                        outcome.residual
                    );
                    // Out of a joint comes no more than stands in vessels and in the tank that lines lead to.
                    if matches!(fault, Fault::Apart(_)) && start.phase == Phase::Idle {
                        assert!(
                            outcome.floor_m3 < stands_m3 + 1.0,
                            "{valve} {fault:?}: {}",
                            outcome.floor_m3
                        );
                    }
                }
            }
        });
    }
}

/// The same for two faults at once, every thirtieth pair of each example from the first beginnings.
#[test]
fn no_water_is_lost_or_made_by_two_faults() {
    for (name, text) in EXAMPLES {
        with_ground(text, |ground, starts| {
            let all = all_faults(ground);
            for start in starts.iter().take(4) {
                for (at, first) in all.iter().enumerate() {
                    for second in all.iter().skip(at + 1 + at % 30).step_by(30) {
                        if first.excludes(*second) {
                            continue;
                        }
                        let (outcome, _) = weekend(ground, start, &[*first, *second]);
                        assert!(
                            outcome.residual < 1e-9 && !outcome.restless,
                            "{name} {:?} {first:?} {second:?}: {:e}",
                            start.phase,
                            outcome.residual
                        );
                    }
                }
            }
        });
    }
}

/// With every part sound and tasks ended, a weekend does no harm to the floor or the tanks.
#[test]
fn a_sound_station_keeps_dry() {
    for (name, text) in EXAMPLES {
        with_ground(text, |ground, starts| {
            for start in starts {
                let (outcome, _) = weekend(ground, start, &[]);
                let wet = outcome.harm(|kind| matches!(kind, HarmKind::Floor(_) | HarmKind::TankOver(_)));
                assert!(wet.is_none(), "{name} {:?}: {:?}", start.phase, outcome.harms);
            }
        });
    }
}

/// A fault that is silent along a run changes nothing of it: every single run of the examples with every silent second
/// fault, run again.
#[test]
fn silent_faults_change_nothing() {
    for (name, text) in EXAMPLES {
        with_ground(text, |ground, starts| {
            let all = all_faults(ground);
            let mut silent = 0;
            // Idle, filling, and the first task by a pump.
            for start in starts.iter().take(4) {
                for first in &all {
                    let (alone, trace) = weekend(ground, start, &[*first]);
                    for second in &all {
                        if first.excludes(*second) || !trace.is_silent(*second, &ground.joints) {
                            continue;
                        }
                        silent += 1;
                        let (both, _) = weekend(ground, start, &[*first, *second]);
                        assert!(
                            same(&both.harms, &alone.harms),
                            "{name} {:?}: {second:?} beside {first:?}: {:?} {:?}",
                            start.phase,
                            both.harms,
                            alone.harms
                        );
                    }
                }
            }
            assert!(silent > 100, "{name}: {silent}");
        });
    }
}

/// The same harms at the same moments. A joint in dry pipes turns the order of the network's sums, by rounding alone.
fn same(a: &[Harm], b: &[Harm]) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + a.abs());
    a.len() == b.len()
        && a.iter()
            .zip(b)
            .all(|(a, b)| a.kind == b.kind && close(a.at_s, b.at_s) && close(a.amount, b.amount))
}
