//! What must hold for every part.

use physics::hydraulics::parts::{
    FittingKind, LossCoefficient, ValveKind, ValvePosition, cv_from_kv, drop_from_loss_pa, fitting_friction,
    kv_from_cv, kv_from_loss, loss_at_other_bore, loss_from_drop, loss_from_kv, sudden_contraction,
    sudden_expansion, usual_barb_bore_m,
};
use proptest::prelude::*;

/// Any number at all, and often enough one that means something.
fn strange() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        0.0..1.0_f64,
        1e-3..0.3_f64,
        (-10.0..17.0_f64).prop_map(|power| libm::pow(10.0, power))
    ]
}

proptest! {
    #[test]
    fn kv_and_loss_are_inverses(kv in 1e-3..1e3_f64, bore in 2e-3..0.2_f64) {
        let loss = loss_from_kv(kv, bore);
        prop_assume!(loss.is_ok());
        // A square, its root and two areas: ten roundings of 1.1e-16.
        prop_assert!((kv_from_loss(loss.unwrap(), bore).unwrap() / kv - 1.0).abs() < 2e-15);
        prop_assert!((cv_from_kv(kv_from_cv(kv).unwrap()).unwrap() / kv - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_measured_drop_comes_back(
        drop in 10.0..1e6_f64, flow in 1e-6..1e-2_f64, density in 950.0..1100.0_f64, bore in 3e-3..0.1_f64,
    ) {
        let loss = loss_from_drop(drop, flow, density, bore);
        prop_assume!(loss.is_ok());
        let again = drop_from_loss_pa(loss.unwrap(), flow, density, bore).unwrap();
        prop_assert!((again / drop - 1.0).abs() < 1e-15);
    }

    #[test]
    fn another_bore_and_back(loss in 0.01..100.0_f64, laminar in 0.0..1e4_f64, from in 3e-3..0.05_f64, to in 3e-3..0.05_f64) {
        let there = loss_at_other_bore(loss, from, to).unwrap();
        prop_assert!((loss_at_other_bore(there, to, from).unwrap() / loss - 1.0).abs() < 3e-15);
        // Wider is more.
        prop_assert_eq!(there > loss, to > from);
        let part = LossCoefficient { turbulent: loss, laminar };
        let moved = part.at_other_bore(from, to).unwrap();
        // The same drop at the same flow: K·v² on both bores, the Reynolds number going with 1/D.
        let reynolds = 5e3;
        let here_drop = part.at(reynolds).unwrap() / (from * from * from * from);
        let there_drop = moved.at(reynolds * from / to).unwrap() / (to * to * to * to);
        prop_assert!((there_drop / here_drop - 1.0).abs() < 1e-14);
    }

    #[test]
    fn a_loss_falls_with_the_reynolds_number(bore in 1.5e-3..0.2_f64, low in 1.0..1e5_f64, more in 1.01..100.0_f64) {
        let losses = FittingKind::ALL.iter().map(|kind| kind.loss(bore).unwrap())
            .chain(ValveKind::ALL.iter().map(|kind| kind.fully_open(bore).unwrap()));
        for loss in losses {
            let (slow, fast) = (loss.at(low).unwrap(), loss.at(low * more).unwrap());
            prop_assert_eq!(slow > fast, loss.laminar > 0.0);
            prop_assert!(fast >= loss.turbulent);
        }
    }

    #[test]
    fn fittings_cost_no_more_in_a_wider_bore(bore in 1e-3..0.29_f64, wider in 1.0..1.2_f64) {
        let wide = (bore * wider).min(0.3);
        prop_assert!(fitting_friction(wide).unwrap() <= fitting_friction(bore).unwrap() * (1.0 + 1e-15));
    }

    #[test]
    fn opening_a_valve_never_costs_more(bore in 2e-3..0.1_f64, opening in 0.0..1.0_f64, more in 0.0..1.0_f64) {
        let wider = opening + (1.0 - opening) * more;
        for kind in ValveKind::ALL {
            let (Ok(less), Ok(more)) = (kind.passage(bore, opening), kind.passage(bore, wider)) else {
                prop_assert!(matches!(kind, ValveKind::SwingCheck | ValveKind::SpringCheck | ValveKind::Solenoid));
                continue;
            };
            match (less, more) {
                (ValvePosition::Closed, _) => {}
                (ValvePosition::Open(_), ValvePosition::Closed) => prop_assert!(false, "{:?} shut by opening", kind),
                (ValvePosition::Open(less), ValvePosition::Open(more)) => {
                    // A node is met from both sides by different formulas: a few roundings.
                    prop_assert!(more.turbulent <= less.turbulent * (1.0 + 1e-12));
                    prop_assert!(more.laminar <= less.laminar * (1.0 + 1e-12));
                }
            }
        }
    }

    #[test]
    fn no_number_is_ever_wrong(a in strange(), b in strange(), c in strange()) {
        let sound = |value: f64| value.is_finite() && value >= 0.0;
        for value in [kv_from_cv(a), cv_from_kv(a), loss_from_kv(a, b), kv_from_loss(a, b), loss_at_other_bore(a, b, c),
            loss_from_drop(a, b, 1000.0, c), drop_from_loss_pa(a, b, 1000.0, c), fitting_friction(a),
            usual_barb_bore_m(a)].into_iter().flatten() {
            prop_assert!(sound(value));
        }
        for value in [sudden_expansion(a, b), sudden_contraction(a, b)].into_iter().flatten() {
            prop_assert!(sound(value));
        }
        let part = LossCoefficient { turbulent: a, laminar: b };
        if let Ok(value) = part.at(c) {
            prop_assert!(sound(value));
        }
        for kind in ValveKind::ALL {
            for passage in [kind.passage(a, b), kind.passage_of(part, c), kind.passage_of(part, c.fract().abs())] {
                if let Ok(ValvePosition::Open(loss)) = passage {
                    prop_assert!(sound(loss.turbulent) && sound(loss.laminar));
                }
            }
        }
    }
}
