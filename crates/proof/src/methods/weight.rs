//! Weight, load and pouring height of a vessel.

use physics::seawater::density_kg_m3;
use station::quantity::Kind;

use crate::method::{Method, take};

pub(crate) static MASS_WHEN_FULL: Method = Method {
    key: "mass-when-full",
    title: "mass of a vessel and its water",
    formula: "m = V rho(S, t) + empty mass",
    inputs: &["volume", "salinity", "temperature", "empty mass"],
    output: Kind::Mass,
    sources: &["TEOS-10-2010", "ROQUET-2015"],
    range: "salinity 0 to 42, -2 to 40 C; without stand, pump and pipes",
    caution: None,
    eval: |inputs| {
        let [volume, salinity, temperature, empty] = take(inputs)?;
        Ok(volume * density_kg_m3(salinity, temperature)? + empty)
    },
};

pub(crate) static FLOOR_LOAD: Method = Method {
    key: "floor-load",
    title: "load on the floor under a vessel",
    formula: "m / footprint",
    inputs: &[
        "mass",
        "footprint length or diameter",
        "footprint width",
        "share of the rectangle",
    ],
    output: Kind::FloorLoad,
    sources: &["HOUSE-RULE"],
    range: "spread evenly over the base; feet and narrow stands press harder",
    caution: None,
    eval: |inputs| {
        let [mass, length, width, share] = take(inputs)?;
        Ok(mass / (length * width * share))
    },
};

pub(crate) static POURING_HEIGHT: Method = Method {
    key: "pouring-height",
    title: "height over which a bag of salt is poured",
    formula: "height of the vessel's floor + inner height",
    inputs: &["floor height", "inner height"],
    output: Kind::Length,
    sources: &["GEOMETRY"],
    range: "without a step to stand on",
    caution: None,
    eval: |inputs| {
        let [floor, height] = take(inputs)?;
        Ok(floor + height)
    },
};
