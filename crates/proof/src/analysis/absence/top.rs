//! What matters in the end: the harm that faults lead to, in six kinds.

use serde::Serialize;

use crate::alone::HarmKind;

/// What matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Top {
    /// Water on the floor, or over the rim of a tank.
    WetFloor,
    /// Stored water or a tank's water spoiled.
    SpoiledWater,
    /// A heater in the air, water too hot or too cold.
    Heat,
    /// A pump without water or against closed valves.
    Pump,
    /// Less at hand than is always wanted.
    Reserve,
    /// Water or resin gone for nothing.
    Waste,
}

impl Top {
    /// All of them, gravest first.
    pub(crate) const ALL: [Self; 6] = [
        Self::WetFloor,
        Self::SpoiledWater,
        Self::Heat,
        Self::Pump,
        Self::Reserve,
        Self::Waste,
    ];

    pub(super) fn of(kind: HarmKind) -> Self {
        match kind {
            HarmKind::Floor(_) | HarmKind::TankOver(_) => Self::WetFloor,
            HarmKind::TankDrawnBack(_)
            | HarmKind::SaltInFresh(_)
            | HarmKind::BatchThinned(_)
            | HarmKind::BatchSalted(_)
            | HarmKind::TankThinned(_)
            | HarmKind::TankSalted(_)
            | HarmKind::TankDried(_)
            | HarmKind::BucketMixed(_)
            | HarmKind::BucketOfOther(..)
            | HarmKind::FeedInFresh(_) => Self::SpoiledWater,
            HarmKind::HeaterDry(_) | HarmKind::Cooked(_) | HarmKind::Chilled(_) => Self::Heat,
            HarmKind::PumpDry(_) | HarmKind::PumpClosed(_) => Self::Pump,
            HarmKind::ReserveGone(_) => Self::Reserve,
            HarmKind::ResinWasted | HarmKind::DrainWasted => Self::Waste,
        }
    }

    /// In a sentence: "water on the floor".
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::WetFloor => "water on the floor",
            Self::SpoiledWater => "spoiled water",
            Self::Heat => "water too hot or too cold, or a heater in the air",
            Self::Pump => "a pump run dry or against closed valves",
            Self::Reserve => "less water at hand than you always want",
            Self::Waste => "water or resin gone for nothing",
        }
    }
}
