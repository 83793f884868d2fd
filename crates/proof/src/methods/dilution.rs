//! A pollutant and the changes that hold it down.

use physics::dilution as d;
use station::quantity::Kind;

use crate::method::{Method, take};

const RANGE: &str = "well mixed; nothing takes the pollutant up; new water has none of it";

pub(crate) static CHANGE_FRACTION: Method = Method {
    key: "change-fraction",
    title: "share of a tank that one change replaces",
    formula: "change / water of the tank",
    inputs: &["change", "water of the tank"],
    output: Kind::Fraction,
    sources: &["MASS-BALANCE"],
    range: "same salinity in and out",
    caution: None,
    eval: |inputs| {
        let [change, volume] = take(inputs)?;
        Ok(change / volume)
    },
};

pub(crate) static STEADY_BEFORE_CHANGE: Method = Method {
    key: "level-before-change",
    title: "what a pollutant settles at, just before each change",
    formula: "C = P T / f",
    inputs: &["rise", "time between changes", "share of one change"],
    output: Kind::Concentration,
    sources: &["MASS-BALANCE"],
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [rise, every, fraction] = take(inputs)?;
        Ok(d::steady_state(rise * every, 0.0, fraction)?.before_change)
    },
};

pub(crate) static FRACTION_TO_HOLD: Method = Method {
    key: "fraction-to-hold",
    title: "share of each change that holds a pollutant under its limit",
    formula: "f = P T / C_limit",
    inputs: &["rise", "time between changes", "limit"],
    output: Kind::Fraction,
    sources: &["MASS-BALANCE"],
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [rise, every, limit] = take(inputs)?;
        Ok(d::fraction_to_hold(rise * every, 0.0, limit)?)
    },
};

pub(crate) static ONE_CHANGE_NOW: Method = Method {
    key: "one-change-now",
    title: "share of one change that brings a pollutant to its limit now",
    formula: "f = 1 - C_limit / C_now",
    inputs: &["now", "limit"],
    output: Kind::Fraction,
    sources: &["MASS-BALANCE"],
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [now, limit] = take(inputs)?;
        Ok(d::one_change_to_reach(now, 0.0, limit)?)
    },
};

pub(crate) static EXCHANGE_NOW: Method = Method {
    key: "exchange-now",
    title: "new water passed through a stirred tank that brings a pollutant to its limit now",
    formula: "V_in = V ln(C_now / C_limit)",
    inputs: &["now", "limit", "water of the tank"],
    output: Kind::Volume,
    sources: &["MASS-BALANCE"],
    range: "as much runs out as runs in, slowly, into well-stirred water; nothing takes the pollutant up",
    caution: None,
    eval: |inputs| {
        let [now, limit, volume] = take(inputs)?;
        Ok(d::exchange_to_reach(now, 0.0, limit)? * volume)
    },
};
