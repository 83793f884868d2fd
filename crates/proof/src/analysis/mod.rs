//! One module for each analysis.

mod absence;
mod batch;
mod bucket;
mod compare;
mod cost;
mod delivered;
mod lead_time;
mod levels;
mod mistakes;
mod needs;
mod plumbing;
mod service;
pub(crate) mod speak;
mod supply;
mod water;
mod year;

pub use absence::{
    Absence, AbsenceFault, Assumption, Away, Barrier, Branch, By, Chance, FaultSet, Gate, MOST_HOURS,
    MinimalSet, PartShare, TestRow, Top, TriedGuard, absence, absence_told, as_often, once_in,
};
pub use batch::{Batch, SaltBatch};
pub use compare::{ComparedFigure, Comparison, Design, Difference, compare};
pub use cost::Cost;
pub use delivered::Delivered;
pub use lead_time::{InSeason, LeadStep, LeadTime, LeadTimeFault, Season, lead_time};
pub use levels::{LevelMark, Levels, Sounding, VesselLevels};
pub use mistakes::{
    BEING_TRIED, Balance, Cause, HarmOfState, Hazard, Kind as MistakeKind, KindCount, Leading, MistakeMap,
    Mistakes, MoveOfCause, REST, StateOfStation, SwitchMove, SwitchOrder, Together, TriedRemedy, WrongMove,
    every_state, mistake_map,
};
pub use needs::{Needs, TankNeed};
pub use plumbing::{
    Delivery, Ending, FlowFault, Flows, Lineup, LineupMoment, Lineups, LinkFlow, Mixing, NodeHead, PlainEnd,
    PlainLine, PlainNetwork, PlainPump, PumpAtWork, Regime, Siphon, Stray, VesselBalance, VesselLevel, flows,
    plain, plain_flows,
};
pub use service::{Drain, How as HowInstead, Instead, Lost, PartKind, PartService, Service, Still};
pub use speak::{mark_edit, mark_step_m};
pub use supply::{Supply, VesselSupply};
pub use water::{
    ControlRow, CostPart, CurvePoint, DoubtShare, FilterRow, Made, MonthOfWater, ResinOption, RunOfWater,
    Stores, TankStores,
};

pub(crate) use absence::FaultWords;
pub(crate) use year::prepare;
pub use year::{
    Band, CostItem, Emergencies, EnergyUse, Followed, Leanest, MOST_YEARS, Over, Paces, RunBin, Share,
    Shortfall, Stretch, TriedChange, Wear, Week, WorkTime, Year, YearCost, YearFault, Years, paces, year,
    year_told,
};
pub use year::{
    PlainDraws, PlainFeed, PlainMix, PlainOddFeed, PlainPeople, PlainPlant, PlainPurifier, PlainSwitch,
    PlainTank, PlainTimes, PlainTotals, PlainVessel, PlainVisit, PlainWarmth, PlainWay, PlainYears,
};

pub(crate) use batch::batch;
pub(crate) use bucket::{bucket_m3, bucket_s, dipped_m3};
pub(crate) use cost::cost;
pub(crate) use lead_time::{
    Facts as FactsOfLeadTime, Permeate as PermeateOfLeadTime, find as find_lead_time, plan as lead_time_plan,
    warming,
};
pub(crate) use levels::{levels, sides_pass};
pub(crate) use mistakes::{
    FRESH, Leg, Position, Switch, Switches, Turned, Uncured, is_of_mistakes, leg, mistakes, parts,
    pump_suffers_s, set_beside, try_cures,
};
pub(crate) use needs::needs;
pub(crate) use plumbing::{
    Depth, Known as KnownOfPlumbing, Pipework, Setting, State as StateOfNetwork, lineups, plain_network,
    settings,
};
pub(crate) use service::{Facts as FactsOfService, findings as findings_of_service, service};
pub(crate) use supply::supply;
pub(crate) use water::{Ends, PurifierNodes, made, stores_left};
