//! What came of a run: harm, how much of it, and when it began.

use super::fault::Joint;

/// Where water came to the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Spot {
    /// Over the rim of a vessel.
    Vessel(usize),
    /// Over the rim of a tank.
    Tank(usize),
    /// Under a draw point.
    Draw(usize),
    /// At a joint of the lines.
    Joint(Joint),
    /// At the end of a line that has slipped out.
    End(usize),
    /// At the purifier: its feed, its housings, its permeate tube.
    Purifier,
    /// At the drain.
    Drain,
}

/// What harm is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum HarmKind {
    /// Water on the floor.
    Floor(Spot),
    /// A tank got more than it has room for.
    TankOver(usize),
    /// Water of a tank was drawn back into the station.
    TankDrawnBack(usize),
    /// A heater heats in the air.
    HeaterDry(usize),
    /// A vessel is warmer than its animals or its heater bear.
    Cooked(usize),
    /// A vessel that is kept warm has gone cold.
    Chilled(usize),
    /// A pump runs without water.
    PumpDry(usize),
    /// A pump runs against closed valves.
    PumpClosed(usize),
    /// Purified water is spoiled by salt.
    SaltInFresh(usize),
    /// A batch is spoiled by fresh water.
    BatchThinned(usize),
    /// A batch has more salt than it is to have.
    BatchSalted(usize),
    /// A tank is thinner than its animals bear.
    TankThinned(usize),
    /// A tank is saltier than its animals bear.
    TankSalted(usize),
    /// A tank is saltier than its animals bear because nobody tops it off.
    TankDried(usize),
    /// What stands under a draw point is neither purified water nor salt water as it is mixed in any vessel.
    BucketMixed(usize),
    /// What stands under a draw point is good water, and not that of the vessel that is drawn from there.
    BucketOfOther(usize, usize),
    /// Feed water came into a vessel through a torn membrane.
    FeedInFresh(usize),
    /// Less is at hand than the owner wants at any time; fresh, salt.
    ReserveGone(usize),
    /// A bed of resin is used up for nothing.
    ResinWasted,
    /// Water runs to the drain for nothing.
    DrainWasted,
}

/// One harm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Harm {
    pub(crate) kind: HarmKind,
    /// When it was done, s after the beginning.
    pub(crate) at_s: f64,
    /// How much: m³ on the floor or to the drain, °C, practical salinity, beds; 0 where nothing is measured.
    pub(crate) amount: f64,
}

/// All that came of a run.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Outcome {
    /// Harm, in the order of its kinds.
    pub(crate) harms: Vec<Harm>,
    /// Water on the floor, m³.
    pub(crate) floor_m3: f64,
    /// Alarms that stand at the end, by output of the program.
    pub(crate) alarms: Vec<usize>,
    /// What lines lost or made of the water or the salt that they moved, whichever is more, as a share.
    pub(crate) residual: f64,
    /// When a person had done what they had in hand, s.
    pub(crate) ended_s: Option<f64>,
    /// Events that were walked through.
    pub(crate) events: u32,
    /// Whether events came without end, so that it was broken off.
    pub(crate) restless: bool,
}

impl Outcome {
    /// The harm of a kind.
    pub(crate) fn harm(&self, is: impl Fn(HarmKind) -> bool) -> Option<&Harm> {
        self.harms.iter().find(|harm| is(harm.kind))
    }

    /// Whether water came to the floor.
    pub(crate) fn floods(&self) -> bool {
        self.harm(|kind| matches!(kind, HarmKind::Floor(_) | HarmKind::TankOver(_)))
            .is_some()
    }
}
