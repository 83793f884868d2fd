//! What is assumed where nobody was asked, or nobody knew.

use station::quantity::UnitSystem;

use super::answers::Tap;

/// Pressure of a tap, Pa gauge: 3.5 bar or 50 psi (common practice, no source: houses have 2 to 6 bar).
pub(super) fn pressure_pa(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Si => 3.5e5,
        UnitSystem::Us => 50.0 * 6_894.757_293_168_361,
    }
}

/// Water of a tap in the coldest and in the warmest month, °C: 8 °C and 20 °C, or 46 °F and 68 °F (common practice, no
/// source: mains in a temperate country).
fn usual_tap_c(units: UnitSystem) -> [f64; 2] {
    match units {
        UnitSystem::Si => [8.0, 20.0],
        UnitSystem::Us => [(46.0 - 32.0) / 1.8, 20.0],
    }
}
/// Chloramine where it is used or can't be ruled out (common practice, no source: networks carry 1 to 3 mg/L).
pub(super) const CHLORAMINE: &str = "2 mg/L ± 1 mg/L";

/// Conductivity and dissolved solids of the middling water that the file's own guesses are of, S/m and kg/m³.
pub(super) const CONDUCTIVITY_S_M: f64 = 0.045;
pub(super) const SOLIDS_KG_M3: f64 = 0.2925;
/// What that water has of each, mg/L, and the doubt when only its minerals are known, % (house rule: the file's own guesses,
/// and nine tenths of their doubt).
pub(super) const HARDNESS_MG_L: [f64; 2] = [150.0, 60.0];
pub(super) const ALKALINITY_MG_L: [f64; 2] = [110.0, 50.0];
pub(super) const SILICA_MG_L: [f64; 2] = [8.0, 70.0];

/// Coldest and warmest tap water; one that is known moves the other where they would cross.
pub(super) fn tap_c(tap: &Tap, units: UnitSystem) -> [f64; 2] {
    let usual_c = usual_tap_c(units);
    let coldest_c = tap.coldest_c.unwrap_or(usual_c[0]);
    let warmest_c = tap.warmest_c.unwrap_or(usual_c[1]);
    match (tap.coldest_c, tap.warmest_c) {
        (None, Some(known_c)) => [coldest_c.min(known_c), warmest_c],
        (Some(known_c), None) => [coldest_c, warmest_c.max(known_c)],
        _ => [coldest_c, warmest_c],
    }
}

/// Where no tank is warmer than this a batch gets no heater, °C (house rule: as cool as a room with a station gets).
pub(super) const COOL_C: f64 = 15.0;
/// Water that is further than this from a tank's is warmed or cooled before it goes in, K (house rule).
pub(super) const TEMPERED_K: f64 = 2.0;

/// Power of a heater for a batch, W: a watt for each litre, in sizes as they are sold (house rule).
pub(super) fn heater_w(batch_m3: f64) -> u32 {
    const SOLD_W: [u32; 7] = [100, 200, 300, 500, 800, 1000, 2000];
    let wanted_w = batch_m3 * 1000.0;
    SOLD_W
        .into_iter()
        .find(|own| f64::from(*own) >= wanted_w)
        .unwrap_or(2000)
}
