//! Carbon dioxide that leaves to the air before it reaches the resin.

use super::load::LOAD;
use crate::{OutOfRange, Range};

const SHARE: Range = Range {
    quantity: "share of the way to the balance with air",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};

/// Carbon dioxide left after standing in, or trickling through, open air, in mol/m³: `a + (c − a)·(1 − s)`.
///
/// It goes towards what water in balance with that air holds and never past it, so that water that holds less
/// takes some up. A closed line from membrane to resin has s = 0.
///
/// # Arguments
/// * `carbon_dioxide_mol_m3`: before, c, `0..=1000`.
/// * `in_air_mol_m3`: in balance with the air, a, `0..=1000`; about 0.014 in open air at 25 °C, more in a room.
/// * `share_removed`: how much of the difference is made up, s, `0..=1`. Nobody knows it without measuring; 0 is
///   safe.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` with `DEFINITION` of the share; the share itself is the caller's.
pub fn degassed_mol_m3(
    carbon_dioxide_mol_m3: f64,
    in_air_mol_m3: f64,
    share_removed: f64,
) -> Result<f64, OutOfRange> {
    let before = LOAD.require(carbon_dioxide_mol_m3)?;
    let in_air = LOAD.require(in_air_mol_m3)?;
    let share = SHARE.require(share_removed)?;
    // Weighted like this, both ends come out exactly.
    Ok(before * (1.0 - share) + in_air * share)
}
