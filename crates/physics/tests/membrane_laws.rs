//! What must hold for every membrane, without any table: balances, one working point, monotony, inverse.

use crate::membrane_support;

use membrane_support::{STANDARD, Set, apart, check_balances, example, set, worked};
use physics::membrane::{
    Element, Feed, MembraneError, Resistances, Restrictor, TemperatureResponse, least_pressure_pa,
    membrane_pressure_pa, net_driving_pressure_pa, operate_series, permeate_solids_kg_m3, reject_for,
    wall_factor,
};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, max_global_rejects: 20_000, ..ProptestConfig::default() })]

    #[test]
    fn water_and_salt_balance_and_both_equations_hold(set in set()) {
        let at = worked(set.operate())?;
        check_balances(&at, &set.feed)?;
        prop_assert!(at.evaluations <= 12, "{} evaluations", at.evaluations);
        if at.permeate_m3_s > 0.0 {
            let factor = STANDARD.factor(set.feed.temperature_c).unwrap();
            let water = set.element.water_conductance_m3_s_pa * factor;
            // Both sides of the membrane's equation, to the rounding of the pressures it's a difference of.
            let most = water * set.feed.pressure_pa;
            prop_assert!((water * at.net_driving_pressure_pa - at.permeate_m3_s).abs() <= 1e-12 * most);
            prop_assert!(at.permeate_solids_kg_m3 <= at.wall_solids_kg_m3);
            prop_assert!(at.reject_solids_kg_m3 >= set.feed.dissolved_solids_kg_m3 * (1.0 - 1e-11));
            prop_assert!(at.wall_solids_kg_m3 >= set.feed.dissolved_solids_kg_m3);
        } else {
            prop_assert_eq!(at.permeate_solids_kg_m3, at.wall_solids_kg_m3);
            prop_assert!(at.net_driving_pressure_pa <= 0.0);
        }
    }

    #[test]
    fn every_output_follows_from_the_product(set in set()) {
        let at = worked(set.operate())?;
        prop_assume!(at.permeate_m3_s > 0.0);
        let (made, feed) = (at.permeate_m3_s, &set.feed);
        let reject = reject_for(&set.restrictor, &set.resistances, feed, made).unwrap();
        prop_assert!(apart(reject, at.reject_m3_s) < 1e-14);
        let wall = feed.dissolved_solids_kg_m3 * wall_factor(made / (made + reject)).unwrap();
        prop_assert!(apart(wall, at.wall_solids_kg_m3) < 1e-14);
        let warm = set.element.at(&STANDARD, feed.temperature_c).unwrap();
        let permeate = permeate_solids_kg_m3(warm.salt_conductance_m3_s, wall, made).unwrap();
        prop_assert!(apart(permeate, at.permeate_solids_kg_m3) < 1e-14);
        let membrane = membrane_pressure_pa(feed.pressure_pa, &set.resistances, made, reject).unwrap();
        prop_assert!((membrane - at.membrane_pressure_pa).abs() <= 1e-14 * feed.pressure_pa);
        let back = feed.permeate_pressure_pa + set.resistances.permeate_pa_s_m3 * made;
        let drive = net_driving_pressure_pa(membrane, back, wall, permeate, feed.temperature_c).unwrap();
        prop_assert!((drive - at.net_driving_pressure_pa).abs() <= 1e-12 * feed.pressure_pa);
        // The reject passes the restrictor with what pressure is left there.
        let channel = set.resistances.channel_pa_s_m3 / 2.0;
        let left = (membrane - channel * (reject + made / 2.0)).max(0.0);
        let passes = set.restrictor.flow_m3_s(left).unwrap();
        let most = set.restrictor.flow_m3_s(feed.pressure_pa).unwrap();
        // A square root of a difference: rounding of the pressure counts for its root near 0.
        prop_assert!((passes * passes - reject * reject).abs() <= 1e-12 * most * most);
    }

    #[test]
    fn more_pressure_makes_more(set in set(), more in 1e3..2e5_f64) {
        let stronger = Set { feed: Feed { pressure_pa: set.feed.pressure_pa + more, ..set.feed }, ..set };
        let (weak, strong) = (worked(set.operate())?, worked(stronger.operate())?);
        prop_assert!(strong.permeate_m3_s >= weak.permeate_m3_s);
        prop_assert!(strong.reject_m3_s > weak.reject_m3_s);
        if weak.permeate_m3_s > 0.0 {
            prop_assert!(strong.permeate_m3_s > weak.permeate_m3_s);
        }
    }

    #[test]
    fn more_back_pressure_salt_or_cold_makes_less(set in set(), more in 1e3..1e5_f64, salt in 0.01..1.0_f64) {
        let base = worked(set.operate())?;
        prop_assume!(base.permeate_m3_s > 0.0);
        let back = Feed { permeate_pressure_pa: set.feed.permeate_pressure_pa + more, ..set.feed };
        let salty = Feed { dissolved_solids_kg_m3: set.feed.dissolved_solids_kg_m3 + salt, ..set.feed };
        for feed in [back, salty] {
            let at = worked(Set { feed, ..set }.operate())?;
            prop_assert!(at.permeate_m3_s < base.permeate_m3_s);
        }
        // Osmosis falls a little in the cold; without salt only the conductance is left.
        let fresh = Feed { dissolved_solids_kg_m3: 0.0, ..set.feed };
        let cold = Feed { temperature_c: fresh.temperature_c * 0.9, ..fresh };
        let (warm, cold) = (worked(Set { feed: fresh, ..set }.operate())?, worked(Set { feed: cold, ..set }.operate())?);
        prop_assert!(cold.permeate_m3_s <= warm.permeate_m3_s);
    }

    #[test]
    fn the_working_point_is_where_a_plain_bisection_finds_it(set in set()) {
        let at = worked(set.operate())?;
        prop_assume!(at.permeate_m3_s > 0.0);
        // Written out anew, and halved until nothing is left.
        let factor = STANDARD.factor(set.feed.temperature_c).unwrap();
        let water = set.element.water_conductance_m3_s_pa * factor;
        let salt = set.element.salt_conductance_m3_s * factor;
        let (mut low, mut high) = (0.0, at.permeate_m3_s * 3.0);
        for _ in 0..200 {
            let q = (low + high) / 2.0;
            let r = reject_for(&set.restrictor, &set.resistances, &set.feed, q).unwrap();
            let y = q / (q + r);
            let surplus = if y > 0.9 { -1.0 } else {
                let wall = set.feed.dissolved_solids_kg_m3 * wall_factor(y).unwrap();
                let permeate = salt * wall / (q + salt);
                let osmotic = (set.feed.temperature_c + 320.0) / 491_000.0 * 1e8 * (wall - permeate);
                let pressure = set.feed.pressure_pa - set.resistances.feed_pa_s_m3 * (q + r)
                    - set.resistances.channel_pa_s_m3 / 2.0 * (r + q / 2.0);
                water * (pressure - set.feed.permeate_pressure_pa - set.resistances.permeate_pa_s_m3 * q - osmotic) - q
            };
            if surplus > 0.0 { low = q } else { high = q }
        }
        prop_assert!((low - at.permeate_m3_s).abs() <= 1e-12 * water * set.feed.pressure_pa);
    }

    #[test]
    fn least_pressure_undoes_operate(set in set()) {
        let at = worked(set.operate())?;
        prop_assume!(at.permeate_m3_s > 1e-9 && at.recovery < 0.899);
        let unknown = Feed { pressure_pa: 0.0, ..set.feed };
        let pressure = least_pressure_pa(
            &set.element, &set.restrictor, &set.resistances, &STANDARD, &unknown, at.permeate_m3_s,
        ).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!((pressure - set.feed.pressure_pa).abs() <= 1e-9 * 1.5e6, "{} for {}", pressure, set.feed.pressure_pa);
    }
}

