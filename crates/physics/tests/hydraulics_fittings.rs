//! Flow coefficients, fittings, steps and barbs against printed tables and worked values.

use physics::hydraulics::parts::{
    FittingKind, KV_DENSITY_KG_M3, KV_PER_CV, LossCoefficient, PartError, USUAL_BARB_SHARE, cv_from_kv,
    drop_from_loss_pa, fitting_friction, hose_barb, kv_from_cv, kv_from_loss, loss_at_other_bore,
    loss_from_drop, loss_from_kv, rough_pipe_friction, sudden_contraction, sudden_expansion,
    usual_barb_bore_m,
};

const HALF_INCH_M: f64 = 0.622 * 0.0254;
const INCH_M: f64 = 0.0254;
const ODD: [f64; 5] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 1e300];

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got / expected - 1.0).abs() <= tolerance,
        "{got} for {expected}, off by {:e}",
        got / expected - 1.0
    );
}

#[test]
fn flow_coefficients() {
    // The definitions: 231 cubic inches, 0.45359237 kg at 9.80665 m/s² on a square inch; three roundings of 1e-16.
    let gallon_m3 = 231.0 * INCH_M * INCH_M * INCH_M;
    let psi_pa = 0.453_592_37 * 9.806_65 / (INCH_M * INCH_M);
    near(KV_PER_CV, gallon_m3 * 60.0 * (1e5 / psi_pa).sqrt(), 1e-15);
    // Source, expected, got, tolerance by the digits printed.
    for (source, expected, got, tolerance) in [
        ("IEC-60534, from memory", 0.865, kv_from_cv(1.0).unwrap(), 5e-4),
        (
            "public code, 16 digits: Cv per Kv",
            1.156_099_228_353_656_6,
            cv_from_kv(1.0).unwrap(),
            1e-15,
        ),
        (
            "handbook: 20 mm bore, Kv 10, three digits",
            2.56,
            loss_from_kv(10.0, 0.020).unwrap(),
            2e-3,
        ),
        (
            "handbook: 1.60e-3·d⁴/Kv², d in mm, three digits",
            1.60e-3 * 12.0 * 12.0 * 12.0 * 12.0 / 4.0,
            loss_from_kv(2.0, 0.012).unwrap(),
            2e-3,
        ),
        (
            "handbook: 891·d⁴/Cv², d in inches; 29.84² is 890.4, and water of 60 °F another 0.1 %",
            891.0 * 0.0625 / 9.0,
            loss_from_kv(kv_from_cv(3.0).unwrap(), 0.5 * INCH_M).unwrap(),
            2e-3,
        ),
        (
            "public code: 1.6e9·D⁴/Kv², with a density of 999.3",
            15.153_374_600_399_898,
            loss_from_kv(2.312, 0.015).unwrap(),
            4e-3,
        ),
    ] {
        assert!(
            (got / expected - 1.0).abs() <= tolerance,
            "{source}: {got} for {expected}"
        );
    }
    // A valve with Kv 1 drops a bar at 1 m³/h of that water, by definition.
    let loss = loss_from_kv(1.0, 0.010).unwrap();
    near(
        drop_from_loss_pa(loss, 1.0 / 3600.0, KV_DENSITY_KG_M3, 0.010).unwrap(),
        1e5,
        1e-14,
    );
    // By hand: 10 L/min in 12 mm is 1.4737 m/s and 1.0859 kPa of velocity head; 5 kPa are 4.60 of them.
    near(
        loss_from_drop(5e3, 1e-2 / 60.0, 1000.0, 0.012).unwrap(),
        4.604,
        1e-3,
    );
    // No loss, no drop.
    assert_eq!(drop_from_loss_pa(0.0, 1e-4, 1000.0, 0.012), Ok(0.0));
}

#[test]
fn flow_coefficients_are_refused_outside_their_ranges() {
    for odd in ODD {
        assert!(kv_from_cv(odd).is_err());
        assert!(cv_from_kv(odd).is_err());
        assert!(loss_from_kv(odd, 0.01).is_err());
        assert!(loss_from_kv(1.0, odd).is_err());
        assert!(kv_from_loss(odd, 0.01).is_err());
        assert!(kv_from_loss(1.0, odd).is_err());
        assert!(loss_at_other_bore(odd, 0.01, 0.02).is_err());
        assert!(loss_at_other_bore(1.0, odd, 0.02).is_err());
        assert!(loss_at_other_bore(1.0, 0.01, odd).is_err());
        assert!(loss_from_drop(odd, 1e-4, 1000.0, 0.01).is_err());
        assert!(loss_from_drop(1e3, odd, 1000.0, 0.01).is_err());
        assert!(loss_from_drop(1e3, 1e-4, odd, 0.01).is_err());
        assert!(loss_from_drop(1e3, 1e-4, 1000.0, odd).is_err());
        assert!(drop_from_loss_pa(odd, 1e-4, 1000.0, 0.01).is_err());
        assert!(drop_from_loss_pa(1.0, odd, 1000.0, 0.01).is_err());
        assert!(drop_from_loss_pa(1.0, 1e-4, odd, 0.01).is_err());
        assert!(drop_from_loss_pa(1.0, 1e-4, 1000.0, odd).is_err());
    }
    for zero in [kv_from_cv(0.0), loss_from_kv(0.0, 0.01), kv_from_loss(0.0, 0.01)] {
        assert!(zero.is_err());
    }
    // Results too large to mean anything: a capillary's Kv on a wide pipe, a wide pipe's loss on a capillary's.
    assert_eq!(
        loss_from_kv(1e-6, 0.3).unwrap_err().range.quantity,
        "loss coefficient"
    );
    assert_eq!(
        kv_from_loss(1e12, 1e-3).unwrap_err().range.quantity,
        "flow coefficient Kv"
    );
    assert_eq!(
        loss_at_other_bore(1e6, 1e-3, 0.3).unwrap_err().range.quantity,
        "loss coefficient"
    );
    let wide = LossCoefficient {
        turbulent: 1.0,
        laminar: 1e12,
    };
    assert_eq!(
        wide.at_other_bore(1e-3, 0.3).unwrap_err().range.quantity,
        "laminar constant of the loss"
    );
}

