//! Faults, their parts and what comes of them, in words.

use station::Station;
use station::control::{Alarm, Input, Mark, Output, Program};
use station::plumbing::End;
use station::quantity::Kind;
use station::sections::Water;

use crate::alone::{Fault, FeedFault, FloatAt, FloatFault, HOTTEST_C, Harm, HarmKind, Joint, Phase, Spot};
use crate::analysis::FRESH;
use crate::analysis::speak::{say, shown};

/// Names of a station's parts.
pub(crate) struct Words<'a> {
    pub(crate) station: &'a Station,
    pub(crate) program: &'a Program,
}

impl Words<'_> {
    fn vessel(&self, at: usize) -> String {
        shown(&self.station.vessels[at].name)
    }

    fn pump(&self, at: usize) -> String {
        shown(&self.station.pumps[at].name)
    }

    fn tank(&self, at: usize) -> String {
        shown(&self.station.tanks[at].name)
    }

    fn line(&self, at: usize) -> String {
        shown(&self.station.lines[at].name)
    }

    /// The part that a fault is of, in a sentence: "the stop switch of fresh".
    pub(crate) fn part(&self, fault: Fault) -> String {
        match fault {
            Fault::Switch { input, .. } | Fault::SwitchFallen { input } => self.switch(input),
            Fault::Relay { output, .. } => match self.program.outputs().nth(output) {
                Some(Output::Pump(pump)) => format!("the relay of {}", self.pump(pump)),
                _ => "the relay of the feed valve".to_owned(),
            },
            Fault::FeedValve { .. } => "the electric feed valve".to_owned(),
            Fault::Float { vessel, at, .. } => match at {
                FloatAt::First => format!("the float in {}", self.vessel(vessel)),
                FloatAt::Second => format!("the second float in {}", self.vessel(vessel)),
            },
            Fault::ControllerDead | Fault::ControllerHung => "the controller".to_owned(),
            Fault::PowerOut { .. } => "the power".to_owned(),
            Fault::Feed(_) => "the feed".to_owned(),
            Fault::RejectRunsOn => "the shut-off valve".to_owned(),
            Fault::Cycles => "the check valve behind the membranes".to_owned(),
            Fault::MembraneTorn => "a membrane".to_owned(),
            Fault::HousingWeeps => "a filter housing".to_owned(),
            Fault::FittingWeeps => "a push-in fitting of the purifier".to_owned(),
            Fault::FeedTubeOff { before_valve: true } => "the feed tube at the tap".to_owned(),
            Fault::FeedTubeOff { before_valve: false } => "the feed tube behind its valve".to_owned(),
            Fault::PermeateTubeOff => "the permeate tube".to_owned(),
            Fault::DrainBlocked => "the drain".to_owned(),
            Fault::Apart(joint) => self.joint(joint),
            Fault::Slipped { line } => format!("the end of {}", self.line(line)),
            Fault::PumpStands { pump } | Fault::PumpLeftOn { pump } => self.pump(pump),
            Fault::Valve { valve, .. } => format!("valve {}", shown(&self.station.valves[valve].name)),
            Fault::Heater { vessel, .. } => format!("the heater of {}", self.vessel(vessel)),
            Fault::NobodyEndsIt => "the task in hand".to_owned(),
        }
    }

    fn switch(&self, input: usize) -> String {
        match self.program.inputs().get(input) {
            Some(Input::LevelAtOrAbove { vessel, mark }) => {
                let name = match mark {
                    Mark::LowCutout => "low cut-out",
                    Mark::HeaterLevel => "heater's low-water switch",
                    Mark::Start => "start switch",
                    Mark::Stop => "stop switch",
                    Mark::Backup => "contact of the backup float",
                    Mark::High => "high cut-out",
                };
                format!("the {name} of {}", self.vessel(*vessel))
            }
            Some(Input::TankHigh { tank }) => format!("the high cut-out of {}", self.tank(*tank)),
            Some(Input::Leak) => "the leak detector".to_owned(),
            Some(Input::FlowSeen { pump }) => format!("the flow switch of {}", self.pump(*pump)),
            _ => "a switch".to_owned(),
        }
    }

    fn joint(&self, joint: Joint) -> String {
        match joint {
            Joint::Outlet { line } => format!("the joint where {} begins", self.line(line)),
            Joint::Tee(tee) => format!("tee {}", shown(&self.station.tees[tee].name)),
            Joint::PumpIn(pump) => format!("the joint before {}", self.pump(pump)),
            Joint::PumpOut(pump) => format!("the joint behind {}", self.pump(pump)),
        }
    }

    /// What is wrong, in a sentence: "the stop switch of fresh stuck dry".
    pub(crate) fn fault(&self, fault: Fault) -> String {
        format!("{} {}", self.part(fault), self.how(fault))
    }

    /// How a part is wrong: "stuck dry".
    pub(crate) fn how(&self, fault: Fault) -> &'static str {
        match fault {
            Fault::Switch { input, on } => match (self.program.inputs().get(input), on) {
                (Some(Input::LevelAtOrAbove { .. } | Input::TankHigh { .. }), true) => "stuck wet",
                (Some(Input::LevelAtOrAbove { .. } | Input::TankHigh { .. }), false) => "stuck dry",
                (Some(Input::Leak), true) => "wet by mistake",
                (Some(Input::Leak), false) => "blind",
                (_, true) => "stuck on",
                (_, false) => "stuck off",
            },
            Fault::SwitchFallen { .. } => "fallen to the floor of its vessel",
            Fault::Relay { on: true, .. } => "welded",
            Fault::Relay { on: false, .. } => "open for good",
            Fault::FeedValve { open: true } => "stuck open",
            Fault::FeedValve { open: false } => "stuck shut",
            Fault::Float { how, .. } => match how {
                FloatFault::Open => "jammed open",
                FloatFault::Shut => "jammed shut",
                FloatFault::Weeps => "weeping",
            },
            Fault::ControllerDead => "dead",
            Fault::ControllerHung => "hung",
            Fault::PowerOut { comes_back: true } => "away for an hour",
            Fault::PowerOut { comes_back: false } => "away for good",
            Fault::Feed(FeedFault::Lost) => "lost",
            Fault::Feed(FeedFault::High) => "half as strong again",
            Fault::Feed(FeedFault::Frozen) => "frozen and split",
            Fault::RejectRunsOn => "failing, so that the reject runs on",
            Fault::Cycles => "leaking, so that the purifier starts every few minutes",
            Fault::MembraneTorn => "torn",
            Fault::HousingWeeps => "weeping after a change",
            Fault::FittingWeeps => "weeping",
            Fault::FeedTubeOff { .. } | Fault::PermeateTubeOff => "off",
            Fault::DrainBlocked => "blocked",
            Fault::Apart(_) => "apart",
            Fault::Slipped { .. } => "slipped out",
            Fault::PumpStands { .. } => "standing still",
            Fault::PumpLeftOn { .. } => "left on",
            Fault::Valve { valve, open: true } if self.station.valves[valve].fields.closes_by_itself() => {
                "wedged open"
            }
            Fault::Valve { open: true, .. } => "left open",
            Fault::Valve { open: false, .. } => "left shut",
            Fault::Heater { on: true, .. } => "stuck on",
            Fault::Heater { on: false, .. } => "dead",
            Fault::NobodyEndsIt => "ended by nobody",
        }
    }

    /// Where in the station file a fault's part stands.
    pub(crate) fn place(&self, fault: Fault) -> String {
        let station = self.station;
        let vessel = |at: usize| format!("vessels.{}", station.vessels[at].name);
        let line = |at: usize| format!("lines.{}", station.lines[at].name);
        let pump = |at: usize| format!("pumps.{}", station.pumps[at].name);
        match fault {
            Fault::Switch { input, .. } | Fault::SwitchFallen { input } => {
                match self.program.inputs().get(input) {
                    Some(Input::LevelAtOrAbove { vessel: at, .. }) => vessel(*at),
                    Some(Input::TankHigh { tank }) => format!("tanks.{}", station.tanks[*tank].name),
                    Some(Input::FlowSeen { pump: at }) => pump(*at),
                    _ => "purifier".to_owned(),
                }
            }
            Fault::Relay { output, .. } => match self.program.outputs().nth(output) {
                Some(Output::Pump(at)) => pump(at),
                _ => "purifier".to_owned(),
            },
            Fault::Float { vessel: at, .. } | Fault::Heater { vessel: at, .. } => vessel(at),
            Fault::Apart(Joint::Outlet { line: at }) | Fault::Slipped { line: at } => line(at),
            Fault::Apart(Joint::Tee(at)) => format!("tees.{}", station.tees[at].name),
            Fault::Apart(Joint::PumpIn(at) | Joint::PumpOut(at))
            | Fault::PumpStands { pump: at }
            | Fault::PumpLeftOn { pump: at } => pump(at),
            Fault::Valve { valve, .. } => format!("valves.{}", station.valves[valve].name),
            Fault::DrainBlocked => "room".to_owned(),
            Fault::Feed(_) => "feed".to_owned(),
            Fault::NobodyEndsIt | Fault::PowerOut { .. } => String::new(),
            _ => "purifier".to_owned(),
        }
    }

    /// The beginning, in a sentence: "in the midst of tall-bucket".
    pub(crate) fn phase(&self, phase: Phase) -> String {
        match phase {
            Phase::Idle => "idle".to_owned(),
            Phase::Filling => "filling".to_owned(),
            Phase::Transfer(task) => format!("amid {}", shown(&self.station.lineups[task].name)),
        }
    }

    /// What was done: "547 L on the floor over the rim of fresh".
    pub(crate) fn harm(&self, harm: &Harm) -> String {
        let say = |kind, si| say(self.station, kind, si);
        match harm.kind {
            HarmKind::Floor(spot) => {
                format!(
                    "{} on the floor {}",
                    say(Kind::Volume, harm.amount),
                    self.spot(spot)
                )
            }
            HarmKind::TankOver(tank) => {
                format!(
                    "{} over the rim of {}",
                    say(Kind::Volume, harm.amount),
                    self.tank(tank)
                )
            }
            HarmKind::TankDrawnBack(tank) => format!("water of {} drawn back", self.tank(tank)),
            HarmKind::HeaterDry(vessel) => format!("the heater of {} in the air", self.vessel(vessel)),
            HarmKind::Cooked(vessel) => format!(
                "{} too warm, in the end at {}{}",
                self.vessel(vessel),
                say(Kind::Temperature, harm.amount),
                if harm.amount >= HOTTEST_C { " or more" } else { "" }
            ),
            HarmKind::Chilled(vessel) => format!(
                "{} too cold, in the end at {}",
                self.vessel(vessel),
                say(Kind::Temperature, harm.amount)
            ),
            HarmKind::PumpDry(pump) => format!("{} runs dry", self.pump(pump)),
            HarmKind::PumpClosed(pump) => format!("{} runs against closed valves", self.pump(pump)),
            HarmKind::SaltInFresh(vessel) => format!("salt in {}", self.vessel(vessel)),
            HarmKind::BatchThinned(vessel) => format!("the batch in {} thinned", self.vessel(vessel)),
            HarmKind::BatchSalted(vessel) => {
                format!("the batch in {} saltier than it is to be", self.vessel(vessel))
            }
            HarmKind::BucketMixed(draw) => format!(
                "water under {} neither fresh nor as salty as it was mixed",
                shown(&self.station.draw_points[draw].name)
            ),
            HarmKind::BucketOfOther(draw, vessel) => format!(
                "{} under {}, where that of {} is to be drawn",
                match self.station.vessels[vessel].fields.holds.value {
                    Water::Fresh => "water with salt in it",
                    Water::Salt if harm.amount < FRESH => "purified water",
                    Water::Salt => "salt water of another salinity",
                },
                shown(&self.station.draw_points[draw].name),
                self.vessel(vessel)
            ),
            HarmKind::TankThinned(tank) => format!("{} thinned too far", self.tank(tank)),
            HarmKind::TankSalted(tank) => format!("{} saltier than it bears", self.tank(tank)),
            HarmKind::TankDried(tank) => format!(
                "{} saltier than it bears, for nobody tops it off",
                self.tank(tank)
            ),
            HarmKind::FeedInFresh(vessel) => format!("tap water in {}", self.vessel(vessel)),
            HarmKind::ReserveGone(0) => "purified water under your reserve".to_owned(),
            HarmKind::ReserveGone(_) => "salt water under your reserve".to_owned(),
            HarmKind::ResinWasted => {
                let beds = say(Kind::Number, (harm.amount * 10.0).round() / 10.0);
                match beds.as_str() {
                    "1" => "a bed of resin gone".to_owned(),
                    beds => format!("{beds} beds of resin gone"),
                }
            }
            HarmKind::DrainWasted => format!("{} down the drain", say(Kind::Volume, harm.amount)),
        }
    }

    /// Where it is wet: "at the purifier".
    pub(crate) fn wet(&self, kind: HarmKind) -> String {
        match kind {
            HarmKind::Floor(spot) => self.spot(spot),
            HarmKind::TankOver(tank) => format!("over the rim of {}", self.tank(tank)),
            _ => String::new(),
        }
    }

    pub(crate) fn spot(&self, spot: Spot) -> String {
        match spot {
            Spot::Vessel(vessel) => format!("over the rim of {}", self.vessel(vessel)),
            Spot::Tank(tank) => format!("at {}", self.tank(tank)),
            Spot::Draw(draw) => format!("under {}", shown(&self.station.draw_points[draw].name)),
            Spot::Joint(joint) => format!("at {}", self.joint(joint)),
            Spot::End(line) => match self.station.plumbing.lines[line].to {
                End::Tank(tank) => format!("beside {}", self.tank(tank)),
                _ => format!("from the end of {}", self.line(line)),
            },
            Spot::Purifier => "at the purifier".to_owned(),
            Spot::Drain => "at the drain".to_owned(),
        }
    }

    /// An alarm that stands at the end: "the alarm: a vessel was overfull".
    pub(crate) fn alarm(&self, output: usize) -> Option<String> {
        match self.program.outputs().nth(output)? {
            Output::Alarm(alarm) => Some(match alarm {
                Alarm::Leak => "an alarm: water on the floor".to_owned(),
                Alarm::Overfull => "an alarm: a vessel was overfull".to_owned(),
                Alarm::RunTooLong => "an alarm: a run was too long".to_owned(),
                Alarm::DryPump(pump) => format!("an alarm: {} without flow", self.pump(pump)),
                Alarm::Chatter(vessel) => {
                    format!("an alarm: the switches of {} disagree", self.vessel(vessel))
                }
            }),
            _ => None,
        }
    }
}
