//! A proof with what goes beyond it, for another program: the long weekend and a few years.

use proof::{Absence, Progress, Proof, Year};
use serde::Serialize;
use station::Station;

use super::{absence, year};

/// All that is told of a proof.
#[derive(Debug, Serialize)]
pub(crate) struct Proved<'p> {
    #[serde(flatten)]
    pub(crate) proof: &'p Proof,
    /// A long weekend with nobody there; nothing where it has no plant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) absence: Option<Absence>,
    /// A year of it; nothing where it has none, or where no program reads this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) year: Option<Year>,
}

impl<'p> Proved<'p> {
    /// Of a station that was proved, all of it.
    pub(crate) fn of(station: &Station, proof: &'p Proof) -> Self {
        Self {
            proof,
            absence: absence::in_short(station, false),
            year: years(station),
        }
    }
}

/// As many years as are told with a proof.
pub(crate) fn years(station: &Station) -> Option<Year> {
    year::some(station, year::FEW, &Progress::default(), |_| ())
}
