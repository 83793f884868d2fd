//! Pieces of the page for faces that put pages of their own together: a drawing in both layouts, a table, figures that open
//! their why, what leads each analysis in words.

use maud::{Markup, html};
use proof::{BEING_TRIED, Comparison, Difference, Figure, Finding, Leading, Mistakes, Proof, Severity, Year};
use station::quantity::format_count;
use station::{Station, spoken};

pub use crate::page::cards::{Schematics, schematics};
pub use crate::page::{DESK_CHART_MM, below, both, cells, cells_with, on_a_desk};

use crate::chart::said_of;
use crate::cure::{CureOf, cure_of, press, tried};
use crate::page::{Deeper, figures_of, leading_of};
use crate::table::{cure, priced};
use crate::told::{WEIGHTS, headlines, leading, told};
use crate::words::glued;

/// Paper of drawings that lead a page on a desk, mm: wider than on a page that is passed on.
pub const WIDE_MM: f64 = 250.0;

/// A text whose numbers keep their units on one line.
pub fn kept(text: &str) -> String {
    glued(text)
}

/// The figures that matter whose keys begin so, each of which opens its why, under a heading; nothing where there are none.
pub fn figures(station: &Station, proof: &Proof, begins: &[&str]) -> Markup {
    let own: Vec<&Figure> = headlines(proof)
        .filter(|figure| begins.iter().any(|begin| figure.key.starts_with(begin)))
        .collect();
    html! {
        @if !own.is_empty() {
            section { h2 { "Figures, each with its why" } (figures_of(station, proof, own.into_iter(), Deeper::Asked)) }
        }
    }
}

/// A figure's value with its unit, as everywhere; nothing where there is none of it.
pub fn value(station: &Station, proof: &Proof, key: &str) -> Option<String> {
    let figure = proof.figure(key).filter(|figure| figure.value > 0.0)?;
    Some(told(station, figure).value)
}

/// The figures that lead, of a station that isn't on the desk: what they are made of is named.
pub fn leading_figures(station: &Station, proof: &Proof) -> Markup {
    leading_of(station, proof, &leading(proof), Deeper::Named)
}

/// What the tanks need, in a sentence.
pub fn needs_in_short(station: &Station, proof: &Proof) -> String {
    let of = |key: &str| value(station, proof, key);
    match (of("fresh-need"), of("salt-need")) {
        (Some(fresh), Some(salt)) => {
            format!("The tanks need {fresh} of fresh water in all, with what goes into {salt} of salt water.")
        }
        (Some(fresh), None) => format!("The tanks need {fresh} of fresh water."),
        (None, Some(salt)) => format!("The tanks need {salt} of salt water."),
        (None, None) => "No tank needs water yet.".to_owned(),
    }
}

/// What the purifier makes in its leanest month, in a sentence.
pub fn supply_in_short(station: &Station, proof: &Proof) -> String {
    let Some(made) = &proof.supply.purifier else {
        return "No purifier makes water here; the stores last as long as this.".to_owned();
    };
    let month = made.leanest_month.to_lowercase();
    let makes = value(station, proof, &format!("permeate.{month}"));
    match (makes, value(station, proof, "fresh-need")) {
        (Some(makes), Some(need)) => format!(
            "In {}, when least is made, the purifier makes {makes} running day and night; the tanks need {need}.",
            made.leanest_month
        ),
        (Some(makes), None) => format!(
            "In {}, when least is made, the purifier makes {makes} running day and night.",
            made.leanest_month
        ),
        _ => "What the purifier makes.".to_owned(),
    }
}

/// What can always be drawn, in a sentence.
pub fn levels_in_short(station: &Station, proof: &Proof) -> String {
    let of = |key: &str| value(station, proof, key);
    match (of("fresh-always"), of("salt-full")) {
        (Some(fresh), Some(salt)) => format!(
            "Always at least {fresh} of fresh water to draw; {salt} of salt water when it is mixed and full."
        ),
        (Some(fresh), None) => format!("Always at least {fresh} of fresh water to draw."),
        (None, Some(salt)) => format!("{salt} of salt water to draw when it is mixed and full."),
        (None, None) => "Every mark, and what the vessel holds up to it.".to_owned(),
    }
}

