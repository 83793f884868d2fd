//! How a station differs from the first, in sentences.

use proof::Difference;
use station::quantity::Kind;

use super::rows::unit;
use crate::cli::page::fill;
use crate::cli::read;
use crate::cli::speaker::Speaker;
use crate::cli::year::said::percent;

/// What is better, what is worse, what hardly differs, what can't be told apart.
pub(super) fn told(speaker: &Speaker<'_>, differences: &[Difference]) -> String {
    let same = |own: &Difference| own.difference.low >= 0.0 && own.difference.high <= 0.0;
    if differences.iter().all(same) {
        return line("They differ in nothing.");
    }
    let better = |own: &&Difference| own.matters && is_better(own);
    let worse = |own: &&Difference| own.matters && !is_better(own);
    let mut out = String::new();
    for (words, own) in [
        ("Better: ", all(differences, better)),
        ("Worse: ", all(differences, worse)),
    ] {
        let told: Vec<String> = own.iter().map(|own| of(speaker, own)).collect();
        if !told.is_empty() {
            out += &line(&format!("{words}{}.", told.join("; ")));
        }
    }
    if out.is_empty() {
        out += &line("Nothing differs by enough to matter.");
    }
    for (words, own) in [
        (
            "Differs by next to nothing: ",
            all(differences, |own| own.sure && !own.matters),
        ),
        ("No sure difference: ", all(differences, |own| !own.sure)),
    ] {
        let titles: Vec<&str> = own.iter().map(|own| own.title).collect();
        if !titles.is_empty() {
            out += &line(&format!("{words}{}.", read::list(&titles, "and")));
        }
    }
    out
}

fn line(text: &str) -> String {
    fill(text, "  ", "    ") + "\n"
}

fn all(differences: &[Difference], which: impl Fn(&&Difference) -> bool) -> Vec<&Difference> {
    differences.iter().filter(which).collect()
}

fn is_better(own: &Difference) -> bool {
    (own.difference.mean < 0.0) == own.less_is_better
}

/// "cost of a year, 1 250 EUR less (16 %)".
fn of(speaker: &Speaker<'_>, own: &Difference) -> String {
    let difference = own.difference;
    let column = unit(speaker, own.key, own.kind, difference.mean);
    let half = (difference.high - difference.low) / 2.0 / column.0.factor;
    let amount = column.number(difference.mean.abs(), Some(half)).value;
    let amount = match column.unit().as_str() {
        "" => amount,
        unit => format!("{amount} {unit}"),
    };
    let direction = match (difference.mean < 0.0, own.kind == Kind::Number) {
        (true, true) => "fewer",
        (true, false) => "less",
        _ => "more",
    };
    let share = match own.share {
        None => "the first has none".to_owned(),
        Some(share) if share >= 1.0 => format!("{:.1} times as much", 1.0 + share),
        Some(share) => percent(share.abs()),
    };
    format!("{}, {amount} {direction} ({share})", own.title)
}