#[test]
fn limits_are_met() {
    let set = example();
    let with = |pressure_pa: f64| Set {
        feed: Feed {
            pressure_pa,
            ..set.feed
        },
        ..set
    };
    // At or below the back pressure nothing is made, and the permeate is as salty as the wall, which is the feed's.
    for pressure_pa in [0.0, 4e3, 8e3] {
        let at = with(pressure_pa).operate().unwrap();
        assert_eq!(at.permeate_m3_s, 0.0);
        assert_eq!(at.permeate_solids_kg_m3, 0.3);
        assert_eq!(at.reject_solids_kg_m3, 0.3);
        assert_eq!(at.recovery, 0.0);
    }
    // Where osmosis alone would hold it back, some seeps: 0.21 bar above the vessel, under a thirtieth of the full.
    let full = set.operate().unwrap();
    let seep = with(8e3 + 0.3 * 335.0 / 491_000.0 * 1e8).operate().unwrap();
    assert!(seep.permeate_m3_s > 0.0 && seep.permeate_m3_s < full.permeate_m3_s / 30.0);
    assert!(
        seep.permeate_solids_kg_m3 > 0.3 * 0.4,
        "{}",
        seep.permeate_solids_kg_m3
    );
    // Fresh feed: no osmosis and no salt.
    let fresh = Set {
        feed: Feed {
            dissolved_solids_kg_m3: 0.0,
            ..set.feed
        },
        ..set
    };
    let at = fresh.operate().unwrap();
    assert_eq!((at.permeate_solids_kg_m3, at.wall_solids_kg_m3), (0.0, 0.0));
    assert!(at.permeate_m3_s > full.permeate_m3_s);
    // A tighter membrane's permeate goes to nothing as its salt conductance does.
    let tight = Set {
        element: Element {
            salt_conductance_m3_s: 1e-13,
            ..set.element
        },
        ..set
    };
    assert!(tight.operate().unwrap().permeate_solids_kg_m3 < 1e-6 * 0.3);
    // A wide restrictor takes the recovery to 0, and the wall to the feed.
    let wide = Set {
        restrictor: Restrictor {
            conductance_m3_s_sqrt_pa: 1e-4,
        },
        resistances: Resistances::NONE,
        ..set
    };
    let at = wide.operate().unwrap();
    assert!((at.wall_solids_kg_m3 / 0.3 - 1.0).abs() < 1e-3);
}

