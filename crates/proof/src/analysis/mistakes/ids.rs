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
pub(super) struct HarmIds {
    /// By bit; those of one victim stand together.
    all: Vec<(Kind, Victim)>,
    /// The first bit of each vessel, tank, draw point and pump.
    first_of: [Vec<usize>; 4],
}

impl HarmIds {
    /// Of a station.
    ///
    /// # Errors
    /// [`Refusal::TooMany`].
    pub(super) fn of(station: &Station) -> Result<Self, Refusal> {
        let mut ids = Vec::new();
        let mut first_of = [const { Vec::new() }; 4];
        for (at, vessel) in station.vessels.iter().enumerate() {
            first_of[0].push(ids.len());
            let mixing = match vessel.fields.holds.value {
                Water::Fresh => Kind::SaltIntoFresh,
                Water::Salt => Kind::FreshIntoSalt,
            };
            for kind in [Kind::BackflowToFeed, Kind::HeaterUncovered, Kind::OverRim, mixing] {
                ids.push((kind, End::Vessel(at)));
            }
        }
        for at in 0..station.tanks.len() {
            first_of[1].push(ids.len());
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
            first_of[2].push(ids.len());
            ids.extend([Kind::ToFloor, Kind::WrongWaterDrawn].map(|kind| (kind, End::Draw(at))));
        }
        for at in 0..station.pumps.len() {
            first_of[3].push(ids.len());
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
        Ok(Self { all: ids, first_of })
    }

    /// The bit of a harm.
    pub(super) fn bit(&self, kind: Kind, victim: Victim) -> HarmSet {
        let first = match victim {
            End::Vessel(at) => self.first_of[0].get(at),
            End::Tank(at) => self.first_of[1].get(at),
            End::Draw(at) => self.first_of[2].get(at),
            End::Pump(at) => self.first_of[3].get(at),
            End::Tee(_) => None,
        };
        let Some(first) = first.copied() else {
            return 0;
        };
        let mut own = self.all[first..].iter();
        own.position(|own| *own == (kind, victim))
            .map_or(0, |at| 1 << (first + at))
    }

    /// The bits of some harms.
    pub(super) fn set<'h>(&self, harms: impl IntoIterator<Item = &'h Harm>) -> HarmSet {
        let bits = harms.into_iter().map(|harm| self.bit(harm.kind, harm.victim));
        bits.fold(0, |set, bit| set | bit)
    }

    /// Every harm with its bit, worst kinds first, then as the file has their victims.
    pub(super) fn each(&self) -> Vec<(HarmSet, Kind, Victim)> {
        let mut all: Vec<_> = self
            .all
            .iter()
            .enumerate()
            .map(|(at, (kind, victim))| (1 << at, *kind, *victim))
            .collect();
        all.sort_by_key(|(_, kind, victim)| (*kind, *victim));
        all
    }
}
