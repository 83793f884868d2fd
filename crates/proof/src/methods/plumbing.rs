//! Flows and times in the station's network: solved for all lines together.

use physics::hydraulics::suction::{
    SuctionHead, least_level_m, mean_velocity_m_s, npsh_available_m, standard_pressure_pa,
    water_vapour_pressure_pa,
};
use physics::seawater::density_kg_m3;
use station::quantity::Kind;

use crate::method::{Method, Refusal, take};

const RANGE: &str = "steady flow at each level; tubes from laminar to rough; between Reynolds numbers of 2000 and 4000 flow is uncertain by nature";

pub(crate) static LINEUP_FLOW: Method = Method {
    key: "lineup-flow",
    title: "flow of a task",
    formula: "at every junction what comes in goes out; along every line the pressure falls by height + (f x length / bore + losses) x velocity^2 / 2 and rises by the pump's head at its flow",
    inputs: &["every number of the lines, valves and pump on the way"],
    output: Kind::Flow,
    sources: &[
        "CHURCHILL-1977",
        "TP-410",
        "HOOPER-1981",
        "TODINI-1988",
        "COLLINS-1978",
    ],
    range: RANGE,
    caution: None,
    eval: |_| Err(Refusal::Solved),
};

pub(crate) static LINEUP_TIME: Method = Method {
    key: "lineup-time",
    title: "time of a task",
    formula: "d volume / d time = flow at the levels of that moment, until what is wanted has been moved, or a level ends it",
    inputs: &["every number of the lines, valves and pump on the way"],
    output: Kind::Time,
    sources: &[
        "CHURCHILL-1977",
        "TP-410",
        "HOOPER-1981",
        "TODINI-1988",
        "DORMAND-PRINCE-1980",
    ],
    range: RANGE,
    caution: None,
    eval: |_| Err(Refusal::Solved),
};

pub(crate) static MISTAKE_FLOW: Method = Method {
    key: "mistake-flow",
    title: "flow of a wrong move",
    formula: "the network solved with the valves and pumps as the wrong move leaves them, each line holding the water that flows into it; a hole lets air in where the pressure is below the air's",
    inputs: &["every number of the lines, valves and pumps that are joined"],
    output: Kind::Flow,
    sources: &[
        "CHURCHILL-1977",
        "TP-410",
        "HOOPER-1981",
        "TODINI-1988",
        "COLLINS-1978",
    ],
    range: RANGE,
    caution: None,
    eval: |_| Err(Refusal::Solved),
};

pub(crate) static MISTAKE_TIME: Method = Method {
    key: "mistake-time",
    title: "time to harm of a wrong move",
    formula: "room / flow for what fills or empties; for waters that mix, s = a - (a - s0) x (1 + r x t / V0)^(-q / r) solved for the limit: q arrives at salinity a, r is the net gain; flows go on as they begin",
    inputs: &["every number of the lines, valves and pumps that are joined"],
    output: Kind::Time,
    sources: &["CHURCHILL-1977", "TP-410", "TODINI-1988"],
    range: RANGE,
    caution: None,
    eval: |_| Err(Refusal::Solved),
};

pub(crate) static LINEUP_HEAD: Method = Method {
    key: "lineup-head",
    title: "head that the pump lifts in a task",
    formula: "the pump's curve at the flow of the task, where it meets what the lines take",
    inputs: &["every number of the lines, valves and pump on the way"],
    output: Kind::Length,
    sources: &["CHURCHILL-1977", "TODINI-1988", "FRITSCH-BUTLAND-1984"],
    range: RANGE,
    caution: None,
    eval: |_| Err(Refusal::Solved),
};

pub(crate) static LINEUP_INLET: Method = Method {
    key: "lineup-inlet",
    title: "pressure before the pump in a task, above the air's",
    formula: "rho g (surface - pump) less what the suction takes and the velocity head",
    inputs: &["every number of the lines, valves and pump on the way"],
    output: Kind::Pressure,
    sources: &["CHURCHILL-1977", "TODINI-1988"],
    range: RANGE,
    caution: None,
    eval: |_| Err(Refusal::Solved),
};

pub(crate) static NPSH_AVAILABLE: Method = Method {
    key: "npsh-available",
    title: "head of pressure before the pump above the water's vapour (NPSH)",
    formula: "(p_air + p_inlet - p_vapour) / (rho g)",
    inputs: &["pressure before the pump", "altitude", "temperature", "salinity"],
    output: Kind::Length,
    sources: &["ISO-2533-1975", "HYLAND-WEXLER-1983", "DICKSON-2007"],
    range: "without velocity head, which is on the safe side; air as the standard atmosphere has it, give or take 3 %",
    caution: None,
    eval: |inputs| {
        let [inlet, altitude, temperature, salinity] = take(inputs)?;
        Ok(npsh_available_m(&SuctionHead {
            surface_absolute_pa: standard_pressure_pa(altitude)? + inlet,
            vapour_pa: water_vapour_pressure_pa(temperature, salinity)?,
            density_kg_m3: density_kg_m3(salinity, temperature)?,
            static_head_m: 0.0,
            friction_head_m: 0.0,
        })?)
    },
};

pub(crate) static LEAST_LEVEL: Method = Method {
    key: "least-level",
    title: "level below which an outlet draws air from the surface",
    formula: "outlet + D (1 + 2.3 V/sqrt(g D))",
    inputs: &["outlet level", "bore", "flow"],
    output: Kind::Length,
    sources: &["ANSI-HI-98"],
    range: "made for the intakes of pumps; used by analogy for an outlet in a wall",
    caution: None,
    eval: |inputs| {
        let [outlet, bore, flow] = take(inputs)?;
        Ok(least_level_m(outlet, bore, mean_velocity_m_s(flow, bore)?)?)
    },
};
