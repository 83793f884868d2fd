//! Long work on a page: how far it is and what stops it, or where it was stopped and what begins it again.

use maud::{Markup, html};
use sheets::fragment::kept;

use crate::task::year::FEW;
use crate::web::bench::Bench;
use crate::web::known::{End, Known, Long, Results, Told};
use station::quantity::format_count;

/// How many years one can choose: few are there at once, many narrow the intervals (house rule).
const YEARS: [u32; 3] = [FEW, 1_000, 10_000];

/// How a page's work stands; with a choice of years where one is to be offered.
pub(super) fn long(bench: &Bench, work: Long, revision: u64, choice: bool) -> Markup {
    let results = bench.results();
    let going = results.going.as_ref().and_then(|own| own.told.as_ref());
    let going = going.filter(|own| own.work == work && own.revision == revision);
    let (stopped, more) = match work {
        Long::Away => at(results.away.as_ref(), revision),
        Long::Year => at(results.year.as_ref(), revision),
    };
    html! {
        div class="work" id="work" {
            @if choice { (years(&results)) }
            @match (going, stopped) {
                (Some(going), _) => (progress(going)),
                (None, Some(said)) => {
                    p { (kept(&where_it_stopped(&results, work, said))) " " (kept(&what_stands_here(&results, work))) }
                    button type="button" data-begin=(name(work)) { "Begin again" }
                }
                (None, None) if more => {
                    p class="second" { "What stands here is known already; what may help is still to be tried." }
                }
                (None, None) => {}
            }
        }
    }
}

/// Where it was stopped, if it was; and whether more of it comes.
fn at<T>(known: Option<&Known<T>>, revision: u64) -> (Option<&str>, bool) {
    match known.filter(|own| own.revision == revision).map(|own| &own.end) {
        Some(End::Stopped(said)) => (Some(said), false),
        Some(End::More) => (None, true),
        Some(End::Whole) | None => (None, false),
    }
}

const fn name(work: Long) -> &'static str {
    match work {
        Long::Away => "away",
        Long::Year => "year",
    }
}

fn progress(going: &Told) -> Markup {
    let what = match going.work {
        Long::Away => "Looking at faults and at what helps",
        Long::Year => "Walking through years",
    };
    html! {
        p id="said" { (kept(&going.said)) }
        progress id="share" max="1" value=(going.share) aria-label=(what) {}
        button type="button" data-stop=(name(going.work)) { "Stop" }
    }
}

fn years(results: &Results) -> Markup {
    html! {
        div class="choice" role="group" aria-label="How many years" {
            @for own in YEARS {
                button type="button" data-begin="year" data-years=(own) aria-pressed=(own == results.years) {
                    (kept(&format!("{} years", format_count(own))))
                }
            }
        }
    }
}

fn where_it_stopped(results: &Results, work: Long, said: &str) -> String {
    let year = results.year.as_ref().and_then(|own| own.value.as_ref());
    // Between the press and the end some more years were done: those that count are told, as everywhere else.
    match (said, work, year, said.split_once(" of ")) {
        ("", ..) => "Stopped as it began.".to_owned(),
        (_, Long::Year, Some(own), Some((_, all))) => {
            format!("Stopped: {} of {all}.", format_count(own.year.years))
        }
        (said, ..) => format!("Stopped: {said}."),
    }
}

fn what_stands_here(results: &Results, work: Long) -> String {
    let away = results.away.as_ref().and_then(|own| own.value.as_ref());
    let year = results.year.as_ref().and_then(|own| own.value.as_ref());
    match (work, away, year) {
        (Long::Away, Some(_), _) => {
            "What stands here is known without the changes that take long to try.".to_owned()
        }
        (Long::Away, None, _) => "Nothing can be told before every fault was looked at.".to_owned(),
        (Long::Year, _, Some(own)) => format!(
            "What stands here is of {} years; more of them make it surer.",
            format_count(own.year.years)
        ),
        (Long::Year, _, None) => "Nothing can be told of fewer than two years.".to_owned(),
    }
}
