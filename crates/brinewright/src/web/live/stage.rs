//! The one live station: a thread that walks it while somebody looks.

use std::collections::VecDeque;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use proof::live::{Act, Beginning, Foretold, Live, LiveFault, Recorded, live};
use station::Station;
use tokio::sync::{oneshot, watch};

use super::super::bench::Bench;
use super::card::{self, Card};
use super::clock::Clock;
use super::told::{Told, skipped, told};

/// From one picture to the next.
const TICK: Duration = Duration::from_millis(100);
/// What of a tick is spent on walking at most: where that isn't enough, time runs slower than asked.
const WALKING: Duration = Duration::from_millis(70);
/// Walked at once, s: between two looks at the wall's clock.
const SLICE_S: f64 = 20.0;
/// The longest real time that is caught up at once, s.
const MOST_BEHIND_S: f64 = 0.3;
/// The fastest that time runs.
pub(super) const FASTEST: f64 = 600.0;
/// What a hand chooses from, and how long a record is played for by itself, s (house rule).
const SPEEDS: [f64; 4] = [1.0, 10.0, 60.0, FASTEST];
const WHILE_S: f64 = 60.0;
/// The longest time that is skipped at once, s: a long weekend.
pub(super) const LONGEST_SKIP_S: f64 = 64.0 * 3600.0;

/// What somebody wants of the live station.
pub(super) enum Wish {
    /// An act; asked about first where that is wanted.
    Act {
        act: Act,
        ask_first: bool,
        reply: oneshot::Sender<Result<Answered, LiveFault>>,
    },
    /// So many times as fast as real time; 0 stands still. The choices are numbered.
    Pace { speed: f64, number: u64 },
    /// So much further, as fast as it goes.
    Skip(f64),
    /// Begin anew, and play these acts.
    Again(Beginning, Vec<Recorded>),
    /// What was done since the beginning, and the station's title.
    Record(oneshot::Sender<(String, Beginning, Vec<Recorded>)>),
    /// Something of a card that is followed.
    Card {
        wanted: card::Wanted,
        reply: oneshot::Sender<Result<(), LiveFault>>,
    },
}

/// What came of an act.
pub(super) struct Answered {
    pub(super) done: bool,
    pub(super) word: Option<Foretold>,
    /// The same in a sentence.
    pub(super) says: Option<String>,
    /// Whether a card is followed whose step it isn't.
    pub(super) beside: bool,
}

/// What everybody hears.
#[derive(Clone)]
pub(super) enum Heard {
    Told(Arc<Told>),
    Refused(Arc<str>),
}

/// The live station as pages reach it.
#[derive(Default)]
pub(super) struct Stage {
    open: Mutex<Option<Open>>,
    /// The number of the last choice of a pace, so that a page knows moments that were told before its own.
    paced: AtomicU64,
}

#[derive(Clone)]
pub(super) struct Open {
    pub(super) wishes: Sender<Wish>,
    pub(super) news: watch::Receiver<Option<Heard>>,
}

impl Stage {
    /// The live station; it begins when it is first asked for, and again when its thread has ended.
    pub(super) fn open(&self, bench: &Arc<Bench>) -> Open {
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(open) = open.as_ref()
            && open.news.has_changed().is_ok()
        {
            return open.clone();
        }
        let (wishes, wished) = mpsc::channel();
        let (tell, news) = watch::channel(None);
        let bench = bench.clone();
        let paced = self.paced.load(Ordering::Relaxed);
        thread::spawn(move || act_out(&bench, &wished, &tell, paced));
        let fresh = Open { wishes, news };
        *open = Some(fresh.clone());
        fresh
    }

    /// Chooses a pace; moments tell when they have heard of the number that comes back.
    pub(super) fn pace(&self, bench: &Arc<Bench>, speed: f64) -> Option<u64> {
        // Whatever begins here hears of no number that is given later.
        let open = self.open(bench);
        let number = 1 + self.paced.fetch_add(1, Ordering::Relaxed);
        open.wishes
            .send(Wish::Pace { speed, number })
            .is_ok()
            .then_some(number)
    }
}

/// Why a live station is left.
enum Left {
    Again(Beginning, Vec<Recorded>),
    Ended,
}

fn act_out(bench: &Bench, wished: &Receiver<Wish>, tell: &watch::Sender<Option<Heard>>, mut paced: u64) {
    let mut next = (Beginning::Full, Vec::new());
    let mut speed = 1.0;
    loop {
        let Some((revision, station)) = bench.station() else {
            refuse(
                tell,
                "the text is no station just now: mend it on the workbench, then begin anew",
            );
            return;
        };
        let (beginning, acts) = next;
        if speed == 0.0 {
            speed = played_at(&acts);
        }
        let left = live(&station, beginning, |live| {
            let mut scene = Scene {
                bench,
                tell,
                station: &station,
                revision,
                beginning,
                live,
                speed,
                paced,
                skip_to_s: 0.0,
                skipped_from: None,
                waiting: acts.into(),
                left_out: 0,
                card: None,
                left_open: String::new(),
            };
            let left = scene.play(wished);
            (speed, paced) = (scene.speed, scene.paced);
            left
        });
        match left {
            Ok(Ok(Left::Again(beginning, acts))) => next = (beginning, acts),
            Ok(Ok(Left::Ended)) => return,
            Ok(Err(fault)) | Err(fault) => {
                refuse(tell, &fault.to_string());
                return;
            }
        }
    }
}

