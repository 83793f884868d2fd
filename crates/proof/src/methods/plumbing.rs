//! Flows and times in the station's network: solved for all lines together.

use station::quantity::Kind;

use crate::method::{Method, Refusal};

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
