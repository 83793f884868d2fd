//! Stations for the laws of water made: Larkhaven with some of its values changed.

use proof::{Made, Proof, prove};
use proptest::prelude::*;
use station::{Edit, Station, edit};

const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");

/// What is changed. Spreads go with it: only values are looked at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Draw {
    pub(crate) pressure_bar: f64,
    pub(crate) coldest_c: f64,
    pub(crate) warmest_c: f64,
    pub(crate) conductivity_us_cm: f64,
    pub(crate) ph: f64,
    pub(crate) hold_up_l: f64,
    pub(crate) feed_side_l: f64,
    /// Everything that water flows through or stands in, over Larkhaven's.
    pub(crate) factor: f64,
}

/// Between a poor and a good tap.
pub(crate) fn draws() -> impl Strategy<Value = Draw> {
    (
        2.5..6.0_f64,
        4.0..10.0_f64,
        12.0..22.0_f64,
        300.0..800.0_f64,
        7.0..8.2_f64,
        0.03..0.30_f64,
        0.2..0.5_f64,
    )
        .prop_map(
            |(pressure_bar, coldest_c, warmest_c, conductivity_us_cm, ph, hold_up_l, feed_side_l)| Draw {
                pressure_bar,
                coldest_c,
                warmest_c,
                conductivity_us_cm,
                ph,
                hold_up_l,
                feed_side_l,
                factor: 1.0,
            },
        )
}

/// A quantity as it stands in a file.
fn plain(text: &str) -> String {
    format!("\"{text}\"")
}

/// Path, value at a factor of 1, unit: goes with the factor.
const GROWS: &[(&str, f64, &str)] = &[
    ("tanks.touch-pool.volume", 900.0, "L"),
    ("tanks.touch-pool.evaporation", 9.0, "L/day"),
    ("tanks.touch-pool.change", 90.0, "L"),
    ("tanks.seahorse-nursery.volume", 240.0, "L"),
    ("tanks.seahorse-nursery.evaporation", 3.0, "L/day"),
    ("tanks.seahorse-nursery.change", 36.0, "L"),
    ("tanks.kelp-tank.volume", 420.0, "L"),
    ("tanks.kelp-tank.evaporation", 1.5, "L/day"),
    ("tanks.kelp-tank.change", 40.0, "L"),
    ("tanks.quarantine.volume", 110.0, "L"),
    ("tanks.quarantine.evaporation", 1.5, "L/day"),
    ("tanks.quarantine.change", 22.0, "L"),
    ("tanks.coral-raceway.volume", 560.0, "L"),
    ("tanks.coral-raceway.evaporation", 8.0, "L/day"),
    ("tanks.coral-raceway.change", 56.0, "L"),
    ("vessels.fresh.nominal_volume", 400.0, "L"),
    ("vessels.fresh.run_volume", 210.0, "L"),
    ("vessels.salt.nominal_volume", 300.0, "L"),
    ("vessels.salt.batch_volume", 270.0, "L"),
    ("purifier.restrictor_flow", 800.0, "mL/min"),
    ("purifier.new_membrane_discard", 20.0, "L"),
    ("purifier.new_carbon_rinse", 10.0, "L"),
    ("filters.sediment.price", 6.0, "EUR"),
    ("filters.carbon.bed_volume", 0.5, "L"),
    ("filters.carbon.rated_volume", 20_000.0, "L"),
    ("filters.carbon.rated_flow", 3.8, "L/min"),
    ("filters.carbon.price", 14.0, "EUR"),
    ("membranes.first.rated_flow", 75.0, "gal/day"),
    ("membranes.first.price", 58.0, "EUR"),
    ("resin_beds.canister.volume", 0.55, "L"),
    ("delivered.bay.volume", 400.0, "L"),
    ("reserve.fresh", 90.0, "L"),
    ("reserve.salt", 225.0, "L"),
];

/// Likewise by its root, so that levels stay: diameters.
const GROWS_BY_ROOT: &[(&str, f64)] = &[
    ("vessels.fresh.diameter", 710.0),
    ("vessels.salt.diameter", 760.0),
    ("vessels.salt.cone_outlet_diameter", 50.0),
];

/// Against it: pressure taken for a litre a minute.
const SHRINKS: &[(&str, f64)] = &[
    ("filters.sediment.clean_drop", 0.05),
    ("filters.carbon.clean_drop", 0.05),
];

/// Soft and alkaline: hardly any of its carbon is carbon dioxide.
pub(crate) const NO_GAS: [(&str, &str); 3] = [
    ("feed.alkalinity", "\"30 mg/L CaCO3\""),
    ("feed.ph", "10.5"),
    ("feed.silica", "\"0 mg/L\""),
];

