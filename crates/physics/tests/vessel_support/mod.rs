//! Vessels as the reference files of `validation` write them.
#![allow(
    unreachable_pub,
    clippy::expect_used,
    clippy::panic,
    reason = "what can't be read stops the test"
)]

use physics::vessel::{Dimensions, Shape};
use serde_json::Value;

/// What stands under `key`, which must be a number.
pub fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

/// The vessel that an object of the reference files describes.
pub fn shape(vessel: &Value) -> Shape {
    let m = |key: &str| number(vessel, key);
    let dimensions = match vessel["shape"].as_str().expect("a name") {
        "cylinder" => Dimensions::Cylinder {
            diameter_m: m("diameter_m"),
            height_m: m("height_m"),
        },
        "frustum" => Dimensions::TaperedRound {
            diameter_bottom_m: m("diameter_bottom_m"),
            diameter_top_m: m("diameter_top_m"),
            height_m: m("height_m"),
        },
        "box" => Dimensions::Box {
            length_m: m("length_m"),
            width_m: m("width_m"),
            height_m: m("height_m"),
        },
        "tapered_box" => Dimensions::TaperedBox {
            length_bottom_m: m("length_bottom_m"),
            width_bottom_m: m("width_bottom_m"),
            length_top_m: m("length_top_m"),
            width_top_m: m("width_top_m"),
            height_m: m("height_m"),
        },
        "horizontal_cylinder" => Dimensions::HorizontalCylinder {
            diameter_m: m("diameter_m"),
            length_m: m("length_m"),
        },
        other => panic!("unknown shape {other}"),
    };
    Shape::new(dimensions).expect("sound dimensions")
}