#[test]
fn the_wall_factor_has_no_seam_and_a_finite_limit() {
    // The series meets the logarithm where one takes over; slope at 0 is 1/2 + 0.7.
    let (below, above) = (
        wall_factor(1e-3 - 1e-9).unwrap(),
        wall_factor(1e-3 + 1e-9).unwrap(),
    );
    assert!((above - below - 2e-9 * 1.2).abs() < 1e-11);
    assert!((wall_factor(1e-7).unwrap() - 1.0 - 1.2e-7).abs() < 1e-13);
    for (y, printed) in [(0.1, 1.130), (0.9, 4.804)] {
        // By hand: ln(1/(1 − Y))/Y·exp(0.7·Y).
        let got = wall_factor(y).unwrap();
        assert!((got - printed).abs() < 5e-4, "{got}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let set = example();
    let bad = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0];
    for value in bad {
        let feeds = [
            Feed {
                pressure_pa: value,
                ..set.feed
            },
            Feed {
                temperature_c: value,
                ..set.feed
            },
            Feed {
                dissolved_solids_kg_m3: value,
                ..set.feed
            },
            Feed {
                permeate_pressure_pa: value,
                ..set.feed
            },
        ];
        for feed in feeds {
            let refused = Set { feed, ..set }.operate();
            assert!(
                matches!(refused, Err(MembraneError::OutOfRange(_))),
                "{refused:?}"
            );
            let row = operate_series(
                &[set.element],
                &set.restrictor,
                &set.resistances,
                &STANDARD,
                &feed,
            );
            assert!(matches!(row, Err(MembraneError::OutOfRange(_))), "{row:?}");
        }
        let element = set.element.times(value);
        assert!(Set { element, ..set }.operate().is_err());
        let resistances = Resistances {
            feed_pa_s_m3: value,
            ..set.resistances
        };
        assert!(Set { resistances, ..set }.operate().is_err());
        let restrictor = Restrictor {
            conductance_m3_s_sqrt_pa: value,
        };
        assert!(Set { restrictor, ..set }.operate().is_err());
        let least = least_pressure_pa(
            &set.element,
            &set.restrictor,
            &set.resistances,
            &STANDARD,
            &set.feed,
            value,
        );
        assert!(matches!(least, Err(MembraneError::OutOfRange(_))));
        assert!(wall_factor(value).is_err());
        assert!(STANDARD.factor(value).is_err());
        assert!(TemperatureResponse::from_output_at_15_c(value).is_err());
    }
    let saline = Feed {
        dissolved_solids_kg_m3: 35.0,
        ..set.feed
    };
    let refused = Set { feed: saline, ..set }.operate().unwrap_err();
    assert_eq!(refused.mend(), "check the value and its unit");
    // A restrictor a hundred times tighter leaves nearly no reject.
    let tight = Set {
        restrictor: Restrictor {
            conductance_m3_s_sqrt_pa: 2e-10,
        },
        ..set
    };
    assert!(matches!(
        tight.operate(),
        Err(MembraneError::RecoveryBeyond { .. })
    ));
    // A membrane that passes salt faster than the feed brings it.
    let leaky = Set {
        element: Element {
            salt_conductance_m3_s: 1e-4,
            ..set.element
        },
        ..set
    };
    assert!(
        matches!(leaky.operate(), Err(MembraneError::TooLeaky { .. })),
        "{:?}",
        leaky.operate()
    );
    let row = operate_series(
        &[leaky.element; 2],
        &set.restrictor,
        &set.resistances,
        &STANDARD,
        &set.feed,
    );
    assert!(matches!(row, Err(MembraneError::TooLeaky { .. })), "{row:?}");
    // More water than 20 bar would press through.
    let much = least_pressure_pa(
        &set.element,
        &set.restrictor,
        &set.resistances,
        &STANDARD,
        &set.feed,
        2e-5,
    );
    assert!(
        matches!(much, Err(MembraneError::PressureBeyond { needed_pa, .. }) if needed_pa > 2e6),
        "{much:?}"
    );
    let none = operate_series(&[], &set.restrictor, &set.resistances, &STANDARD, &set.feed);
    assert!(matches!(none, Err(MembraneError::ElementCount { count: 0, .. })));
}
