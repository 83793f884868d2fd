//! Elements in a row: against one element, against plain methods, balances, and what is refused.

use crate::membrane_support;

use membrane_support::{STANDARD, Set, apart, check_balances, example, set, worked};
use physics::membrane::{
    Element, Feed, MembraneError, Operating, Resistances, Restrictor, net_driving_pressure_pa,
    operate_series, permeate_solids_kg_m3, wall_factor,
};
use proptest::prelude::*;

/// Follows the feed that a row is said to take through its elements, each product by plain halving: what they make
/// together, what the restrictor would pass of what's left, and what the last of them makes.
fn retraced(elements: &[Element], set: &Set, row: &Operating) -> [f64; 3] {
    let half = set.resistances.channel_pa_s_m3 / 2.0;
    let back = set.feed.permeate_pressure_pa + set.resistances.permeate_pa_s_m3 * row.permeate_m3_s;
    let mut flow = row.permeate_m3_s + row.reject_m3_s;
    let mut pressure = set.feed.pressure_pa - set.resistances.feed_pa_s_m3 * flow;
    let mut solids = set.feed.dissolved_solids_kg_m3;
    let (mut made, mut last) = (0.0, 0.0);
    let osmotic = (set.feed.temperature_c + 320.0) / 491_000.0 * 1e8;
    for element in elements {
        let warm = element
            .at(&STANDARD, set.feed.temperature_c)
            .expect("the row was reckoned with it");
        let (water, salt) = (warm.water_conductance_m3_s_pa, warm.salt_conductance_m3_s);
        let permeate = |q: f64| {
            let wall = solids * wall_factor(q / flow).expect("halving keeps to the range");
            (wall, salt * wall / (q + salt))
        };
        let (mut low, mut high) = (0.0, 0.9 * flow);
        for _ in 0..100 {
            let q = (low + high) / 2.0;
            let (wall, through) = permeate(q);
            let drive = pressure - half * (flow - q / 2.0) - back - osmotic * (wall - through);
            if water * drive > q {
                low = q;
            } else {
                high = q;
            }
        }
        (made, last) = (made + low, low);
        pressure -= 2.0 * half * (flow - low / 2.0);
        solids = (flow * solids - low * permeate(low).1) / (flow - low);
        flow -= low;
    }
    [
        made,
        set.restrictor.conductance_m3_s_sqrt_pa * pressure.max(0.0).sqrt(),
        last,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, max_global_rejects: 20_000, ..ProptestConfig::default() })]

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
    fn a_row_is_where_plain_halving_finds_each_of_it(
        set in set(), shares in prop::collection::vec((0.3..3.0_f64, 0.3..3.0_f64), 1..6),
    ) {
        let elements: Vec<_> = shares.iter().map(|&(water, salt)| Element {
            water_conductance_m3_s_pa: set.element.water_conductance_m3_s_pa * water,
            salt_conductance_m3_s: set.element.salt_conductance_m3_s * salt,
        }).collect();
        let row = worked(operate_series(&elements, &set.restrictor, &set.resistances, &STANDARD, &set.feed))?;
        check_balances(&row, &set.feed)?;
        let [made, passed, _] = retraced(&elements, &set, &row);
        let all = row.permeate_m3_s + row.reject_m3_s;
        // Rounding of the feed's solids and flow grows along the row by as much as it's thickened; of the pressure,
        // before the root is drawn.
        prop_assert!((made - row.permeate_m3_s).abs() <= 1e-11 * all, "{} for {}", made, row.permeate_m3_s);
        let most = set.restrictor.flow_m3_s(set.feed.pressure_pa).unwrap();
        prop_assert!((passed * passed - row.reject_m3_s * row.reject_m3_s).abs() <= 1e-11 * most * most);
    }

    #[test]
    fn rows_balance_and_get_saltier(set in set(), count in 2_usize..5) {
        let elements = vec![set.element; count];
        let row = |n: usize| {
            operate_series(&elements[..n], &set.restrictor, &set.resistances, &STANDARD, &set.feed)
        };
        let (shorter, longer) = (worked(row(count - 1))?, worked(row(count))?);
        check_balances(&longer, &set.feed)?;
        // Each step looks at each element once.
        prop_assert!(longer.evaluations <= 15 * u32::try_from(count).unwrap(), "{} evaluations", longer.evaluations);
        prop_assert!(longer.reject_solids_kg_m3 >= set.feed.dissolved_solids_kg_m3 * (1.0 - 1e-11));
        prop_assert!(longer.wall_solids_kg_m3 >= longer.permeate_solids_kg_m3);
        if set.resistances.channel_pa_s_m3 == 0.0 && shorter.permeate_m3_s > 1e-9 {
            // Without a drop along the row one more element always makes more.
            prop_assert!(longer.permeate_m3_s > shorter.permeate_m3_s);
            prop_assert!(longer.reject_m3_s <= shorter.reject_m3_s * (1.0 + 1e-9));
        }
    }
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

/// Two equal elements in a row behind filters, their channel, and what follows.
struct Extreme {
    element: [f64; 2],
    restrictor: f64,
    resistances: [f64; 3],
    /// Pressure, temperature, solids, back pressure.
    feed: [f64; 4],
}

