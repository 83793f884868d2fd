//! What must hold for every vessel, without any table: inverse, monotony, bounds, volume as the sum of surfaces.

use physics::vessel::{
    Dimensions, LevelError, Shape, ShapeError, TableRow, VesselError, level_cone_bottom_m,
    level_horizontal_cylinder_m, level_tapered_box_m, level_tapered_round_m, volume_box_m3,
    volume_cone_bottom_m3, volume_horizontal_cylinder_m3, volume_tapered_box_m3, volume_tapered_round_m3,
};
use proptest::prelude::*;

fn length() -> impl Strategy<Value = f64> {
    prop_oneof![0.1..2.0_f64, 0.001..100.0_f64]
}

fn dimensions() -> impl Strategy<Value = Dimensions> {
    let taper = prop_oneof![Just(1.0), 0.999_999_999..1.000_000_001_f64, 0.5..2.0_f64];
    prop_oneof![
        (length(), length()).prop_map(|(d, h)| Dimensions::Cylinder {
            diameter_m: d,
            height_m: h
        }),
        (0.01..40.0_f64, taper.clone(), length()).prop_map(|(d, t, h)| Dimensions::TaperedRound {
            diameter_bottom_m: d,
            diameter_top_m: d * t,
            height_m: h,
        }),
        (length(), length(), length()).prop_map(|(l, w, h)| Dimensions::Box {
            length_m: l,
            width_m: w,
            height_m: h,
        }),
        (0.01..40.0_f64, 0.01..40.0_f64, taper.clone(), taper, length()).prop_map(|(l, w, tl, tw, h)| {
            Dimensions::TaperedBox {
                length_bottom_m: l,
                width_bottom_m: w,
                length_top_m: l * tl,
                width_top_m: w * tw,
                height_m: h,
            }
        }),
        (length(), length()).prop_map(|(d, l)| Dimensions::HorizontalCylinder {
            diameter_m: d,
            length_m: l
        }),
        (
            0.1..3.0_f64,
            0.01..1.0_f64,
            prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64],
            0.1..5.0_f64
        )
            .prop_map(|(d, cone, outlet, h)| Dimensions::ConeBottom {
                diameter_m: d,
                cone_height_m: h * cone,
                cone_outlet_diameter_m: d * outlet,
                height_m: h,
            }),
        prop::collection::vec((1e-3..1.0_f64, 1e-3..1.0_f64), 1..12).prop_map(|steps| {
            let (mut level_m, mut volume_m3) = (0.0, 0.0);
            let rows = steps.into_iter().map(|(rise_m, more_m3)| {
                level_m += rise_m;
                volume_m3 += more_m3;
                TableRow { level_m, volume_m3 }
            });
            Dimensions::Table { rows: rows.collect() }
        }),
    ]
}

proptest! {
    #[test]
    fn level_and_volume_undo_each_other(dimensions in dimensions(), share in 0.0..=1.0_f64) {
        let shape = Shape::new(dimensions).unwrap();
        let level_m = share * shape.height_m();
        let volume_m3 = shape.volume_m3(level_m).unwrap();
        prop_assert!((0.0..=shape.full_volume_m3()).contains(&volume_m3));
        let back_m3 = shape.volume_m3(shape.level_m(volume_m3).unwrap()).unwrap();
        prop_assert!((back_m3 - volume_m3).abs() <= 1e-13 * shape.full_volume_m3());

        // A level is only as sharp as its surface is wide: what the volume's last digits move.
        let volume_m3 = share * shape.full_volume_m3();
        let level_m = shape.level_m(volume_m3).unwrap();
        prop_assert!((0.0..=shape.height_m()).contains(&level_m));
        prop_assert!((shape.volume_m3(level_m).unwrap() - volume_m3).abs() <= 1e-13 * shape.full_volume_m3());
    }

    #[test]
    fn a_higher_level_is_a_larger_volume(dimensions in dimensions(), a in 0.0..=1.0_f64, b in 0.0..=1.0_f64) {
        prop_assume!((a - b).abs() > 1e-6);
        let shape = Shape::new(dimensions).unwrap();
        let (low, high) = if a < b { (a, b) } else { (b, a) };
        let volume_m3 = |share: f64| shape.volume_m3(share * shape.height_m()).unwrap();
        prop_assert!(volume_m3(low) < volume_m3(high));
        let level_m = |share: f64| shape.level_m(share * shape.full_volume_m3()).unwrap();
        prop_assert!(level_m(low) < level_m(high));
    }

    #[test]
    fn the_ends_are_exact(dimensions in dimensions()) {
        let shape = Shape::new(dimensions).unwrap();
        prop_assert_eq!(shape.volume_m3(0.0), Ok(0.0));
        prop_assert_eq!(shape.level_m(0.0), Ok(0.0));
        prop_assert_eq!(shape.volume_m3(shape.height_m()), Ok(shape.full_volume_m3()));
        prop_assert_eq!(shape.level_m(shape.full_volume_m3()), Ok(shape.height_m()));
    }

    #[test]
    fn volume_is_the_sum_of_free_surfaces(dimensions in dimensions(), share in 0.01..=1.0_f64) {
        let shape = Shape::new(dimensions).unwrap();
        let level_m = share * shape.height_m();
        let summed_m3 = sum_of_surfaces(&shape, level_m);
        let volume_m3 = shape.volume_m3(level_m).unwrap();
        prop_assert!((volume_m3 - summed_m3).abs() <= 2e-9 * shape.full_volume_m3(), "{volume_m3} {summed_m3}");
    }

    #[test]
    fn nothing_is_ever_not_a_number(
        a in prop::num::f64::ANY, b in prop::num::f64::ANY, c in prop::num::f64::ANY, x in prop::num::f64::ANY,
    ) {
        let answers = [
            volume_tapered_round_m3(a, b, c, x), level_tapered_round_m(a, b, c, x),
            volume_box_m3(a, b, c, x), volume_horizontal_cylinder_m3(a, b, x),
            level_horizontal_cylinder_m(a, b, x), volume_tapered_box_m3(a, b, c, a, b, x),
            level_tapered_box_m(a, b, c, a, b, x), volume_cone_bottom_m3(a, b, x, c, x),
            level_cone_bottom_m(a, b, x, c, x),
        ];
        prop_assert!(answers.iter().flatten().all(|value| value.is_finite()));
    }
}

