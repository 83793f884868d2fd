//! The root finder: right, bounded in effort, and never quiet about a bad question.

use physics::numerics::{RootError, bracketed_newton, bracketed_root, try_bracketed_root};

struct Case {
    name: &'static str,
    function: fn(f64) -> f64,
    low: f64,
    high: f64,
    root: f64,
    /// Pinned: a change means that convergence has changed.
    evaluations: u32,
    source: &'static str,
}

const TOLERANCE: f64 = 1e-13;

#[rustfmt::skip]
const CASES: &[Case] = &[
    Case { name: "square root of two", function: |x| x * x - 2.0, low: 1.0, high: 2.0, root: std::f64::consts::SQRT_2, evaluations: 12, source: "exact" },
    Case { name: "x·eˣ = 1", function: |x| x * libm::exp(x) - 1.0, low: -1.0, high: 1.0, root: 0.567_143_290_409_784, evaluations: 12, source: "omega constant, from memory" },
    Case { name: "falling", function: |x| 1.0 - x * x * x, low: 0.0, high: 3.0, root: 1.0, evaluations: 13, source: "exact" },
    Case { name: "ninth power, flat at its root", function: |x| x * x * x * x * x * x * x * x * x, low: -1.0, high: 1.5, root: 0.0, evaluations: 48, source: "exact" },
    Case { name: "a jump", function: |x| if x < 0.3 { -1.0 } else { 1.0 }, low: -1.0, high: 1.5, root: 0.3, evaluations: 47, source: "exact" },
    Case { name: "root at the lower end", function: |x| x, low: 0.0, high: 1.0, root: 0.0, evaluations: 2, source: "exact" },
    Case { name: "root at the upper end", function: |x| x - 1.0, low: 0.0, high: 1.0, root: 1.0, evaluations: 2, source: "exact" },
];

#[test]
fn roots_are_met_with_the_pinned_effort() {
    for case in CASES {
        let root = bracketed_root(case.function, case.low, case.high, TOLERANCE).unwrap();
        let Case { name, source, .. } = case;
        assert!(
            (root.x - case.root).abs() <= TOLERANCE,
            "{name}: {} ({source})",
            root.x
        );
        assert_eq!(root.evaluations, case.evaluations, "{name}");
        let bisection = libm::ceil(libm::log2((case.high - case.low) / TOLERANCE));
        assert!(
            f64::from(root.evaluations) <= bisection + 3.0,
            "{name}: worse than bisection"
        );
    }
}

#[test]
fn a_bad_question_is_refused() {
    let line = |x: f64| x - 0.5;
    assert!(matches!(
        bracketed_root(line, 1.0, 2.0, 1e-9),
        Err(RootError::NoSignChange { .. })
    ));
    assert!(matches!(
        bracketed_root(line, 1.0, 0.0, 1e-9),
        Err(RootError::NotAnInterval { .. })
    ));
    assert!(matches!(
        bracketed_root(line, f64::NAN, 1.0, 1e-9),
        Err(RootError::NotAnInterval { .. })
    ));
    assert!(matches!(
        bracketed_root(line, 0.0, 1.0, 1e-17),
        Err(RootError::ToleranceTooFine { .. })
    ));
    assert!(matches!(
        bracketed_root(line, 0.0, 1.0, f64::NAN),
        Err(RootError::ToleranceTooFine { .. })
    ));
    let hole = |x: f64| if x > 0.1 && x < 0.9 { f64::NAN } else { x - 0.5 };
    assert!(matches!(
        bracketed_root(hole, 0.0, 1.0, 1e-9),
        Err(RootError::NotFinite { .. })
    ));
    let refusing = |x: f64| {
        if x > 0.3 && x < 0.9 {
            Err("no")
        } else {
            Ok(x - 0.5)
        }
    };
    assert_eq!(
        try_bracketed_root(refusing, 0.0, 1.0, 1e-9),
        Err(RootError::Function("no"))
    );
}

#[test]
fn with_a_slope_a_root_takes_a_few_steps() {
    type Sloped = fn(f64) -> (f64, f64);
    /// Name, function, ends, guess, root, pinned evaluations.
    type Row = (&'static str, Sloped, [f64; 2], f64, f64, u32);
    #[rustfmt::skip]
    let rows: [Row; 5] = [
        ("square root of two", |x| (x * x - 2.0, 2.0 * x), [1.0, 2.0], 1.4, std::f64::consts::SQRT_2, 6),
        ("a guess outside", |x| (x * x - 2.0, 2.0 * x), [1.0, 2.0], 9.0, std::f64::consts::SQRT_2, 7),
        ("no slope at the guess", |x| (x * x * x, 3.0 * x * x), [-1.0, 1.5], f64::NAN, 0.0, 89),
        ("a slope that is wrong", |x| (x - 0.3, 1e-9), [0.0, 1.0], 0.9, 0.3, 48),
        ("root at an end", |x| (x, 1.0), [0.0, 1.0], 0.5, 0.0, 2),
    ];
    for (name, function, [low, high], guess, expected, evaluations) in rows {
        let root = bracketed_newton(function, low, high, guess, TOLERANCE).unwrap();
        assert!((root.x - expected).abs() <= 2.0 * TOLERANCE, "{name}: {}", root.x);
        assert_eq!(root.evaluations, evaluations, "{name}");
    }
    let line = |x: f64| (x - 0.5, 1.0);
    assert!(matches!(
        bracketed_newton(line, 1.0, 2.0, 1.5, 1e-9),
        Err(RootError::NoSignChange { .. })
    ));
    assert!(matches!(
        bracketed_newton(line, 0.0, 1.0, 0.4, 1e-17),
        Err(RootError::ToleranceTooFine { .. })
    ));
    assert!(matches!(
        bracketed_newton(line, f64::NAN, 1.0, 0.4, 1e-9),
        Err(RootError::NotAnInterval { .. })
    ));
    let hole = |x: f64| {
        if x > 0.1 && x < 0.9 {
            (f64::NAN, 1.0)
        } else {
            (x - 0.5, 1.0)
        }
    };
    assert!(matches!(
        bracketed_newton(hole, 0.0, 1.0, 0.4, 1e-9),
        Err(RootError::NotFinite { .. })
    ));
}
