//! The restrictor and the pressures around the membrane.

use physics::membrane::{Feed, Resistances, Restrictor, reject_for};
use station::quantity::Kind;

use super::membrane::{LITRE_A_MINUTE_M3_S, recovery_beyond};
use crate::method::{Method, Refusal, take};

pub(crate) static SUM_OF_PRESSURES: Method = Method {
    key: "sum-of-pressures",
    title: "pressures one after the other",
    formula: "p1 + p2 + ...",
    inputs: &["pressures"],
    output: Kind::Pressure,
    sources: &["DEFINITION"],
    range: "one flow through all",
    caution: None,
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

pub(crate) static RESTRICTOR_FROM_RATIO: Method = Method {
    key: "restrictor-from-ratio",
    title: "reject that the restrictor passes at the membranes' rating",
    formula: "ratio x rated flow",
    inputs: &["parts of reject to one of permeate", "rated flow"],
    output: Kind::Flow,
    sources: &["DEFINITION"],
    range: "sold for these membranes",
    caution: None,
    eval: |inputs| {
        let [ratio, flow] = take(inputs)?;
        Ok(ratio * flow)
    },
};

pub(crate) static RESTRICTOR_FROM_BORE: Method = Method {
    key: "restrictor-from-bore",
    title: "reject that the restrictor passes",
    formula: "Cd pi/4 d^2 sqrt(2 P/rho), Cd = 0.62",
    inputs: &["bore", "pressure"],
    output: Kind::Flow,
    sources: &["ORIFICE"],
    range: "a sharp orifice, turbulent: above a Reynolds number of about 2 000",
    caution: None,
    eval: |inputs| {
        let [bore, pressure] = take(inputs)?;
        Ok(Restrictor::from_bore(bore, 0.62, 998.0)?.flow_m3_s(pressure)?)
    },
};

pub(crate) static REJECT_FLOW: Method = Method {
    key: "reject-flow",
    title: "reject, while it runs",
    formula: "K sqrt(P - R_f (q + reject)), a turbulent orifice behind the filters",
    inputs: &[
        "pressure",
        "flow of the restrictor",
        "at its pressure",
        "drop of the filters at 1 L/min (0.26 gal/min)",
        "permeate",
    ],
    output: Kind::Flow,
    sources: &["ORIFICE"],
    range: "drain at the height of the membranes",
    caution: None,
    eval: |inputs| {
        let [pressure, reject, at, filters, permeate] = take(inputs)?;
        let resistances = Resistances {
            feed_pa_s_m3: filters / LITRE_A_MINUTE_M3_S,
            channel_pa_s_m3: 0.0,
            permeate_pa_s_m3: 0.0,
        };
        // Of the feed only its pressure counts here.
        let feed = Feed {
            pressure_pa: pressure,
            temperature_c: 15.0,
            dissolved_solids_kg_m3: 0.0,
            permeate_pressure_pa: 0.0,
        };
        Ok(reject_for(
            &Restrictor::from_rated(reject, at)?,
            &resistances,
            &feed,
            permeate,
        )?)
    },
};

pub(crate) static PRESSURE_AT_MEMBRANE: Method = Method {
    key: "pressure-at-membrane",
    title: "pressure at the membrane while it runs",
    formula: "P - R_f (permeate + reject)",
    inputs: &[
        "pressure",
        "drop of the filters at 1 L/min (0.26 gal/min)",
        "permeate",
        "reject",
    ],
    output: Kind::Pressure,
    sources: &["COMMON-PRACTICE"],
    range: "filters whose drop grows with the flow",
    caution: None,
    eval: |inputs| {
        let [pressure, filters, permeate, reject] = take(inputs)?;
        Ok(pressure - filters * (permeate + reject) / LITRE_A_MINUTE_M3_S)
    },
};

pub(crate) static PRESSURE_BEFORE_BOOSTER: Method = Method {
    key: "pressure-before-booster",
    title: "pressure before the booster while it runs",
    formula: "P - R_f (permeate + reject)",
    inputs: &[
        "pressure before the filters",
        "drop of the filters at 1 L/min (0.26 gal/min)",
        "permeate",
        "reject",
    ],
    output: Kind::Pressure,
    sources: &["COMMON-PRACTICE"],
    range: "a booster behind the filters; the tap's own sag under flow isn't in it",
    caution: None,
    eval: PRESSURE_AT_MEMBRANE.eval,
};

pub(crate) static DROP_AT_A_LITRE: Method = Method {
    key: "drop-at-a-litre",
    title: "a drop told at the running flow, brought to 1 L/min",
    formula: "drop (1 L/min)/(permeate + reject)",
    inputs: &["drop at the running flow", "permeate", "reject"],
    output: Kind::Pressure,
    sources: &["COMMON-PRACTICE"],
    range: "filters whose drop grows with the flow",
    caution: None,
    eval: |inputs| {
        let [drop, permeate, reject] = take(inputs)?;
        match permeate + reject > 0.0 {
            true => Ok(drop * LITRE_A_MINUTE_M3_S / (permeate + reject)),
            false => Err(Refusal::NoFlow),
        }
    },
};

pub(crate) static RECOVERY: Method = Method {
    key: "recovery",
    title: "share of the feed that becomes permeate",
    formula: "permeate / (permeate + reject)",
    inputs: &["permeate", "reject"],
    output: Kind::Fraction,
    sources: &["DEFINITION"],
    range: "while it runs",
    caution: Some(|inputs| match inputs {
        [permeate, reject] => recovery_beyond(*permeate, *reject),
        _ => None,
    }),
    eval: |inputs| {
        let [permeate, reject] = take(inputs)?;
        match permeate + reject > 0.0 {
            true => Ok(permeate / (permeate + reject)),
            false => Err(Refusal::NoFlow),
        }
    },
};

pub(crate) static REJECT_SOLIDS: Method = Method {
    key: "reject-solids",
    title: "dissolved solids of the reject",
    formula: "(C_f (q + reject) - C_p q) / reject",
    inputs: &[
        "solids of the feed",
        "solids of the permeate",
        "permeate",
        "reject",
    ],
    output: Kind::Concentration,
    sources: &["MASS-BALANCE"],
    range: "while it runs",
    caution: None,
    eval: |inputs| {
        let [feed, solids, permeate, reject] = take(inputs)?;
        Ok((feed * (permeate + reject) - solids * permeate) / reject)
    },
};
