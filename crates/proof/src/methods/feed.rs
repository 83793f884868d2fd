//! The feed: what comes to the purifier.

use physics::carbonate::{
    FreshWater, aerated_carbon_dioxide_mol_m3, calcite_saturation_index, carbon_dioxide_mol_m3,
    ph_from_carbon_dioxide,
};
use physics::freshwater::ionic_strength_from_conductivity_mol_kg;
use physics::membrane::wall_factor;
use physics::resin::{CARBON_DIOXIDE_KG_MOL, degassed_mol_m3};
use station::quantity::Kind;

use crate::method::{Method, take};

/// Carbon dioxide in open air, as a partial pressure: 420 ppm (handbook value of the trade, from memory).
const AIR_ATM: f64 = 420e-6;

pub(crate) static FEED_TEMPERATURE: Method = Method {
    key: "feed-temperature",
    title: "temperature of the feed in a month",
    formula: "(t_cold + t_warm)/2 - (t_warm - t_cold)/2 cos(2 pi m/12)",
    inputs: &["coldest", "warmest", "months from the coldest"],
    output: Kind::Temperature,
    sources: &["HOUSE-RULE"],
    range: "a year as one wave; odd weeks are named states of the feed",
    caution: None,
    eval: |inputs| {
        let [coldest, warmest, months] = take(inputs)?;
        let wave = libm::cos(core::f64::consts::PI * months / 6.0);
        Ok(0.5 * (coldest + warmest) - 0.5 * (warmest - coldest) * wave)
    },
};

pub(crate) static DISSOLVED_SOLIDS: Method = Method {
    key: "dissolved-solids",
    title: "dissolved solids of the feed",
    formula: "factor x conductivity at 25 C",
    inputs: &["conductivity", "mg/L for each uS/cm"],
    output: Kind::Concentration,
    sources: &["COMMON-PRACTICE"],
    range: "tap water",
    caution: None,
    // S/m is 10 000 µS/cm, mg/L a thousandth of kg/m³.
    eval: |inputs| {
        let [conductivity, factor] = take(inputs)?;
        Ok(conductivity * 1e4 * factor * 1e-3)
    },
};

pub(crate) static CONDUCTIVITY_FROM_SOLIDS: Method = Method {
    key: "conductivity-from-solids",
    title: "conductivity of the feed at 25 C",
    formula: "dissolved solids / factor",
    inputs: &["dissolved solids", "mg/L for each uS/cm"],
    output: Kind::Conductivity,
    sources: &["COMMON-PRACTICE"],
    range: "tap water",
    caution: None,
    eval: |inputs| {
        let [solids, factor] = take(inputs)?;
        Ok(solids * 1e3 / factor * 1e-4)
    },
};

pub(crate) static CARBON_DIOXIDE: Method = Method {
    key: "carbon-dioxide",
    title: "carbon dioxide dissolved in the feed",
    formula: "[CO2] = a(H) [HCO3] g1 / K1, with [HCO3] from alkalinity and pH, g1 by Davies",
    inputs: &["alkalinity", "pH", "coldest", "warmest", "conductivity"],
    output: Kind::Concentration,
    sources: &["PLUMMER-BUSENBERG-1982", "DAVIES-1962"],
    range: "fresh water, 0 to 45 C, at the mean of the two temperatures",
    caution: None,
    eval: |inputs| {
        let [alkalinity_mol_m3, ph, coldest, warmest, conductivity] = take(inputs)?;
        let water = FreshWater {
            alkalinity_mol_m3,
            ph,
            temperature_c: 0.5 * (coldest + warmest),
            ionic_strength_mol_kg: ionic_strength_from_conductivity_mol_kg(conductivity)?,
        };
        Ok(carbon_dioxide_mol_m3(&water)? * CARBON_DIOXIDE_KG_MOL)
    },
};

