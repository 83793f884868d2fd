//! Valves, open, partly open and closed, against printed tables and worked values.

use physics::hydraulics::parts::{
    Cracking, LossCoefficient, PartError, ValveKind, ValvePosition, cv_from_kv, kv_from_loss, loss_from_kv,
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

fn open(passage: ValvePosition) -> LossCoefficient {
    match passage {
        ValvePosition::Open(loss) => loss,
        ValvePosition::Closed => panic!("closed"),
    }
}

#[test]
fn open_valves_at_half_an_inch() {
    use ValveKind::*;
    for (kind, turbulent, tolerance, laminar, source) in [
        (
            BallFull,
            0.08,
            0.005,
            300.0,
            "TP-410 read in a public page, two decimals",
        ),
        // By hand: 12.64 mm is 0.02858; (0.0857 + 0.18 + 0.1296)/0.4096.
        (BallReduced, 0.965, 0.005, 1000.0, "house rule, by hand"),
        (
            Gate,
            0.22,
            0.005,
            300.0,
            "TP-410 read in a public page, two decimals",
        ),
        (
            Globe,
            9.2,
            0.05,
            1500.0,
            "TP-410 read in a public page, one decimal",
        ),
        (
            Diaphragm,
            2.3,
            1e-12,
            1000.0,
            "PERRY-GREEN-1997 read in a public page",
        ),
        (Butterfly, 1.215, 1e-9, 800.0, "by hand: 45·0.027"),
        (SwingCheck, 2.7, 1e-9, 1500.0, "handbook, TP-410"),
        (SpringCheck, 10.0, 1e-12, 2000.0, "common practice, 5 to 20"),
        // By hand: (1/(0.62·0.36))² and (1/(0.62·0.25))².
        (Solenoid, 20.07, 0.01, 1500.0, "house rule, by hand"),
        (Needle, 41.62, 0.01, 1500.0, "house rule, by hand"),
        (Float, 41.62, 0.01, 1500.0, "house rule, by hand"),
    ] {
        let loss = kind.fully_open(HALF_INCH_M).unwrap();
        assert!(
            (loss.turbulent - turbulent).abs() <= tolerance,
            "{kind:?} ({source}): {loss:?}"
        );
        assert_eq!(loss.laminar, laminar, "{kind:?} ({source})");
    }
    // Butterfly of 2 in in the same public page: 0.86.
    near(
        Butterfly.fully_open(2.067 * INCH_M).unwrap().turbulent,
        0.86,
        6e-3,
    );
    // Small ones in a quarter-inch tube have a Cv of 0.1 to 0.5 (handbook, common practice).
    for kind in [Needle, Solenoid, Float] {
        let bore_m = 0.170 * INCH_M;
        let loss = kind.fully_open(bore_m).unwrap().turbulent;
        let cv = cv_from_kv(kv_from_loss(loss, bore_m).unwrap()).unwrap();
        assert!((0.1..0.5).contains(&cv), "{kind:?}: Cv {cv}");
    }
    assert_eq!(
        ValveKind::ALL.map(ValveKind::needs_own_kv),
        ValveKind::ALL.map(|kind| [Needle, SpringCheck, Solenoid, Float].contains(&kind))
    );
}

#[test]
fn check_valves_crack() {
    for kind in ValveKind::ALL {
        let expected = match kind {
            // Handbook: 0.02 to 0.07 bar.
            ValveKind::SpringCheck => Some((2e3, 7e3)),
            ValveKind::SwingCheck => Some((0.0, 0.0)),
            _ => None,
        };
        let got = kind.cracking().map(
            |Cracking {
                 least_pa,
                 usual_pa,
                 most_pa,
             }| {
                assert!((least_pa..=most_pa).contains(&usual_pa));
                (least_pa, most_pa)
            },
        );
        assert_eq!(got, expected, "{kind:?}");
    }
}

#[test]
fn valves_by_their_opening() {
    use ValveKind::*;
    // From the same public page, K at an opening; the loss of the open valve is the table's own.
    for (kind, open_loss, opening, expected, tolerance, why) in [
        (
            BallFull,
            0.05,
            1.0 - 5.0 / 90.0,
            0.10,
            1e-9,
            "plug at 5°, added to 0.05",
        ),
        (
            BallFull,
            0.05,
            1.0 - 20.0 / 90.0,
            1.61,
            1e-9,
            "plug at 20°, added to 0.05",
        ),
        (
            BallFull,
            0.05,
            1.0 - 60.0 / 90.0,
            206.05,
            1e-9,
            "plug at 60°, added to 0.05",
        ),
        // By hand: a fifth of the way to 0.05 squared is 0.002.
        (BallFull, 0.05, 1.0 - 1.0 / 90.0, 0.052, 1e-9, "1°, a parabola"),
        // By hand: 486·(17/7)² at 75°.
        (
            BallFull,
            0.05,
            1.0 - 75.0 / 90.0,
            2866.44,
            1e-5,
            "75°, towards 82°",
        ),
        // By hand: 1.56/0.4096 added to 0.95.
        (
            BallReduced,
            0.95,
            1.0 - 20.0 / 90.0,
            4.7586,
            1e-4,
            "plug at 20° on a port of 0.8",
        ),
        (
            Butterfly,
            0.3,
            1.0 - 40.0 / 90.0,
            11.1,
            1e-9,
            "disc at 40°, added to 0.3",
        ),
        (Gate, 0.17, 0.25, 24.0, 1e-12, "gate, a quarter open"),
        (Gate, 0.17, 0.5, 4.5, 1e-12, "gate, half open"),
        (Gate, 0.17, 0.75, 0.9, 1e-12, "gate, three quarters open"),
        (Gate, 0.17, 0.125, 96.0, 1e-12, "half the flow of a quarter"),
        (Diaphragm, 2.3, 0.25, 21.0, 1e-12, "diaphragm, a quarter open"),
        (Diaphragm, 2.3, 0.75, 2.6, 1e-12, "diaphragm, three quarters open"),
        (Globe, 9.0, 0.5, 36.0, 1e-12, "globe with a plug, half open: 36"),
        // The same page has 13 and 112 at three quarters and a quarter: linear is 23 % above and 29 % above it.
        (
            Globe,
            9.0,
            0.75,
            13.0,
            0.24,
            "globe with a plug, three quarters open",
        ),
        (Globe, 9.0, 0.25, 112.0, 0.29, "globe with a plug, a quarter open"),
        (
            Needle,
            40.0,
            0.1,
            4000.0,
            1e-12,
            "a tenth of the flow coefficient",
        ),
        (Float, 40.0, 0.1, 4000.0, 1e-12, "a tenth of the flow coefficient"),
    ] {
        let passage = kind
            .passage_of(LossCoefficient::constant(open_loss), opening)
            .unwrap();
        let got = open(passage).turbulent;
        assert!(
            (got / expected - 1.0).abs() <= tolerance,
            "{kind:?}, {why}: {got} for {expected}"
        );
    }
    // The laminar constant grows as if the bore had shrunk: 16 times the loss, 8 times the constant.
    let globe = LossCoefficient {
        turbulent: 9.0,
        laminar: 1500.0,
    };
    near(
        open(Globe.passage_of(globe, 0.25).unwrap()).laminar,
        12_000.0,
        1e-14,
    );
}

#[test]
fn closed_and_open_ends() {
    for kind in ValveKind::ALL {
        assert_eq!(kind.passage(HALF_INCH_M, 0.0), Ok(ValvePosition::Closed));
        assert_eq!(
            kind.passage(HALF_INCH_M, 1.0),
            Ok(ValvePosition::Open(kind.fully_open(HALF_INCH_M).unwrap()))
        );
        // Too narrow a crack is no passage: 1e-7 of the flow is 1e14 of the loss.
        if let Ok(passage) = kind.passage(HALF_INCH_M, 1e-9) {
            assert_eq!(passage, ValvePosition::Closed, "{kind:?}");
        }
        for odd in [f64::NAN, f64::INFINITY, -1e-9, 1.0 + 1e-9] {
            assert!(matches!(
                kind.passage(HALF_INCH_M, odd),
                Err(PartError::OutOfRange(_))
            ));
        }
        for odd in ODD {
            assert!(kind.passage(odd, 1.0).is_err());
            assert!(kind.passage_of(LossCoefficient::constant(odd), 0.5).is_err());
            let laminar = LossCoefficient {
                turbulent: 1.0,
                laminar: odd,
            };
            assert!(kind.passage_of(laminar, 1.0).is_err());
        }
        assert!(kind.passage_of(LossCoefficient::NONE, 1.0).is_err());
    }
    // A ball is shut before its handle is across: at 82° of 90°.
    assert_eq!(
        ValveKind::BallFull.passage(HALF_INCH_M, 7.9 / 90.0),
        Ok(ValvePosition::Closed)
    );
    assert!(matches!(
        ValveKind::BallFull.passage(HALF_INCH_M, 8.1 / 90.0),
        Ok(ValvePosition::Open(_))
    ));
    // So narrow a line that the port of a reduced ball is below a millimetre.
    assert!(ValveKind::BallReduced.fully_open(1.1e-3).is_err());
    // A nearly closed valve whose laminar constant is beyond all measure.
    let thick = LossCoefficient {
        turbulent: 1e-3,
        laminar: 1e16,
    };
    assert!(ValveKind::Globe.passage_of(thick, 0.5).is_err());
}

#[test]
fn valves_that_do_not_throttle() {
    for kind in [ValveKind::SwingCheck, ValveKind::SpringCheck, ValveKind::Solenoid] {
        let refused = PartError::NotThrottled {
            valve: kind,
            opening: 0.5,
        };
        assert_eq!(kind.passage(HALF_INCH_M, 0.5), Err(refused));
        assert_eq!(
            refused.to_string(),
            format!("a {} is open or closed, never at 0.5", kind.name())
        );
        assert_eq!(
            refused.mend(),
            "say 0 for closed or 1 for open, or take a valve that throttles"
        );
    }
    let outside: PartError = loss_from_kv(-1.0, 0.01).unwrap_err().into();
    assert_eq!(outside.mend(), "check the value and its unit");
}