impl Extreme {
    fn set(&self) -> Set {
        Set {
            element: Element {
                water_conductance_m3_s_pa: self.element[0],
                salt_conductance_m3_s: self.element[1],
            },
            restrictor: Restrictor {
                conductance_m3_s_sqrt_pa: self.restrictor,
            },
            resistances: Resistances {
                feed_pa_s_m3: self.resistances[0],
                channel_pa_s_m3: self.resistances[1],
                permeate_pa_s_m3: self.resistances[2],
            },
            feed: Feed {
                pressure_pa: self.feed[0],
                temperature_c: self.feed[1],
                dissolved_solids_kg_m3: self.feed[2],
                permeate_pressure_pa: self.feed[3],
            },
        }
    }
}

#[test]
fn what_single_steps_miss_is_found_all_the_same() {
    // Far more membrane than the lines behind it carry, beside a tight restrictor: no first guess is near.
    for extreme in [
        Extreme {
            element: [2.9e-10, 4e-10],
            restrictor: 8e-10,
            resistances: [1.4e10, 0.0, 1.6e11],
            feed: [1.4e6, 37.0, 0.8, 1.9e5],
        },
        Extreme {
            element: [2.8e-10, 4.7e-9],
            restrictor: 1.1e-9,
            resistances: [0.0, 1.8e9, 1.65e11],
            feed: [1.19e6, 32.0, 0.41, 1.9e5],
        },
    ] {
        let set = extreme.set();
        let elements = [set.element; 2];
        let row = operate_series(&elements, &set.restrictor, &set.resistances, &STANDARD, &set.feed).unwrap();
        // More than any number of single steps takes.
        assert!(row.evaluations > 100, "{row:?}");
        check_balances(&row, &set.feed).unwrap();
        let [made, passed, _] = retraced(&elements, &set, &row);
        // The product is known to 2·10⁻¹³ of what the membranes alone would pass, some 10⁻³ m³/s.
        assert!(apart(made, row.permeate_m3_s) < 1e-8, "{made} for {row:?}");
        assert!(apart(passed, row.reject_m3_s) < 1e-8, "{passed} for {row:?}");
    }
}

#[test]
fn rows_that_cannot_be_are_refused() {
    let set = example();
    let row = |elements: &[Element], set: &Set| {
        operate_series(elements, &set.restrictor, &set.resistances, &STANDARD, &set.feed)
    };
    for count in [0, 13] {
        let refused = row(&vec![set.element; count], &set);
        assert!(
            matches!(refused, Err(MembraneError::ElementCount { count: told, most: 12 }) if told == count),
            "{refused:?}"
        );
    }
    assert!(row(&[set.element; 12], &set).is_ok());
    // A row may make more than 0.9 of its feed into product, but none of its elements.
    for restrictor in [5e-11, 1e-12] {
        let tight = Set {
            restrictor: Restrictor {
                conductance_m3_s_sqrt_pa: restrictor,
            },
            ..set
        };
        // Less leaky than usual, since little feed and much salt make a refusal of their own.
        let element = Element {
            salt_conductance_m3_s: 5e-10,
            ..set.element
        };
        for count in [2, 4, 6] {
            let refused = row(&vec![element; count], &tight);
            assert!(
                matches!(refused, Err(MembraneError::RecoveryBeyond { .. })),
                "{count}: {refused:?}"
            );
        }
    }
    // Balances in three places: two beyond the highest recovery, and one between that doesn't last.
    let thrice = Extreme {
        element: [3.714_682_442_872_165e-13, 3.949_402_203_749_043e-13],
        restrictor: 1.323_620_799_850_39e-11,
        resistances: [0.0, 2.765_015_856_688e9, 0.0],
        feed: [
            1_059_419.665_543,
            41.725_195_422,
            0.384_369_135_613,
            49_821.104_068,
        ],
    }
    .set();
    let second = Element {
        water_conductance_m3_s_pa: 2.613_644_614_344_63e-13,
        salt_conductance_m3_s: 1.425_903_548_171_524e-12,
    };
    let refused = row(&[thrice.element, second], &thrice);
    assert!(
        matches!(refused, Err(MembraneError::RecoveryBeyond { .. })),
        "{refused:?}"
    );
}

#[test]
fn a_row_at_its_back_pressure_makes_nothing() {
    let set = example();
    let elements = [set.element; 3];
    for pressure_pa in [0.0, 4e3, 8e3] {
        let feed = Feed {
            pressure_pa,
            ..set.feed
        };
        let row = operate_series(&elements, &set.restrictor, &set.resistances, &STANDARD, &feed).unwrap();
        assert_eq!((row.permeate_m3_s, row.recovery, row.evaluations), (0.0, 0.0, 0));
        assert_eq!((row.permeate_solids_kg_m3, row.reject_solids_kg_m3), (0.3, 0.3));
        assert!(row.net_driving_pressure_pa <= 0.0);
    }
    // A long channel takes the pressure before the last: it makes nothing, and thins nothing.
    let long = Set {
        resistances: Resistances {
            channel_pa_s_m3: 2e10,
            ..set.resistances
        },
        feed: Feed {
            permeate_pressure_pa: 1.5e5,
            ..set.feed
        },
        ..set
    };
    let row = |count: usize| {
        let elements = vec![long.element; count];
        operate_series(
            &elements,
            &long.restrictor,
            &long.resistances,
            &STANDARD,
            &long.feed,
        )
        .unwrap()
    };
    let rows = [row(2), row(6)];
    for (row, count) in rows.iter().zip([2, 6]) {
        check_balances(row, &long.feed).unwrap();
        let [made, _, last] = retraced(&vec![long.element; count], &long, row);
        assert!(apart(made, row.permeate_m3_s) < 1e-10, "{made} for {row:?}");
        assert_eq!(last > 1e-30, count == 2, "{last}");
    }
}
