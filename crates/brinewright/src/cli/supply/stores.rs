//! What is left when the feed stops, and what odd days bring.

use proof::{Estimate, Proof, Severity, StateOfFeed, Stores, Supply};
use station::quantity::Kind;
use station::sections::{TopOff, Water};
use station::spoken;

use super::super::page::fill;
use super::Speaker;
use crate::cli::table::{Column, First, columns, without_empty};

/// Tank by tank, at the stores' worst and when they are full.
pub(super) fn endurance(speaker: &Speaker<'_>, supply: &Supply, at: Option<&str>) -> String {
    let mut out: String = supply
        .endurance
        .iter()
        .filter(|stores| at.map_or(stores.at != "start" && holds_any(stores), |at| stores.at == at))
        .map(|stores| at_one_moment(speaker, stores))
        .collect();
    let salt_vessels = speaker
        .station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == Water::Salt)
        .count();
    let worst_shown = match at {
        None => true,
        Some(at) => at == "worst",
    };
    if salt_vessels > 1 && worst_shown && !out.is_empty() {
        let text = "The worst moment finds all salt vessels empty at once. Mixed in turn, one of them always holds water.";
        out += &(fill(text, "  ", "  ") + "\n");
    }
    if let Some(text) = topped_off_with_salt(speaker).filter(|_| !out.is_empty()) {
        out += &(fill(&text, "  ", "  ") + "\n");
    }
    if supply.endurance.iter().any(|stores| stores.tanks.len() > 1) {
        out += &(fill(
            "All tanks share the stores; \"alone\" is what one would have if the others got nothing.",
            "  ",
            "  ",
        ) + "\n");
    }
    out
}

/// Whether there is anything to tell of.
fn holds_any(stores: &Stores) -> bool {
    [&stores.fresh_m3, &stores.salt_m3]
        .into_iter()
        .flatten()
        .any(|store| store.value > 0.0)
}