/// How fast a record is played where time stood still: so that it takes no more than a while, if it can.
fn played_at(acts: &[Recorded]) -> f64 {
    let lasts_s = acts.last().map_or(0.0, |last| last.at_s);
    let fits = |speed: &f64| lasts_s <= speed * WHILE_S;
    match acts {
        [] => 0.0,
        _ => SPEEDS.into_iter().find(fits).unwrap_or(FASTEST),
    }
}

fn refuse(tell: &watch::Sender<Option<Heard>>, what: &str) {
    tell.send_replace(Some(Heard::Refused(what.into())));
}

struct Scene<'s, 'l, 'g> {
    bench: &'s Bench,
    tell: &'s watch::Sender<Option<Heard>>,
    station: &'s Station,
    revision: u64,
    beginning: Beginning,
    live: &'l mut Live<'g>,
    speed: f64,
    /// The number of the last choice of a pace that was heard.
    paced: u64,
    skip_to_s: f64,
    /// From when time was skipped last, and what lay on the floor then, until something is done.
    skipped_from: Option<(f64, f64)>,
    /// Acts of a record that are still to be played.
    waiting: VecDeque<Recorded>,
    /// Acts of it that couldn't be done.
    left_out: usize,
    /// The card that is followed.
    card: Option<Card>,
    /// What stood otherwise than between tasks when a card was left; nothing once somebody acts.
    left_open: String,
}

