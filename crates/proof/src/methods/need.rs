//! What the tanks need, and how long the stores last.

use physics::mixing::drift_by_salt_top_off;
use physics::seawater::density_kg_m3;
use station::quantity::Kind;

use crate::method::{Method, take};

pub(crate) static DAILY_SUM: Method = Method {
    key: "sum-of-flows",
    title: "flows together",
    formula: "q1 + q2 + ...",
    inputs: &["flows"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "as the owner states them",
    caution: None,
    // An empty sum is -0.0 in floating point.
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

pub(crate) static CHANGE_RATE: Method = Method {
    key: "change-rate",
    title: "salt water for regular changes",
    formula: "change / time between changes",
    inputs: &["change", "time between changes"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "mean over many changes",
    caution: None,
    eval: |inputs| {
        let [change, every] = take(inputs)?;
        Ok(change / every)
    },
};

pub(crate) static SALT_RATE_AS_FRESH: Method = Method {
    key: "fresh-in-salt-water",
    title: "fresh water that the salt water takes",
    formula: "q rho(S, t) (1 - s/f) / rho(0, t)",
    inputs: &["salt water", "salinity", "temperature", "strength"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE", "TEOS-10-2010", "ROQUET-2015"],
    range: "salinity 0 to 42, -2 to 40 C",
    caution: None,
    eval: |inputs| {
        let [flow, salinity, temperature, strength] = take(inputs)?;
        let salt = physics::seawater::salt_mass_fraction(salinity);
        Ok(
            flow * density_kg_m3(salinity, temperature)? * (1.0 - salt / strength)
                / density_kg_m3(0.0, temperature)?,
        )
    },
};

pub(crate) static EMERGENCY_VOLUME: Method = Method {
    key: "emergency-change",
    title: "salt water for one emergency change",
    formula: "share x water of the tank",
    inputs: &["share", "water of the tank"],
    output: Kind::Volume,
    sources: &["MASS-BALANCE"],
    range: "one tank at a time",
    caution: None,
    eval: |inputs| {
        let [share, volume] = take(inputs)?;
        Ok(share * volume)
    },
};

pub(crate) static DAYS_HELD: Method = Method {
    key: "time-a-store-lasts",
    title: "time that a store lasts when nothing is made",
    formula: "V / q",
    inputs: &["drawable volume", "need"],
    output: Kind::Time,
    sources: &["MASS-BALANCE"],
    range: "steady need",
    caution: None,
    eval: |inputs| {
        let [volume, need] = take(inputs)?;
        Ok(volume / need)
    },
};

pub(crate) static RUNS_A_WEEK: Method = Method {
    key: "time-between-runs",
    title: "time from one run to the next",
    formula: "run volume / need",
    inputs: &["run volume", "need"],
    output: Kind::Time,
    sources: &["MASS-BALANCE"],
    range: "steady need, all of it from this vessel",
    caution: None,
    eval: |inputs| {
        let [run, need] = take(inputs)?;
        Ok(run / need)
    },
};

pub(crate) static TOP_OFF_DRIFT: Method = Method {
    key: "top-off-drift",
    title: "rise of salinity in 30 days of topping off with salt water",
    formula: "dS = S_t q 30 d / V",
    inputs: &["salinity of the top-off", "evaporation", "water of the tank"],
    output: Kind::Salinity,
    sources: &["MASS-BALANCE"],
    range: "no change in between; volumes taken as masses",
    caution: None,
    eval: |inputs| {
        let [salinity, evaporation, volume] = take(inputs)?;
        Ok(drift_by_salt_top_off(
            salinity,
            evaporation * 86_400.0 / volume,
            30.0,
        )?)
    },
};
