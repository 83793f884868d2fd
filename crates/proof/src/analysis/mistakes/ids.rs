//! Harms as bits: one for each kind and whom it happens to.

use station::Station;
use station::plumbing::End;
use station::sections::Water;

use super::judge::Harm;
use super::kind::{Kind, Victim};
use crate::method::Refusal;

/// What a position does, as bits: one for each kind of harm and whom it happens to.
pub(super) type HarmSet = u128;

/// The harms that can happen at a station, each with its bit.
#[derive(Debug, Clone)]
pub(super) struct HarmIds(Vec<(Kind, Victim)>);

impl HarmIds {
    /// Of a station.
    ///
    /// # Errors
    /// [`Refusal::TooMany`].
    pub(super) fn of(station: &Station) -> Result<Self, Refusal> {
        let mut ids = Vec::new();
        for (at, vessel) in station.vessels.iter().enumerate() {
            let mixing = match vessel.fields.holds.value {
                Water::Fresh => Kind::SaltIntoFresh,
                Water::Salt => Kind::FreshIntoSalt,
            };
            for kind in [Kind::BackflowToFeed, Kind::HeaterUncovered, Kind::OverRim, mixing] {
                ids.push((kind, End::Vessel(at)));
            }
        }
        for at in 0..station.tanks.len() {
            for kind in [
                Kind::TankDrawnBack,
                Kind::SiphonIntoTank,
                Kind::OverRim,
                Kind::FreshIntoSalt,
            ] {
                ids.push((kind, End::Tank(at)));
            }
        }
        for at in 0..station.draw_points.len() {
            ids.extend([Kind::ToFloor, Kind::WrongWaterDrawn].map(|kind| (kind, End::Draw(at))));
        }
        for at in 0..station.pumps.len() {
            ids.extend([Kind::PumpDry, Kind::PumpAgainstClosed].map(|kind| (kind, End::Pump(at))));
        }
        let most = HarmSet::BITS as usize;
        if ids.len() > most {
            return Err(Refusal::TooMany {
                what: "harms that vessels, tanks, draw points and pumps can come to",
                given: ids.len(),
                most,
            });
        }
        Ok(Self(ids))
    }

    /// The bit of a harm.
    pub(super) fn bit(&self, kind: Kind, victim: Victim) -> HarmSet {
        self.0
            .iter()
            .position(|own| *own == (kind, victim))
            .map_or(0, |at| 1 << at)
    }

    /// The bits of some harms.
    pub(super) fn set<'h>(&self, harms: impl IntoIterator<Item = &'h Harm>) -> HarmSet {
        let bits = harms.into_iter().map(|harm| self.bit(harm.kind, harm.victim));
        bits.fold(0, |set, bit| set | bit)
    }

    /// Every harm with its bit, worst kinds first, then as the file has their victims.
    pub(super) fn each(&self) -> Vec<(HarmSet, Kind, Victim)> {
        let mut all: Vec<_> = self
            .0
            .iter()
            .enumerate()
            .map(|(at, (kind, victim))| (1 << at, *kind, *victim))
            .collect();
        all.sort_by_key(|(_, kind, victim)| (*kind, *victim));
        all
    }
}
