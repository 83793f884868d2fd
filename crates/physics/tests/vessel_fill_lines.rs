//! Level and volume of the reference vessels, whose volumes came from quadrature of the free surface.

use crate::vessel_support;

use serde_json::Value;
use vessel_support::{number, shape};

/// `validation/fill_lines.json`: inputs carry 7 decimals of a cubic metre, results full double precision.
const VOLUME_TOLERANCE: f64 = 1e-12;
const LEVEL_TOLERANCE_M: f64 = 1e-12;
const WHY: &str =
    "the quadrature agrees with closed forms to 2e-14 relative; a hundred times that for both roundings";

#[test]
fn levels_and_volumes_meet_the_quadrature() {
    let text = include_str!("../../../validation/fill_lines.json");
    let data: Value = serde_json::from_str(text).unwrap();
    let cases = data["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 20);
    let (mut worst_relative, mut worst_m) = (0.0_f64, 0.0_f64);
    for case in cases {
        let shape = shape(&case["vessel"]);
        let mut volume = |got: f64, expected: f64| {
            worst_relative = worst_relative.max((got / expected - 1.0).abs());
        };
        volume(shape.full_volume_m3(), number(case, "full_volume_m3"));
        for row in case["level_to_volume"].as_array().unwrap() {
            volume(
                shape.volume_m3(number(row, "level_m")).unwrap(),
                number(row, "volume_m3"),
            );
        }
        for row in case["volume_to_level"].as_array().unwrap() {
            let got = shape.level_m(number(row, "volume_m3")).unwrap();
            worst_m = worst_m.max((got - number(row, "level_m")).abs());
        }
    }
    assert!(
        worst_relative <= VOLUME_TOLERANCE,
        "volume off by {worst_relative} relative ({WHY})"
    );
    assert!(worst_m <= LEVEL_TOLERANCE_M, "level off by {worst_m} m ({WHY})");
}
