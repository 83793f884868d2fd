//! How a vessel is mixed by its pump, and how long salt water takes to be ready.

use physics::heat::{HeatBalance, Reach};
use physics::jet::{
    Aim, Grain, GrainShape, Liquid, Nozzle, SALT_DIFFUSIVITY_M2_S, StirredVessel, Undersaturated,
    blend_times, falling_dissolution_time_s, first_measurement, time_to_homogeneity_s, turnover_time_s,
    turnovers_for_share,
};
use physics::seawater;
use station::quantity::Kind;

use crate::method::{Method, Refusal, take};

const JET_RANGE: &str = "turbulent jets of water as heavy as the rest, depth 0.2 to 3 diameters; correlations differ by a factor of 2";

pub(crate) static TURNOVER: Method = Method {
    key: "turnover",
    title: "time in which the pump moves the vessel's volume once",
    formula: "V / Q",
    inputs: &["volume", "flow"],
    output: Kind::Time,
    sources: &["DEFINITION"],
    range: "any",
    caution: None,
    eval: |inputs| {
        let [volume, flow] = take(inputs)?;
        Ok(turnover_time_s(volume, flow)?)
    },
};

fn blend(inputs: &[f64], longest: bool) -> Result<f64, Refusal> {
    let [flow, bore, volume, depth, viscosity, aim, factor] = take(inputs)?;
    let vessel = StirredVessel::of_volume(volume, depth)?;
    let aim = if aim > 0.5 { Aim::Axial } else { Aim::Diagonal };
    let nozzle = Nozzle {
        flow_m3_s: flow,
        bore_m: bore,
    };
    let times = blend_times(&vessel, &nozzle, &aim, viscosity)?;
    Ok(factor
        * if longest {
            times.longest_s()
        } else {
            times.shortest_s()
        })
}

const JET_INPUTS: &[&str] = &[
    "flow",
    "nozzle",
    "volume",
    "depth",
    "kinematic viscosity",
    "pointing up: 1",
    "doubt of the correlations",
];

pub(crate) static JET_SHORTEST: Method = Method {
    key: "jet-mixing-shortest",
    title: "time to mix the vessel to 95 % by its jet, by the shortest of the published correlations",
    formula: "least of 3.00 Z^2/(U d), k T^2 H/(U d Z), 8 T^2/sqrt(Q U)",
    inputs: JET_INPUTS,
    output: Kind::Time,
    sources: &[
        "GRENVILLE-TILTON-1996",
        "GRENVILLE-TILTON-2011",
        "FOSSETT-PROSSER-1949",
    ],
    range: JET_RANGE,
    caution: None,
    eval: |inputs| blend(inputs, false),
};

pub(crate) static JET_LONGEST: Method = Method {
    key: "jet-mixing-longest",
    title: "time to mix the vessel to 95 % by its jet, by the longest of the published correlations",
    formula: "greatest of 3.00 Z^2/(U d), k T^2 H/(U d Z), 8 T^2/sqrt(Q U)",
    inputs: JET_INPUTS,
    output: Kind::Time,
    sources: &[
        "GRENVILLE-TILTON-1996",
        "GRENVILLE-TILTON-2011",
        "FOSSETT-PROSSER-1949",
    ],
    range: JET_RANGE,
    caution: None,
    eval: |inputs| blend(inputs, true),
};

pub(crate) static TURNOVER_MIXING: Method = Method {
    key: "turnover-mixing",
    title: "time to mix the vessel to 95 % as if it were stirred evenly",
    formula: "-ln(0.05) V / Q",
    inputs: &["turnover", "doubt of the correlations"],
    output: Kind::Time,
    sources: &["MASS-BALANCE"],
    range: "where the jet is too weak for its correlations: a rule on the slow side",
    caution: None,
    eval: |inputs| {
        let [turnover, factor] = take(inputs)?;
        Ok(factor * turnover * turnovers_for_share(0.95)?)
    },
};

