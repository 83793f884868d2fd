//! How far long work is, and how somebody ends it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU8, AtomicU64, Ordering};
use std::thread;
use std::time::Duration;

/// What long work is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Stage {
    /// It has just begun.
    Begun,
    /// Years are walked through.
    Years,
    /// Changes are sent through the same years.
    Changes,
    /// Stations are sent through the same years; the years of all of them are counted.
    Compared,
    /// Faults, one at a time; counted from each beginning.
    Faults,
    /// Faults, two at a time; counted by the second of them, from each beginning.
    Pairs,
    /// Guards and habits are tried.
    Guards,
}

impl Stage {
    const ALL: [Self; 7] = [
        Self::Begun,
        Self::Years,
        Self::Changes,
        Self::Compared,
        Self::Faults,
        Self::Pairs,
        Self::Guards,
    ];
}

/// How far it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reached {
    /// What it is at.
    pub stage: Stage,
    /// Pieces of it that are done.
    pub done: u32,
    /// Pieces that there are.
    pub all: u32,
}

const GOES_ON: u8 = 0;
const ENOUGH: u8 = 1;
const STOPPED: u8 = 2;
/// From one look whether to go on to the next, while somebody else has the machine.
const REST: Duration = Duration::from_millis(5);
/// Bits of a count: more years than are ever asked for.
const COUNT: u32 = 28;
const MOST: u64 = (1 << COUNT) - 1;

/// Whether to go on, and how far it is.
#[derive(Debug, Default)]
pub struct Progress {
    /// Stage, all and done in one, so that nobody sees the count of one stage with the whole of another.
    reached: AtomicU64,
    end: Arc<AtomicU8>,
    is_held: Arc<AtomicBool>,
}

impl Progress {
    /// How far it is.
    pub fn reached(&self) -> Reached {
        let packed = self.reached.load(Ordering::Relaxed);
        // Whatever was packed fits.
        let part = |value: u64| (value & MOST) as u32;
        Reached {
            stage: Stage::ALL[(packed >> (2 * COUNT)) as usize % Stage::ALL.len()],
            done: part(packed),
            all: part(packed >> COUNT),
        }
    }

    /// Asks for a stop: nothing that was done is wanted any more.
    pub fn stop(&self) {
        self.end.store(STOPPED, Ordering::Relaxed);
    }

    /// Asks for an end: nothing new is begun, and what is told is what was done by then, where that can be told.
    pub fn enough(&self) {
        // Who asked for a stop gets it.
        let _ = self
            .end
            .compare_exchange(GOES_ON, ENOUGH, Ordering::Relaxed, Ordering::Relaxed);
    }

    /// Lets it rest between two pieces, until it may go on: somebody else has the machine. What comes of it stays the same.
    pub fn hold(&self, is_held: bool) {
        self.is_held.store(is_held, Ordering::Relaxed);
    }

    /// Whether somebody asked for a stop.
    pub fn is_stopped(&self) -> bool {
        self.end.load(Ordering::Relaxed) == STOPPED
    }

    /// Whether somebody asked for a stop or an end.
    pub fn is_ended(&self) -> bool {
        self.end.load(Ordering::Relaxed) != GOES_ON
    }

    /// The same end, with a count that nobody sees: for work within a piece.
    pub(crate) fn beside(&self) -> Self {
        Self {
            reached: AtomicU64::default(),
            end: self.end.clone(),
            is_held: self.is_held.clone(),
        }
    }

    /// Begins a stage of so many pieces.
    pub(crate) fn begin(&self, stage: Stage, all: usize) {
        let all = (all as u64).min(MOST);
        let packed = (stage as u64) << (2 * COUNT) | all << COUNT;
        self.reached.store(packed, Ordering::Relaxed);
    }

    /// A piece is done; no more of them than were told. Comes back once there may be another.
    pub(crate) fn step(&self) {
        self.reached.fetch_add(1, Ordering::Relaxed);
        while self.is_held.load(Ordering::Relaxed) && !self.is_ended() {
            thread::sleep(REST);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_reached_is_told_with_its_stage() {
        let progress = Progress::default();
        for stage in Stage::ALL {
            progress.begin(stage, 100_000);
            for _ in 0..300 {
                progress.step();
            }
            let (done, all) = (300, 100_000);
            assert_eq!(progress.reached(), Reached { stage, done, all });
        }
    }

    /// What is held counts no further, within a piece either, until it is let go or ended.
    #[test]
    fn what_is_held_rests() {
        for ends in [|own: &Progress| own.hold(false), Progress::enough, Progress::stop] {
            let progress = Progress::default();
            let within = progress.beside();
            within.begin(Stage::Years, 2);
            progress.hold(true);
            thread::scope(|scope| {
                let work = scope.spawn(|| {
                    within.step();
                    within.step();
                });
                while within.reached().done == 0 {
                    thread::yield_now();
                }
                thread::sleep(4 * REST);
                assert_eq!(within.reached().done, 1);
                ends(&progress);
                work.join().expect("it goes on");
            });
            assert_eq!(within.reached().done, 2);
        }
    }

    /// What is done within a piece isn't counted, and ends with the whole.
    #[test]
    fn an_end_reaches_what_is_within() {
        let progress = Progress::default();
        let within = progress.beside();
        within.begin(Stage::Years, 3);
        within.step();
        assert_eq!(progress.reached().stage, Stage::Begun);
        progress.enough();
        assert!(within.is_ended() && !within.is_stopped());
        progress.stop();
        progress.enough();
        assert!(within.is_stopped(), "a stop isn't taken back by an end");
    }
}
