//! The membrane by solution and diffusion, with its restrictor.
//!
//! Areas never appear: an element is two conductances, so that what its maker doesn't print isn't asked for.

use physics::membrane::limits::{PRESSURE, PRESSURE_SOUND, RECOVERY_SOUND, SOLIDS_SOUND, TEMPERATURE_SOUND};
use physics::membrane::{
    Element, Feed, Operating, Rating, Resistances, Restrictor, TemperatureResponse, least_pressure_pa,
    operate, operate_series, permeate_solids_kg_m3, wall_factor,
};
use physics::numerics::{RootError, try_bracketed_root};
use station::quantity::Kind;

use crate::method::{Beyond, Method, Refusal, take};

/// Where the feed leaves what the model was made for.
fn beyond(temperature_c: f64, solids_kg_m3: f64, pressure_pa: Option<f64>) -> Option<Beyond> {
    let left = |range: &physics::Range, kind: Kind, value: f64| {
        (!range.contains(value)).then_some(Beyond {
            quantity: range.quantity,
            kind,
            ends: [range.min, range.max],
        })
    };
    left(&TEMPERATURE_SOUND, Kind::Temperature, temperature_c)
        .or_else(|| left(&SOLIDS_SOUND, Kind::Concentration, solids_kg_m3))
        .or_else(|| pressure_pa.and_then(|pressure| left(&PRESSURE_SOUND, Kind::Pressure, pressure)))
}

/// Where so much of the feed becomes permeate that one lumped element is a poor picture. Little of it is none: there the
/// wall is nearly the feed.
pub(super) fn recovery_beyond(permeate: f64, reject: f64) -> Option<Beyond> {
    (permeate / (permeate + reject) > RECOVERY_SOUND.max).then_some(Beyond {
        quantity: "recovery",
        kind: Kind::Fraction,
        ends: [0.0, RECOVERY_SOUND.max],
    })
}

fn train_beyond(inputs: &[f64]) -> Option<Beyond> {
    let [pressure, temperature, solids, ..] = inputs else {
        return None;
    };
    beyond(*temperature, *solids, Some(*pressure)).or_else(|| {
        let flows = solve(inputs).ok()?;
        recovery_beyond(flows.permeate_m3_s, flows.reject_m3_s)
    })
}

fn solids_beyond(inputs: &[f64]) -> Option<Beyond> {
    match inputs {
        [_, temperature, _, solids, permeate, reject] => {
            beyond(*temperature, *solids, None).or_else(|| recovery_beyond(*permeate, *reject))
        }
        _ => None,
    }
}

const SOURCES: &[&str] = &[
    "LONSDALE-1965",
    "ASTM-D4516",
    "MEMBRANE-TCF",
    "MEMBRANE-POLARISATION",
    "OSMOTIC-FORM",
];
const RANGE: &str = "dilute feed under 3 g/L, 5 to 35 C, recovery under 0.5, polyamide; one lumped element";

/// A flow of one litre a minute: where filters are rated.
pub(super) const LITRE_A_MINUTE_M3_S: f64 = 1e-3 / 60.0;

pub(crate) static MEMBRANE_WATER: Method = Method {
    key: "water-conductance",
    title: "water that a membrane lets through at 25 C",
    formula: "q_rated / (TCF (P - pi(C_f CF CP) + pi(C_p)))",
    inputs: RATING,
    output: Kind::FlowPerPressure,
    sources: SOURCES,
    range: "as the maker rates it; real ones differ by the tolerance",
    caution: None,
    eval: |inputs| Ok(element(inputs)?.water_conductance_m3_s_pa),
};

pub(crate) static MEMBRANE_SALT: Method = Method {
    key: "salt-conductance",
    title: "salt that a membrane lets through at 25 C, as a flow of its wall's water",
    formula: "q_rated C_p / (TCF (C_m - C_p))",
    inputs: RATING,
    output: Kind::Flow,
    sources: SOURCES,
    range: "as the maker rates it",
    caution: None,
    eval: |inputs| Ok(element(inputs)?.salt_conductance_m3_s),
};

