//! Curves of pumps: they pass their points, fall all the way, and follow the affinity laws.

use physics::hydraulics::HydraulicsError;
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use proptest::prelude::*;

fn points(pairs: &[(f64, f64)]) -> Vec<PumpPoint> {
    pairs
        .iter()
        .map(|&(flow_m3_s, head_m)| PumpPoint { flow_m3_s, head_m })
        .collect()
}

/// Two to eight points that fall, the first with the outlet closed.
fn falling() -> impl Strategy<Value = Vec<PumpPoint>> {
    (
        1.0..50.0_f64,
        prop::collection::vec((1e-6..1e-3_f64, 1e-3..1.0_f64), 1..8),
    )
        .prop_map(|(shut_off, steps)| {
            let all: f64 = steps.iter().map(|step| step.1).sum();
            let (mut flow_m3_s, mut head_m) = (0.0, shut_off);
            let mut list = vec![PumpPoint { flow_m3_s, head_m }];
            for (wider, lower) in steps {
                flow_m3_s += wider;
                head_m -= 1.05 * shut_off * lower / all;
                list.push(PumpPoint { flow_m3_s, head_m });
            }
            list
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, ..ProptestConfig::default() })]

    /// `FRITSCH-BUTLAND-1984`. Tolerance: rounding of a head.
    #[test]
    fn a_smooth_curve_passes_its_points_and_falls_between_them(list in falling()) {
        let curve = PumpCurve::through(&list).unwrap();
        let rounding = 1e-13 * list[0].head_m;
        prop_assert_eq!(curve.points(), list.as_slice());
        prop_assert_eq!(curve.largest_flow_m3_s(), list.last().unwrap().flow_m3_s);
        prop_assert!((curve.shut_off_head_m() - list[0].head_m).abs() <= rounding);
        for point in &list {
            let (head, _) = curve.at_speed(point.flow_m3_s, 1.0);
            prop_assert!((head - point.head_m).abs() <= rounding);
        }
        for pair in list.windows(2) {
            let mut before = pair[0].head_m;
            for share in 1..=50 {
                let flow = pair[0].flow_m3_s + f64::from(share) / 50.0 * (pair[1].flow_m3_s - pair[0].flow_m3_s);
                let (head, slope) = curve.at_speed(flow, 1.0);
                prop_assert!(head <= before + rounding, "rises to {} from {}", head, before);
                prop_assert!(slope <= 1e-12 * list[0].head_m / list[1].flow_m3_s, "{}", slope);
                before = head;
            }
        }
        // Beyond the last point it goes on falling.
        let last = curve.largest_flow_m3_s();
        prop_assert!(curve.at_speed(2.0 * last, 1.0).0 < curve.at_speed(last, 1.0).0);
    }

    /// No corner: at each point the slope is the same from both sides, and is that of the heads.
    #[test]
    fn a_smooth_curve_has_no_corner(list in falling()) {
        let curve = PumpCurve::through(&list).unwrap();
        let steep = list.windows(2)
            .map(|pair| (pair[0].head_m - pair[1].head_m) / (pair[1].flow_m3_s - pair[0].flow_m3_s))
            .fold(0.0, f64::max);
        for triple in list.windows(3) {
            let at = triple[1].flow_m3_s;
            let least = (at - triple[0].flow_m3_s).min(triple[2].flow_m3_s - at);
            let step = 1e-7 * least;
            let (_, before) = curve.at_speed(at - step, 1.0);
            let (_, behind) = curve.at_speed(at + step, 1.0);
            // A cubic's slope changes by 12 times the steepest secant at most over a cell, and by 1e-7 of it here.
            prop_assert!((before - behind).abs() <= 1e-5 * steep, "{} {}", before, behind);
        }
        for share in 0..40 {
            let flow = (f64::from(share) + 0.37) / 40.0 * curve.largest_flow_m3_s();
            let step = 1e-6 * list.windows(2).map(|pair| pair[1].flow_m3_s - pair[0].flow_m3_s).fold(1.0, f64::min);
            let (_, slope) = curve.at_speed(flow, 1.0);
            let by_difference = (curve.at_speed(flow + step, 1.0).0 - curve.at_speed(flow - step, 1.0).0) / (2.0 * step);
            // 1e-6 of a cell, and the rounding of a head over so small a step.
            let rounding = 1e-14 * list[0].head_m / step;
            prop_assert!((slope - by_difference).abs() <= 1e-4 * steep + rounding, "{} {}", slope, by_difference);
        }
    }

    #[test]
    fn straight_lines_pass_their_points_and_the_middle_between(list in falling()) {
        let curve = PumpCurve::straight_between(&list).unwrap();
        for pair in list.windows(2) {
            let (head, _) = curve.at_speed(pair[0].flow_m3_s, 1.0);
            prop_assert!((head - pair[0].head_m).abs() <= 1e-13 * list[0].head_m);
            let (middle, slope) = curve.at_speed(0.5 * (pair[0].flow_m3_s + pair[1].flow_m3_s), 1.0);
            prop_assert!((middle - 0.5 * (pair[0].head_m + pair[1].head_m)).abs() <= 1e-12 * list[0].head_m);
            prop_assert!(slope < 0.0);
        }
    }

    /// Affinity: flow goes with speed, head with its square (long known; common practice, no source).
    #[test]
    fn affinity(list in falling(), speed in 0.1..2.0_f64, share in 0.0..1.3_f64) {
        for curve in [PumpCurve::through(&list).unwrap(), PumpCurve::straight_between(&list).unwrap()] {
            let flow = share * curve.largest_flow_m3_s();
            let (full, full_slope) = curve.at_speed(flow, 1.0);
            let (head, slope) = curve.at_speed(speed * flow, speed);
            let most = list[0].head_m;
            prop_assert!((head / (speed * speed) - full).abs() <= 1e-10 * most, "{} {}", head, full);
            let steep = full_slope.abs().max(most / curve.largest_flow_m3_s());
            prop_assert!((slope / speed - full_slope).abs() <= 1e-6 * steep
                || list.iter().any(|point| (point.flow_m3_s - flow).abs() < 1e-12));
        }
    }

    /// `EPANET-2020`, form of the curve. The three points are made by a law that is known.
    #[test]
    fn a_power_law_is_found_again(shut in 1.0..50.0_f64, exponent in 1.05..5.0_f64, middle in 0.2..0.8_f64, widest in 1e-5..0.01_f64) {
        let head = |flow: f64| shut * (1.0 - 0.9 * libm::pow(flow / widest, exponent));
        let point = |flow_m3_s: f64| PumpPoint { flow_m3_s, head_m: head(flow_m3_s) };
        let curve = PumpCurve::power_law([point(0.0), point(middle * widest), point(widest)]).unwrap();
        for share in [0.0, 0.1, 0.33, middle, 0.9, 1.0, 1.2] {
            let (found, slope) = curve.at_speed(share * widest, 1.0);
            // The exponent comes from the logarithm of a difference, which is small where the middle point is near the first.
            prop_assert!((found - head(share * widest)).abs() <= 1e-11 * shut, "{} {}", found, head(share * widest));
            prop_assert!(slope <= 0.0);
        }
    }
}

