//! What must hold for every membrane, without any table: balances, one working point, monotony, scale, inverse.

use physics::membrane::{
    Element, Feed, MembraneError, Operating, Resistances, Restrictor, TemperatureResponse, least_pressure_pa,
    membrane_pressure_pa, net_driving_pressure_pa, operate, operate_series, permeate_solids_kg_m3,
    reject_for, wall_factor,
};
use proptest::prelude::*;

const STANDARD: TemperatureResponse = TemperatureResponse::STANDARD;

/// A membrane with all that it works between.
#[derive(Debug, Clone, Copy)]
struct Set {
    element: Element,
    restrictor: Restrictor,
    resistances: Resistances,
    feed: Feed,
}

impl Set {
    fn operate(&self) -> Result<Operating, MembraneError> {
        operate(
            &self.element,
            &self.restrictor,
            &self.resistances,
            &STANDARD,
            &self.feed,
        )
    }

    /// The same with every area, bore and volume larger.
    fn times(&self, scale: f64) -> Self {
        let Resistances {
            feed_pa_s_m3,
            channel_pa_s_m3,
            permeate_pa_s_m3,
        } = self.resistances;
        Self {
            element: self.element.times(scale),
            restrictor: Restrictor {
                conductance_m3_s_sqrt_pa: self.restrictor.conductance_m3_s_sqrt_pa * scale,
            },
            resistances: Resistances {
                feed_pa_s_m3: feed_pa_s_m3 / scale,
                channel_pa_s_m3: channel_pa_s_m3 / scale,
                permeate_pa_s_m3: permeate_pa_s_m3 / scale,
            },
            feed: self.feed,
        }
    }
}

/// Household sets and far beyond: half to four times a 3 l/(h bar) element, recoveries from a tenth to over a half.
fn set() -> impl Strategy<Value = Set> {
    let resistance = |most: f64| prop_oneof![Just(0.0), 0.0..most];
    (
        (4e-12..4e-11_f64, 1e-9..1e-6_f64, 2e-9..4e-8_f64),
        (resistance(2e9), resistance(2e9), resistance(2e10)),
        (0.0..1.5e6_f64, 0.0..45.0_f64, 0.0..3.0_f64, 0.0..3e5_f64),
    )
        .prop_map(
            |((water, salt, k), (feed, channel, permeate), (p, t, c, back))| Set {
                element: Element {
                    water_conductance_m3_s_pa: water,
                    salt_conductance_m3_s: salt,
                },
                restrictor: Restrictor {
                    conductance_m3_s_sqrt_pa: k,
                },
                resistances: Resistances {
                    feed_pa_s_m3: feed,
                    channel_pa_s_m3: channel,
                    permeate_pa_s_m3: permeate,
                },
                feed: Feed {
                    pressure_pa: p,
                    temperature_c: t,
                    dissolved_solids_kg_m3: c,
                    permeate_pressure_pa: back,
                },
            },
        )
}

/// The worked set, for single limits.
fn example() -> Set {
    Set {
        element: Element {
            water_conductance_m3_s_pa: 8.363e-12,
            salt_conductance_m3_s: 5.553e-8,
        },
        restrictor: Restrictor {
            conductance_m3_s_sqrt_pa: 2e-8,
        },
        resistances: Resistances {
            feed_pa_s_m3: 5e8,
            channel_pa_s_m3: 5e8,
            permeate_pa_s_m3: 3e9,
        },
        feed: Feed {
            pressure_pa: 4e5,
            temperature_c: 15.0,
            dissolved_solids_kg_m3: 0.3,
            permeate_pressure_pa: 8e3,
        },
    }
}

/// Leaves out the case when the restrictor is too tight, the membrane too leaky or the wall too salty: known refusals.
fn worked(result: Result<Operating, MembraneError>) -> Result<Operating, TestCaseError> {
    match result {
        Ok(at) => Ok(at),
        Err(
            MembraneError::RecoveryBeyond { .. }
            | MembraneError::TooLeaky { .. }
            | MembraneError::OutOfRange(_),
        ) => Err(TestCaseError::reject("refused")),
        Err(other) => Err(TestCaseError::fail(other.to_string())),
    }
}

/// Water and salt in against out.
fn check_balances(at: &Operating, feed: &Feed) -> Result<(), TestCaseError> {
    let all = at.permeate_m3_s + at.reject_m3_s;
    prop_assert!((at.recovery * all - at.permeate_m3_s).abs() <= 1e-12 * all);
    let salt_in = all * feed.dissolved_solids_kg_m3;
    let salt_out = at.permeate_m3_s * at.permeate_solids_kg_m3 + at.reject_m3_s * at.reject_solids_kg_m3;
    prop_assert!(
        (salt_in - salt_out).abs() <= 1e-12 * salt_in,
        "{salt_in} in, {salt_out} out"
    );
    Ok(())
}

