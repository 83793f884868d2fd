//! What is made against what is needed, and what it costs.

use station::quantity::Kind;

use crate::method::{Method, Refusal, take};

const PRICE_RANGE: &str = "water, resin, filters, membranes and power; without work and wear of the rest";

pub(crate) static MADE_A_DAY: Method = Method {
    key: "made-a-day",
    title: "purified water made, as a mean over the day",
    formula: "permeate x hours a day / 24 h",
    inputs: &["permeate", "hours a day"],
    output: Kind::Flow,
    sources: &["DEFINITION"],
    range: "as long as it may run",
    caution: None,
    eval: |inputs| {
        let [permeate, hours] = take(inputs)?;
        Ok(permeate * (hours / 86_400.0).min(1.0))
    },
};

pub(crate) static MADE_BEYOND_FLUSH: Method = Method {
    key: "made-beyond-flush",
    title: "purified water made, less what each run flushes to the drain",
    formula: "made V/(V + F)",
    inputs: &["made", "run", "flush"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "runs all alike",
    caution: None,
    eval: |inputs| {
        let [made, run, flush] = take(inputs)?;
        Ok(made * run / (run + flush))
    },
};

pub(crate) static MARGIN: Method = Method {
    key: "margin",
    title: "what is made beyond the need",
    formula: "made + delivered - need",
    inputs: &["made", "delivered", "need"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "steady through the month",
    caution: None,
    eval: |inputs| {
        let [made, delivered, need] = take(inputs)?;
        Ok(made + delivered - need)
    },
};

pub(crate) static DELIVERED_RATE: Method = Method {
    key: "delivered-rate",
    title: "water that is delivered, as a mean",
    formula: "volume / time between deliveries",
    inputs: &["volume", "time between deliveries"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "mean over many deliveries",
    caution: None,
    eval: |inputs| {
        let [volume, every] = take(inputs)?;
        Ok(volume / every)
    },
};

pub(crate) static NEED_BEYOND: Method = Method {
    key: "need-beyond",
    title: "need beyond what is delivered",
    formula: "max(0, need - delivered)",
    inputs: &["need", "delivered"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "all that is delivered is used",
    caution: None,
    eval: |inputs| {
        let [need, delivered] = take(inputs)?;
        Ok((need - delivered).max(0.0))
    },
};

pub(crate) static WANTED_WHILE_RUNNING: Method = Method {
    key: "wanted-while-running",
    title: "permeate that makes a need in the hours that it may run",
    formula: "need x 24 h / hours a day",
    inputs: &["need", "hours a day"],
    output: Kind::Flow,
    sources: &["DEFINITION"],
    range: "hours of every day",
    caution: None,
    eval: |inputs| {
        let [need, hours] = take(inputs)?;
        Ok(need / (hours / 86_400.0).min(1.0))
    },
};

pub(crate) static FILL_TIME: Method = Method {
    key: "fill-time",
    title: "time from the start level to the stop level",
    formula: "run / permeate",
    inputs: &["run", "permeate"],
    output: Kind::Time,
    sources: &["MASS-BALANCE"],
    range: "nothing drawn meanwhile",
    caution: None,
    eval: |inputs| {
        let [run, permeate] = take(inputs)?;
        Ok(run / permeate)
    },
};

pub(crate) static NEED_OF_TIME: Method = Method {
    key: "need-of-a-time",
    title: "water needed in a time",
    formula: "need x time",
    inputs: &["need", "time"],
    output: Kind::Volume,
    sources: &["MASS-BALANCE"],
    range: "steady need",
    caution: None,
    eval: |inputs| {
        let [need, time] = take(inputs)?;
        Ok(need * time)
    },
};

pub(crate) static RATIO: Method = Method {
    key: "how-many",
    title: "how often a volume goes into a store",
    formula: "store / volume",
    inputs: &["store", "volume"],
    output: Kind::Number,
    sources: &["MASS-BALANCE"],
    range: "nothing else drawn",
    caution: None,
    eval: |inputs| {
        let [store, volume] = take(inputs)?;
        Ok(store / volume)
    },
};

pub(crate) static PEAK_DAY: Method = Method {
    key: "peak-day",
    title: "water drawn on a day when all of it falls together",
    formula: "flows x 1 day + volumes",
    inputs: &["flows together", "volumes together"],
    output: Kind::Volume,
    sources: &["MASS-BALANCE"],
    range: "all changes on one day",
    caution: None,
    eval: |inputs| {
        let [flows, volumes] = take(inputs)?;
        Ok(flows * 86_400.0 + volumes)
    },
};

pub(crate) static COST_OF_WATER: Method = Method {
    key: "cost-of-feed",
    title: "cost of purified water: tap water",
    formula: "price ((1 + reject ratio)(1 + discard/life) + rinse/life of the carbon)",
    inputs: &[
        "price of water",
        "parts of reject to one of water",
        "first permeate of a membrane, thrown away",
        "life of the membranes",
        "rinse of new carbon",
        "life of the carbon",
    ],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: PRICE_RANGE,
    caution: None,
    eval: |inputs| {
        let [price, ratio, discard, life, rinse, carbon_life] = take(inputs)?;
        Ok(price * ((1.0 + ratio) * (1.0 + discard / life) + rinse / carbon_life))
    },
};

pub(crate) static SUM_OF_PRICES: Method = Method {
    key: "sum-of-prices",
    title: "prices together",
    formula: "p1 + p2 + ...",
    inputs: &["prices"],
    output: Kind::Money,
    sources: &["DEFINITION"],
    range: "bought at one time",
    caution: None,
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

pub(crate) static COST_OF_PART: Method = Method {
    key: "cost-of-part",
    title: "cost of purified water: a part that wears out",
    formula: "price / life",
    inputs: &["price", "life"],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: PRICE_RANGE,
    caution: None,
    eval: |inputs| {
        let [price, life] = take(inputs)?;
        Ok(price / life)
    },
};

pub(crate) static COST_OF_POWER: Method = Method {
    key: "cost-of-power",
    title: "cost of purified water: power",
    formula: "price x power / permeate",
    inputs: &["price of energy", "power", "permeate"],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: PRICE_RANGE,
    caution: None,
    eval: |inputs| {
        let [price, power, permeate] = take(inputs)?;
        Ok(price * power / permeate)
    },
};

pub(crate) static COST_AS_IT_COMES: Method = Method {
    key: "cost-as-it-comes",
    title: "cost of fresh water as it comes, made and delivered",
    formula: "(d1 p1 + d2 p2 + ... + own max(0, need - d1 - d2 - ...))/need",
    inputs: &["need", "own litre", "deliveries, each with its price"],
    output: Kind::PricePerVolume,
    sources: &["MASS-BALANCE"],
    range: "mean of the year; what is delivered is paid, used or not",
    caution: None,
    eval: |inputs| {
        let (own, pairs) = inputs
            .split_at_checked(2)
            .filter(|(_, pairs)| pairs.len().is_multiple_of(2))
            .ok_or(Refusal::Inputs { given: inputs.len() })?;
        let [need, own] = take(own)?;
        let (mut comes, mut paid) = (0.0, 0.0);
        for pair in pairs.chunks_exact(2) {
            comes += pair[0];
            paid += pair[0] * pair[1];
        }
        Ok((paid + own * (need - comes).max(0.0)) / need)
    },
};

pub(crate) static MIXABLE: Method = Method {
    key: "mixable",
    title: "salt water that fresh water would make",
    formula: "fresh x salt water / fresh water in it",
    inputs: &[
        "fresh water",
        "salt water to mix",
        "fresh water that goes into it",
    ],
    output: Kind::Volume,
    sources: &["MASS-BALANCE"],
    range: "mixed as usual, with nothing left for top-off",
    caution: None,
    eval: |inputs| {
        let [fresh, salt, in_salt] = take(inputs)?;
        Ok(fresh * salt / in_salt)
    },
};

pub(crate) static COST_TOGETHER: Method = Method {
    key: "cost-together",
    title: "cost of purified water",
    formula: "water + resin + filters + membranes + power, as far as prices are given",
    inputs: &["parts"],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: PRICE_RANGE,
    caution: None,
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

pub(crate) static DAYS_LEFT: Method = Method {
    key: "time-left",
    title: "time that a store lasts for one tank, all served alike or it alone",
    formula: "V / q",
    inputs: &["store", "need"],
    output: Kind::Time,
    sources: &["MASS-BALANCE"],
    range: "steady need, nothing made",
    caution: None,
    eval: |inputs| {
        let [store, need] = take(inputs)?;
        Ok(store / need)
    },
};

pub(crate) static CHANGES_LEFT: Method = Method {
    key: "changes-left",
    title: "planned changes that a store still gives",
    formula: "V / (change + changes of the others meanwhile)",
    inputs: &["store", "change", "time between changes", "need of all"],
    output: Kind::Number,
    sources: &["MASS-BALANCE"],
    range: "all tanks changed as planned, nothing mixed",
    caution: None,
    eval: |inputs| {
        let [store, change, every, need] = take(inputs)?;
        // The share of this tank in the need of all.
        Ok(store * (change / every) / need / change)
    },
};
