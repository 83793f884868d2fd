//! Trees, sets, exact probability, bounds and importance against enumeration and against each other.

use crate::reliability_support;

use physics::reliability::{
    Diagram, EventSet, Part, ReliabilityError, frequency_shares, importances, lower_bound,
    min_cut_upper_bound, minimal_cut_sets, minimise, probability_of_sets, rare_event_sum,
    set_frequency_per_s, sets_frequency_per_s, system_frequency_per_s,
};
use proptest::prelude::*;
use reliability_support::{EVENTS, enumerated, probabilities, state_probability, states, trees};

/// Either is a sum of positive terms with at most some 30 roundings each, the enumeration one of 256.
const SAME_SUM: f64 = 1e-13;

/// A rounding of a probability, a few times over: what the difference of two is good to.
const DIFFERENCE: f64 = 1e-14;

proptest! {
    #[test]
    fn exact_is_what_enumeration_finds(tree in trees(), p in probabilities()) {
        let brute = enumerated(&p, |state| tree.happens(state));
        let sets = minimal_cut_sets(&tree).unwrap();
        for diagram in [Diagram::of_tree(&tree).unwrap(), Diagram::of_sets(&sets, EVENTS).unwrap()] {
            let exact = diagram.probability(&p).unwrap();
            prop_assert!((exact - brute).abs() <= SAME_SUM * brute, "{exact} for {brute}");
        }
    }

    #[test]
    fn minimal_sets_are_the_tree(tree in trees()) {
        let sets = minimal_cut_sets(&tree).unwrap();
        prop_assert!(!sets.is_empty() && sets.is_sorted_by(|a, b| a < b));
        for state in states() {
            prop_assert_eq!(tree.happens(state), sets.iter().any(|set| set.is_subset(state)));
        }
        for set in sets {
            prop_assert!(tree.happens(set));
            for event in set {
                prop_assert!(!tree.happens(set.without(EventSet::of(&[event]).unwrap())));
            }
        }
    }

    #[test]
    fn reducing_keeps_the_least_and_only_those(bits in proptest::collection::vec(0..256_u128, 0..40)) {
        let family: Vec<EventSet> = bits.into_iter().map(EventSet::from_bits).collect();
        let mut kept = family.clone();
        minimise(&mut kept);
        let least = |set: &EventSet| !family.iter().any(|other| other != set && other.is_subset(*set));
        let mut expected: Vec<EventSet> = family.iter().copied().filter(least).collect();
        expected.sort_unstable();
        expected.dedup();
        prop_assert_eq!(kept, expected);
    }

    #[test]
    fn bounds_hold_the_exact_between_them(tree in trees(), p in probabilities()) {
        let sets = minimal_cut_sets(&tree).unwrap();
        let exact = probability_of_sets(&sets, &p).unwrap();
        let low = lower_bound(&sets, &p).unwrap();
        let high = min_cut_upper_bound(&sets, &p).unwrap();
        let sum = rare_event_sum(&sets, &p).unwrap();
        // Each is good to its roundings, the lower one to those of sums that may be tens of times as large.
        prop_assert!(low <= exact + 1e-13 * sum.max(1.0) * sum && exact <= high * (1.0 + SAME_SUM));
        prop_assert!(high <= sum.min(1.0) * (1.0 + SAME_SUM));
    }

    #[test]
    fn bounds_are_exact_for_sets_that_share_nothing(p in probabilities()) {
        let sets = [[0, 1], [2, 3], [4, 5], [6, 7]].map(|pair| EventSet::of(&pair).unwrap());
        let exact = probability_of_sets(&sets, &p).unwrap();
        let bound = min_cut_upper_bound(&sets, &p).unwrap();
        prop_assert!((exact - bound).abs() <= SAME_SUM * exact, "{} for {}", bound, exact);
    }

    #[test]
    fn more_faults_never_help(tree in trees(), p in probabilities(), event in 0..EVENTS, more in 0.0..1.0) {
        let diagram = Diagram::of_tree(&tree).unwrap();
        let mut raised = p.clone();
        raised[event] += (1.0 - raised[event]) * more;
        let (before, after) = (diagram.probability(&p).unwrap(), diagram.probability(&raised).unwrap());
        prop_assert!(after >= before * (1.0 - SAME_SUM));
    }

    #[test]
    fn birnbaum_is_the_slope(tree in trees(), p in probabilities(), to in 0.0..1.0) {
        let diagram = Diagram::of_tree(&tree).unwrap();
        let exact = diagram.probability(&p).unwrap();
        for (event, slope) in diagram.birnbaum(&p).unwrap().into_iter().enumerate() {
            let mut moved = p.clone();
            moved[event] = to;
            // Straight in each probability, so that any step gives the slope.
            let expected = exact + slope * (to - p[event]);
            let got = diagram.probability(&moved).unwrap();
            prop_assert!((got - expected).abs() <= DIFFERENCE, "{event}: {got} for {expected}");
        }
    }

    #[test]
    fn importances_are_what_enumeration_finds(tree in trees(), p in probabilities()) {
        let sets = minimal_cut_sets(&tree).unwrap();
        let harm = enumerated(&p, |state| tree.happens(state));
        match importances(&sets, &p) {
            Err(error) => {
                prop_assert_eq!(error, ReliabilityError::NeverHappens);
                prop_assert_eq!(harm, 0.0);
            }
            Ok(found) => for (event, of) in found.into_iter().enumerate() {
                let lone = EventSet::of(&[event]).unwrap();
                // The event has happened, and without it the harm would not.
                let tips = enumerated(&p, |state| {
                    state.contains(event) && tree.happens(state) && !tree.happens(state.without(lone))
                });
                prop_assert!((of.criticality - tips / harm).abs() <= DIFFERENCE / harm);
                let whole = enumerated(&p, |state| {
                    sets.iter().any(|set| set.contains(event) && set.is_subset(state))
                });
                prop_assert!((of.fussell_vesely - whole / harm).abs() <= SAME_SUM);
                prop_assert!(of.criticality <= of.fussell_vesely + DIFFERENCE / harm);
                let given = |value: f64| {
                    let mut p = p.clone();
                    p[event] = value;
                    enumerated(&p, |state| tree.happens(state))
                };
                let (always, never) = (given(1.0), given(0.0));
                prop_assert!((of.risk_achievement_worth * harm - always).abs() <= 2.0 * SAME_SUM * always.max(harm));
                if never == 0.0 {
                    prop_assert_eq!(of.risk_reduction_worth, f64::INFINITY);
                } else {
                    prop_assert!((of.risk_reduction_worth * never / harm - 1.0).abs() <= 2.0 * SAME_SUM);
                }
                prop_assert!((of.birnbaum - (always - never)).abs() <= DIFFERENCE);
            }
        }
    }

    #[test]
    fn a_harm_begins_as_often_as_parts_tip_it(tree in trees(), p in probabilities(), scale in 1e-9..1e-3) {
        let sets = minimal_cut_sets(&tree).unwrap();
        let rates = |event: usize| scale * (1.0 + event as f64);
        let parts: Vec<Part> = p
            .iter()
            .enumerate()
            .map(|(event, q)| Part { rate_per_s: rates(event), unavailability: *q })
            .collect();
        // Over every state in which the harm isn't there: the rates of those up parts whose failure makes it.
        let brute: f64 = states()
            .filter(|state| !tree.happens(*state))
            .map(|state| {
                let tipping = (0..EVENTS)
                    .filter(|event| !state.contains(*event) && tree.happens(state.with(*event).unwrap()));
                state_probability(state, &p) * tipping.map(rates).sum::<f64>()
            })
            .sum();
        let exact = system_frequency_per_s(&Diagram::of_tree(&tree).unwrap(), &parts).unwrap();
        prop_assert!((exact - brute).abs() <= DIFFERENCE * 36.0 * scale, "{exact} for {brute}");
        let bound = sets_frequency_per_s(&sets, &parts).unwrap();
        prop_assert!(exact <= bound + DIFFERENCE * 36.0 * scale);
        // The sum is that of the sets, each by itself.
        let each = |set: &EventSet| {
            let parts: Vec<Part> = set.iter().map(|event| parts[event]).collect();
            set_frequency_per_s(&parts).unwrap()
        };
        let sum: f64 = sets.iter().map(each).sum();
        prop_assert!((sum - bound).abs() <= SAME_SUM * bound);
        if bound > 0.0 {
            let shares = frequency_shares(&sets, &parts).unwrap();
            prop_assert!(shares.iter().all(|share| (0.0..=1.0 + SAME_SUM).contains(share)));
            let single = sets.len() == 1;
            prop_assert!(!single || sets[0].iter().all(|event| (shares[event] - 1.0).abs() <= SAME_SUM));
        }
    }
}