/// Independent of the closed forms: adaptive Simpson over the free surface, with the corners of the shape (rim of
/// the cone, rows of the table) as ends, and the substitution `level = H·(1 − cos φ)/2`, which takes the root
/// out of a lying cylinder's ends.
fn sum_of_surfaces(shape: &Shape, level_m: f64) -> f64 {
    let mut ends = vec![0.0, level_m];
    match shape.dimensions() {
        Dimensions::ConeBottom { cone_height_m, .. } => ends.push(*cone_height_m),
        Dimensions::Table { rows } => ends.extend(rows.iter().map(|row| row.level_m)),
        _ => {}
    }
    ends.retain(|end| *end <= level_m);
    ends.sort_by(f64::total_cmp);
    ends.dedup();
    ends.windows(2)
        .map(|pair| {
            // Just inside, since a table's surface jumps at its rows.
            let inset_m = 1e-12 * (pair[1] - pair[0]);
            let (low_m, high_m) = (pair[0] + inset_m, pair[1] - inset_m);
            let height_m = shape.height_m();
            let phase = |level_m: f64| libm::acos(1.0 - 2.0 * level_m / height_m);
            let slope = |phi: f64| {
                let level_m = (height_m * (1.0 - libm::cos(phi)) / 2.0).clamp(low_m, high_m);
                shape.free_surface_m2(level_m).expect("inside") * height_m * libm::sin(phi) / 2.0
            };
            let tolerance_m3 = 1e-10 * shape.full_volume_m3();
            // Eight pieces to begin with, so that no chance agreement of two coarse sums ends it early.
            let width = (phase(high_m) - phase(low_m)) / 8.0;
            (0..8)
                .map(|piece| phase(low_m) + width * f64::from(piece))
                .map(|start| simpson(&slope, start, start + width, tolerance_m3 / 8.0, 30))
                .sum::<f64>()
        })
        .sum()
}

fn simpson(f: &impl Fn(f64) -> f64, a: f64, b: f64, tolerance: f64, depth: u32) -> f64 {
    let rule = |a: f64, b: f64| (b - a) / 6.0 * (f(a) + 4.0 * f(f64::midpoint(a, b)) + f(b));
    let middle = f64::midpoint(a, b);
    let (whole, halves) = (rule(a, b), rule(a, middle) + rule(middle, b));
    if depth == 0 || (halves - whole).abs() < 15.0 * tolerance {
        return halves + (halves - whole) / 15.0;
    }
    simpson(f, a, middle, tolerance / 2.0, depth - 1) + simpson(f, middle, b, tolerance / 2.0, depth - 1)
}

#[test]
fn a_table_stays_within_its_stated_error() {
    // A cone-bottomed vessel read every 0.1 m: off by at most Δh²/8 times the steepest change of surface.
    let (diameter_m, cone_height_m, height_m) = (0.8, 0.4, 1.0);
    let cone = Shape::new(Dimensions::ConeBottom {
        diameter_m,
        cone_height_m,
        cone_outlet_diameter_m: 0.05,
        height_m,
    })
    .unwrap();
    let rows = (1..=10).map(|step| {
        let level_m = f64::from(step) / 10.0;
        TableRow {
            level_m,
            volume_m3: cone.volume_m3(level_m).unwrap(),
        }
    });
    let table = Shape::new(Dimensions::Table { rows: rows.collect() }).unwrap();
    let steepest_m = std::f64::consts::FRAC_PI_2 * diameter_m * (diameter_m - 0.05) / cone_height_m;
    let bound_m3 = 0.1 * 0.1 / 8.0 * steepest_m;
    let mut worst_m3 = 0.0_f64;
    for step in 0..=1000 {
        let level_m = f64::from(step) / 1000.0;
        let off_m3 = table.volume_m3(level_m).unwrap() - cone.volume_m3(level_m).unwrap();
        worst_m3 = worst_m3.max(off_m3.abs());
        assert!(
            off_m3 >= -1e-15,
            "the surface only widens upwards, so a chord lies above the curve"
        );
    }
    assert!(worst_m3 <= bound_m3, "{worst_m3} m³ against {bound_m3} m³");
    assert!(
        worst_m3 > bound_m3 / 2.0,
        "the bound is stated far too wide: {worst_m3} against {bound_m3} m³"
    );
}

