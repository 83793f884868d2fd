//! What takes longer than a hand that drags: the whole proof, the long weekend. One thread works it off behind the pages,
//! always for the newest text.

use std::sync::Arc;
use std::thread;
use std::time::Duration;

use proof::{Absence, Proof};

use super::bench::Bench;
use crate::task::absence::in_short;

/// What is known, each with the revision that it is of.
#[derive(Debug, Default)]
pub(crate) struct Results {
    pub(crate) proof: Option<(u64, Arc<Proof>)>,
    pub(crate) away: Option<(u64, Option<Arc<Absence>>)>,
}

/// How often the file is looked at for what others did to it, and the text for what is to be computed.
const PAUSE: Duration = Duration::from_millis(20);
const LOOKS: u32 = 25;

/// Starts the thread; it ends with the program.
pub(crate) fn start(bench: &Arc<Bench>) {
    let bench = bench.clone();
    thread::spawn(move || {
        let mut looks = 0;
        loop {
            if bench.listen().borrow().closing {
                return;
            }
            if looks == 0 {
                notice(&bench);
            }
            looks = (looks + 1) % LOOKS;
            if !next(&bench) {
                thread::sleep(PAUSE);
            }
        }
    });
}

/// Takes in what an editor did meanwhile.
fn notice(bench: &Bench) {
    let mut desk = bench.desk();
    // A file that is gone for a moment is being saved by somebody; the next change says so if it stays away.
    let changed = desk.catch_up().unwrap_or(false);
    let revision = desk.revision();
    drop(desk);
    if changed {
        bench.tell(|news| news.revision = revision);
    }
}

/// Computes the next thing that is missing; tells whether there was one.
fn next(bench: &Bench) -> bool {
    let (revision, known, away) = {
        let results = bench.results();
        let of = |known: Option<u64>| known.unwrap_or_default();
        (
            bench.desk().revision(),
            of(results.proof.as_ref().map(|(own, _)| *own)),
            of(results.away.as_ref().map(|(own, _)| *own)),
        )
    };
    if known == revision && away == revision {
        return false;
    }
    let Some((revision, station)) = bench.station() else {
        return false;
    };
    if known != revision {
        let proof = Arc::new(proof::prove(&station));
        bench.results().proof = Some((revision, proof));
        bench.tell(|news| news.proved = revision);
        return true;
    }
    let away = in_short(&station, false).map(Arc::new);
    bench.results().away = Some((revision, away));
    bench.tell(|news| news.away = revision);
    true
}
