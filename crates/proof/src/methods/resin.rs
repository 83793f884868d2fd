//! Resin: what loads it, and how long it lasts.

use physics::freshwater::carbonic_water_conductivity_s_m;
use physics::resin::{
    Bed, CARBON_DIOXIDE_KG_MOL, SILICA_KG_MOL, salt_equivalents_mol_m3, volume_to_exhaustion_m3,
};
use station::quantity::Kind;

use crate::method::{Method, Refusal, take};

const SOURCES: &[&str] = &["MASS-BALANCE", "IUPAC-2021"];
const RANGE: &str = "a balance of charge: it tells how much, not the shape of the breakthrough";

pub(crate) static SALT_LOAD: Method = Method {
    key: "salt-load",
    title: "load of the salt on the resin",
    formula: "mean solids / equivalent weight",
    inputs: &["mean solids", "equivalent weight"],
    output: Kind::ResinLoad,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [solids, equivalent] = take(inputs)?;
        Ok(salt_equivalents_mol_m3(solids, equivalent * 1e-3)?)
    },
};

pub(crate) static GAS_LOAD: Method = Method {
    key: "gas-load",
    title: "load of the carbon dioxide on the resin",
    formula: "carbon dioxide / 44.01 g/mol",
    inputs: &["carbon dioxide"],
    output: Kind::ResinLoad,
    sources: SOURCES,
    range: "it passes the membrane whole, and a meter hardly sees it",
    caution: None,
    eval: |inputs| {
        let [carbon_dioxide] = take(inputs)?;
        Ok(carbon_dioxide / CARBON_DIOXIDE_KG_MOL)
    },
};

pub(crate) static GAS_ON_METER: Method = Method {
    key: "gas-on-meter",
    title: "what a meter shows of the carbon dioxide, in water that holds nothing else",
    formula: "kappa(H, HCO3) at 25 C of carbonic acid",
    inputs: &["carbon dioxide"],
    output: Kind::Conductivity,
    sources: &["PLUMMER-BUSENBERG-1982", "ROBINSON-STOKES-1959"],
    range: "pure water otherwise, 25 C",
    caution: None,
    eval: |inputs| {
        let [carbon_dioxide] = take(inputs)?;
        Ok(carbonic_water_conductivity_s_m(
            carbon_dioxide / CARBON_DIOXIDE_KG_MOL,
            25.0,
        )?)
    },
};

pub(crate) static SILICA_LOAD: Method = Method {
    key: "silica-load",
    title: "load of the silica on the resin",
    formula: "silica x passage / 60.08 g/mol",
    inputs: &["silica", "passage"],
    output: Kind::ResinLoad,
    sources: SOURCES,
    range: "passage as of salt or more: rejection of silica varies",
    caution: None,
    eval: |inputs| {
        let [silica, passage] = take(inputs)?;
        Ok(silica * passage / SILICA_KG_MOL)
    },
};

pub(crate) static LOAD_TOGETHER: Method = Method {
    key: "resin-load",
    title: "load on the anion side of the resin, the side that is spent first",
    formula: "salt + carbon dioxide + silica",
    inputs: &["salt", "carbon dioxide", "silica"],
    output: Kind::ResinLoad,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [salt, gas, silica] = take(inputs)?;
        Ok(salt + gas + silica)
    },
};

pub(crate) static GAS_SHARE: Method = Method {
    key: "gas-share",
    title: "share of the resin that carbon dioxide takes",
    formula: "carbon dioxide / load",
    inputs: &["carbon dioxide", "load"],
    output: Kind::Fraction,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [gas, load] = take(inputs)?;
        Ok(gas / load)
    },
};

pub(crate) static RESIN_LIFE: Method = Method {
    key: "resin-life",
    title: "water that a bed of resin purifies",
    formula: "capacity x volume x utilisation / load",
    inputs: &["capacity", "resin", "utilisation", "load"],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [capacity_mol_m3, volume_m3, utilisation, load] = take(inputs)?;
        let bed = Bed {
            volume_m3,
            capacity_mol_m3,
            utilisation,
        };
        Ok(volume_to_exhaustion_m3(&bed, load)?)
    },
};

pub(crate) static WORSE_OF_TWO_LIVES: Method = Method {
    key: "worse-of-two-beds",
    title: "water that separate beds purify until the first is spent",
    formula: "min(cation bed, anion bed)",
    inputs: &["cation bed", "anion bed"],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [cation, anion] = take(inputs)?;
        Ok(cation.min(anion))
    },
};

pub(crate) static PRICE_OF_RESINS: Method = Method {
    key: "price-of-resins",
    title: "price of resins that are changed together",
    formula: "(p1 V1 + p2 V2 + ...)/(V1 + V2 + ...)",
    inputs: &["prices and volumes"],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: "all changed at once, when the first is spent",
    caution: None,
    eval: |inputs| {
        let paid: f64 = inputs.chunks_exact(2).map(|bed| bed[0] * bed[1]).sum();
        let volume: f64 = inputs.chunks_exact(2).map(|bed| bed[1]).sum();
        match volume > 0.0 {
            true => Ok(paid / volume),
            false => Err(Refusal::Inputs { given: inputs.len() }),
        }
    },
};

pub(crate) static COST_OF_SEPARATE_RESINS: Method = Method {
    key: "cost-of-separate-resins",
    title: "cost of purified water: separate resins, each changed when it is spent itself",
    formula: "price_c volume_c / life_c + price_a volume_a / life_a",
    inputs: &[
        "price of cation resin",
        "its volume",
        "its life",
        "price of anion resin",
        "its volume",
        "its life",
    ],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: "bought as resin, not as a filled cartridge; without a mixed bed behind them",
    caution: None,
    eval: |inputs| {
        let [price_c, volume_c, life_c, price_a, volume_a, life_a] = take(inputs)?;
        Ok(price_c * volume_c / life_c + price_a * volume_a / life_a)
    },
};

pub(crate) static COST_OF_RESIN: Method = Method {
    key: "cost-of-resin",
    title: "cost of purified water: resin",
    formula: "price x resin / life",
    inputs: &["price of resin", "resin", "life"],
    output: Kind::PricePerVolume,
    sources: &["DEFINITION"],
    range: "resin alone, without the work",
    caution: None,
    eval: |inputs| {
        let [price, resin, life] = take(inputs)?;
        Ok(price * resin / life)
    },
};
