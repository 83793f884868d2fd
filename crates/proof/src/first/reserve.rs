//! What must be ready: the needs of the tanks as the proof computes them, made to a reserve.

use crate::analysis::Needs;
use crate::plant::DAY_S;
use crate::prove::Proof;

use super::answers::Answers;
use super::write::Write;

/// A tank that nobody measured is half a metre deep, so that its surface follows from its volume (house rule).
const DEPTH_M: f64 = 0.5;
/// The least fresh water that is kept ready, m³: a bucket (house rule).
const BUCKET_M3: f64 = 0.01;

/// Open surface of a tank of which only the volume is known, m².
pub(super) fn open_surface_m2(volume_m3: f64) -> f64 {
    volume_m3 / DEPTH_M
}

/// What is kept ready, and what it was made from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reserves {
    pub(super) fresh_m3: f64,
    pub(super) salt_m3: f64,
    /// Top-off in the season that takes most, m³/s.
    pub(super) top_off_m3_s: f64,
    /// Largest change of a tank in trouble, m³.
    pub(super) emergency_m3: f64,
    /// Largest regular change, m³.
    pub(super) change_m3: f64,
    /// One regular change of every tank, m³.
    pub(super) changes_m3: f64,
}

/// The reserves that a proof of the tanks asks for.
pub(super) fn reserves(answers: &Answers, write: &Write, proof: &Proof) -> Reserves {
    let needs: &Needs = &proof.needs;
    let season = |key: &str| proof.figure(key).map_or(0.0, |figure| figure.value);
    let top_off_m3_s = needs
        .top_off_m3_per_s
        .max(season("top-off-summer"))
        .max(season("top-off-winter"));
    let changes = answers
        .tanks
        .iter()
        .map(|tank| tank.change_share * tank.volume_m3);
    let change_m3 = changes.clone().fold(0.0, f64::max);
    let away_m3 = top_off_m3_s * answers.days_away * DAY_S;
    Reserves {
        fresh_m3: write.round_up_m3(away_m3.max(BUCKET_M3)),
        salt_m3: write.round_up_m3(needs.emergency_m3.max(change_m3)),
        top_off_m3_s,
        emergency_m3: needs.emergency_m3,
        change_m3,
        changes_m3: changes.sum(),
    }
}
