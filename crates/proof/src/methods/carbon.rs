//! Filters before the membrane: contact, life, and what a breakthrough does.

use physics::carbon::{
    Oxidant, RATED_FREE_CHLORINE_KG_M3, contact_time_s, least_contact_time_s, nitrogen_left_kg_m3,
    time_to_membrane_damage_s,
};
use station::quantity::Kind;

use crate::method::{Method, take};

const SOURCES: &[&str] = &["COMMON-PRACTICE", "ISO-23500-2-2019"];

pub(crate) static CONTACT_TIME: Method = Method {
    key: "contact-time",
    title: "contact time in the carbon, at the feed's flow",
    formula: "bed / (permeate + reject)",
    inputs: &["bed", "permeate", "reject"],
    output: Kind::Time,
    sources: &["DEFINITION"],
    range: "empty bed; carbon sees the reject too",
    caution: None,
    eval: |inputs| {
        let [bed, permeate, reject] = take(inputs)?;
        Ok(contact_time_s(bed, permeate + reject)?)
    },
};

pub(crate) static CONTACT_FOR_CHLORINE: Method = Method {
    key: "contact-for-chlorine",
    title: "contact time that free chlorine wants",
    formula: "2 min at 20 C, twice that for each 12.5 C less",
    inputs: &["temperature"],
    output: Kind::Time,
    sources: SOURCES,
    range: "granular beds; a pressed block goes by its maker's test",
    caution: None,
    eval: |inputs| {
        let [temperature] = take(inputs)?;
        Ok(least_contact_time_s(Oxidant::FreeChlorine, temperature)?)
    },
};

pub(crate) static CONTACT_FOR_CHLORAMINE: Method = Method {
    key: "contact-for-chloramine",
    title: "contact time that chloramine wants",
    formula: "10 min at 20 C, twice that for each 12.5 C less",
    inputs: &["temperature"],
    output: Kind::Time,
    sources: SOURCES,
    range: "granular beds; published figures run from 6 to 10 min",
    caution: None,
    eval: |inputs| {
        let [temperature] = take(inputs)?;
        Ok(least_contact_time_s(Oxidant::Chloramine, temperature)?)
    },
};

/// Six minutes over ten: the shorter of the two published figures, for carbon that is made to break chloramine.
const CATALYTIC_SHARE: f64 = 0.6;

pub(crate) static CONTACT_FOR_CHLORAMINE_CATALYTIC: Method = Method {
    key: "contact-for-chloramine-catalytic",
    title: "contact time that chloramine wants in catalytic carbon",
    formula: "6 min at 20 C, twice that for each 12.5 C less",
    inputs: &["temperature"],
    output: Kind::Time,
    sources: SOURCES,
    range: "granular catalytic beds; published figures run from 6 to 10 min",
    caution: None,
    eval: |inputs| {
        let [temperature] = take(inputs)?;
        Ok(CATALYTIC_SHARE * least_contact_time_s(Oxidant::Chloramine, temperature)?)
    },
};

pub(crate) static SUM_OF_CONCENTRATIONS: Method = Method {
    key: "sum-of-concentrations",
    title: "concentrations together",
    formula: "c1 + c2 + ...",
    inputs: &["concentrations"],
    output: Kind::Concentration,
    sources: &["MASS-BALANCE"],
    range: "in the same water, counted as the same substance",
    caution: None,
    eval: |inputs| Ok(inputs.iter().sum::<f64>() + 0.0),
};

/// Purified water by a maker's test, m³: its feed, less where there is more chlorine than in the test, never more,
/// since other things take carbon up too; the reject passes it as well.
fn life_by_test(rated_m3: f64, tested_kg_m3: f64, chlorine_kg_m3: f64, reject_ratio: f64) -> f64 {
    let share = match chlorine_kg_m3 > tested_kg_m3 {
        true => tested_kg_m3 / chlorine_kg_m3,
        false => 1.0,
    };
    rated_m3 * share / (1.0 + reject_ratio)
}

pub(crate) static FILTER_LIFE: Method = Method {
    key: "filter-life",
    title: "purified water that one filter serves",
    formula: "min(rated volume x min(1, 2 mg/L / chlorine) / (1 + reject ratio), time x need)",
    inputs: &[
        "feed that it treats",
        "chlorine in the feed",
        "parts of reject to one of water",
        "longest time",
        "need",
    ],
    output: Kind::Volume,
    sources: &["NSF-ANSI-42", "MASS-BALANCE"],
    range: "by its maker's test at 2 mg/L of free chlorine, or by the calendar; with chloramine at most that",
    caution: None,
    eval: |inputs| {
        let [rated, chlorine, ratio, time, need] = take(inputs)?;
        Ok(life_by_test(rated, RATED_FREE_CHLORINE_KG_M3, chlorine, ratio).min(time * need))
    },
};

/// Chloramine in the water of a maker's test, as chlorine.
const RATED_CHLORAMINE_KG_M3: f64 = 3e-3;

pub(crate) static FILTER_LIFE_CHLORAMINE: Method = Method {
    key: "filter-life-chloramine",
    title: "purified water that one filter serves by its test with chloramine",
    formula: "min(rated volume x min(1, 3 mg/L / chlorine) / (1 + reject ratio), time x need)",
    inputs: &[
        "feed that it treats",
        "chlorine in the feed",
        "parts of reject to one of water",
        "longest time",
        "need",
    ],
    output: Kind::Volume,
    sources: &["NSF-ANSI-42", "MASS-BALANCE"],
    range: "by its maker's test at 3 mg/L of chloramine, or by the calendar",
    caution: None,
    eval: |inputs| {
        let [rated, chlorine, ratio, time, need] = take(inputs)?;
        Ok(life_by_test(rated, RATED_CHLORAMINE_KG_M3, chlorine, ratio).min(time * need))
    },
};

pub(crate) static FILTER_LIFE_BY_CALENDAR: Method = Method {
    key: "filter-life-by-calendar",
    title: "purified water that one filter serves by the calendar",
    formula: "time x need",
    inputs: &["longest time", "need"],
    output: Kind::Volume,
    sources: &["DEFINITION"],
    range: "where nothing else limits it",
    caution: None,
    eval: |inputs| {
        let [time, need] = take(inputs)?;
        Ok(time * need)
    },
};

pub(crate) static TIME_TO_DAMAGE: Method = Method {
    key: "time-to-damage",
    title: "running time after which bare chlorine has harmed a membrane",
    formula: "exposure / free chlorine",
    inputs: &["exposure that a membrane bears, mg/L h", "free chlorine"],
    output: Kind::Time,
    sources: SOURCES,
    range: "200 to 1 000 mg/L h; sooner when warm, alkaline or with iron",
    caution: None,
    eval: |inputs| {
        let [exposure, chlorine] = take(inputs)?;
        // mg/L h to kg s/m³.
        Ok(time_to_membrane_damage_s(exposure * 1e-3 * 3600.0, chlorine)?)
    },
};

pub(crate) static AMMONIA_LEFT: Method = Method {
    key: "ammonia-left",
    title: "ammonia nitrogen that carbon leaves of the chloramine",
    formula: "14.007/70.9 x chloramine as chlorine",
    inputs: &["chloramine"],
    output: Kind::Concentration,
    sources: &["IUPAC-2021"],
    range: "all chloramine broken, as monochloramine",
    caution: None,
    eval: |inputs| {
        let [chloramine] = take(inputs)?;
        Ok(nitrogen_left_kg_m3(chloramine)?)
    },
};
