//! What all pages share: the file on the desk, what is known of it by now, who wants to hear of changes.

use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::{Duration, Instant};

use proof::Proof;
use serde::Serialize;
use station::Station;
use tokio::sync::watch;

use super::known::{Results, Told};
use super::streams::Streams;
use crate::task::desk::Desk;

/// The workbench.
pub(crate) struct Bench {
    desk: Mutex<Desk>,
    results: Mutex<Results>,
    news: watch::Sender<News>,
    /// The port, known once it is bound.
    port: OnceLock<u16>,
    pub(super) streams: Streams,
    /// When a mark was moved last by a hand that hasn't let go.
    moved: Mutex<Option<Instant>>,
}

/// How long after a move the hand is taken to rest (house rule): what takes both cores goes on then.
const RESTS: Duration = Duration::from_millis(300);

/// What pages are told of without asking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct News {
    /// Of the text.
    pub(crate) revision: u64,
    /// The revision that the proof is of; 0 where there is none yet.
    pub(crate) proved: u64,
    /// The revision of which what helps against wrong valves, and the doubt of what they do, is known as well.
    pub(crate) cured: u64,
    /// The revision that the long weekend is of.
    pub(crate) away: u64,
    /// The revision that the years are of.
    pub(crate) year: u64,
    /// The revision of which all is known: what helps against a long weekend, and changes that were tried over the years.
    pub(crate) whole: u64,
    /// How often what is told of the long weekend has become another; pages that show an older turn fetch it anew.
    pub(crate) away_turn: u64,
    /// And what is told of the years.
    pub(crate) year_turn: u64,
    /// How far long work is; nothing where there is none, or it may be short.
    pub(crate) work: Option<Told>,
    /// Whether the file is gone, so that nothing can be saved.
    pub(crate) gone: bool,
    /// Whether everything ends.
    pub(crate) closing: bool,
}

impl Bench {
    pub(crate) fn new(desk: Desk) -> Self {
        let (news, _) = watch::channel(News {
            revision: desk.revision(),
            proved: 0,
            cured: 0,
            away: 0,
            year: 0,
            whole: 0,
            away_turn: 0,
            year_turn: 0,
            work: None,
            gone: false,
            closing: false,
        });
        Self {
            desk: Mutex::new(desk),
            results: Mutex::new(Results::default()),
            news,
            port: OnceLock::new(),
            streams: Streams::default(),
            moved: Mutex::default(),
        }
    }

    /// The desk, for as long as it takes to look at it or to change it.
    pub(crate) fn desk(&self) -> MutexGuard<'_, Desk> {
        // A thread that panicked left whole texts behind: each change is one assignment.
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn results(&self) -> MutexGuard<'_, Results> {
        self.results.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The station as the text has it now, and its revision; nothing where the text is no station.
    pub(crate) fn station(&self) -> Option<(u64, Arc<Station>)> {
        let desk = self.desk();
        let station = desk.station().ok()?;
        Some((desk.revision(), station))
    }

    /// The proof of a revision, where it is there already, with all of wrong valves.
    pub(crate) fn whole_proof_of(&self, revision: u64) -> Option<Arc<Proof>> {
        self.proof_of(revision).filter(|proof| proof.is_whole())
    }

    /// The proof of a revision, where it is there already; what helps against wrong valves, and the doubt of what they do, may
    /// still be missing.
    pub(crate) fn proof_of(&self, revision: u64) -> Option<Arc<Proof>> {
        let results = self.results();
        results
            .proof
            .as_ref()
            .filter(|(own, _)| *own == revision)
            .map(|(_, proof)| proof.clone())
    }

    /// Tells everybody who listens.
    pub(crate) fn tell(&self, change: impl FnOnce(&mut News)) {
        self.news.send_if_modified(|news| {
            let before = news.clone();
            change(news);
            *news != before
        });
    }

    /// Listens.
    pub(crate) fn listen(&self) -> watch::Receiver<News> {
        self.news.subscribe()
    }

    /// A hand moves a mark: long work gives way at once, so that the drawing keeps up.
    pub(super) fn take_in_hand(&self) {
        *self.moved() = Some(Instant::now());
        if let Some(going) = &self.results().going {
            going.progress.hold(true);
        }
    }

    /// It let go.
    pub(super) fn let_go(&self) {
        *self.moved() = None;
    }

    /// Whether a hand moves something.
    pub(super) fn is_in_hand(&self) -> bool {
        self.moved().is_some_and(|last| last.elapsed() < RESTS)
    }

    fn moved(&self) -> MutexGuard<'_, Option<Instant>> {
        self.moved.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn set_port(&self, port: u16) {
        // It is bound once.
        let _ = self.port.set(port);
    }

    pub(crate) fn port(&self) -> u16 {
        self.port.get().copied().unwrap_or_default()
    }
}
