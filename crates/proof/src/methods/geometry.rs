//! Level and volume of every shape.

use physics::vessel as v;
use station::quantity::Kind;

use crate::method::{Method, Refusal, take};

const RANGE: &str = "level between floor and rim; flat, level floor; the wall doesn't bulge";
const SOURCES: &[&str] = &["GEOMETRY"];

macro_rules! shape_methods {
    ($($volume:ident $level:ident, $word:literal $spoken:literal, [$($input:literal),*], $formula:literal, $to_volume:path, $to_level:path, $n:tt;)*) => {$(
        pub(crate) static $volume: Method = Method {
            key: concat!("volume-", $word),
            title: concat!("volume of water in a vessel: ", $spoken),
            formula: $formula,
            inputs: &[$($input,)* "level"],
            output: Kind::Volume,
            sources: SOURCES,
            range: RANGE,
            caution: None,
            eval: |inputs| {
                let x: [f64; $n] = take(inputs)?;
                Ok(shape_methods!(@call $to_volume, x, $n)?)
            },
        };
        pub(crate) static $level: Method = Method {
            key: concat!("level-", $word),
            title: concat!("level of a volume of water in a vessel: ", $spoken),
            formula: concat!("the level h at which ", $formula),
            inputs: &[$($input,)* "volume"],
            output: Kind::Length,
            sources: SOURCES,
            range: RANGE,
            caution: None,
            eval: |inputs| {
                let x: [f64; $n] = take(inputs)?;
                Ok(shape_methods!(@call $to_level, x, $n)?)
            },
        };
    )*};
    (@call $f:path, $x:ident, 3) => { $f($x[0], $x[1], $x[2]) };
    (@call $f:path, $x:ident, 4) => { $f($x[0], $x[1], $x[2], $x[3]) };
    (@call $f:path, $x:ident, 5) => { $f($x[0], $x[1], $x[2], $x[3], $x[4]) };
    (@call $f:path, $x:ident, 6) => { $f($x[0], $x[1], $x[2], $x[3], $x[4], $x[5]) };
}

shape_methods! {
    VOLUME_CYLINDER LEVEL_CYLINDER, "cylinder" "cylinder", ["diameter", "height"],
        "V = pi/4 D^2 h", v::volume_cylinder_m3, v::level_cylinder_m, 3;
    VOLUME_TAPERED_ROUND LEVEL_TAPERED_ROUND, "tapered-round" "tapered round", ["diameter at floor", "diameter at rim", "height"],
        "V = pi/12 h (d^2 + d D + D^2), D the diameter at level h", v::volume_tapered_round_m3, v::level_tapered_round_m, 4;
    VOLUME_BOX LEVEL_BOX, "box" "box", ["length", "width", "height"],
        "V = L W h", v::volume_box_m3, v::level_box_m, 4;
    VOLUME_TAPERED_BOX LEVEL_TAPERED_BOX, "tapered-box" "tapered box",
        ["length at floor", "width at floor", "length at rim", "width at rim", "height"],
        "V = h/6 (l w + (l + L)(w + W) + L W), L and W the sides at level h",
        v::volume_tapered_box_m3, v::level_tapered_box_m, 6;
    VOLUME_HORIZONTAL_CYLINDER LEVEL_HORIZONTAL_CYLINDER, "horizontal-cylinder" "horizontal cylinder", ["diameter", "length"],
        "V = L (r^2 acos((r - h)/r) - (r - h) sqrt(2 r h - h^2))",
        v::volume_horizontal_cylinder_m3, v::level_horizontal_cylinder_m, 3;
    VOLUME_CONE_BOTTOM LEVEL_CONE_BOTTOM, "cone-bottom" "cone bottom", ["outlet diameter", "diameter", "cone height", "height"],
        "V = pi/12 h (d^2 + d D + D^2) in the cone, then + pi/4 D^2 (h - cone height)",
        volume_cone_bottom, level_cone_bottom, 5;
}

// The kernel names the diameter first; the register follows the file, which draws from the tip upward.
fn volume_cone_bottom(
    outlet: f64,
    diameter: f64,
    cone: f64,
    height: f64,
    level: f64,
) -> Result<f64, v::VesselError> {
    v::volume_cone_bottom_m3(diameter, cone, outlet, height, level)
}