pub(crate) static TO_99: Method = Method {
    key: "mixed-to-99",
    title: "time to mix the vessel to 99 %",
    formula: "t95 ln(0.01)/ln(0.05)",
    inputs: &["time to 95 %"],
    output: Kind::Time,
    sources: &["GRENVILLE-TILTON-2011"],
    range: "differences that fade by a fixed share in each time",
    caution: None,
    eval: |inputs| {
        let [to_95] = take(inputs)?;
        Ok(time_to_homogeneity_s(to_95, 0.99)?)
    },
};

pub(crate) static GRAIN_DISSOLVES: Method = Method {
    key: "grain-dissolves",
    title: "time in which a grain of the mix dissolves while it drifts",
    formula: "rho R / (k (cs - c)), k by Ranz and Marshall at its speed of settling",
    inputs: &["grain", "salinity", "temperature"],
    output: Kind::Time,
    sources: &["RANZ-MARSHALL-1952", "FERGUSON-CHURCH-2004"],
    range: "single grains of sea salt; a heap on the floor takes hours",
    caution: None,
    eval: |inputs| {
        let [diameter, salinity, temperature] = take(inputs)?;
        let density = seawater::density_kg_m3(salinity, temperature)?;
        let grain = Grain {
            diameter_m: diameter,
            // Common salt, from memory.
            density_kg_m3: 2165.0,
            shape: GrainShape::Natural,
        };
        let liquid = Liquid {
            density_kg_m3: density,
            viscosity_pa_s: seawater::viscosity_pa_s(salinity, temperature)?,
        };
        let water = Undersaturated {
            // Saturated brine of common salt, 318 kg in a cubic metre, from memory.
            saturated_kg_m3: 318.0,
            bulk_kg_m3: density * seawater::salt_mass_fraction(salinity),
        };
        Ok(falling_dissolution_time_s(
            &grain,
            &liquid,
            SALT_DIFFUSIVITY_M2_S,
            &water,
        )?)
    },
};

pub(crate) static FIRST_MEASUREMENT: Method = Method {
    key: "first-measurement",
    title: "time from the last salt to the first measurement that counts",
    formula: "dissolving + 3 x mixing to 99 % + temperature",
    inputs: &["dissolving", "mixing to 95 %", "temperature settles"],
    output: Kind::Time,
    sources: &["HOUSE-RULE"],
    range: "salt poured slowly into moving water, none left on the floor",
    caution: None,
    eval: |inputs| {
        let [dissolving, mixing, temperature] = take(inputs)?;
        Ok(first_measurement(dissolving, mixing, temperature)?.total_s())
    },
};

pub(crate) static WARM_UP: Method = Method {
    key: "warm-up",
    title: "time to bring a vessel to its temperature",
    formula: "(C/UA) ln((T0 - Ts)/(T - Ts)), Ts = Ta + P/UA",
    inputs: &[
        "heat capacity, J/K",
        "loss, W/K",
        "air",
        "power",
        "begins at",
        "wanted",
    ],
    output: Kind::Time,
    sources: &["HEAT-BALANCE", "CHURCHILL-CHU-1975"],
    range: "a vessel with a lid that is mixed while it is warmed",
    caution: None,
    eval: |inputs| {
        let [capacity, loss, air, power, from, to] = take(inputs)?;
        let balance = HeatBalance {
            heat_capacity_j_k: capacity,
            loss_w_k: loss,
            air_temperature_c: air,
            power_w: power,
        };
        match balance.time_to(from, to)? {
            Reach::After { time_s } => Ok(time_s),
            Reach::Never { .. } => Err(Refusal::NoFlow),
        }
    },
};

pub(crate) static LEAD_TIME: Method = Method {
    key: "lead-time",
    title: "time until a wanted volume of salt water is ready",
    formula: "sum of the steps that wait for each other",
    inputs: &["steps on the longest way"],
    output: Kind::Time,
    sources: &["HOUSE-RULE"],
    range: "one person who is there and knows the station",
    caution: None,
    eval: |inputs| {
        let sum: f64 = inputs.iter().sum();
        if inputs.is_empty() {
            return Err(Refusal::Inputs { given: 0 });
        }
        Ok(sum)
    },
};