fn at_one_moment(speaker: &Speaker<'_>, stores: &Stores) -> String {
    let when = match stores.at {
        "full" => "with full stores",
        "start" => "where fills start",
        _ => "at the leanest",
    };
    let salt = stores
        .salt_m3
        .as_ref()
        .filter(|salt| salt.value > 0.0)
        .map_or_else(
            || "no salt water".to_owned(),
            |salt| format!("{} salt", speaker.plain(salt)),
        );
    let heading = format!(
        "\nWhen the feed stops {when}: {}, {salt}\n",
        stores.fresh_m3.as_ref().map_or_else(
            || "no fresh water".to_owned(),
            |fresh| format!("{} fresh", speaker.plain(fresh))
        )
    );
    if stores.tanks.is_empty() {
        return heading;
    }
    let mut rows = vec![
        ["", "top-off", "alone", "changes", "they last", "alone"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for tank in &stores.tanks {
        let time = |estimate: &Option<Estimate>| or_none(estimate, |estimate| speaker.plain(estimate));
        // Nobody counts hundredths of a change.
        let count = |estimate: &Option<Estimate>| or_none(estimate, |count| format!("{:.1}", count.value));
        rows.push(vec![
            spoken(&tank.name),
            time(&tank.top_off_s),
            time(&tank.top_off_alone_s),
            count(&tank.changes),
            time(&tank.changes_s),
            count(&tank.changes_alone),
        ]);
    }
    let mut out = heading + &columns(First::Words, &without_empty(1, &rows));
    if let Some(mixable) = stores.mixable_m3.as_ref().filter(|mixable| mixable.value > 0.0) {
        let text = format!(
            "All the fresh water, mixed, would make {} of salt water, and leave none for top-off.",
            speaker.plain(mixable)
        );
        out += &(fill(&text, "    ", "      ") + "\n");
    }
    out
}

/// Tanks whose top-off draws on the salt water.
fn topped_off_with_salt(speaker: &Speaker<'_>) -> Option<String> {
    let names: Vec<String> = speaker
        .station
        .tanks
        .iter()
        .filter(|tank| tank.fields.top_off.value == TopOff::Salt)
        .map(|tank| spoken(&tank.name))
        .collect();
    match names.as_slice() {
        [] => None,
        [one] => Some(format!("{one} is topped off with salt water, and draws on that.")),
        names => Some(format!(
            "{} are topped off with salt water, and draw on that.",
            names.join(", ")
        )),
    }
}

fn or_none(estimate: &Option<Estimate>, say: impl Fn(&Estimate) -> String) -> String {
    match estimate {
        None => String::new(),
        Some(estimate) if estimate.value <= 0.0 => "none".to_owned(),
        Some(estimate) => say(estimate),
    }
}

/// The named states of the feed: what they do, what they spoil, what to test.
pub(super) fn odd_days(speaker: &Speaker<'_>, proof: &Proof, file: Option<&str>) -> String {
    let states = &proof.feed_states;
    if states.is_empty() {
        return String::new();
    }
    let mut out = format!(
        "\nOther days of the feed: made in the leanest month, the rest as a mean\n{}",
        columns(First::Words, &without_empty(2, &compared(speaker, proof)))
    );
    for state in states {
        out += &format!("  {}\n", spoken(&state.name));
        for finding in &state.findings {
            let word = match finding.severity {
                Severity::Must => "must fix",
                Severity::Should => "worth fixing",
                Severity::Note => "worth knowing",
            };
            out += &(fill(&format!("{word}: {}", finding.sentence), "    ", "      ") + "\n");
        }
        for test in &state.tests {
            out += &(fill(&format!("test {test}"), "    ", "      ") + "\n");
        }
    }
    let file = file.map_or_else(String::new, |file| format!(" {file}"));
    let how = format!("Prove one of them: brinewright prove{file} --feed NAME");
    out + &fill(&how, "  ", "    ") + "\n"
}

/// The usual feed and its states below each other.
fn compared(speaker: &Speaker<'_>, proof: &Proof) -> Vec<Vec<String>> {
    let (states, usual) = (&proof.feed_states, &proof.supply);
    let run = usual.purifier.as_ref().map(|made| &made.run);
    let value = |estimate: Option<&Estimate>| estimate.map(|estimate| estimate.value);
    let usual = (
        usual.made_m3_per_s,
        value(run.and_then(|run| run.resin_life_m3.as_ref())),
        value(run.and_then(|run| run.cost_per_m3.as_ref())),
    );
    let of = |state: &StateOfFeed| (state.made_m3_per_s, state.resin_life_m3, state.cost_per_m3);
    let all: Vec<_> = core::iter::once(usual).chain(states.iter().map(of)).collect();
    let unit = |kind: Kind, values: &mut dyn Iterator<Item = Option<f64>>| {
        let largest = values.flatten().fold(0.0, f64::max);
        speaker.unit_of(kind, largest)
    };
    let flow = unit(Kind::Flow, &mut all.iter().map(|(made, _, _)| *made));
    let life = unit(Kind::Volume, &mut all.iter().map(|(_, life, _)| *life));
    let cost = unit(Kind::PricePerVolume, &mut all.iter().map(|(_, _, cost)| *cost));
    let cell =
        |column: &Column, value: Option<f64>| value.map_or_else(String::new, |value| column.rough(value));
    let mut rows = vec![
        vec![
            String::new(),
            "for".to_owned(),
            "made".to_owned(),
            "resin lasts".to_owned(),
            "water costs".to_owned(),
        ],
        vec![
            String::new(),
            String::new(),
            flow.unit(),
            life.unit(),
            cost.unit(),
        ],
    ];
    let names = core::iter::once(("as usual".to_owned(), String::new())).chain(states.iter().map(|state| {
        let lasts = state
            .lasts_s
            .map_or_else(String::new, |lasts| speaker.exact(Kind::Time, lasts));
        (spoken(&state.name), lasts)
    }));
    for ((name, lasts), (made, resin, price)) in names.zip(&all) {
        rows.push(vec![
            name,
            lasts,
            made.map_or("none".to_owned(), |made| flow.rough(made)),
            cell(&life, *resin),
            cell(&cost, *price),
        ]);
    }
    rows
}
