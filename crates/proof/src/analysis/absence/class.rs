//! How often parts of each class fail: published orders of magnitude where there are some, else assumptions to edit.
//!
//! # Source
//! `WASH-1400-1975` and generic bases of industrial service, rates per hour (from memory, with the handbook's table beside
//! it): relay 10⁻⁷ to 10⁻⁵, level switch 10⁻⁶ to 10⁻⁵ in clean and 10⁻⁵ to 10⁻⁴ in hard or salt water, solenoid valve 10⁻⁶
//! to 10⁻⁵, small pump 10⁻⁵ to 10⁻⁴, plug-in controller 10⁻⁶ to 10⁻⁵. Float valve in hard water 10⁻⁵ to 10⁻⁴ (common
//! practice, no source). The rest are house rules, wide on purpose. A station file may say otherwise in `[failures.*]`.

use station::Station;
use station::control::{Input, Mark, Program};
use station::sections::{FailureClass, Tube, Water};

use crate::alone::{Fault, Joint};
use crate::plant::YEAR_S;

/// How a fault comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Comes {
    /// By itself, at any time; and shows at the next visit or the next fill.
    Shows,
    /// By itself, and stays hidden until the part is tested or called on.
    Hidden,
    /// With an act of a person: a task, a service.
    Act,
}

/// What is thought of a class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Belief {
    /// Once in so many years at the soonest and at the latest; of acts: once in so many acts.
    pub(super) soonest: f64,
    pub(super) latest: f64,
    pub(super) comes: Comes,
    /// Whether it is published, and not a house rule.
    pub(super) published: bool,
}

/// Hours of a year.
const HOURS: f64 = YEAR_S / 3600.0;

const fn per_hour(low: f64, high: f64, published: bool) -> Belief {
    Belief {
        soonest: 1.0 / (high * HOURS),
        latest: 1.0 / (low * HOURS),
        comes: Comes::Shows,
        published,
    }
}

const fn years(soonest: f64, latest: f64) -> Belief {
    Belief {
        soonest,
        latest,
        comes: Comes::Shows,
        published: false,
    }
}

const fn hidden(belief: Belief) -> Belief {
    Belief {
        comes: Comes::Hidden,
        ..belief
    }
}

/// What is thought of a class before the file says otherwise; `salty` where salt water wets the part.
pub(super) const fn belief(class: FailureClass, salty: bool) -> Belief {
    match class {
        FailureClass::LevelSwitch if salty => per_hour(1e-5, 1e-4, true),
        FailureClass::LevelSwitch => per_hour(1e-6, 1e-5, true),
        FailureClass::CutOutSwitch if salty => hidden(per_hour(1e-5, 1e-4, true)),
        FailureClass::CutOutSwitch | FailureClass::LeakDetector | FailureClass::FlowSwitch => {
            hidden(per_hour(1e-6, 1e-5, true))
        }
        FailureClass::BackupFloat => hidden(per_hour(1e-5, 1e-4, false)),
        FailureClass::FeedValve | FailureClass::Controller => per_hour(1e-6, 1e-5, true),
        FailureClass::Relay => per_hour(1e-7, 1e-5, true),
        FailureClass::Pump => per_hour(1e-5, 1e-4, true),
        FailureClass::Hose => years(20.0, 1000.0),
        FailureClass::PipeJoint => years(100.0, 10_000.0),
        FailureClass::FeedTube => years(30.0, 3000.0),
        FailureClass::PushFit => years(20.0, 1000.0),
        FailureClass::Membrane => years(20.0, 500.0),
        FailureClass::ShutOffValve | FailureClass::CheckValve => years(3.0, 50.0),
        FailureClass::Heater => years(10.0, 200.0),
        FailureClass::OverflowPipe => hidden(years(10.0, 300.0)),
        FailureClass::Power => years(0.3, 5.0),
        FailureClass::Feed => years(0.5, 10.0),
        FailureClass::Drain => years(3.0, 100.0),
        // Once in so many services, in so many tasks.
        FailureClass::FilterHousing => Belief {
            soonest: 30.0,
            latest: 1000.0,
            comes: Comes::Act,
            published: false,
        },
        // A valve left other than it should be and not seen (handbooks of human error: one in 100 to 1000 acts, most of
        // which are seen at once); somebody called away for good with a task in hand is rarer.
        FailureClass::HandValve => Belief {
            soonest: 300.0,
            latest: 30_000.0,
            comes: Comes::Act,
            published: false,
        },
        FailureClass::Task => Belief {
            soonest: 1000.0,
            latest: 100_000.0,
            comes: Comes::Act,
            published: false,
        },
    }
}

