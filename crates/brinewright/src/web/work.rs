//! What takes longer than a hand that drags: the whole proof, the long weekend, years of it. One thread works it off behind
//! the pages, always for the newest text; what is of an older one is broken off at once.

use std::sync::Arc;
use std::thread;
use std::time::Duration;

use proof::{Absence, FirstProof, Progress, Reached, Year};
use sheets::fragment::kept;
use station::Station;

use super::bench::Bench;
use super::known::{End, Going, Known, Long, Told, Years};
use crate::task::progress::{in_words, share};
use crate::task::{absence, compare, year};

/// How often the text is looked at for what is to be computed.
const PAUSE: Duration = Duration::from_millis(20);
/// How many such looks pass from one look at the file, for what others did to it, to the next.
const LOOKS: u32 = 25;
/// And from one word on how far it is to the next: four a second at most.
const SAYS: u32 = 13;

/// Starts the thread; it ends with the program.
pub(crate) fn start(bench: &Arc<Bench>) {
    let bench = bench.clone();
    thread::spawn(move || {
        let mut looks = 0;
        let mut uncured = None;
        while !bench.listen().borrow().closing {
            if looks == 0 {
                notice(&bench);
            }
            looks = (looks + 1) % LOOKS;
            if !next(&bench, &mut uncured) {
                thread::sleep(PAUSE);
            }
        }
    });
}

/// Takes in what an editor did meanwhile.
fn notice(bench: &Bench) {
    let mut desk = bench.desk();
    let was_gone = desk.is_gone();
    // A file that is gone for a moment is being saved by somebody: it is told once it is missed twice.
    let _ = desk.catch_up();
    let (revision, gone) = (desk.revision(), desk.is_gone() && was_gone);
    drop(desk);
    bench.tell(|news| (news.revision, news.gone) = (revision, gone));
}

/// Computes the next thing that is missing; tells whether there was one. A proof that isn't whole yet is kept for the next
/// time, and dropped where the text is another by then.
fn next(bench: &Bench, uncured: &mut Option<(u64, FirstProof)>) -> bool {
    let revision = bench.desk().revision();
    let (proved, cured, away, year, helped) = {
        let results = bench.results();
        let is_there = |own: Option<u64>, work: Long| own == Some(revision) && !results.again[work as usize];
        (
            results.proof.as_ref().is_some_and(|(own, _)| *own == revision),
            uncured.as_ref().is_none_or(|(own, _)| *own != revision),
            is_there(results.away.as_ref().map(|own| own.revision), Long::Away),
            is_there(results.year.as_ref().map(|own| own.revision), Long::Year),
            results.away.as_ref().is_none_or(|own| own.end != End::More),
        )
    };
    if proved && cured && away && year && helped {
        bench.tell(|news| news.whole = revision);
        return false;
    }
    // What changed is proved at once; the rest takes both cores, and waits until a hand that drags has let go.
    if proved && bench.is_in_hand() {
        return false;
    }
    let Some((revision, station)) = bench.station() else {
        return false;
    };
    if !proved {
        let first = proof::prove_first(&station);
        let whole = first.proof().is_whole();
        bench.results().proof = Some((revision, Arc::new(first.proof().clone())));
        bench.tell(|news| {
            news.proved = revision;
            news.cured = if whole { revision } else { news.cured };
        });
        *uncured = (!whole).then_some((revision, first));
        // Cures take both cores: whoever looks now is answered first.
        thread::sleep(PAUSE);
    } else if !cured {
        if let Some((own, first)) = uncured.take()
            && own == revision
        {
            bench.results().proof = Some((revision, Arc::new(first.cured(&station))));
            bench.tell(|news| news.cured = revision);
        }
    } else if !away {
        weekend_in_short(bench, revision, &station);
    } else if !year {
        walk_years(bench, revision, &station);
    } else {
        weekend(bench, revision, &station);
    }
    true
}

/// A long weekend without what helps: whether one can go away.
fn weekend_in_short(bench: &Bench, revision: u64, station: &Station) {
    bench.results().again[Long::Away as usize] = false;
    let (away, end) = watched(bench, (Long::Away, revision), share_of_weekend, |progress| {
        absence::watched_in_short(station, progress)
    });
    if let Some(end) = end {
        // What helps is tried once the years are known; without a plant there is nothing to try.
        let end = if away.is_some() && end == End::Whole {
            End::More
        } else {
            end
        };
        publish_weekend(bench, revision, away, end);
    }
    bench.tell(|news| news.work = None);
}

/// The same with all that may help tried.
fn weekend(bench: &Bench, revision: u64, station: &Station) {
    let (away, end) = watched(bench, (Long::Away, revision), share_of_weekend, |progress| {
        absence::watched(station, progress)
    });
    if let Some(end) = end {
        publish_weekend(bench, revision, away, end);
    }
    bench.tell(|news| news.work = None);
}