#[test]
fn friction_of_fittings_meets_the_table() {
    // TP-410, read in a public page that prints multiples: bore of schedule 40, factor.
    let table = [
        (0.622, 0.027),
        (0.824, 0.025),
        (1.049, 0.023),
        (1.380, 0.022),
        (1.610, 0.021),
        (2.067, 0.019),
        (2.469, 0.018),
        (3.068, 0.018),
        (4.026, 0.017),
    ];
    for (bore_in, factor) in table {
        // At a node the interpolation is exact but for a rounding.
        near(fitting_friction(bore_in * INCH_M).unwrap(), factor, 1e-12);
        // The law behind it: the three decimals alone round by 2 to 3 %.
        let law = rough_pipe_friction(bore_in * INCH_M).unwrap();
        assert!((0.95..1.015).contains(&(law / factor)), "{bore_in} in: {law}");
    }
    // By hand: 3.7·10/0.046 is 804.3, its logarithm 2.9054, 1/5.8109² is 0.029616; times 0.027/0.025945.
    near(rough_pipe_friction(0.010).unwrap(), 0.029_616, 1e-4);
    near(fitting_friction(0.010).unwrap(), 0.030_82, 1e-3);
    // It meets the table at both ends, and never rises with the bore.
    for bore_m in [HALF_INCH_M, 4.026 * INCH_M] {
        near(
            fitting_friction(bore_m * (1.0 - 1e-9)).unwrap(),
            fitting_friction(bore_m * (1.0 + 1e-9)).unwrap(),
            1e-8,
        );
    }
    for odd in ODD {
        assert!(fitting_friction(odd).is_err());
        assert!(rough_pipe_friction(odd).is_err());
    }
    assert!(fitting_friction(0.9e-3).is_err());
    assert!(fitting_friction(0.31).is_err());
}

#[test]
fn fittings_at_half_an_inch() {
    use FittingKind::*;
    // Handbook and TP-410, two decimals; Hooper's constants, read in public code or from memory.
    for (kind, turbulent, laminar, source) in [
        (FlushEntrance, 0.5, 160.0, "TP-410, from memory"),
        (ProjectingEntrance, 0.78, 160.0, "TP-410, from memory"),
        (RoundedEntrance, 0.04, 160.0, "TP-410, from memory"),
        (Exit, 1.0, 0.0, "TP-410, from memory"),
        (Bulkhead, 0.608, 416.0, "by hand: 0.5 + 4·0.027; 160 + 4·64"),
        (Elbow90, 0.81, 800.0, "TP-410, read in a public page"),
        (Elbow45, 0.43, 500.0, "TP-410, read in a public page"),
        (LongBend, 0.38, 800.0, "TP-410, read in a public page"),
        (TeeRun, 0.54, 200.0, "TP-410, read in a public page"),
        (TeeBranch, 1.62, 500.0, "TP-410, read in a public page"),
        (TeeRunLeg, 0.27, 100.0, "house rule, half of the run"),
        (TeeBranchLeg, 1.35, 400.0, "house rule, what the branch has more"),
        (Union, 0.04, 0.0, "PERRY-GREEN-1997, read in a public page"),
        (Coupling, 0.04, 0.0, "PERRY-GREEN-1997, read in a public page"),
        (Strainer, 3.0, 1000.0, "common practice"),
        (FootValve, 11.34, 2000.0, "TP-410, from memory: 420·0.027"),
    ] {
        let loss = kind.loss(HALF_INCH_M).unwrap();
        assert!(
            (loss.turbulent - turbulent).abs() <= 0.005,
            "{kind:?} ({source}): {loss:?}"
        );
        assert_eq!(loss.laminar, laminar, "{kind:?} ({source})");
    }
    for kind in FittingKind::ALL {
        for odd in ODD {
            assert!(kind.loss(odd).is_err());
        }
    }
}

