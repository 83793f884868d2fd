//! How a vessel is mixed and warmed, and when it is ready.

use super::Case;

/// Handbook 7, case 1: 0.56 m wide, 0.8 m deep, 25 L/min through 13 mm, at 1 mm²/s.
const JET: &[f64] = &[25e-3 / 60.0, 0.013, 0.197_04, 0.8, 1e-6, 0.0, 1.0];

#[rustfmt::skip]
pub(crate) const CASES: &[Case] = &[
    ("turnover", &[0.197_04, 25e-3 / 60.0], 473.0, 0.5, "handbook 7"),
    ("jet-mixing-shortest", JET, 59.0 * core::f64::consts::FRAC_PI_4, 0.5, "handbook 7: circulation, 59 s by T2H; by volume pi/4 of it"),
    ("jet-mixing-longest", JET, 70.0, 0.5, "handbook 7: turbulence at the end of the jet"),
    ("turnover-mixing", &[473.0, 1.0], 1417.0, 0.5, "handbook 7: three turnovers replace 95 %"),
    ("mixed-to-99", &[100.0], 154.0, 0.5, "handbook 7: 1.54 times as long"),
    ("grain-dissolves", &[1e-3, 35.0, 25.0], 42.389, 0.05, "Ranz-Marshall and Ferguson-Church by midpoints over the diameter, apart from this code"),
    ("first-measurement", &[44.0, 100.0, 300.0], 44.0 + 3.0 * 153.723 + 300.0, 0.1, "arithmetic"),
    ("warm-up", &[8.17e6 / 10.0, 1e-5, 20.0, 300.0, 15.0, 25.0], 27_233.0, 5.0, "handbook 12: 200 L by 10 C with 300 W, no loss"),
    ("warm-up", &[8.17e6 / 10.0, 12.0, 15.0, 300.0, 15.0, 25.0], 8.17e5 / 12.0 * 0.510_826, 5.0, "handbook 12: (mc/UA) ln(25/15)"),
    // (101325 - 3169 + 0.1 m of 997 kg/m3) Pa by 997 kg/m3: 10.14 m of it.
    ("npsh-available", &[977.7, 0.0, 25.0, 0.0], 10.14, 0.01, "handbook 8, check 6"),
    ("least-level", &[0.0, 0.0266, 20e-3 / 60.0], 0.098, 0.001, "handbook 8, check 2: 20 L/min in 26.6 mm"),
    ("lead-time", &[60.0, 300.0, 600.0], 960.0, 1e-12, "arithmetic"),
];
