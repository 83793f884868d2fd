//! What takes longer than a hand that drags: the whole proof, the long weekend, a year of it. One thread works it off behind the pages,
//! always for the newest text.

use std::sync::Arc;
use std::thread;
use std::time::Duration;

use proof::{Absence, Comparison, Progress, Proof, Year};
use station::Station;

use super::bench::Bench;
use crate::task::absence::in_short;
use crate::task::{compare, year};

/// What is known, each with the revision that it is of.
#[derive(Debug, Default)]
pub(crate) struct Results {
    pub(crate) proof: Option<(u64, Arc<Proof>)>,
    pub(crate) away: Option<(u64, Option<Arc<Absence>>)>,
    pub(crate) year: Option<(u64, Option<Arc<Years>>)>,
}

/// A few years, and how they compare with those of the station as it was opened, where that differs.
#[derive(Debug)]
pub(crate) struct Years {
    pub(crate) year: Year,
    pub(crate) compared: Option<Comparison>,
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
    let (revision, known, away, year) = {
        let results = bench.results();
        let of = |known: Option<u64>| known.unwrap_or_default();
        (
            bench.desk().revision(),
            of(results.proof.as_ref().map(|(own, _)| *own)),
            of(results.away.as_ref().map(|(own, _)| *own)),
            of(results.year.as_ref().map(|(own, _)| *own)),
        )
    };
    if known == revision && away == revision && year == revision {
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
    if away != revision {
        let away = in_short(&station, false).map(Arc::new);
        bench.results().away = Some((revision, away));
        bench.tell(|news| news.away = revision);
        return true;
    }
    let progress = Progress::default();
    let year = watched(bench, revision, &station, &progress);
    if !progress.is_stopped() {
        bench.results().year = Some((revision, year.map(Arc::new)));
        bench.tell(|news| news.year = revision);
    }
    true
}

/// A few years of a station, beside those of it as it was opened.
pub(super) fn years(opened: Option<Station>, station: &Station, progress: &Progress) -> Option<Years> {
    let year = year::few(station, progress)?;
    let compared = opened.and_then(|opened| compare::few(opened, station, progress));
    Some(Years { year, compared })
}

/// The same, broken off when the text changes: its proof must not wait for years that nobody wants any more.
fn watched(bench: &Bench, revision: u64, station: &Station, progress: &Progress) -> Option<Years> {
    let opened = bench.desk().station_as_opened();
    thread::scope(|scope| {
        let years = scope.spawn(|| years(opened, station, progress));
        let mut looks = 0;
        while !years.is_finished() {
            if looks == 0 {
                notice(bench);
            }
            looks = (looks + 1) % LOOKS;
            if bench.desk().revision() != revision || bench.listen().borrow().closing {
                progress.stop();
            }
            thread::sleep(PAUSE);
        }
        // Years that broke are told as those that there are none of.
        years.join().ok().flatten()
    })
}