fn row(level_m: f64, volume_m3: f64) -> TableRow {
    TableRow { level_m, volume_m3 }
}

#[test]
fn every_fault_is_named_at_its_place() {
    type Place = (&'static str, Option<usize>);
    #[rustfmt::skip]
    let cases: &[(Dimensions, &[Place])] = &[
        (Dimensions::Cylinder { diameter_m: -0.5, height_m: f64::NAN }, &[("diameter_m", None), ("height_m", None)]),
        (Dimensions::Cylinder { diameter_m: 500.0, height_m: 0.8 }, &[("diameter_m", None)]),
        (Dimensions::Box { length_m: 1.0, width_m: 0.0, height_m: 1.0 }, &[("width_m", None)]),
        (Dimensions::HorizontalCylinder { diameter_m: 0.5, length_m: f64::INFINITY }, &[("length_m", None)]),
        (Dimensions::ConeBottom { diameter_m: 0.5, cone_height_m: 1.1, cone_outlet_diameter_m: 0.6, height_m: 1.0 },
            &[("cone_height_m", None), ("cone_outlet_diameter_m", None)]),
        (Dimensions::Table { rows: vec![] }, &[("table", None)]),
        (Dimensions::Table { rows: vec![row(0.0, 0.0)] }, &[("table", None)]),
        (Dimensions::Table { rows: vec![row(0.0, 0.004), row(0.1, 0.02)] }, &[("table", Some(1))]),
        (Dimensions::Table { rows: vec![row(0.1, 0.02), row(0.1, 0.03)] }, &[("table", Some(2))]),
        (Dimensions::Table { rows: vec![row(0.1, 0.02), row(0.2, 0.02), row(-0.3, 0.05)] }, &[("table", Some(2)), ("table", Some(3))]),
        (Dimensions::Table { rows: vec![row(0.1, f64::NAN)] }, &[("table", Some(1))]),
    ];
    for (dimensions, places) in cases {
        let faults = Shape::new(dimensions.clone()).unwrap_err();
        let found: Vec<_> = faults.iter().map(|fault| (fault.place(), fault.row())).collect();
        assert_eq!(found, *places, "{dimensions:?}");
        for fault in faults {
            assert!(!fault.mend().is_empty());
            assert!(fault.to_string().starts_with(fault.place()), "{fault}");
        }
    }
}

#[test]
fn levels_and_amounts_outside_are_refused() {
    let drum = Shape::new(Dimensions::Cylinder {
        diameter_m: 0.5,
        height_m: 0.8,
    })
    .unwrap();
    assert_eq!(
        drum.volume_m3(0.81),
        Err(LevelError::AboveRim {
            level_m: 0.81,
            rim_m: 0.8
        })
    );
    assert_eq!(
        drum.volume_m3(-0.01),
        Err(LevelError::BelowFloor { level_m: -0.01 })
    );
    assert_eq!(drum.free_surface_m2(f64::NAN), Err(LevelError::NotANumber));
    assert!(matches!(drum.level_m(0.2), Err(LevelError::MoreThanFull { .. })));
    assert!(matches!(
        drum.level_m(-0.2),
        Err(LevelError::LessThanEmpty { .. })
    ));
    assert!(matches!(
        volume_tapered_round_m3(0.5, -1.0, 0.8, 0.1),
        Err(VesselError::Shape(ShapeError::Dimension {
            place: "diameter_top_m",
            ..
        }))
    ));
}

#[test]
fn what_stands_on_the_floor_and_what_passes_a_door() {
    let bin = Shape::new(Dimensions::TaperedRound {
        diameter_bottom_m: 0.5,
        diameter_top_m: 0.6,
        height_m: 0.8,
    })
    .unwrap();
    assert_eq!(bin.plan_m(), Some((0.6, 0.6)));
    assert_eq!(bin.plan_at_m(0.0).unwrap(), Some((0.5, 0.5)));
    assert_eq!(bin.footprint_m2(), Some(std::f64::consts::PI * 0.25 / 4.0));
    let lying = Shape::new(Dimensions::HorizontalCylinder {
        diameter_m: 0.5,
        length_m: 0.9,
    })
    .unwrap();
    assert_eq!(
        (lying.height_m(), lying.plan_m(), lying.footprint_m2()),
        (0.5, Some((0.9, 0.5)), None)
    );
    assert_eq!(lying.plan_at_m(0.25).unwrap(), Some((0.9, 0.5)));
    assert_eq!(lying.plan_at_m(0.5).unwrap(), Some((0.9, 0.0)));
}