fn level_cone_bottom(
    outlet: f64,
    diameter: f64,
    cone: f64,
    height: f64,
    volume: f64,
) -> Result<f64, v::VesselError> {
    v::level_cone_bottom_m(diameter, cone, outlet, height, volume)
}

/// The measured table, with level and volume in turn and the wanted one last.
fn measured(inputs: &[f64]) -> Result<(v::Shape, f64), Refusal> {
    let [rows @ .., wanted] = inputs else {
        return Err(Refusal::Inputs { given: inputs.len() });
    };
    let rows = rows
        .chunks_exact(2)
        .map(|row| v::TableRow {
            level_m: row[0],
            volume_m3: row[1],
        })
        .collect();
    let shape =
        v::Shape::new(v::Dimensions::Table { rows }).map_err(|errors| match errors.into_iter().next() {
            Some(error) => Refusal::Vessel(error.into()),
            None => Refusal::NotANumber,
        })?;
    Ok((shape, *wanted))
}

pub(crate) static VOLUME_MEASURED: Method = Method {
    key: "volume-measured",
    title: "volume of water in a vessel: measured",
    formula: "straight between the measured pairs of level and volume",
    inputs: &["level and volume, in turn", "level"],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let (shape, level) = measured(inputs)?;
        shape
            .volume_m3(level)
            .map_err(|error| Refusal::Vessel(error.into()))
    },
};

pub(crate) static LEVEL_MEASURED: Method = Method {
    key: "level-measured",
    title: "level of a volume of water in a vessel: measured",
    formula: "straight between the measured pairs of level and volume",
    inputs: &["level and volume, in turn", "volume"],
    output: Kind::Length,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let (shape, volume) = measured(inputs)?;
        shape
            .level_m(volume)
            .map_err(|error| Refusal::Vessel(error.into()))
    },
};

pub(crate) static RUN_VOLUME: Method = Method {
    key: "run-volume",
    title: "water that one run makes",
    formula: "V(stop) - V(start)",
    inputs: &["volume at stop", "volume at start"],
    output: Kind::Volume,
    sources: SOURCES,
    range: "nothing is drawn while the run lasts",
    caution: None,
    eval: |inputs| {
        let [stop, start] = take(inputs)?;
        Ok(stop - start)
    },
};

pub(crate) static DRAWABLE_VOLUME: Method = Method {
    key: "drawable-volume",
    title: "water that can be drawn",
    formula: "V(level) - V(lowest drawable level), not below 0",
    inputs: &["volume at level", "volume at the lowest drawable level"],
    output: Kind::Volume,
    sources: SOURCES,
    range: "drawn from the outlet; a siphon or a tilted vessel gives more",
    caution: None,
    eval: |inputs| {
        let [level, lowest] = take(inputs)?;
        Ok((level - lowest).max(0.0))
    },
};

pub(crate) static SUM_OF_VOLUMES: Method = Method {
    key: "sum-of-volumes",
    title: "volumes together",
    formula: "V1 + V2 + ...",
    inputs: &["volumes"],
    output: Kind::Volume,
    sources: SOURCES,
    range: "waters of the same kind",
    caution: None,
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

pub(crate) static LEVEL_ABOVE: Method = Method {
    key: "level-above",
    title: "a level so far above another",
    formula: "h + distance",
    inputs: &["level", "distance"],
    output: Kind::Length,
    sources: SOURCES,
    range: "the marks are set with a tape, to a few millimetres",
    caution: None,
    eval: |inputs| {
        let [level, distance] = take(inputs)?;
        Ok(level + distance)
    },
};

pub(crate) static LEVEL_BELOW: Method = Method {
    key: "level-below",
    title: "a level so far below another",
    formula: "h - distance",
    inputs: &["level", "distance"],
    output: Kind::Length,
    sources: SOURCES,
    range: "not below the floor",
    caution: None,
    eval: |inputs| {
        let [level, distance] = take(inputs)?;
        Ok(level - distance)
    },
};