/// How many tasks there are, in a sentence.
pub fn plumbing_in_short(proof: &Proof) -> String {
    match proof.lineups.as_ref().map_or(0, |all| all.lineups.len()) {
        0 => "No task is set up yet: what is joined, and how.".to_owned(),
        1 => "One task: its valves, its way, its flow and time.".to_owned(),
        count => format!("{count} tasks: for each its valves, its way, its flow and time."),
    }
}

/// How many causes of harm one wrong move has, and how many tasks that nobody ends, in a sentence.
pub fn mistakes_in_short(all: &Mistakes) -> String {
    let causes = all.causes.iter().map(|cause| cause.severity);
    let left = all.leading.iter().filter_map(|own| match own {
        Leading::Left { severity, .. } => Some(*severity),
        Leading::Cause(_) => None,
    });
    let musts = causes.chain(left).filter(|own| *own == Severity::Must).count();
    let must = match musts {
        0 => "none of them must be fixed".to_owned(),
        1 => "one of them must be fixed".to_owned(),
        musts => format!("{musts} of them must be fixed"),
    };
    match all.causes.len() {
        0 => format!(
            "No single wrong move does harm in any task.{}",
            unended(all, ["does", "do"])
        ),
        1 => {
            let must = if musts == 1 { ", and must be fixed" } else { "" };
            format!(
                "One wrong move does harm{must}.{}",
                unended(all, ["does, too", "do, too"])
            )
        }
        count => format!(
            "{count} ways in which one wrong move does harm; {must}.{}",
            unended(all, ["does, too", "do, too"])
        ),
    }
}

/// " 2 tasks that nobody ends do, too: tall bucket, touch pool change."
fn unended(all: &Mistakes, [does, all_do]: [&str; 2]) -> String {
    let mut tasks: Vec<&str> = all.left_on.iter().map(|own| own.lineup.as_str()).collect();
    tasks.sort_unstable();
    tasks.dedup();
    match tasks.len() {
        0 => String::new(),
        1 => format!(" A task that nobody ends {does}: {}.", spoken(tasks[0])),
        count => {
            let names: Vec<String> = tasks.into_iter().map(spoken).collect();
            format!(" {count} tasks that nobody ends {all_do}: {}.", names.join(", "))
        }
    }
}