/// Each refusal says what is wrong and what to do.
#[test]
fn what_is_no_curve_is_refused() {
    let refused = [
        PumpCurve::through(&points(&[(0.0, 5.0)])).unwrap_err(),
        PumpCurve::straight_between(&[]).unwrap_err(),
        PumpCurve::through(&points(&[(0.0, 5.0), (1e-4, 5.0)])).unwrap_err(),
        PumpCurve::through(&points(&[(0.0, 5.0), (0.0, 4.0)])).unwrap_err(),
        PumpCurve::straight_between(&points(&[(0.0, 5.0), (1e-4, 6.0), (2e-4, 1.0)])).unwrap_err(),
        PumpCurve::through(&points(&[(0.0, 5.0), (f64::NAN, 4.0)])).unwrap_err(),
        PumpCurve::through(&points(&[(0.0, 5.0), (1e-4, f64::INFINITY)])).unwrap_err(),
        PumpCurve::through(&points(&[(-1e-4, 5.0), (1e-4, 4.0)])).unwrap_err(),
        PumpCurve::through(&points(&[(0.0, 501.0), (1e-4, 4.0)])).unwrap_err(),
        PumpCurve::through(&points(&[(0.0, -1.0), (1e-4, -4.0)])).unwrap_err(),
    ];
    let [a, b, c, d, e, f, g, h, i, j] = refused;
    assert!(matches!(
        (a, b),
        (
            HydraulicsError::TooFewPoints { needed: 2, given: 1 },
            HydraulicsError::TooFewPoints { needed: 2, given: 0 }
        )
    ));
    for falls in [c, d, e] {
        assert!(matches!(falls, HydraulicsError::NotFalling { .. }), "{falls}");
    }
    for range in [f, g, h, i, j] {
        assert!(matches!(range, HydraulicsError::OutOfRange(_)), "{range}");
    }
    let three = |pairs: [(f64, f64); 3]| {
        let list = points(&pairs);
        PumpCurve::power_law([list[0], list[1], list[2]]).unwrap_err()
    };
    for no_law in [
        // Falls off a cliff: exponent below 1.
        three([(0.0, 5.0), (1e-4, 2.0), (2e-4, 1.0)]),
        // No point with the outlet closed.
        three([(1e-5, 5.0), (1e-4, 4.0), (2e-4, 1.0)]),
        // A wall: exponent of a hundred.
        three([(0.0, 5.0), (1e-4, 4.999_999_999), (1.1e-4, 1.0)]),
    ] {
        assert!(matches!(no_law, HydraulicsError::NoPowerLaw { .. }), "{no_law}");
    }
    for refusal in refused {
        assert!(!refusal.mend().is_empty() && !refusal.to_string().is_empty());
    }
}