pub(crate) static CARBON_DIOXIDE_LEFT: Method = Method {
    key: "carbon-dioxide-left",
    title: "carbon dioxide left behind a vented vessel",
    formula: "c_air + (c - c_air)(1 - share)",
    inputs: &["carbon dioxide", "share let go", "temperature"],
    output: Kind::Concentration,
    sources: &["PLUMMER-BUSENBERG-1982", "MASS-BALANCE"],
    range: "air with 420 ppm of carbon dioxide",
    caution: None,
    eval: |inputs| {
        let [carbon_dioxide, share, temperature] = take(inputs)?;
        let air = aerated_carbon_dioxide_mol_m3(temperature, AIR_ATM)?;
        let left = degassed_mol_m3(carbon_dioxide / CARBON_DIOXIDE_KG_MOL, air, share)?;
        Ok(left * CARBON_DIOXIDE_KG_MOL)
    },
};

pub(crate) static INLET_PRESSURE: Method = Method {
    key: "inlet-pressure",
    title: "pressure behind the reducer",
    formula: "min(tap, reducer)",
    inputs: &["pressure at the tap", "set pressure of the reducer"],
    output: Kind::Pressure,
    sources: &["DEFINITION"],
    range: "a sound reducer",
    caution: None,
    eval: |inputs| {
        let [tap, reducer] = take(inputs)?;
        Ok(tap.min(reducer))
    },
};

pub(crate) static STATIC_HEAD: Method = Method {
    key: "static-head",
    title: "back pressure of the way up to the vessel's rim",
    formula: "rho g max(0, floor + height - membranes)",
    inputs: &[
        "floor of the vessel",
        "height of the vessel",
        "height of the membranes",
    ],
    output: Kind::Pressure,
    sources: &["DEFINITION"],
    range: "water of 1 000 kg/m3 that runs in at the rim",
    caution: None,
    eval: |inputs| {
        let [floor, height, membranes] = take(inputs)?;
        Ok(1000.0 * 9.806_65 * (floor + height - membranes).max(0.0))
    },
};

pub(crate) static CALCITE_INDEX: Method = Method {
    key: "calcite-index",
    title: "saturation index of calcite at the membrane's wall",
    formula: "log10(a(Ca) a(CO3) / K), feed concentrated by 1/(1 - Y) and polarised by exp(0.7 Y)",
    inputs: &[
        "hardness",
        "calcium in the hardness",
        "alkalinity",
        "carbon dioxide",
        "temperature",
        "conductivity",
        "permeate",
        "reject",
    ],
    output: Kind::Number,
    sources: &["PLUMMER-BUSENBERG-1982", "DAVIES-1962", "MASS-BALANCE"],
    range: "no scale inhibitor; carbon dioxide passes the membrane, bicarbonate doesn't",
    caution: None,
    eval: |inputs| {
        let [
            hardness,
            share,
            alkalinity,
            co2,
            temperature_c,
            conductivity,
            permeate,
            reject,
        ] = take(inputs)?;
        let recovery = permeate / (permeate + reject);
        let factor = libm::exp(0.7 * recovery) / (1.0 - recovery);
        let alkalinity_mol_m3 = alkalinity * factor;
        let ionic_strength_mol_kg = ionic_strength_from_conductivity_mol_kg(conductivity * factor)?;
        let ph = ph_from_carbon_dioxide(
            alkalinity_mol_m3,
            co2 / CARBON_DIOXIDE_KG_MOL,
            temperature_c,
            ionic_strength_mol_kg,
        )?;
        let water = FreshWater {
            alkalinity_mol_m3,
            ph,
            temperature_c,
            ionic_strength_mol_kg,
        };
        // Hardness counts charge, calcium carries two.
        Ok(calcite_saturation_index(&water, 0.5 * hardness * share * factor)?)
    },
};

pub(crate) static FEED_SIDE_SOLIDS: Method = Method {
    key: "feed-side-solids",
    title: "mean solids on the feed side while it runs",
    formula: "C_f ln(1/(1 - Y))/Y",
    inputs: &["solids of the feed", "permeate", "reject"],
    output: Kind::Concentration,
    sources: &["ASTM-D4516", "MASS-BALANCE"],
    range: "recovery under 0.9",
    caution: None,
    eval: |inputs| {
        let [solids, permeate, reject] = take(inputs)?;
        let recovery = permeate / (permeate + reject);
        Ok(solids * wall_factor(recovery)? / libm::exp(0.7 * recovery))
    },
};