/// The mistakes that matter most, each with what clears it and its button, or with what was tried.
pub fn leading_mistakes(station: &Station, all: &Mistakes) -> Markup {
    let told: Vec<(&str, String, Option<Markup>)> = all
        .leading
        .iter()
        .enumerate()
        .filter_map(|(place, own)| match own {
            Leading::Cause(at) => {
                let cause = all.causes.get(*at)?;
                let own = cure(station, all, cause);
                let against = match (cause.remedy, all.no_cure_as(place)) {
                    (Some(_), _) => tried(&own),
                    (None, Some(earlier)) => format!("As for {earlier}, nothing that was tried clears it."),
                    (None, None) => own,
                };
                let button = cause
                    .remedy
                    .and_then(|at| Some(press(CureOf::Mistakes, at, &all.remedies.get(at)?.sentence)));
                Some((&*cause.sentence, against, button))
            }
            Leading::Left { sentence, remedy, .. } => {
                let against = match remedy {
                    _ if all.being_tried => BEING_TRIED.to_owned(),
                    Some(remedy) => tried(&priced(station, remedy)),
                    None => "No part that was tried prevents it: stay until it is done.".to_owned(),
                };
                let made = remedy
                    .as_ref()
                    .filter(|own| !all.being_tried && !own.edits.is_empty());
                let button = made.map(|own| press(CureOf::Leading, place, &own.sentence));
                Some((&**sentence, against, button))
            }
        })
        .collect();
    html! {
        @if !told.is_empty() {
            ol class="worst" {
                @for (sentence, against, button) in &told {
                    li {
                        p { (glued(sentence)) }
                        @if !against.is_empty() {
                            p class="remedy" {
                                span { (glued(against)) }
                                @if let Some(button) = button { (button) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Findings of an analysis by how much they matter, each with its remedy that was tried, and the button that makes it where
/// somebody says whose it is.
pub fn found(findings: &[Finding], pressed: Option<CureOf>) -> Markup {
    html! {
        @for (severity, heading, ink) in WEIGHTS {
            @let own: Vec<(usize, &Finding)> =
                findings.iter().enumerate().filter(|(_, own)| own.severity == severity).collect();
            @if !own.is_empty() {
                section {
                    h2 class=(ink.word()) { (heading) }
                    @for (place, (_, finding)) in own.iter().enumerate() {
                        div class="finding" {
                            p { (glued(&finding.sentence)) }
                            (cure_of(&own, place, pressed))
                        }
                    }
                }
            }
        }
    }
}

/// What a year costs and whether anything waited, in a sentence.
pub fn year_in_short(station: &Station, year: &Year) -> String {
    let waits = match year.shortfall_years {
        Some(share) if share.share <= 0.0 => "; in none of them does a tank wait for water",
        Some(share) if share.share >= 1.0 => "; in every one of them a tank waits for water",
        Some(_) => "; in some of them a tank waits for water",
        None => "",
    };
    let years = format_count(year.years);
    match year.cost.total.mean > 0.0 {
        true => format!(
            "A year costs {}, the mean of {years} years{waits}{}.",
            said_of(station, &year.cost.total),
            unpriced(&year.cost.unpriced)
        ),
        false => format!("{years} years were simulated{waits}."),
    }
}

/// What the cost of a year lacks, behind a sentence.
fn unpriced(items: &[&str]) -> String {
    match items {
        [] => String::new(),
        [one] => format!("; {one} has no price yet and isn't in it"),
        [all @ .., last] => format!(
            "; {} and {last} have no price yet and aren't in it",
            all.join(", ")
        ),
    }
}

/// How many changes were tried, and which is most worth making, in a sentence.
pub fn changes_in_short(year: &Year) -> String {
    let best = year.best_change.and_then(|at| year.changes.get(at));
    let tried = match year.changes.len() {
        0 => return "No change was tried: nothing in these years asks for one.".to_owned(),
        1 => "One change was tried".to_owned(),
        count => format!("{count} changes were tried"),
    };
    match best {
        Some(best) => format!(
            "{tried}; most worth making: {}.",
            best.sentence.trim_end_matches('.')
        ),
        None => format!(
            "{tried}; each makes something worse that weighs more, or saves too little to be sure of."
        ),
    }
}

/// What is better and what is worse in a mean year than before, in a sentence.
pub fn comparison_in_short(comparison: &Comparison) -> String {
    let all = comparison.differences.first().map_or(&[][..], Vec::as_slice);
    let is_better = |own: &Difference| (own.difference.mean < 0.0) == own.less_is_better;
    let titles = |better: bool| -> Vec<&str> {
        let own = all.iter().filter(|own| own.matters && is_better(own) == better);
        let mut own: Vec<&Difference> = own.collect();
        // Where the first had none of it, no share can tell how much it is: it changes most.
        let share = |own: &Difference| own.share.map_or(f64::INFINITY, f64::abs);
        own.sort_by(|a, b| share(b).total_cmp(&share(a)));
        own.into_iter().take(MOST_TOLD).map(|own| own.title).collect()
    };
    let (better, worse) = (titles(true), titles(false));
    let told: Vec<String> = [("Better than when it was opened", better), ("Worse", worse)]
        .into_iter()
        .filter(|(_, titles)| !titles.is_empty())
        .map(|(word, titles)| format!("{word}: {}.", titles.join(", ")))
        .collect();
    if !told.is_empty() {
        return told.join(" ");
    }
    match all.iter().any(|own| own.sure) {
        true => "Nothing differs by enough to matter in a year from when it was opened; what surely differs a little stands below.",
        false => "Nothing in a year surely differs from when it was opened.",
    }
    .to_owned()
}

/// Differences that a sentence tells, the largest first (house rule).
const MOST_TOLD: usize = 3;
