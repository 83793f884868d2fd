//! How often sets of faults come together, against histories that are played out fault by fault.

use physics::reliability::{
    Finding, Part, initiated_frequency_per_s, set_frequency_per_s, tested_mean,
    tested_together_frequency_per_s, tested_together_mean,
};
use physics::stats::Counter;

/// How the part of a history is kept, in a unit of time of about a second.
#[derive(Clone, Copy)]
enum Kept {
    /// Tested at this interval, from time 0 on.
    Tested { rate: f64, interval: f64 },
    /// Repaired in this mean time, the times being exponential.
    Repaired { rate: f64, repair: f64 },
}

impl Kept {
    fn part(self) -> Part {
        let finding = match self {
            Self::Tested { rate, interval } => Finding::Tested {
                rate_per_s: rate,
                interval_s: interval,
            },
            Self::Repaired { rate, repair } => Finding::Revealed {
                rate_per_s: rate,
                repair_s: repair,
            },
        };
        Part {
            rate_per_s: finding.rate_per_s().expect("a rate"),
            unavailability: finding.unavailability().expect("in range"),
        }
    }

    /// When it goes down and is up again, until the end.
    fn downs(self, key: u64, end: f64) -> Vec<(f64, f64)> {
        let stream = Counter::new(2026, key);
        let mut drawn = 0;
        let mut wait = |rate: f64| {
            drawn += 1;
            -libm::log(stream.open_unit(drawn)) / rate
        };
        let mut downs = Vec::new();
        let mut up_at = 0.0;
        let mut tests = 0_u32;
        while up_at < end {
            match self {
                Self::Tested { rate, interval } => {
                    let next_test = f64::from(tests + 1) * interval;
                    let fails = up_at + wait(rate);
                    if fails < next_test {
                        downs.push((fails, next_test));
                    }
                    tests += 1;
                    up_at = next_test;
                }
                Self::Repaired { rate, repair } => {
                    let fails = up_at + wait(rate);
                    up_at = fails + wait(1.0 / repair);
                    downs.push((fails, up_at));
                }
            }
        }
        downs
    }
}

/// Whether a part is down at a moment, by its downs in order.
fn is_down(downs: &[(f64, f64)], at: f64) -> bool {
    let begun = downs.partition_point(|down| down.0 < at);
    begun > 0 && at < downs[begun - 1].1
}

/// How many times the last of the parts fails while all others are down.
fn count(parts: &[Kept], end: f64) -> f64 {
    let downs: Vec<Vec<(f64, f64)>> = (0..).zip(parts).map(|(key, part)| part.downs(key, end)).collect();
    let mut times = 0.0;
    for (last, own) in downs.iter().enumerate() {
        for (fails, _) in own.iter().filter(|down| down.0 < end) {
            let others = downs.iter().enumerate().filter(|(other, _)| *other != last);
            if others.into_iter().all(|(_, downs)| is_down(downs, *fails)) {
                times += 1.0;
            }
        }
    }
    times
}

/// Four standard errors of a count. Were the times unrelated it would be a Poisson count, with the root of itself; they
/// come in clumps, since a part mended first may fail again beside one that is still down. Less than one in three does
/// so here, which makes the variance at most (1 + 1/3)/(1 − 1/3) = 2 times as large.
#[track_caller]
fn within_chance(what: &str, got: f64, expected: f64) {
    let tolerance = 4.0 * (2.0 * expected).sqrt();
    assert!(
        tolerance < 0.08 * expected,
        "{what}: {expected} expected are too few to tell"
    );
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: {got} for {expected} ± {tolerance}"
    );
}

#[test]
fn the_last_to_fail_makes_the_set_whole() {
    const END: f64 = 300_000.0;
    // Tests at intervals without a common measure, so that all pairs of ages come equally often.
    let root = std::f64::consts::SQRT_2;
    let tested = |rate, interval| Kept::Tested { rate, interval };
    let repaired = |rate, repair| Kept::Repaired { rate, repair };
    for (what, parts) in [
        ("two tested", vec![tested(0.3, 1.0), tested(0.25, root)]),
        ("two repaired", vec![repaired(0.2, 1.2), repaired(0.4, 0.5)]),
        ("one of each", vec![tested(0.3, 1.0), repaired(0.2, 1.0)]),
        (
            "three",
            vec![tested(0.4, root), repaired(0.3, 1.0), tested(0.5, 1.0)],
        ),
        ("one alone", vec![repaired(0.2, 1.0)]),
    ] {
        let known: Vec<Part> = parts.iter().map(|part| part.part()).collect();
        let expected = set_frequency_per_s(&known).unwrap() * END;
        within_chance(what, count(&parts, END), expected);
    }
}

#[test]
fn parts_tested_at_once_come_together_oftener_than_their_means_say() {
    const END: f64 = 300_000.0;
    let rates = [0.3, 0.35, 0.4];
    let parts = rates.map(|rate| Kept::Tested { rate, interval: 1.0 });
    let got = count(&parts, END);
    let exact = tested_together_frequency_per_s(&rates, 1.0).unwrap() * END;
    within_chance("tested at once", got, exact);
    let by_means = set_frequency_per_s(&parts.map(Kept::part)).unwrap() * END;
    assert!(
        got > 1.1 * by_means,
        "{got} against {by_means} by means, an eighth too few"
    );
    // Rare faults: 4/3 of it, to the order of λτ.
    let rare = [1e-6; 3];
    let kept = Part {
        rate_per_s: 1e-6,
        unavailability: tested_mean(1e-6, 1.0).unwrap(),
    };
    let ratio =
        tested_together_frequency_per_s(&rare, 1.0).unwrap() / set_frequency_per_s(&[kept; 3]).unwrap();
    assert!((ratio - 4.0 / 3.0).abs() < 1e-5, "{ratio}");
}

#[test]
fn what_happens_at_a_moment_meets_its_barriers_down() {
    const END: f64 = 300_000.0;
    const DEMANDS: f64 = 0.9;
    let rates = [0.4, 0.5];
    let barriers = rates.map(|rate| Kept::Tested { rate, interval: 1.0 });
    let downs = [barriers[0].downs(11, END), barriers[1].downs(12, END)];
    let stream = Counter::new(2026, 13);
    let mut at = 0.0;
    let mut met = 0.0;
    for draw in 0.. {
        at -= libm::log(stream.open_unit(draw)) / DEMANDS;
        if at >= END {
            break;
        }
        if downs.iter().all(|downs| is_down(downs, at)) {
            met += 1.0;
        }
    }
    let both = tested_together_mean(&rates, 1.0).unwrap();
    within_chance(
        "both barriers",
        met,
        initiated_frequency_per_s(DEMANDS, &[both]).unwrap() * END,
    );
    // As if they were tested at unrelated times, a quarter fewer.
    let each = rates.map(|rate| tested_mean(rate, 1.0).unwrap());
    assert!(met > 1.2 * initiated_frequency_per_s(DEMANDS, &each).unwrap() * END);
}