#[test]
fn what_makes_no_sense_is_refused() {
    let sets = [EventSet::of(&[0, 3]).unwrap()];
    assert_eq!(
        probability_of_sets(&sets, &[0.1; 3]),
        Err(ReliabilityError::NoSuchEvent { event: 3, events: 3 })
    );
    for wrong in [-0.1, 1.1, f64::NAN] {
        let p = [0.1, wrong, 0.1, 0.1];
        for got in [
            probability_of_sets(&sets, &p),
            rare_event_sum(&sets, &p),
            min_cut_upper_bound(&sets, &p),
            lower_bound(&sets, &p),
        ] {
            assert!(matches!(
                got,
                Err(ReliabilityError::NotAProbability { index: 1, .. })
            ));
        }
    }
    assert_eq!(importances(&sets, &[0.0; 4]), Err(ReliabilityError::NeverHappens));
    let diagram = Diagram::of_sets(&sets, 4).unwrap();
    assert!(matches!(
        diagram.probability(&[0.1; 3]),
        Err(ReliabilityError::Unpaired { given: 3, needed: 4 })
    ));
    assert_eq!(frequency_shares(&[], &[]), Err(ReliabilityError::NeverHappens));
    let negative = Part {
        rate_per_s: -1e-9,
        unavailability: 0.1,
    };
    assert!(set_frequency_per_s(&[negative]).is_err());
    assert_eq!(set_frequency_per_s(&[]), Ok(0.0));
}
