//! What would happen: figures that know why, findings with remedies that were tried.
//!
//! Owns: the register of methods, the sheet of figures, one module for each analysis, the verdict.
//! Must not know: databases, HTTP, printing, how anything is shown. It takes a [`station::Station`] and gives
//! plain data; the same station gives the same bytes.

mod alone;
mod analysis;
mod another_vessel;
mod assess;
mod estimate;
mod figure;
mod finding;
pub mod first;
pub mod live;
mod method;
mod methods;
mod name_key;
mod plant;
mod progress;
mod prove;
mod remedy;
mod sheet;
mod sources;
mod spoken;
mod states;
mod threads;

/// The network of a station as plain data, for checks from outside.
pub mod network {
    pub use crate::analysis::{PlainEnd, PlainLine, PlainNetwork, PlainPump, plain, plain_flows};
}

/// The plant of a station's years as plain data, and what each year comes to, for checks from outside.
pub mod plain_year {
    pub use crate::analysis::{
        PlainDraws, PlainFeed, PlainMix, PlainOddFeed, PlainPeople, PlainPlant, PlainPurifier, PlainSwitch,
        PlainTank, PlainTimes, PlainTotals, PlainVessel, PlainVisit, PlainWarmth, PlainWay, PlainYears,
    };
}

pub use analysis::{
    Absence, AbsenceFault, Assumption, Away, Barrier, Branch, By, Chance, FaultSet, Gate, MOST_HOURS,
    MinimalSet, PartShare, TestRow, Top, TriedGuard, absence, absence_told, as_often, once_in,
};
pub use analysis::{
    BEING_TRIED, Balance, Batch, Cause, ControlRow, Cost, CostPart, CurvePoint, Delivered, Delivery,
    DoubtShare, Drain, Ending, FilterRow, FlowFault, Flows, HarmOfState, Hazard, HowInstead, InSeason,
    Instead, KindCount, LeadStep, LeadTime, LeadTimeFault, Leading, LevelMark, Levels, Lineup, LineupMoment,
    Lineups, LinkFlow, Lost, Made, MistakeKind, MistakeMap, Mistakes, Mixing, MonthOfWater, MoveOfCause,
    Needs, NodeHead, PartKind, PartService, PumpAtWork, REST, Regime, ResinOption, RunOfWater, SaltBatch,
    Season, Service, Siphon, Sounding, StateOfStation, Still, Stores, Stray, Supply, SwitchMove, SwitchOrder,
    TankNeed, TankStores, Together, TriedRemedy, VesselBalance, VesselLevel, VesselLevels, VesselSupply,
    WrongMove, every_state, flows, lead_time, mistake_map,
};
pub use analysis::{
    Band, ComparedFigure, Comparison, CostItem, Design, Difference, Emergencies, EnergyUse, Followed,
    Leanest, MOST_YEARS, Over, Paces, RunBin, Share, Shortfall, Stretch, TriedChange, Wear, Week, WorkTime,
    Year, YearCost, YearFault, Years, compare, paces, year, year_told,
};
pub use analysis::{mark_edit, mark_step_m};
pub use another_vessel::{another_vessel, comes_in};
pub use estimate::Estimate;
pub use figure::{Figure, Input};
pub use finding::{Finding, Remedy, RemedyEdit, Severity};
pub use method::{Beyond, Caution, Method, Refusal};
pub use methods::{METHODS, method};
pub use progress::{Progress, Reached, Stage};
pub use prove::{FirstProof, Proof, prove, prove_first, sketch, verdict_of};
pub use sources::{Source, source};
pub use states::{StateFinding, StateOfFeed};
