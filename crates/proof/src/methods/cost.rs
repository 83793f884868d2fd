//! What salt water costs.

use station::quantity::Kind;

use crate::method::{Method, take};

const RANGE: &str = "salt and purified water; without work, power and wear";

pub(crate) static COST_OF_SALT: Method = Method {
    key: "cost-of-salt",
    title: "salt in one batch",
    formula: "dry mass x price of a bag / bag",
    inputs: &["dry mass", "price of a bag", "bag"],
    output: Kind::Money,
    sources: &["HOUSE-RULE"],
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [dry, price, bag] = take(inputs)?;
        Ok(dry * price / bag)
    },
};

pub(crate) static COST_OF_BATCH: Method = Method {
    key: "cost-of-batch",
    title: "salt and purified water in one batch",
    formula: "salt + fresh volume x price of purified water",
    inputs: &["salt", "fresh volume", "price of purified water"],
    output: Kind::Money,
    sources: &["HOUSE-RULE"],
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [salt, fresh, price] = take(inputs)?;
        Ok(salt + fresh * price)
    },
};

pub(crate) static COST_PER_VOLUME: Method = Method {
    key: "cost-per-volume",
    title: "cost of a volume of finished salt water",
    formula: "cost of the batch / finished volume",
    inputs: &["cost of the batch", "finished volume"],
    output: Kind::PricePerVolume,
    sources: &["HOUSE-RULE"],
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [cost, volume] = take(inputs)?;
        Ok(cost / volume)
    },
};
