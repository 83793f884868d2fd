//! Batches: strength of the mix, masses and volumes, the salinity that comes out.

use physics::mixing as m;
use physics::seawater::{density_kg_m3, practical_salinity_from_absolute, salt_mass_fraction};
use station::quantity::Kind;

use crate::method::{Method, take};

const RANGE: &str = "salinity 0 to 42, -2 to 40 C; one temperature; water bound in the salt counts as water";
const SOURCES: &[&str] = &["MASS-BALANCE", "TEOS-10-2010", "ROQUET-2015"];

fn recipe(practical_salinity: f64, temperature_c: f64, strength: f64) -> m::Recipe {
    m::Recipe {
        practical_salinity,
        temperature_c,
        strength,
    }
}

pub(crate) static STRENGTH_FROM_LABEL: Method = Method {
    key: "strength-of-the-mix",
    title: "strength of the mix: sea salt without water in a kilogram of dry mix",
    formula: "f = s M / m, M = (1 - q)(V rho_fresh + m) + q V rho_sea, s = salt fraction of the finished water",
    inputs: &[
        "label mass",
        "label volume",
        "label salinity",
        "label temperature",
        "share counted as finished",
    ],
    output: Kind::Fraction,
    sources: SOURCES,
    range: "0.6 to 1; a label that leaves something unsaid widens it",
    caution: None,
    eval: |inputs| {
        let [dry_mass_kg, volume_m3, practical_salinity, temperature_c, share] = take(inputs)?;
        let label = m::Label {
            dry_mass_kg,
            volume_m3,
            practical_salinity,
            temperature_c,
        };
        Ok(m::strength_from_label(&label, share)?)
    },
};

pub(crate) static DRY_MASS_FOR_FINISHED: Method = Method {
    key: "dry-mass-for-finished",
    title: "dry mix for a finished volume",
    formula: "m = V rho(S, t) s / f",
    inputs: &["finished volume", "salinity", "temperature", "strength"],
    output: Kind::Mass,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [volume, salinity, temperature, strength] = take(inputs)?;
        Ok(m::batch_from_finished_volume(&recipe(salinity, temperature, strength), volume)?.dry_mass_kg)
    },
};

pub(crate) static FRESH_FOR_FINISHED: Method = Method {
    key: "fresh-for-finished",
    title: "fresh water before the salt, for a finished volume",
    formula: "V_fresh = V rho(S, t) (1 - s/f) / rho(0, t)",
    inputs: &["finished volume", "salinity", "temperature", "strength"],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [volume, salinity, temperature, strength] = take(inputs)?;
        Ok(m::batch_from_finished_volume(&recipe(salinity, temperature, strength), volume)?.fresh_volume_m3)
    },
};

pub(crate) static FINISHED_FROM_BAG: Method = Method {
    key: "finished-from-bag",
    title: "finished volume that takes exactly one bag",
    formula: "V = m f / (s rho(S, t))",
    inputs: &["bag", "salinity", "temperature", "strength"],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [bag, salinity, temperature, strength] = take(inputs)?;
        Ok(m::batch_from_dry_mass(&recipe(salinity, temperature, strength), bag)?.finished_volume_m3)
    },
};

pub(crate) static FRESH_FROM_BAG: Method = Method {
    key: "fresh-from-bag",
    title: "fresh water before the salt, for exactly one bag",
    formula: "V_fresh = m (f/s - 1) / rho(0, t)",
    inputs: &["bag", "salinity", "temperature", "strength"],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [bag, salinity, temperature, strength] = take(inputs)?;
        Ok(m::batch_from_dry_mass(&recipe(salinity, temperature, strength), bag)?.fresh_volume_m3)
    },
};

pub(crate) static SALINITY_REACHED: Method = Method {
    key: "salinity-reached",
    title: "salinity that comes out when this much is weighed into this much water",
    formula: "s = f m / (V_fresh rho(0, t) + m)",
    inputs: &[
        "dry mix weighed",
        "fresh volume by its mark",
        "temperature",
        "strength",
    ],
    output: Kind::Salinity,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [dry, fresh, temperature, strength] = take(inputs)?;
        let water = fresh * density_kg_m3(0.0, temperature)?;
        Ok(practical_salinity_from_absolute(
            1e3 * strength * dry / (water + dry),
        ))
    },
};

pub(crate) static ION_AT_SALINITY: Method = Method {
    key: "ion-at-salinity",
    title: "what an analysis at one salinity becomes at another",
    formula: "c = c_a S rho(S, t) / (S_a rho(S_a, t))",
    inputs: &["analysed value", "analysed salinity", "salinity", "temperature"],
    output: Kind::Concentration,
    sources: SOURCES,
    range: "the mix dissolves whole; nothing has settled out",
    caution: None,
    eval: |inputs| {
        let [value, analysed, salinity, temperature] = take(inputs)?;
        let salt =
            |s: f64| Ok::<f64, physics::OutOfRange>(salt_mass_fraction(s) * density_kg_m3(s, temperature)?);
        Ok(value * salt(salinity)? / salt(analysed)?)
    },
};

/// What the salt vessel gives of a change that is thinned where it is used.
pub(crate) static BATCH_IN_CHANGE: Method = Method {
    key: "batch-in-a-change",
    title: "salt water in a change of weaker water",
    formula: "mass balance of salt: s_b m_salt' = s (m_salt' + m_fresh)",
    inputs: &[
        "change",
        "salinity of the batch",
        "salinity wanted",
        "temperature",
    ],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [volume_m3, strong, practical_salinity, temperature_c] = take(inputs)?;
        let wanted = m::Water {
            volume_m3,
            practical_salinity,
            temperature_c,
        };
        Ok(m::blend_parts(&wanted, strong, 0.0)?.strong_volume_m3)
    },
};

pub(crate) static FRESH_IN_BUCKET: Method = Method {
    key: "fresh-in-a-bucket",
    title: "fresh water in a bucket of weaker water",
    formula: "mass balance of salt: s_b (m_salt + m_fresh) = s m_salt",
    inputs: &[
        "bucket",
        "salinity of the batch",
        "salinity wanted",
        "temperature",
    ],
    output: Kind::Volume,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [volume_m3, strong, practical_salinity, temperature_c] = take(inputs)?;
        let wanted = m::Water {
            volume_m3,
            practical_salinity,
            temperature_c,
        };
        Ok(m::blend_parts(&wanted, strong, 0.0)?.weak_volume_m3)
    },
};