fn share_of_weekend(reached: &Reached) -> f64 {
    share(reached, 0, false)
}

fn publish_weekend(bench: &Bench, revision: u64, away: Option<Absence>, end: End) {
    {
        let mut results = bench.results();
        let value = away.map(Arc::new);
        let known = Known { revision, value, end };
        results.away = Some(known.after(results.away.as_ref(), |own| own.remedies.len()));
    }
    bench.tell(|news| {
        news.away = revision;
        news.away_turn += 1;
    });
}

/// Years, first without the changes that are tried, at last beside those of the station as it was opened.
fn walk_years(bench: &Bench, revision: u64, station: &Station) {
    let opened = bench.desk().station_as_opened();
    let wanted = {
        let mut results = bench.results();
        results.again[Long::Year as usize] = false;
        results.years
    };
    let compared = opened.is_some();
    let publish = |value: Option<Years>, end| {
        {
            let mut results = bench.results();
            let value = value.map(Arc::new);
            let known = Known { revision, value, end };
            results.year = Some(known.after(results.year.as_ref(), |own| own.year.years as usize));
        }
        bench.tell(|news| {
            news.year = revision;
            news.year_turn += 1;
        });
    };
    let far = |reached: &Reached| share(reached, wanted, compared);
    let (value, end) = watched(bench, (Long::Year, revision), far, |progress| {
        years(opened, station, wanted, progress, |first| {
            if !progress.is_stopped() {
                let (year, compared) = (first.clone(), None);
                publish(Some(Years { year, compared }), End::More);
            }
        })
    });
    if let Some(end) = end {
        publish(value, end);
    }
    bench.tell(|news| news.work = None);
}

/// Years of a station, beside those of it as it was opened; `first` hears them before changes are tried.
pub(super) fn years(
    opened: Option<Station>,
    station: &Station,
    wanted: u32,
    progress: &Progress,
    first: impl FnOnce(&Year),
) -> Option<Years> {
    let year = year::some(station, wanted, progress, first)?;
    let compared = opened.and_then(|opened| compare::some(opened, station, wanted, progress));
    Some(Years { year, compared })
}

/// Does long work while its end is watched: the text changes, or the program ends, and it is stopped; somebody at a page has
/// enough of it, and what is known by then is told. Gives no end where nobody wants it any more.
fn watched<T: Send>(
    bench: &Bench,
    (work, revision): (Long, u64),
    far: impl Fn(&Reached) -> f64,
    act: impl FnOnce(&Progress) -> Option<T> + Send,
) -> (Option<T>, Option<End>) {
    let progress = Arc::new(Progress::default());
    bench.results().going = Some(Going {
        work,
        progress: progress.clone(),
        stopped_at: None,
        told: None,
    });
    let value = thread::scope(|scope| {
        let done = scope.spawn(|| act(&progress));
        let mut looks = 0;
        while !done.is_finished() {
            if looks % LOOKS == 0 {
                notice(bench);
            }
            if looks % SAYS == SAYS - 1 {
                say(bench, (work, revision), &progress.reached(), &far);
            }
            looks += 1;
            if bench.desk().revision() != revision || bench.listen().borrow().closing {
                progress.stop();
            }
            progress.hold(bench.is_in_hand());
            thread::sleep(PAUSE);
        }
        // Work that broke is told as work that nothing came of.
        done.join().ok().flatten()
    });
    let stopped_at = bench.results().going.take().and_then(|own| own.stopped_at);
    let last = progress.reached();
    let end = match (progress.is_stopped(), stopped_at) {
        (true, _) => None,
        // Who stops it as it ends has all of it.
        (false, Some(reached)) if last.done < last.all => Some(End::Stopped(in_words(&reached))),
        _ => Some(End::Whole),
    };
    (value, end)
}

/// Tells pages how far it is.
fn say(bench: &Bench, (work, revision): (Long, u64), reached: &Reached, far: &impl Fn(&Reached) -> f64) {
    let told = Told {
        work,
        revision,
        said: kept(&in_words(reached)),
        // A thousandth is less than a bar shows.
        share: (1000.0 * far(reached)).round() / 1000.0,
    };
    let is_new = {
        let mut results = bench.results();
        let Some(going) = &mut results.going else { return };
        going.told.replace(told.clone()).is_none()
    };
    bench.tell(|news| {
        news.work = Some(told);
        if is_new {
            // Pages fetch what one stops it with.
            match work {
                Long::Away => news.away_turn += 1,
                Long::Year => news.year_turn += 1,
            }
        }
    });
}