const RATING: &[&str] = &[
    "rated flow",
    "true share of it",
    "rated pressure",
    "rated solids",
    "rated temperature",
    "rated recovery",
    "rejection",
    "output at 15 C",
];

fn element(inputs: &[f64]) -> Result<Element, Refusal> {
    let [
        flow,
        share,
        pressure_pa,
        solids,
        temperature_c,
        recovery,
        rejection,
        cold,
    ] = take(inputs)?;
    let rating = Rating {
        permeate_flow_m3_s: flow * share,
        pressure_pa,
        temperature_c,
        dissolved_solids_kg_m3: solids,
        recovery,
        rejection,
    };
    Ok(Element::from_rating(
        &rating,
        &TemperatureResponse::from_output_at_15_c(cold)?,
    )?)
}

pub(crate) static SUM_OF_WATER_CONDUCTANCES: Method = Method {
    key: "sum-of-water-conductances",
    title: "water that all membranes let through",
    formula: "a1 + a2 + ...",
    inputs: &["membranes"],
    output: Kind::FlowPerPressure,
    sources: &["MASS-BALANCE"],
    range: "membranes in parallel at one pressure",
    caution: None,
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

/// What a whole purifier's solution takes; pairs of conductances follow.
const TRAIN: &[&str] = &[
    "pressure",
    "temperature",
    "solids of the feed",
    "back pressure of the vessel",
    "output at 15 C",
    "flow of the restrictor",
    "at its pressure",
    "drop of the filters at 1 L/min (0.26 gal/min)",
    "drop of beds and line",
    "at the rated flow",
    "water conductance",
    "salt conductance",
];

struct Train {
    restrictor: Restrictor,
    resistances: Resistances,
    response: TemperatureResponse,
    feed: Feed,
}

fn train(inputs: &[f64]) -> Result<(Train, &[f64]), Refusal> {
    let (shared, elements) = inputs
        .split_at_checked(10)
        .filter(|(_, elements)| !elements.is_empty() && elements.len().is_multiple_of(2))
        .ok_or(Refusal::Inputs { given: inputs.len() })?;
    let [
        pressure,
        temperature,
        solids,
        head,
        cold,
        reject,
        at,
        filters,
        product,
        rated,
    ] = take(shared)?;
    Ok((
        Train {
            restrictor: Restrictor::from_rated(reject, at)?,
            resistances: Resistances {
                feed_pa_s_m3: filters / LITRE_A_MINUTE_M3_S,
                // Some hundredths of a bar in a small element: left out, and said in the range.
                channel_pa_s_m3: 0.0,
                permeate_pa_s_m3: product / rated,
            },
            response: TemperatureResponse::from_output_at_15_c(cold)?,
            feed: Feed {
                pressure_pa: pressure,
                temperature_c: temperature,
                dissolved_solids_kg_m3: solids,
                permeate_pressure_pa: head,
            },
        },
        elements,
    ))
}

/// The most membranes one after the other that are worked out.
const MOST_IN_SERIES: usize = 8;

fn solve(inputs: &[f64]) -> Result<Operating, Refusal> {
    let (train, pairs) = train(inputs)?;
    let mut elements = [Element {
        water_conductance_m3_s_pa: 0.0,
        salt_conductance_m3_s: 0.0,
    }; MOST_IN_SERIES];
    let count = pairs.len() / 2;
    if count > MOST_IN_SERIES {
        return Err(Refusal::Inputs { given: inputs.len() });
    }
    for (element, pair) in elements.iter_mut().zip(pairs.chunks_exact(2)) {
        element.water_conductance_m3_s_pa = pair[0];
        element.salt_conductance_m3_s = pair[1];
    }
    let Train {
        restrictor,
        resistances,
        response,
        feed,
    } = &train;
    Ok(match &elements[..count] {
        [one] => operate(one, restrictor, resistances, response, feed)?,
        several => operate_series(several, restrictor, resistances, response, feed)?,
    })
}

pub(crate) static PERMEATE_FLOW: Method = Method {
    key: "permeate-flow",
    title: "permeate, day and night",
    formula: "q = A TCF (P_m - P_p - pi(C_m) + pi(C_p)), reject = K sqrt(P_m), P_m = P - R_f (q + reject), P_p = head + R_p q",
    inputs: TRAIN,
    output: Kind::Flow,
    sources: SOURCES,
    range: RANGE,
    caution: Some(train_beyond),
    eval: |inputs| Ok(solve(inputs)?.permeate_m3_s),
};

pub(crate) static PERMEATE_SOLIDS: Method = Method {
    key: "permeate-solids",
    title: "dissolved solids of the permeate in a long run",
    formula: "B TCF C_m / (q + B TCF), C_m = C_f exp(0.7 Y) ln(1/(1 - Y))/Y",
    inputs: &[
        "salt conductance",
        "temperature",
        "output at 15 C",
        "solids of the feed",
        "permeate",
        "reject",
    ],
    output: Kind::Concentration,
    sources: SOURCES,
    range: RANGE,
    caution: Some(solids_beyond),
    eval: |inputs| {
        let [salt, temperature, cold, solids, permeate, reject] = take(inputs)?;
        let factor = TemperatureResponse::from_output_at_15_c(cold)?.factor(temperature)?;
        let wall = solids * wall_factor(permeate / (permeate + reject))?;
        Ok(permeate_solids_kg_m3(salt * factor, wall, permeate)?)
    },
};

pub(crate) static SOLIDS_IN_SERIES: Method = Method {
    key: "solids-in-series",
    title: "dissolved solids of the joined permeate",
    formula: "sum(q C_p) / sum(q), each membrane fed by the reject of the one before",
    inputs: TRAIN,
    output: Kind::Concentration,
    sources: SOURCES,
    range: RANGE,
    caution: Some(train_beyond),
    eval: |inputs| Ok(solve(inputs)?.permeate_solids_kg_m3),
};

pub(crate) static LEAST_PRESSURE: Method = Method {
    key: "least-pressure",
    title: "pressure that would just make the need",
    formula: "the pressure at which permeate-flow gives the flow wanted",
    inputs: &[
        "flow wanted",
        "temperature",
        "solids of the feed",
        "back pressure of the vessel",
        "output at 15 C",
        "flow of the restrictor",
        "at its pressure",
        "drop of the filters at 1 L/min (0.26 gal/min)",
        "drop of beds and line",
        "at the rated flow",
        "water conductance",
        "salt conductance",
    ],
    output: Kind::Pressure,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let (train, pairs) = train(inputs)?;
        // The place of the pressure holds the flow wanted.
        let wanted = inputs[0];
        let [water, salt] = match pairs {
            [water, salt] => [*water, *salt],
            _ => return least_pressure_in_series(inputs, wanted),
        };
        let element = Element {
            water_conductance_m3_s_pa: water,
            salt_conductance_m3_s: salt,
        };
        let feed = Feed {
            pressure_pa: 0.0,
            ..train.feed
        };
        Ok(least_pressure_pa(
            &element,
            &train.restrictor,
            &train.resistances,
            &train.response,
            &feed,
            wanted,
        )?)
    },
};

/// A hundredth of a bar: finer than any gauge on a purifier.
const PRESSURE_TOLERANCE_PA: f64 = 1e3;

/// The same for membranes one after the other, by bracketing their solution.
fn least_pressure_in_series(inputs: &[f64], wanted: f64) -> Result<f64, Refusal> {
    let mut at = inputs.to_vec();
    let surplus = |pressure: f64| {
        at[0] = pressure;
        Ok::<f64, Refusal>(solve(&at)?.permeate_m3_s - wanted)
    };
    try_bracketed_root(surplus, PRESSURE_SOUND.min, PRESSURE.max, PRESSURE_TOLERANCE_PA)
        .map(|root| root.x)
        .map_err(|error| match error {
            RootError::Function(refusal) => refusal,
            // No pressure up to the highest one makes it.
            _ => Refusal::NoFlow,
        })
}
