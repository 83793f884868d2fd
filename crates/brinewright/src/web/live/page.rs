//! The page: the schematic to press on, what stands where, faults, the record.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Html;
use maud::{Markup, html};
use proof::live::PossibleFault;
use station::plumbing::End;
use station::quantity::{Kind, UnitSystem, read_amount};
use station::sections::Water;
use station::{Station, spoken};

use super::super::bench::Bench;
use super::super::frame::{Framed, Place, framed};
use super::clock::{Clock, WEEKEND_S};

/// The page.
pub(super) async fn try_it(State(bench): State<Arc<Bench>>) -> Html<String> {
    let body = match bench.station() {
        Some((_, station)) => {
            // Its faults are those of its plant; a station without one has none.
            let faults = proof::live::live(&station, proof::live::Beginning::Full, |live| live.faults());
            body(&station, &faults.unwrap_or_default())
        }
        None => html! { h1 { "The text is no station just now" } p { "Mend it on the workbench first." } },
    };
    framed(
        &bench,
        &Framed {
            place: Place::TryIt,
            script: "/look/try.js",
            skip: ["#paper", "To the drawing"],
            tools: html! {},
            main: html! {
                main {
                    (body)
                    p class="second" { "A computed station, not yours: readings beat it. Feed and room are those of the month in which most water is made, so that nothing gets as cold here as in winter. Salt lies on the floor until it is mixed. Vessels and tanks lose water to the air as in that month; nobody tops them off but you." }
                }
            },
        },
    )
}

fn body(station: &Station, faults: &[PossibleFault]) -> Markup {
    html! {
        div class="try" {
            div class="site" id="site" {
                div id="paper" {}
                p class="second" { "Press a valve or a pump, or walk to it with Tab and press Enter." }
                div class="word" role="alert" id="word" hidden {
                    p id="says" {}
                    button type="button" id="anyway" { "Do it all the same" }
                    button type="button" id="leave" { "Leave it" }
                }
                p id="refused" class="must" role="alert" {}
            }
            aside {
                (notices())
                (card())
                h1 id="time" { (Clock::of(station).at(0.0)) }
                p id="since" class="second" {}
                p id="stale" class="should" hidden { "The station file has changed. Begin anew to try it." }
                fieldset class="pace" {
                    legend { "Time runs" }
                    @for (speed, said) in [("0", "not"), ("1", "as it does"), ("10", "10 times"), ("60", "60 times"), ("600", "600 times")] {
                        label { input type="radio" name="speed" value=(speed); (said) }
                    }
                }
                p class="acts" {
                    button type="button" data-skip="3600" { "Skip an hour" }
                    button type="button" data-skip=(WEEKEND_S) { "Skip a long weekend" }
                    span class="wide" id="skipped" role="status" {}
                }
                p class="acts" {
                    button type="button" data-again="full" { "Begin anew, full" }
                    button type="button" data-again="filling" { "Begin anew, filling" }
                }
                dl class="now" {
                    @for own in &station.vessels { (level("vessels", &own.name)) }
                    @for own in &station.draw_points { (level("draw_points", &own.name)) }
                    @for (_, own) in station.tanks.iter().enumerate().filter(|(at, _)| {
                        station.plumbing.lines_at(End::Tank(*at)).next().is_some()
                    }) {
                        (level("tanks", &own.name))
                    }
                    dt { "Purifier" }
                    dd id="purifier" {}
                }
                @if !station.lineups.is_empty() {
                    div id="tasks" {
                        p id="left" class="must" {}
                        h2 { "Tasks, as their cards say" }
                        ul class="rows tasks" {
                            @for own in &station.lineups {
                                li {
                                    span { (station::shown(&own.name)) }
                                    button type="button" data-card=(own.name) aria-label={ "Step by step: " (spoken(&own.name)) } { "Step by step" }
                                    button type="button" data-task=(own.name) aria-label={ "All at once: " (spoken(&own.name)) } { "All at once" }
                                }
                            }
                        }
                        p class="acts" id="ending" hidden {
                            button type="button" id="end" { "End it" }
                            span id="task" class="second" {}
                        }
                    }
                }
                (balance())
            }
        }
        (by_hand(station))
        (bands(station, faults))
        p class="visually-hidden" id="told" aria-live="polite" {}
    }
}

/// Every valve and pump that somebody turns, one beside the other.
fn by_hand(station: &Station) -> Markup {
    html! {
        section class="band" {
            h2 { "By hand" }
            ul class="rows" id="switches" {
                @for own in station.valves.iter().filter(|own| own.fields.kind.value.is_set()) {
                    (switch(station, "valves", "valve", &own.name))
                }
                @for own in &station.pumps { (switch(station, "pumps", "pump", &own.name)) }
            }
        }
    }
}