/// The class of a fault's part, whether salt water wets it, and how many ways to fail its rate is shared among.
pub(super) fn class_of(station: &Station, program: &Program, fault: Fault) -> (FailureClass, bool, f64) {
    let salty = |vessel: usize| station.vessels[vessel].fields.holds.value == Water::Salt;
    match fault {
        Fault::Switch { input, .. } | Fault::SwitchFallen { input } => match program.inputs().get(input) {
            Some(Input::LevelAtOrAbove { vessel, mark }) => {
                let class = match mark {
                    Mark::Start | Mark::Stop => FailureClass::LevelSwitch,
                    Mark::Backup | Mark::LowCutout | Mark::HeaterLevel | Mark::High => {
                        FailureClass::CutOutSwitch
                    }
                };
                // Stuck wet, stuck dry, fallen: evenly (house rule).
                (class, salty(*vessel), 3.0)
            }
            Some(Input::Leak) => (FailureClass::LeakDetector, false, 2.0),
            Some(Input::FlowSeen { .. }) => (FailureClass::FlowSwitch, true, 2.0),
            _ => (FailureClass::CutOutSwitch, true, 2.0),
        },
        Fault::Relay { .. } => (FailureClass::Relay, false, 2.0),
        Fault::FeedValve { .. } => (FailureClass::FeedValve, false, 2.0),
        Fault::Float { .. } => (FailureClass::BackupFloat, false, 3.0),
        Fault::ControllerDead | Fault::ControllerHung => (FailureClass::Controller, false, 2.0),
        Fault::PowerOut { .. } => (FailureClass::Power, false, 2.0),
        Fault::Feed(_) => (FailureClass::Feed, false, 2.0),
        Fault::RejectRunsOn => (FailureClass::ShutOffValve, false, 1.0),
        Fault::Cycles => (FailureClass::CheckValve, false, 1.0),
        Fault::MembraneTorn => (FailureClass::Membrane, false, 1.0),
        Fault::HousingWeeps => (FailureClass::FilterHousing, false, 1.0),
        Fault::FittingWeeps | Fault::PermeateTubeOff => (FailureClass::PushFit, false, 2.0),
        Fault::FeedTubeOff { .. } => (FailureClass::FeedTube, false, 2.0),
        Fault::DrainBlocked => (FailureClass::Drain, false, 1.0),
        Fault::Apart(joint) => (joint_class(station, joint), false, 1.0),
        Fault::Slipped { .. } => (FailureClass::Hose, false, 1.0),
        Fault::PumpStands { .. } => (FailureClass::Pump, false, 1.0),
        Fault::PumpLeftOn { .. } | Fault::NobodyEndsIt => (FailureClass::Task, false, 1.0),
        Fault::Valve { .. } => (FailureClass::HandValve, false, 2.0),
        Fault::Heater { .. } => (FailureClass::Heater, false, 2.0),
    }
}

/// A joint with a hose at it comes apart like one; others like pipes.
fn joint_class(station: &Station, joint: Joint) -> FailureClass {
    use station::plumbing::End;
    let soft = |line: usize| {
        matches!(
            station.lines[line].fields.tube.value,
            Tube::VinylHose | Tube::CorrugatedHose | Tube::PushFit
        )
    };
    let any = match joint {
        Joint::Outlet { line } => soft(line),
        Joint::Tee(tee) => station.plumbing.lines_at(End::Tee(tee)).any(soft),
        Joint::PumpIn(pump) | Joint::PumpOut(pump) => station.plumbing.lines_at(End::Pump(pump)).any(soft),
    };
    if any {
        FailureClass::Hose
    } else {
        FailureClass::PipeJoint
    }
}