impl Scene<'_, '_, '_> {
    fn play(&mut self, wished: &Receiver<Wish>) -> Result<Left, LiveFault> {
        self.show()?;
        let mut last = Instant::now();
        loop {
            let next = last + TICK;
            loop {
                match wished.recv_timeout(next.saturating_duration_since(Instant::now())) {
                    Ok(wish) => {
                        if let Some(left) = self.grant(wish) {
                            return Ok(left);
                        }
                        self.show()?;
                    }
                    Err(RecvTimeoutError::Timeout) => break,
                    Err(RecvTimeoutError::Disconnected) => return Ok(Left::Ended),
                }
            }
            if self.bench.listen().borrow().closing {
                return Ok(Left::Ended);
            }
            let now = Instant::now();
            let behind_s = (now - last).as_secs_f64().min(MOST_BEHIND_S);
            last = now;
            // The stage itself keeps one receiver.
            if self.tell.receiver_count() > 1 {
                self.walk(behind_s, now)?;
                self.show()?;
            }
        }
    }

    /// Goes on by the clock, or as fast as it goes where time is skipped; a record's acts are played on the way.
    fn walk(&mut self, behind_s: f64, began: Instant) -> Result<(), LiveFault> {
        let until_s = (self.live.t_s() + behind_s * self.speed).max(self.skip_to_s);
        while self.live.t_s() < until_s && began.elapsed() < WALKING {
            let mut to_s = until_s.min(self.live.t_s() + SLICE_S);
            if let Some(next) = self.waiting.front() {
                to_s = to_s.min(next.at_s.max(self.live.t_s()));
            }
            let looks_s = self
                .card
                .as_ref()
                .and_then(|own| self.live.look_again_s(&own.follow));
            if let Some(looks_s) = looks_s {
                to_s = to_s.min(self.live.t_s() + looks_s);
            }
            self.live.advance_to(to_s)?;
            if self.look_on() {
                break;
            }
            while let Some(due) = self.waiting.front()
                && due.at_s <= self.live.t_s()
            {
                // What was done by then may be otherwise here: what can't be done is left out, and counted.
                if self.live.act(&due.act).is_err() {
                    self.left_out += 1;
                }
                self.waiting.pop_front();
            }
        }
        Ok(())
    }

    fn grant(&mut self, wish: Wish) -> Option<Left> {
        // Nobody waits for an answer any more where a reply can't be sent.
        match wish {
            Wish::Act {
                act,
                ask_first,
                reply,
            } => {
                let answered = self.act(&act, ask_first);
                let _ = reply.send(answered);
            }
            Wish::Pace { speed, number } => {
                self.speed = speed;
                self.paced = self.paced.max(number);
                if let Some(card) = &mut self.card {
                    card.waits_for = None;
                }
            }
            Wish::Skip(seconds) => {
                let from_s = self.live.t_s();
                self.skip_to_s = from_s + seconds;
                let wet_m3 = self.live.snapshot().map_or(0.0, |seen| seen.wet_m3());
                self.skipped_from = Some((from_s, wet_m3));
            }
            Wish::Again(beginning, acts) => return Some(Left::Again(beginning, acts)),
            Wish::Record(reply) => {
                let title = self.station.title.title.value.clone();
                let _ = reply.send((title, self.beginning, self.live.record().to_vec()));
            }
            Wish::Card { wanted, reply } => {
                let done = self.card(wanted);
                let _ = reply.send(done);
            }
        }
        None
    }

    /// Does an act. One that harms is told first where that is wanted; the step of a card isn't asked about, for its order
    /// is proved.
    fn act(&mut self, act: &Act, ask_first: bool) -> Result<Answered, LiveFault> {
        let is_next = self.card.as_ref().is_some_and(|card| card.is_next(act));
        let beside = self.card.is_some() && !is_next;
        let foretold = match !is_next && ask_first {
            true => {
                let card = self.card.as_ref().map(|card| &card.follow);
                self.live.foretell(act, card)?
            }
            false => None,
        };
        // What comes without it as well is no reason to ask.
        if let Some(own) = foretold.filter(|own| !own.anyway) {
            return Ok(Answered {
                done: false,
                says: Some(card::asked(self.station, &own, beside)),
                word: Some(own),
                beside,
            });
        }
        self.do_it(act)?;
        self.look_on();
        if let Some(card) = &mut self.card {
            card.look_ahead(self.live)?;
        }
        Ok(Answered {
            done: true,
            word: None,
            says: None,
            beside,
        })
    }

    fn do_it(&mut self, act: &Act) -> Result<(), LiveFault> {
        // A hand at the station ends what was played or skipped.
        self.waiting.clear();
        self.skip_to_s = 0.0;
        self.skipped_from = None;
        self.left_open.clear();
        self.live.act(act)
    }

    fn card(&mut self, wanted: card::Wanted) -> Result<(), LiveFault> {
        use card::Wanted;
        if let Wanted::Take { task } = &wanted {
            self.card = Some(Card::take(self.live, task)?);
            self.left_open.clear();
            return Ok(());
        }
        if matches!(wanted, Wanted::Leave)
            && let Some(card) = self.card.take()
        {
            // Who leaves holds nothing any more.
            for own in self.live.unlike_rest(&card.follow) {
                if !own.is_pump && own.on && card::closes_by_itself(self.station, &own.what) {
                    let valve = own.what;
                    self.do_it(&Act::Valve { valve, open: false })?;
                }
            }
            self.left_open = card::standing(&self.live.unlike_rest(&card.follow));
        }
        let Some(card) = &mut self.card else { return Ok(()) };
        match wanted {
            Wanted::Step => {
                let next = card.follow.next_step().and_then(|step| step.act.clone());
                if let Some(act) = next.filter(|act| card.is_next(act)) {
                    self.do_it(&act)?;
                }
            }
            Wanted::PutBack => {
                for act in self.live.put_back(&card.follow) {
                    self.do_it(&act)?;
                }
            }
            Wanted::GoOn => self.live.go_on(&mut card.follow)?,
            Wanted::Enough => card.follow.enough(),
            Wanted::Take { .. } | Wanted::Leave => {}
        }
        self.look_on();
        Ok(())
    }

    /// Looks where somebody is on their card. When what they watched for has come, time stands still until no more comes; tells
    /// whether it has just come so.
    fn look_on(&mut self) -> bool {
        let Some(card) = &mut self.card else { return false };
        let has_ended = self.live.look_on(&mut card.follow);
        if has_ended && card.follow.next_step().is_some() {
            card.waits_for = Some((card.follow.next_at(), self.speed));
            self.speed = 0.0;
            self.skip_to_s = 0.0;
        } else if let Some((at, pace)) = card.waits_for
            && card.follow.next_at() > at
            && (card.follow.next_step().is_none() || !self.live.still_comes(&card.follow))
        {
            self.speed = pace;
            card.waits_for = None;
        }
        has_ended
    }

    fn show(&self) -> Result<(), LiveFault> {
        let stale = self.bench.listen().borrow().revision != self.revision;
        let skips = self.live.t_s() < self.skip_to_s;
        let seen = self.live.snapshot()?;
        let mut told = told(self.station, &seen);
        told.speed = self.speed;
        told.paced = self.paced;
        told.stale = stale;
        told.skips = skips;
        if let Some(from) = self.skipped_from.filter(|_| !skips) {
            told.skipped = skipped(self.station, &seen, from, self.skip_to_s);
        }
        told.acts = self.live.record().len();
        told.left_out = self.left_out;
        told.to_come = self.waiting.len();
        told.left_open.clone_from(&self.left_open);
        told.next_due = self
            .waiting
            .front()
            .map_or_else(String::new, |next| Clock::of(self.station).at(next.at_s));
        told.card = self
            .card
            .as_ref()
            .map(|card| card::told(self.station, self.live, &seen, card));
        self.tell.send_replace(Some(Heard::Told(Arc::new(told))));
        Ok(())
    }
}
