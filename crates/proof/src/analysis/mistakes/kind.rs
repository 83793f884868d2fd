//! What a wrong valve can do, and to whom.

use serde::Serialize;
use station::Station;
use station::plumbing::End;

use crate::finding::Severity;

/// A kind of harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Water runs back toward the purifier and its feed.
    BackflowToFeed,
    /// Tank water is drawn back into the station.
    TankDrawnBack,
    /// A heater is left on above the water.
    HeaterUncovered,
    /// Salt water comes into purified water.
    SaltIntoFresh,
    /// The station siphons into a tank.
    SiphonIntoTank,
    /// Water runs over a rim.
    OverRim,
    /// Water thins a batch, or a tank.
    FreshIntoSalt,
    /// What runs into a container under a draw point is neither fresh nor as salty as it was mixed, or isn't the water that
    /// the task draws.
    WrongWaterDrawn,
    /// Water runs out of a draw point, past its container.
    ToFloor,
    /// A pump runs dry or draws air.
    PumpDry,
    /// A pump works against closed valves.
    PumpAgainstClosed,
}

impl Kind {
    /// All of them, worst first.
    pub const ALL: [Self; 11] = [
        Self::BackflowToFeed,
        Self::TankDrawnBack,
        Self::HeaterUncovered,
        Self::SaltIntoFresh,
        Self::SiphonIntoTank,
        Self::OverRim,
        Self::FreshIntoSalt,
        Self::WrongWaterDrawn,
        Self::ToFloor,
        Self::PumpDry,
        Self::PumpAgainstClosed,
    ];

    /// What it is called in headings and lists.
    pub const fn word(self) -> &'static str {
        match self {
            Self::BackflowToFeed => "back toward the feed",
            Self::TankDrawnBack => "tank water drawn back",
            Self::HeaterUncovered => "heater left dry",
            Self::SaltIntoFresh => "salt into fresh",
            Self::SiphonIntoTank => "station runs into a tank",
            Self::OverRim => "over a rim",
            Self::FreshIntoSalt => "fresh into salt",
            Self::WrongWaterDrawn => "wrong water in a container",
            Self::ToFloor => "to the floor",
            Self::PumpDry => "pump dry",
            Self::PumpAgainstClosed => "pump against closed valves",
        }
    }

    /// Its name in a finding.
    pub(super) const fn id(self) -> &'static str {
        match self {
            Self::BackflowToFeed => "mistake-backflow-to-feed",
            Self::TankDrawnBack => "mistake-tank-drawn-back",
            Self::HeaterUncovered => "mistake-heater-uncovered",
            Self::SaltIntoFresh => "mistake-salt-into-fresh",
            Self::SiphonIntoTank => "mistake-siphon-into-tank",
            Self::OverRim => "mistake-over-rim",
            Self::FreshIntoSalt => "mistake-fresh-into-salt",
            Self::WrongWaterDrawn => "mistake-wrong-water-drawn",
            Self::ToFloor => "mistake-to-floor",
            Self::PumpDry => "mistake-pump-dry",
            Self::PumpAgainstClosed => "mistake-pump-against-closed",
        }
    }
}

/// Whom it happens to: the end of a line, or a pump.
pub(super) type Victim = End;

/// How much a harm matters. Health, fire and what can't be undone first (house rule).
pub(super) fn severity(station: &Station, kind: Kind, victim: Victim) -> Severity {
    match (kind, victim) {
        (Kind::TankDrawnBack, End::Tank(tank)) if !station.tanks[tank].fields.isolated.value => {
            Severity::Should
        }
        (
            Kind::BackflowToFeed
            | Kind::TankDrawnBack
            | Kind::HeaterUncovered
            | Kind::SaltIntoFresh
            | Kind::SiphonIntoTank,
            _,
        ) => Severity::Must,
        (
            Kind::OverRim
            | Kind::FreshIntoSalt
            | Kind::WrongWaterDrawn
            | Kind::ToFloor
            | Kind::PumpDry
            | Kind::PumpAgainstClosed,
            _,
        ) => Severity::Should,
    }
}
