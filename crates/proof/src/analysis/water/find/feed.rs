//! What is only guessed about the feed, and what its gas does to the resin.

use station::Edit;

use super::Seen;
use crate::analysis::speak::{figure, list};
use crate::finding::{Finding, Severity};

pub(super) fn find(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    guessed(seen, findings);
    gas(seen, findings);
}

fn guessed(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let feed = seen.feed;
    let names: Vec<&str> = [
        (
            "conductivity",
            feed.conductivity.is_given() || feed.dissolved_solids.is_some(),
        ),
        ("hardness", feed.hardness.is_given()),
        ("alkalinity", feed.alkalinity.is_given()),
        ("pH", feed.ph.is_given()),
        ("silica", feed.silica.is_given()),
        ("free chlorine", feed.free_chlorine.is_given()),
        ("chloramine", feed.chloramine.is_given()),
    ]
    .into_iter()
    .filter_map(|(name, given)| (!given).then_some(name))
    .collect();
    if names.is_empty() {
        return;
    }
    let why = match seen.made.run.resin_life_m3 {
        Some(_) => format!(
            " The life of the resin, {}, rests on them.",
            figure("run.resin-life")
        ),
        None => String::new(),
    };
    let many = names.len() > 2;
    findings.push(Finding::new(
        "feed-guessed",
        Severity::Note,
        "feed",
        format!(
            "The feed's {} {} guessed.{} The supplier's report has them, or a few test strips.",
            list(&names),
            if names.len() == 1 { "is" } else { "are" },
            if many { why } else { String::new() },
        ),
    ));
}

fn gas(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let Some(share) = seen.made.gas_share.as_ref().filter(|share| share.value > 0.5) else {
        return;
    };
    if seen.purifier.fields.degassing.is_some() {
        return;
    }
    findings.push(
        Finding::new(
            "gas-load-dominates",
            Severity::Note,
            "feed.ph",
            format!(
                "{} of the resin goes to carbon dioxide: this feed holds {}, which passes every membrane and of which a meter shows {} at most. A finer membrane would hardly help; a vented vessel with air between membrane and resin, and a small pump behind it, would.",
                figure("run.gas-share"),
                figure("feed.carbon-dioxide"),
                figure("feed.gas-on-meter"),
            ),
        )
        .figure("run.gas-share")
        .figure("feed.carbon-dioxide")
        .figure("feed.gas-on-meter")
        .gap(share.value)
        .recipe(vec![Edit::quoted("purifier.degassing", "0.7 ± 0.15")]),
    );
}