fn edits(draw: &Draw) -> Vec<(&'static str, String)> {
    let factor = draw.factor;
    let mut edits = vec![
        ("feed.pressure", format!("\"{} bar\"", draw.pressure_bar)),
        ("feed.coldest", format!("\"{} C\"", draw.coldest_c)),
        ("feed.warmest", format!("\"{} C\"", draw.warmest_c)),
        (
            "feed.conductivity",
            format!("\"{} uS/cm\"", draw.conductivity_us_cm),
        ),
        ("feed.ph", format!("{}", draw.ph)),
        ("purifier.hold_up", format!("\"{} L\"", draw.hold_up_l * factor)),
        (
            "purifier.feed_side",
            format!("\"{} L\"", draw.feed_side_l * factor),
        ),
    ];
    edits.extend(
        GROWS
            .iter()
            .map(|(path, value, unit)| (*path, format!("\"{} {unit}\"", value * factor))),
    );
    let root = factor.sqrt();
    edits.extend(
        GROWS_BY_ROOT
            .iter()
            .map(|(path, value)| (*path, format!("\"{} mm\"", value * root))),
    );
    edits.extend(
        SHRINKS
            .iter()
            .map(|(path, value)| (*path, format!("\"{} bar\"", value / factor))),
    );
    edits
}

/// Proves Larkhaven as drawn, with further values in the file's notation.
pub(crate) fn proof_with(draw: &Draw, more: &[(&'static str, String)]) -> Proof {
    let edits: Vec<Edit> = edits(draw)
        .into_iter()
        .chain(more.iter().cloned())
        .map(|(path, text)| Edit {
            path: path.to_owned(),
            text,
        })
        .collect();
    // The plumbing stands at the end; its lines fit the vessels as they are, not as they are drawn here.
    let water = LARKHAVEN
        .find("# ---- plumbing")
        .map_or(LARKHAVEN, |at| &LARKHAVEN[..at]);
    let text = edit::apply(water, &edits).unwrap_or_else(|error| panic!("{error}"));
    prove(&Station::read(&text).unwrap_or_else(|faults| panic!("{faults:#?}")))
}

/// Proves Larkhaven as drawn.
pub(crate) fn proof(draw: &Draw) -> Proof {
    proof_with(draw, &[])
}

/// What its purifier makes.
pub(crate) fn purifier_of(proof: &Proof) -> &Made {
    proof
        .supply
        .purifier
        .as_ref()
        .unwrap_or_else(|| panic!("{:#?}", proof.findings))
}

/// What the purifier of Larkhaven as drawn makes.
pub(crate) fn made(draw: &Draw) -> Made {
    purifier_of(&proof(draw)).clone()
}

/// The feed and membrane of handbook 2's worked table (300 mg/L, recovery 0.2 at 60 psi and 25 C, 80 mL and 0.30 L
/// held) over a drum of 0.56 m by 0.8 m, with this much carbon dioxide and this travel of the float. It reopens after
/// 2.6 L, and the tanks take a third of Larkhaven's, so that it stands for hours.
pub(crate) fn drum(gas_mg_l: f64, travel: &str) -> Made {
    let draw = Draw {
        pressure_bar: 60.0 * 0.068_947_57,
        coldest_c: 25.0,
        warmest_c: 25.0,
        conductivity_us_cm: 500.0,
        ph: 7.5,
        hold_up_l: 0.08,
        feed_side_l: 0.30,
        factor: 1.0,
    };
    let alkalinity = |mg_l: f64| ("feed.alkalinity", format!("\"{mg_l} mg/L CaCO3\""));
    let drum = |edits: &[(&'static str, String)]| {
        let mut edits = edits.to_vec();
        edits.extend(
            [
                ("feed.dissolved_solids", "300 mg/L"),
                ("feed.silica", "0 mg/L"),
                ("filters.sediment.clean_drop", "0 bar"),
                ("filters.carbon.clean_drop", "0 bar"),
                ("purifier.product_drop", "0 bar"),
                ("purifier.height", "1.3 m"),
                ("purifier.float_travel", travel),
                ("purifier.float_reopens", "10.556 mm"),
                // Four times the 11.65 L/h of the table.
                ("purifier.restrictor_flow", "46.6 L/h"),
                ("purifier.restrictor_pressure", "60 psi"),
                ("vessels.fresh.diameter", "560 mm"),
                ("vessels.fresh.height", "800 mm"),
                ("vessels.fresh.start_level", "150 mm"),
                ("vessels.fresh.stop_level", "700 mm"),
                ("vessels.fresh.backup_level", "730 mm"),
                ("vessels.fresh.nominal_volume", "190 L"),
                ("vessels.fresh.run_volume", "135 L"),
                ("reserve.fresh", "20 L"),
            ]
            .map(|(path, text)| (path, plain(text))),
        );
        let taken = |path: &str| path.ends_with(".evaporation") || path.ends_with(".change");
        edits.extend(
            GROWS
                .iter()
                .filter(|(path, ..)| taken(path))
                .map(|(path, value, unit)| (*path, format!("\"{} {unit}\"", value / 3.0))),
        );
        proof_with(&draw, &edits)
    };
    if gas_mg_l == 0.0 {
        return purifier_of(&drum(&NO_GAS.map(|(path, text)| (path, text.to_owned())))).clone();
    }
    // Alkalinity tells carbon dioxide in proportion, at one pH.
    let at_100 = purifier_of(&drum(&[alkalinity(100.0)]))
        .carbon_dioxide_kg_m3
        .value
        * 1e3;
    purifier_of(&drum(&[alkalinity(100.0 * gas_mg_l / at_100)])).clone()
}
