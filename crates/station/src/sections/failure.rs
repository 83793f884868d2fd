//! How often parts fail, class by class, and how they are tested.

use crate::quantity::Time;
use crate::register::{Date, choice, section};

choice! {
    #[doc = "A class of parts that fail alike"]
    FailureClass {
        #[doc = "a switch that starts and stops a fill at its level"]
        LevelSwitch = "level-switch",
        #[doc = "a switch that stops a pump, high or low in a vessel"]
        CutOutSwitch = "cut-out-switch",
        #[doc = "a float valve that closes a fill by itself"]
        BackupFloat = "backup-float",
        #[doc = "an electric valve that stops the feed"]
        FeedValve = "feed-valve",
        #[doc = "a relay that switches a pump, a valve or a heater"]
        Relay = "relay",
        #[doc = "what reads the switches and moves valves and pumps"]
        Controller = "controller",
        #[doc = "a pump and its motor"]
        Pump = "pump",
        #[doc = "a hose between vessels, pumps and taps"]
        Hose = "hose",
        #[doc = "a joint of such a hose or pipe"]
        PipeJoint = "pipe-joint",
        #[doc = "a small tube of the purifier"]
        FeedTube = "feed-tube",
        #[doc = "a housing of a filter or a membrane"]
        FilterHousing = "filter-housing",
        #[doc = "a push-in joint of a small tube"]
        PushFit = "push-fit",
        #[doc = "a membrane of the purifier"]
        Membrane = "membrane",
        #[doc = "the valve that stops the feed when the permeate line is closed"]
        ShutOffValve = "shut-off-valve",
        #[doc = "a valve that lets water through one way"]
        CheckValve = "check-valve",
        #[doc = "a heater and its thermostat"]
        Heater = "heater",
        #[doc = "a detector of water on the floor"]
        LeakDetector = "leak-detector",
        #[doc = "a switch that stops a pump where nothing flows"]
        FlowSwitch = "flow-switch",
        #[doc = "an overflow pipe of a vessel"]
        OverflowPipe = "overflow-pipe",
        #[doc = "the current from the mains"]
        Power = "power",
        #[doc = "the water from the mains"]
        Feed = "feed",
        #[doc = "the drain, as far as water runs off"]
        Drain = "drain",
        #[doc = "a valve that a person turns"]
        HandValve = "hand-valve",
        #[doc = "a task that a person does"]
        Task = "task",
    }
}

impl FailureClass {
    /// Every class, in the order of their names in the register.
    pub const ALL: [Self; 24] = [
        Self::LevelSwitch,
        Self::CutOutSwitch,
        Self::BackupFloat,
        Self::FeedValve,
        Self::Relay,
        Self::Controller,
        Self::Pump,
        Self::Hose,
        Self::PipeJoint,
        Self::FeedTube,
        Self::FilterHousing,
        Self::PushFit,
        Self::Membrane,
        Self::ShutOffValve,
        Self::CheckValve,
        Self::Heater,
        Self::LeakDetector,
        Self::FlowSwitch,
        Self::OverflowPipe,
        Self::Power,
        Self::Feed,
        Self::Drain,
        Self::HandValve,
        Self::Task,
    ];

    /// Its name, as it stands in a file: `backup-float` in `[failures.backup-float]`.
    pub const fn name(self) -> &'static str {
        self.word()
    }

    /// The class of a name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::from_word(name)
    }
}

section! {
    #[doc = "How often parts of one class fail, and how they are tested"]
    FailureFields at "failures.*", named FailureClass::WORDS;
    #[doc = "One such part fails once in so long: the short end of what is thought"]
    [optional] soonest: Time, "1 day" to "10000 years", like "\"11 years\"";
    #[doc = "One such part fails once in so long: the long end of what is thought"]
    [optional] latest: Time, "1 day" to "10000 years", like "\"60 years\"";
    #[doc = "How often each is tested by making it work: the float lifted, water poured on the detector"]
    [optional] tested_every: Time, "1 day" to "20 years", like "\"3 months\"";
    #[doc = "The day on which each was last tested"]
    [optional] tested_last: Date, "2000-01-01" to "2100-12-31", like "\"2026-09-14\"";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_class_has_its_name() {
        for (class, word) in FailureClass::ALL.into_iter().zip(FailureClass::WORDS) {
            assert_eq!(class.name(), word.word);
            assert_eq!(FailureClass::from_name(word.word), Some(class));
        }
        assert_eq!(FailureClass::ALL.len(), FailureClass::WORDS.len());
        assert_eq!(FailureClass::from_name("Pump"), None);
    }
}