/// By how much two numbers differ, as a share.
fn apart(a: f64, b: f64) -> f64 {
    if a == b {
        0.0
    } else {
        (a - b).abs() / a.abs().max(b.abs())
    }
}

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
    fn only_products_with_area_matter(set in set(), scale in prop_oneof![Just(2.0), Just(37.0), 0.1..1000.0_f64]) {
        let (one, many) = (worked(set.operate())?, worked(set.times(scale).operate())?);
        for (a, b) in [
            (one.permeate_m3_s * scale, many.permeate_m3_s),
            (one.reject_m3_s * scale, many.reject_m3_s),
            (one.recovery, many.recovery),
            (one.wall_solids_kg_m3, many.wall_solids_kg_m3),
            (one.permeate_solids_kg_m3, many.permeate_solids_kg_m3),
            (one.reject_solids_kg_m3, many.reject_solids_kg_m3),
            (one.membrane_pressure_pa, many.membrane_pressure_pa),
        ] {
            // The search stops within 1e-13 of the most; a weak feed makes little beside that.
            prop_assert!(apart(a, b) < 1e-10, "{} against {}", a, b);
        }
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

    #[test]
    fn a_row_of_one_is_one_element(set in set()) {
        let one = worked(set.operate())?;
        let row = worked(operate_series(&[set.element], &set.restrictor, &set.resistances, &STANDARD, &set.feed))?;
        check_balances(&row, &set.feed)?;
        let most = set.element.water_conductance_m3_s_pa * 2.0 * set.feed.pressure_pa
            + set.restrictor.conductance_m3_s_sqrt_pa * set.feed.pressure_pa.sqrt();
        prop_assert!((one.permeate_m3_s - row.permeate_m3_s).abs() <= 1e-11 * most);
        prop_assert!((one.reject_m3_s - row.reject_m3_s).abs() <= 1e-11 * most);
        prop_assert!((one.membrane_pressure_pa - row.membrane_pressure_pa).abs() <= 1e-10 * set.feed.pressure_pa);
        prop_assert!((one.net_driving_pressure_pa - row.net_driving_pressure_pa).abs() <= 1e-10 * set.feed.pressure_pa);
        if one.permeate_m3_s > 1e-9 {
            prop_assert!(apart(one.wall_solids_kg_m3, row.wall_solids_kg_m3) < 1e-9);
            prop_assert!(apart(one.permeate_solids_kg_m3, row.permeate_solids_kg_m3) < 1e-9);
        }
    }

    #[test]
    fn rows_balance_and_get_saltier(set in set(), count in 2_usize..5) {
        let elements = vec![set.element; count];
        let row = |n: usize| {
            operate_series(&elements[..n], &set.restrictor, &set.resistances, &STANDARD, &set.feed)
        };
        let (shorter, longer) = (worked(row(count - 1))?, worked(row(count))?);
        check_balances(&longer, &set.feed)?;
        prop_assert!(longer.evaluations < 40_000, "{} evaluations", longer.evaluations);
        prop_assert!(longer.reject_solids_kg_m3 >= set.feed.dissolved_solids_kg_m3 * (1.0 - 1e-11));
        prop_assert!(longer.wall_solids_kg_m3 >= longer.permeate_solids_kg_m3);
        if set.resistances.channel_pa_s_m3 == 0.0 && shorter.permeate_m3_s > 1e-9 {
            // Without a drop along the row one more element always makes more.
            prop_assert!(longer.permeate_m3_s > shorter.permeate_m3_s);
            prop_assert!(longer.reject_m3_s <= shorter.reject_m3_s * (1.0 + 1e-9));
        }
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

/// Two elements in a row by plain substitution, half a step at a time: product of both and reject.
fn two_by_substitution(set: &Set) -> [f64; 3] {
    let warm = set
        .element
        .at(&STANDARD, set.feed.temperature_c)
        .expect("a sound case");
    let channel = set.resistances.channel_pa_s_m3;
    let k = set.restrictor.conductance_m3_s_sqrt_pa;
    let [mut q1, mut q2, mut r] = [1e-7, 1e-7, 1e-6];
    for _ in 0..5000 {
        let all = q1 + q2 + r;
        let back = set.feed.permeate_pressure_pa + set.resistances.permeate_pa_s_m3 * (q1 + q2);
        let inlet = set.feed.pressure_pa - set.resistances.feed_pa_s_m3 * all;
        let drop1 = channel * (all - q1 / 2.0);
        let drop2 = channel * (r + q2 / 2.0);
        let product = |feed: f64, solids: f64, q: f64, pressure: f64| {
            let wall = solids * wall_factor(q / feed).expect("a sound case");
            let permeate = permeate_solids_kg_m3(warm.salt_conductance_m3_s, wall, q).expect("a sound case");
            let drive = net_driving_pressure_pa(pressure, back, wall, permeate, set.feed.temperature_c)
                .expect("a sound case");
            (warm.water_conductance_m3_s_pa * drive, permeate)
        };
        let solids = set.feed.dissolved_solids_kg_m3;
        let (new1, c1) = product(all, solids, q1, inlet - drop1 / 2.0);
        let between = (all * solids - q1 * c1) / (all - q1);
        let (new2, _) = product(all - q1, between, q2, inlet - drop1 - drop2 / 2.0);
        let new_r = k * (inlet - drop1 - drop2).sqrt();
        q1 += 0.3 * (new1 - q1);
        q2 += 0.3 * (new2 - q2);
        r += 0.3 * (new_r - r);
    }
    [q1, q2, r]
}

#[test]
fn two_in_a_row_are_found_by_plain_substitution() {
    for (pressure_pa, temperature_c, solids) in [(4e5, 15.0, 0.3), (6e5, 25.0, 1.2), (2.5e5, 6.0, 0.1)] {
        let mut set = example();
        set.feed = Feed {
            pressure_pa,
            temperature_c,
            dissolved_solids_kg_m3: solids,
            ..set.feed
        };
        let elements = [set.element; 2];
        let row = operate_series(&elements, &set.restrictor, &set.resistances, &STANDARD, &set.feed).unwrap();
        let [q1, q2, r] = two_by_substitution(&set);
        assert!(apart(row.permeate_m3_s, q1 + q2) < 1e-10, "{row:?} {q1} {q2}");
        assert!(apart(row.reject_m3_s, r) < 1e-10, "{row:?} {r}");
        // The second sees a weaker pressure and a saltier feed.
        assert!(q2 < q1);
    }
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
