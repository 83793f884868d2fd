//! Changing water, against hand-computed figures and by its limits.

use physics::dilution::{
    DilutionError, Passing, after_changes, after_exchange, after_one_change, changes_to_reach,
    exchange_to_reach, fraction_to_hold, one_change_to_reach, period_of_passing, steady_state,
};
use proptest::prelude::*;

struct Row {
    what: &'static str,
    got: Result<f64, DilutionError>,
    expected: f64,
    tolerance: f64,
    source: &'static str,
    why_tolerance: &'static str,
}

#[test]
fn changes_meet_their_hand_computed_figures() {
    let steady = steady_state(7.0, 0.0, 0.15).unwrap();
    let digit = "half a unit of the last digit written";
    #[rustfmt::skip]
    let rows = [
        Row { what: "ten changes of 10 %", got: after_changes(1.0, 0.0, 0.1, 10), expected: 0.3487, tolerance: 5e-5, source: "hand: 0.9^10", why_tolerance: digit },
        Row { what: "one volume exchanged", got: after_exchange(1.0, 0.0, 1.0), expected: 0.3679, tolerance: 5e-5, source: "hand: 1/e", why_tolerance: digit },
        Row { what: "two changes of 50 %", got: after_changes(1.0, 0.0, 0.5, 2), expected: 0.25, tolerance: 0.0, source: "hand: 0.5^2", why_tolerance: "exact" },
        Row { what: "five changes of 20 %", got: after_changes(1.0, 0.0, 0.2, 5), expected: 0.327_68, tolerance: 1e-15, source: "hand: 0.8^5", why_tolerance: "rounding" },
        Row { what: "ninety per cent off by 25 %", got: changes_to_reach(1.0, 0.0, 0.1, 0.25), expected: 8.0, tolerance: 0.05, source: "hand: ln 0.1/ln 0.75 = 8.004", why_tolerance: digit },
        Row { what: "2.0 to 0.25 by halves", got: changes_to_reach(2.0, 0.0, 0.25, 0.5), expected: 3.0, tolerance: 1e-15, source: "hand: 2^-3", why_tolerance: "rounding" },
        Row { what: "2.0 to 0.25 at once", got: one_change_to_reach(2.0, 0.0, 0.25), expected: 0.875, tolerance: 0.0, source: "hand: 1 - 1/8", why_tolerance: "exact" },
        Row { what: "weekly 15 %, before", got: Ok(steady.before_change), expected: 46.7, tolerance: 0.05, source: "hand: 7/0.15", why_tolerance: digit },
        Row { what: "weekly 15 %, after", got: Ok(steady.after_change), expected: 39.7, tolerance: 0.05, source: "hand: 7*0.85/0.15", why_tolerance: digit },
        Row { what: "salinity after a change", got: after_one_change(36.0, 34.0, 0.25), expected: 35.5, tolerance: 1e-14, source: "hand: 36 - 0.25*2", why_tolerance: "rounding" },
        Row { what: "exchange to a tenth", got: exchange_to_reach(1.0, 0.0, 0.1), expected: std::f64::consts::LN_10, tolerance: 1e-15, source: "hand: ln 10", why_tolerance: "rounding" },
    ];
    for Row {
        what,
        got,
        expected,
        tolerance,
        source,
        why_tolerance,
    } in rows
    {
        let got = got.unwrap();
        assert!(
            (got - expected).abs() <= tolerance,
            "{what}: {got} for {expected} ({source}; {why_tolerance})"
        );
    }
}

