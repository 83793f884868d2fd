//! What matters of a year, in sentences: what must be fixed, its cost and why, the reserve, what to change.

use proof::{CostItem, Leanest, Over, Severity, TriedChange, Year};
use sheets::chart::item_in_words;
use station::quantity::Kind;

use super::said::{Said, percent};
use crate::cli::read;
use crate::cli::speaker::Speaker;

const YEAR_HOURS: f64 = 8760.0;

/// The first paragraph.
pub(super) fn verdict(speaker: &Speaker<'_>, year: &Year) -> String {
    let mut sentences: Vec<String> = must_fix(year).into_iter().collect();
    sentences.push(cost(speaker, year));
    sentences.extend(reserves(speaker, year));
    sentences.push(waiting(year));
    let best = year.best_change.and_then(|at| year.changes.get(at));
    sentences.extend(best.map(|change| worth_doing(speaker, change)));
    sentences.join(" ")
}

/// What must be fixed comes before what a year costs: how much there is, the first of it, and whether a change mends it.
fn must_fix(year: &Year) -> Option<String> {
    let musts = || year.findings.iter().filter(|own| own.severity == Severity::Must);
    let first = musts().next()?;
    // As the letter has it.
    let count = match musts().count() {
        1 => "Nearly sound: one thing".to_owned(),
        more => format!("Not sound yet: {more} things"),
    };
    // Its reason stands with the findings below.
    let what = first
        .sentence
        .split_once(": ")
        .map_or(first.sentence.as_str(), |(what, _)| what);
    let mends = match first.remedy {
        Some(_) => "",
        None => " Nothing that was tried mends it.",
    };
    Some(format!(
        "{count} must be fixed. {}.{mends}",
        what.trim_end_matches('.')
    ))
}

/// The change and what it brought where it was tried.
fn worth_doing(speaker: &Speaker<'_>, change: &TriedChange) -> String {
    let mut brings: Vec<String> = change
        .differences
        .iter()
        .filter_map(|row| Some((row, row.share?)))
        .take(2)
        .map(|(row, share)| {
            let way = match (share < 0.0, row.kind == Kind::Number) {
                (true, true) => "fewer",
                (true, false) => "less",
                _ => "more",
            };
            format!("{} {way} {}", percent(share.abs()), row.title)
        })
        .collect();
    let cost = &change.cost;
    let money = roughly(speaker, Kind::Money, cost.mean.abs());
    if cost.high < 0.0 {
        brings.push(format!("{money} a year less to pay"));
    } else if cost.low > 0.0 {
        brings.push(format!("{money} a year more to pay"));
    }
    let brings: Vec<&str> = brings.iter().map(String::as_str).collect();
    match brings.as_slice() {
        [] => format!(
            "Most worth doing: {} (tried in {} years).",
            change.sentence, change.years
        ),
        brings => format!(
            "Most worth doing: {}. Tried in {} years, it brought {}.",
            change.sentence,
            change.years,
            read::list(brings, "and")
        ),
    }
}

fn cost(speaker: &Speaker<'_>, year: &Year) -> String {
    let cost = &year.cost;
    let unpriced: Vec<&str> = cost.unpriced.iter().map(|item| item_in_words(item)).collect();
    if cost.items.is_empty() {
        return match unpriced.is_empty() {
            true => "A year costs nothing.".to_owned(),
            false => format!(
                "What a year costs can't be told: the file has no price of {}.",
                read::list(&unpriced, "or")
            ),
        };
    }
    let dearest: Vec<String> = cost.items.iter().take(2).map(share_of).collect();
    let dearest: Vec<&str> = dearest.iter().map(String::as_str).collect();
    let said = Said::of(speaker, Kind::Money, &cost.total);
    let mut text = format!(
        "A year costs {}, most of it for {}",
        said.mean,
        read::list(&dearest, "and")
    );
    if !said.band.is_empty() {
        text += &format!("; nine years in ten cost {}", said.band);
    }
    if !unpriced.is_empty() {
        text += &format!(". Not counted is {}: no price", read::list(&unpriced, "and"));
    }
    text + "."
}

/// "salt (31 %)".
fn share_of(item: &CostItem) -> String {
    format!("{} ({:.0}\u{a0}%)", item_in_words(item.item), 100.0 * item.share)
}

/// Whether each reserve is there, and when least.
fn reserves(speaker: &Speaker<'_>, year: &Year) -> Vec<String> {
    [
        ("fresh", &year.fresh_under_reserve_hours, &year.fresh_leanest),
        ("salt", &year.salt_under_reserve_hours, &year.salt_leanest),
    ]
    .into_iter()
    .filter_map(|(water, hours, leanest)| Some(reserve(speaker, water, hours.as_ref()?, leanest.as_ref()?)))
    .collect()
}

fn reserve(speaker: &Speaker<'_>, water: &str, hours: &Over, leanest: &Leanest) -> String {
    let wanted = speaker.exact(Kind::Volume, leanest.reserve_m3);
    if hours.mean <= 0.0 {
        return format!("The reserve of {water} water, {wanted}, is always there.");
    }
    let mut short = format!("{} of a year", Said::hours(hours, 1.0).mean);
    let share = hours.mean / YEAR_HOURS;
    if share >= 0.01 {
        short += &format!(" ({})", percent(share));
    }
    let lean = match leanest.weeks_under {
        0 => String::new(),
        _ if leanest.p05_m3 <= 0.0 => format!(
            ", and one year in twenty has none at midnight in week {} ({})",
            leanest.week, leanest.month
        ),
        _ => format!(
            ", at worst in week {} ({}), when one year in twenty has {} or less at midnight",
            leanest.week,
            leanest.month,
            roughly(speaker, Kind::Volume, leanest.p05_m3)
        ),
    };
    format!("Less than the reserve of {water} water, {wanted}, is ready for {short}{lean}.")
}

fn waiting(year: &Year) -> String {
    let hours = &year.shortfall_hours;
    let Some((longest, share)) = year.shortfalls.first().zip(year.shortfall_years) else {
        return "No tank waits for what is due.".to_owned();
    };
    let some = match share.share {
        share if share >= 1.0 => "Every year".to_owned(),
        share => format!("In {} of the years", percent(share)),
    };
    format!(
        "{some} something that is due has to wait: {} in a mean year, mostly because {}.",
        Said::hours(hours, 1.0).mean,
        longest.because
    )
}

/// A value to two digits (house rule): what one year in twenty has isn't known better.
pub(super) fn roughly(speaker: &Speaker<'_>, kind: Kind, si: f64) -> String {
    speaker.interval(kind, si, Some(0.3 * si.abs())).value_with_unit()
}
