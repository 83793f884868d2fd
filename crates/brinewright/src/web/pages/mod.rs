//! A page for each analysis: its answer in a sentence, pictures first, tables after.
//!
//! Must not know: formulas. What isn't computed yet says so, and the page's script takes it in when it is there.

mod compare;
mod long;
mod piece;
mod time;
mod valves;
mod water;

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use proof::Proof;
use sheets::fragment::kept;
use station::Station;

use super::answer;
use super::api::blocking;
use super::bench::Bench;
use super::frame::{Framed, Place, framed, passed_on};
use super::known::{End, Long};
pub(super) use piece::take;

/// What a page shows: its answer, and what stands below.
struct Sheet {
    heading: String,
    body: Markup,
}

/// What a page waits for, as the news call it.
const fn waits_for(place: Place) -> &'static str {
    match place {
        Place::Away => "away",
        Place::Year | Place::Compare => "year",
        _ => "proved",
    }
}

/// The long work that a page shows.
const fn works_on(place: Place) -> Option<Long> {
    match place {
        Place::Away => Some(Long::Away),
        Place::Year | Place::Compare => Some(Long::Year),
        _ => None,
    }
}

/// A page of an analysis.
pub(super) async fn page(State(bench): State<Arc<Bench>>, Path(name): Path<String>) -> Response {
    let named = |place: &Place| *place != Place::Workbench && place.path().trim_start_matches('/') == name;
    match Place::ALL.into_iter().find(named) {
        Some(place) => blocking(move || shown(&bench, place)).await,
        None => answer::not_there().await,
    }
}

fn shown(bench: &Bench, place: Place) -> Response {
    // Before anything else is looked at: what comes meanwhile makes the page fetch itself once more.
    let turn = {
        let news = bench.listen();
        let news = news.borrow();
        match works_on(place) {
            None => u64::from(news.cured == news.revision),
            Some(Long::Away) => news.away_turn,
            Some(Long::Year) => news.year_turn,
        }
    };
    let (revision, read) = {
        let desk = bench.desk();
        (desk.revision(), desk.station())
    };
    let (state, sheet) = match read {
        Err(faults) => ("broken", broken(&faults)),
        Ok(station) => match sheet(bench, place, revision, &station) {
            Some(sheet) => ("fresh", sheet),
            None => ("waiting", waiting(place)),
        },
    };
    let work = works_on(place).map(|work| long::long(bench, work, revision, place == Place::Year));
    let main = html! {
        main id="main" class="analysis" tabindex="-1" data-revision=(revision) data-state=(state) data-kind=(waits_for(place)) data-turn=(turn) {
            // Shown by the style as long as the page is old.
            p class="was" { "What stands here is old: it is being computed anew, and comes by itself." }
            h1 { (kept(&sheet.heading)) }
            @if let Some(own) = work { (own) }
            (sheet.body)
        }
        p class="visually-hidden" id="told" role="status" {}
        div class="made" id="made" role="status" hidden {
            span {}
            button type="button" { "Take back" }
        }
    };
    let tools = html! { div class="steps" { (passed_on()) } };
    let page = Framed {
        place,
        script: "/look/fresh.js",
        skip: ["#main", "To the page"],
        tools,
        main,
    };
    framed(bench, &page).into_response()
}

/// The page, where its result is there.
fn sheet(bench: &Bench, place: Place, revision: u64, station: &Station) -> Option<Sheet> {
    let known = || bench.proof_of(revision);
    let away = || {
        bench
            .results()
            .away
            .clone()
            .filter(|own| own.revision == revision)
    };
    let year = || {
        bench
            .results()
            .year
            .clone()
            .filter(|own| own.revision == revision)
    };
    let of = |make: fn(&Station, &Proof) -> Sheet| Some(make(station, known()?.as_ref()));
    match place {
        Place::Workbench | Place::TryIt | Place::Edit | Place::Begin => None,
        Place::Needs => of(water::needs),
        Place::Supply => of(water::supply),
        Place::Levels => of(water::levels),
        Place::Plumbing => of(valves::plumbing),
        Place::Mistakes => of(valves::mistakes),
        Place::Away => away().map(|own| match (&own.value, &own.end) {
            (None, End::Stopped(_)) => stopped(),
            (value, _) => time::away(station, value.as_deref()),
        }),
        Place::Year => year().map(|own| match (&own.value, &own.end) {
            (None, End::Stopped(_)) => stopped(),
            (value, _) => time::year(station, value.as_ref().map(|own| &own.year)),
        }),
        Place::Compare => year().map(|own| match (&own.value, &own.end) {
            (None, End::Stopped(_)) => stopped(),
            (value, end) => compare::compare(station, value.as_deref(), *end != End::Whole),
        }),
    }
}

/// Work that was stopped before it came to anything.
fn stopped() -> Sheet {
    Sheet {
        heading: "This was stopped before anything is known.".to_owned(),
        body: html! {},
    }
}

fn waiting(place: Place) -> Sheet {
    Sheet {
        heading: place.name().to_owned(),
        body: html! {
            p { "This is being computed. It stands here by itself as soon as it is there." }
        },
    }
}

fn broken(faults: &[crate::failure::Fault]) -> Sheet {
    Sheet {
        heading: "The file can't be read as it is now.".to_owned(),
        body: html! {
            @for fault in faults {
                div class="finding" {
                    p { (fault.what) }
                    p class="remedy" { (fault.mend) }
                    p class="place" { (fault.place) }
                }
            }
        },
    }
}