proptest! {
    #[test]
    fn ever_smaller_changes_become_an_exchange(start in 0.0..100.0_f64, new in 0.0..100.0_f64, volumes in 0.01..3.0_f64) {
        let continuous = after_exchange(start, new, volumes).unwrap();
        let mut previous = f64::INFINITY;
        for changes in [100_u32, 1_000, 10_000, 100_000] {
            let series = after_changes(start, new, volumes / f64::from(changes), changes).unwrap();
            let off = (series - continuous).abs();
            // (1 - x/n)^n = exp(-x)·(1 - x²/2n + ...): the distance falls as 1/n.
            let bound = (start - new).abs() * volumes * volumes / f64::from(changes);
            prop_assert!(off <= bound + 1e-10, "{changes}: {off} over {bound}");
            prop_assert!(off <= previous + 1e-10);
            previous = off;
        }
    }

    #[test]
    fn the_inverses_undo(start in 1.0..100.0_f64, new in 0.0..0.5_f64, share in 0.01..0.99_f64, fraction in 0.01..0.99_f64) {
        let limit = new + share * (start - new);
        let changes = changes_to_reach(start, new, limit, fraction).unwrap();
        let there = new + (start - new) * libm::pow(1.0 - fraction, changes);
        prop_assert!((there - limit).abs() < 1e-11 * start);
        let once = one_change_to_reach(start, new, limit).unwrap();
        prop_assert!((after_one_change(start, new, once).unwrap() - limit).abs() < 1e-12 * start);
        let volumes = exchange_to_reach(start, new, limit).unwrap();
        prop_assert!((after_exchange(start, new, volumes).unwrap() - limit).abs() < 1e-12 * start);
    }

    #[test]
    fn the_steady_state_repeats_itself(production in 0.0..50.0_f64, new in 0.0..10.0_f64, fraction in 0.01..=1.0_f64) {
        let steady = steady_state(production, new, fraction).unwrap();
        let size = steady.before_change + 1.0;
        prop_assert!((steady.after_change + production - steady.before_change).abs() < 1e-12 * size);
        prop_assert!((after_one_change(steady.before_change, new, fraction).unwrap() - steady.after_change).abs() < 1e-12 * size);
        if production > 1.0 {
            let back = fraction_to_hold(production, new, steady.before_change * (1.0 + 1e-12)).unwrap();
            prop_assert!((back - fraction).abs() < 1e-9);
        }
    }

    #[test]
    fn the_period_of_passing_is_the_first(
        start in 0.0..20.0_f64, production in 0.1..5.0_f64, new in prop_oneof![Just(0.0), 0.0..30.0_f64],
        fraction in prop_oneof![Just(1.0), 0.02..0.9_f64], limit in 1.0..60.0_f64,
    ) {
        // Step by step, without a formula.
        let mut level = start;
        let mut found = Passing::Never;
        let mut near = false;
        for period in 1..=2000 {
            let before = level + production;
            near |= (before - limit).abs() < 1e-9;
            if before > limit {
                found = Passing::InPeriod(period);
                break;
            }
            level = new + (before - new) * (1.0 - fraction);
        }
        // Where the level all but touches the limit, the last digit decides.
        prop_assume!(!near);
        prop_assert_eq!(period_of_passing(start, production, new, fraction, limit).unwrap(), found);
    }

    #[test]
    fn nothing_is_ever_not_a_number(a in prop::num::f64::ANY, b in prop::num::f64::ANY, c in prop::num::f64::ANY, d in prop::num::f64::ANY) {
        let answers = [
            after_changes(a, b, c, 7), after_changes(a.abs(), b.abs(), 0.3, u32::MAX), after_exchange(a.abs(), b.abs(), c.abs()),
            changes_to_reach(a.abs(), b.abs(), c.abs(), 0.5), changes_to_reach(a, b, c, d), one_change_to_reach(a.abs(), b.abs(), c.abs()),
            exchange_to_reach(a.abs(), b.abs(), c.abs()), fraction_to_hold(a.abs(), b.abs(), c.abs()),
            steady_state(a.abs(), b.abs(), 1e-9).map(|steady| steady.before_change),
        ];
        prop_assert!(answers.iter().flatten().all(|value| value.is_finite()), "{answers:?}");
        let limit = b.abs();
        let never_panics = period_of_passing(a.abs(), limit / 3.0, 0.0, 1e-9, limit);
        prop_assert!(never_panics != Ok(Passing::InPeriod(0)));
    }
}

#[test]
fn what_changes_cannot_do_is_refused() {
    assert!(matches!(
        changes_to_reach(5.0, 1.0, 1.0, 0.5),
        Err(DilutionError::SourceAboveLimit { .. })
    ));
    assert!(matches!(
        one_change_to_reach(5.0, 3.0, 1.0),
        Err(DilutionError::SourceAboveLimit { .. })
    ));
    assert!(matches!(
        fraction_to_hold(5.0, 0.0, 4.0),
        Err(DilutionError::ProductionAboveLimit { .. })
    ));
    assert!(matches!(
        fraction_to_hold(0.0, 5.0, 4.0),
        Err(DilutionError::SourceAboveLimit { .. })
    ));
    assert_eq!(fraction_to_hold(0.0, 1.0, 4.0), Ok(0.0));
    assert_eq!(changes_to_reach(1.0, 0.0, 2.0, 0.5), Ok(0.0));
    assert_eq!(changes_to_reach(2.0, 0.0, 1.0, 1.0), Ok(1.0));
    assert_eq!(period_of_passing(0.0, 1.0, 0.0, 0.5, 2.0), Ok(Passing::Never));
    assert_eq!(
        period_of_passing(0.0, 5.0, 0.0, 0.5, 2.0),
        Ok(Passing::InPeriod(1))
    );
    for fraction in [0.0, -0.1, 1.1, f64::NAN] {
        assert!(matches!(
            after_changes(1.0, 0.0, fraction, 1),
            Err(DilutionError::OutOfRange(_))
        ));
    }
}