/// What is put in and what comes of it, one beside the other where there is room.
fn bands(station: &Station, faults: &[PossibleFault]) -> Markup {
    let (unit, kg) = match station.units() {
        UnitSystem::Si => ("kg", 1.0),
        UnitSystem::Us => (
            "lb",
            read_amount("1 lb", Kind::Mass, &station.currency()).map_or(1.0, |own| own.si),
        ),
    };
    html! {
        div class="band bands" {
            @if station.vessels.iter().any(|own| own.fields.holds.value == Water::Salt) {
                section {
                    h2 { "Salt" }
                    form id="salt" class="acts" {
                        label { (unit) " " input name="mass" data-kg=(kg) type="number" min="0.01" step="0.01" value="1" inputmode="decimal"; }
                        label { "into " select name="vessel" {
                            @for own in &station.vessels { option value=(own.name) selected[own.fields.holds.value == Water::Salt] { (spoken(&own.name)) } }
                        } }
                        button { "Pour" }
                    }
                }
            }
            section {
                h2 id="harm" tabindex="-1" { "Harm" }
                ul id="harms" class="rows" {}
                ul id="wet" class="rows" {}
                ul id="alarms" class="rows" {}
                p class="acts" {
                    button type="button" data-act="wipe" { "Wipe up" }
                    button type="button" data-act="reset" { "Reset alarms" }
                }
            }
            section {
                h2 { "Faults" }
                form id="break" class="acts" {
                    label class="wide" { "Let something fail " select name="fault" {
                        @for (part, own) in by_part(faults) {
                            optgroup label=(part) { @for fault in own {
                                    // How comes first: a list that is cut at its end still tells them apart.
                                    option value=(fault.fault) { (fault.how) ": " (fault.part) }
                                } }
                        }
                    } }
                    button { "Put it in" }
                }
                ul id="faults" class="rows" {}
            }
            (record())
        }
    }
}

/// Faults by the part that they are of, in the order in which parts come first.
fn by_part(faults: &[PossibleFault]) -> Vec<(String, Vec<&PossibleFault>)> {
    let mut parts: Vec<(String, Vec<&PossibleFault>)> = Vec::new();
    for own in faults {
        let part = part_of(&own.place);
        match parts.iter_mut().find(|(known, _)| *known == part) {
            Some((_, all)) => all.push(own),
            None => parts.push((part, vec![own])),
        }
    }
    parts
}

/// What a place in the file is called over a list of faults: each vessel and pump by itself, small parts together.
fn part_of(place: &str) -> String {
    match place.split_once('.') {
        Some(("vessels" | "tanks" | "pumps", name)) => station::shown(name),
        Some(("valves", _)) => "Valves left or stuck".to_owned(),
        Some(_) => "Lines and tees".to_owned(),
        None => match place {
            "room" => "Drain".to_owned(),
            "feed" => "Feed".to_owned(),
            "" => "Power and people".to_owned(),
            _ => "Purifier and control".to_owned(),
        },
    }
}

/// What was done, to be kept and played again.
fn record() -> Markup {
    html! {
        section {
            h2 { "Record" }
            p id="record" class="second" {}
            p class="acts" {
                button type="button" id="keep" { "Keep it" }
                button type="button" id="play" { "Play it again" }
            }
            label class="wide" for="put-in" { "Put in one that was kept" }
            input type="file" id="put-in" accept=".json,application/json" aria-describedby="put-in-says";
            p id="put-in-says" role="alert" {}
            p class="acts" { button type="button" id="anywhere" hidden { "Play it here all the same" } }
        }
    }
}

/// Where water and salt came from, and where they are or went; scripts fill its rows.
fn balance() -> Markup {
    html! {
        section id="balance" {
            h2 { "Balance of water and salt" }
            div class="sides" {
                @for (side, means) in [("came", "There was and came"), ("there", "Is there or went")] {
                    table data-side=(side) {
                        thead { tr { th scope="col" { (means) } th scope="col" { "Water" } th scope="col" { "Salt" } } }
                        tbody {}
                    }
                }
            }
            p class="second" { span id="balance-says" {} " Water is counted without its salt." }
        }
    }
}

/// What must be seen wherever one is on the page: harm, and what was turned that isn't the card's. Scripts fill it.
fn notices() -> Markup {
    html! {
        div id="notices" {
            section class="word" id="harm-now" aria-label="Harm and alarms" hidden {
                p id="harm-says" class="must" {}
                p id="alarm-says" class="should" {}
                a href="#harm" { "All of it, and wiping up" }
            }
            div class="word" id="beside" hidden {
                div role="alert" {
                    p id="beside-says" {}
                    p id="beside-comes" {}
                }
                button type="button" id="put-back" { "Put it back" }
                button type="button" id="go-on" aria-describedby="go-on-means" { "Go on from here" }
                p id="go-on-means" class="second" { "Going on from here orders the steps to come anew." }
            }
        }
    }
}

/// The card that is followed; scripts fill it.
fn card() -> Markup {
    html! {
        section id="card" aria-labelledby="card-task" hidden {
            div class="acts head" {
                h2 id="card-task" {}
                button type="button" id="card-leave" { "Leave the card" }
            }
            ol id="steps" {}
            p id="card-says" {}
            p class="acts" { button type="button" id="card-again" { "Follow it again" } }
        }
    }
}

/// One thing to press, with what it does now. A valve and a pump of one name are told apart.
fn switch(station: &Station, section: &str, kind: &str, name: &str) -> Markup {
    let is_valve = station.valves.iter().any(|own| spoken(&own.name) == spoken(name));
    let is_pump = station.pumps.iter().any(|own| spoken(&own.name) == spoken(name));
    let said = match is_valve && is_pump {
        true => format!("{}, {kind}", spoken(name)),
        false => spoken(name),
    };
    html! {
        li {
            button type="button" role="switch" aria-checked="false" data-switch={ (section) "." (name) }
                data-kind=(kind) data-name=(name) { (said) }
            " " span class="second" {}
        }
    }
}

/// How full something is, as a bar and a figure.
fn level(section: &str, name: &str) -> Markup {
    html! {
        dt { (spoken(name)) }
        dd data-level={ (section) "." (name) } {
            progress max="1" value="0" aria-label=(spoken(name)) {}
            " " span {}
            @if section == "draw_points" { " " button type="button" data-bucket=(name) aria-label={ "Empty bucket: " (spoken(name)) } { "Empty bucket" } }
        }
    }
}