#[test]
fn legs_of_a_tee_add_up() {
    for bore_m in [2e-3, HALF_INCH_M, 0.05] {
        let leg = |kind: FittingKind| kind.loss(bore_m).unwrap();
        let same = |sum: LossCoefficient, whole: LossCoefficient| {
            near(sum.turbulent, whole.turbulent, 1e-15);
            near(sum.laminar, whole.laminar, 1e-15);
        };
        same(leg(FittingKind::TeeRunLeg).times(2), leg(FittingKind::TeeRun));
        same(
            leg(FittingKind::TeeRunLeg) + leg(FittingKind::TeeBranchLeg),
            leg(FittingKind::TeeBranch),
        );
    }
}

#[test]
fn losses_add_up_and_fall_with_the_reynolds_number() {
    let elbow = FittingKind::Elbow90.loss(HALF_INCH_M).unwrap();
    // By hand: 0.81 + 800/1000, and three of them.
    near(elbow.at(1000.0).unwrap(), 1.61, 1e-12);
    near(elbow.times(3).at(1000.0).unwrap(), 4.83, 1e-12);
    assert_eq!(elbow.times(0), LossCoefficient::NONE);
    assert_eq!([elbow, elbow].into_iter().sum::<LossCoefficient>(), elbow + elbow);
    assert_eq!(LossCoefficient::constant(2.5).at(1.0), Ok(2.5));
    for odd in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e10] {
        assert!(elbow.at(odd).is_err());
    }
    for odd in ODD {
        assert!(LossCoefficient::constant(odd).at(1e4).is_err());
        let laminar = LossCoefficient {
            turbulent: 1.0,
            laminar: odd,
        };
        assert!(laminar.at(1e4).is_err());
        assert!(laminar.at_other_bore(0.01, 0.02).is_err());
        assert!(elbow.at_other_bore(odd, 0.02).is_err());
        assert!(elbow.at_other_bore(0.01, odd).is_err());
    }
    // A sum beyond all numbers is refused when it's used.
    assert!(
        (LossCoefficient::constant(f64::MAX) + LossCoefficient::constant(f64::MAX))
            .at(1e4)
            .is_err()
    );
}

#[test]
fn steps_in_the_bore() {
    // By hand with b² = 1/4: 0.75² and 0.5·0.75.
    near(sudden_expansion(0.01, 0.02).unwrap(), 0.5625, 1e-15);
    near(sudden_contraction(0.01, 0.02).unwrap(), 0.375, 1e-15);
    assert_eq!(sudden_expansion(0.02, 0.02), Ok(0.0));
    assert_eq!(sudden_contraction(0.02, 0.02), Ok(0.0));
    // Into and out of a vessel they are the exit and the flush entrance: b² is 1e-4 at a hundred times the bore.
    near(sudden_expansion(2e-3, 0.2).unwrap(), 1.0, 3e-4);
    near(sudden_contraction(2e-3, 0.2).unwrap(), 0.5, 3e-4);
    let swapped = PartError::NotNarrower {
        narrow_m: 0.02,
        wide_m: 0.01,
    };
    assert_eq!(sudden_expansion(0.02, 0.01), Err(swapped));
    assert_eq!(sudden_contraction(0.02, 0.01), Err(swapped));
    assert_eq!(hose_barb(0.01, 0.02), Err(swapped));
    assert_eq!(
        swapped.to_string(),
        "a narrow bore of 0.02 m is wider than the 0.01 m beside it"
    );
    assert_eq!(
        swapped.mend(),
        "measure both bores again, and check which is which"
    );
    for odd in ODD {
        for refused in [
            sudden_expansion(odd, 0.02),
            sudden_expansion(0.02, odd),
            sudden_contraction(odd, 0.02),
            sudden_contraction(0.02, odd),
        ] {
            assert!(matches!(refused, Err(PartError::OutOfRange(_))));
        }
    }
}

#[test]
fn hose_barbs() {
    // Handbook: 0.73 on the tube for b = 0.803; two digits.
    near(hose_barb(0.0127, 0.803 * 0.0127).unwrap().turbulent, 0.73, 7e-3);
    // By hand with b = 0.8: (0.18 + 0.1296)/0.4096; 160·0.36/0.512.
    let usual = hose_barb(0.010, usual_barb_bore_m(0.010).unwrap()).unwrap();
    near(usual.turbulent, 0.755_859_375, 1e-12);
    near(usual.laminar, 112.5, 1e-12);
    assert_eq!(USUAL_BARB_SHARE, 0.80);
    assert_eq!(hose_barb(0.01, 0.01), Ok(LossCoefficient::NONE));
    // A barb narrower than a millimetre isn't known.
    assert!(usual_barb_bore_m(1.1e-3).is_err());
    for odd in ODD {
        assert!(usual_barb_bore_m(odd).is_err());
        assert!(hose_barb(odd, 0.01).is_err());
        assert!(hose_barb(0.01, odd).is_err());
    }
}
