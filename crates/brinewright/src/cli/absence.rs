//! `brinewright absence`: whether one can go away, what faults do meanwhile, and what helps.

use std::path::PathBuf;

use clap::Args;
use proof::{Absence, By, FaultSet, MinimalSet, Severity, Top, TriedGuard};
use serde::Serialize;
use station::Station;
use station::quantity::{Kind, format_count};

use super::page::{fill, json};
use super::speaker::Speaker;
use super::watch::watched;
use super::{Answer, Output};
use crate::failure::Failure;
use crate::task;
use crate::task::station::{Loaded, load_on};

/// Whether you can go away: what every fault does with nobody there, how often, and what helps
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// How long nobody is there, 1 to 1000 hours; else the file's longest_absence, and where it is silent 64, which is from
    /// Friday evening to Monday morning
    #[arg(long, value_name = "HOURS", allow_hyphen_values = true)]
    hours: Option<f64>,
    /// The day on which you leave, such as 2026-12-24, by which tests are counted; today where it isn't named
    #[arg(long, value_name = "DATE")]
    from: Option<String>,
    /// Tell every fault and pair that does harm, what was assumed, and the whole test sheet as well
    #[arg(long)]
    all: bool,
    /// End with exit code 3 when something must be fixed
    #[arg(long)]
    strict: bool,
}

#[derive(Serialize)]
struct Machine<'a> {
    format: u32,
    #[serde(flatten)]
    absence: &'a Absence,
}

/// Reads, looks at everything, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), None, output.asked())?;
    let away = task::absence::wanted(&station, options.hours, options.from.as_deref())?;
    let absence = watched(|progress| task::absence::absence(&station, &name, &away, progress))?;
    let mut text = sheet(&station, &absence);
    if options.all {
        text += &in_full(&station, &absence);
    } else {
        let file = options
            .file
            .as_ref()
            .map_or_else(String::new, |_| format!(" {name}"));
        text += &format!(
            "\nEvery fault and pair, what was assumed, the test sheet:\n  brinewright absence{file} --all\n"
        );
    }
    if options.file.is_none() {
        text += "Larkhaven and its numbers are invented. Yours: brinewright new FILE\n";
    }
    Ok(Answer {
        text,
        json: json(&Machine {
            format: 1,
            absence: &absence,
        }),
        must_fix: options.strict
            && absence
                .findings
                .iter()
                .any(|finding| finding.severity == Severity::Must),
    })
}

/// Most rows of a list on the short page.
const MOST: usize = 5;

fn sheet(station: &Station, absence: &Absence) -> String {
    let speaker = Speaker { station };
    let mut out = format!("{}: with nobody there\n\n", station.title.title.value);
    out += &(fill(&absence.answer, "", "") + "\n");
    for reason in &absence.reasons {
        out += &(fill(reason, "  ", "  ") + "\n");
    }
    let floor = |by: By, count: usize| {
        absence
            .minimal_sets
            .iter()
            .filter(move |own| (own.harm, own.by) == (Top::WetFloor, by) && own.set.len() == count)
    };
    out += &sets(
        &speaker,
        "One part that wets the floor by failing",
        floor(By::Parts, 1),
        MOST,
    );
    out += &sets(&speaker, "Two that do it together", floor(By::Parts, 2), MOST);
    out += &sets(
        &speaker,
        "Something left open or on, or anything amid a task",
        floor(By::People, 1),
        3,
    );
    if !absence.barriers.is_empty() {
        out += "\nParts that alone stand between\n";
        for own in absence.barriers.iter().take(3) {
            let holds = own.holds.join(", ");
            out += &(fill(&format!("{}: {holds}", own.part), "  ", "    ") + "\n");
        }
    }
    out += &others(absence);
    out += &remedies(&speaker, &absence.remedies, MOST);
    out += &looked_at(absence);
    out += &(fill(absence.caution, "", "") + "\n");
    out
}

/// Least sets, likeliest first.
fn sets<'a>(
    speaker: &Speaker<'_>,
    heading: &str,
    all: impl Iterator<Item = &'a MinimalSet>,
    most: usize,
) -> String {
    let all: Vec<&MinimalSet> = all.collect();
    if all.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{heading}\n");
    for own in all.iter().take(most) {
        out += &(fill(&set(speaker, own), "  ", "    ") + "\n");
    }
    if all.len() > most {
        out += &format!("  and {} more\n", all.len() - most);
    }
    out
}

fn set(speaker: &Speaker<'_>, own: &MinimalSet) -> String {
    let mut told = own.set.join(" and ");
    if own.spilled_m3 > 0.0 {
        told += &format!(": {}", speaker.exact(Kind::Volume, own.spilled_m3));
    }
    told += &format!(", {}", after(speaker, own.hours_to_harm));
    if let Some(years) = own.years {
        told += &format!("; {}", once_in(years));
    }
    told
}

/// "from the start", "after 35 min".
fn after(speaker: &Speaker<'_>, hours: f64) -> String {
    let seconds = hours * 3600.0;
    if seconds < 60.0 {
        "from the start".to_owned()
    } else {
        format!("after {}", speaker.exact(Kind::Time, seconds))
    }
}

fn once_in(years: [f64; 2]) -> String {
    proof::once_in(years)
}

/// What else is to be expected, a line each.
fn others(absence: &Absence) -> String {
    let all: Vec<&str> = absence
        .probability_per_year
        .iter()
        .filter(|own| own.harm != Top::WetFloor && own.by == By::Parts)
        .map(|own| own.sentence.as_str())
        .collect();
    if all.is_empty() {
        return String::new();
    }
    let mut out = String::from("\nOther harm\n");
    for sentence in all {
        out += &(fill(sentence, "  ", "    ") + "\n");
    }
    out
}

fn remedies(speaker: &Speaker<'_>, all: &[TriedGuard], most: usize) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut out = String::from("\nWhat helps, best for its money first (each tried)\n");
    for own in all.iter().take(most) {
        let price = match own.price {
            Some(0.0) => ", for nothing".to_owned(),
            Some(price) => format!(", about {}", speaker.about(price)),
            None => String::new(),
        };
        let left = [
            (own.left, "failing parts"),
            (own.left_by_people, "something left open"),
        ]
        .into_iter()
        .filter(|(left, _)| proof::as_often(*left) != "as often")
        .map(|(left, by)| format!("a wet floor by {by} {}", proof::as_often(left)))
        .collect::<Vec<_>>()
        .join(", ");
        out += &(fill(&format!("-> {}{price}: {left}", own.sentence), "  ", "     ") + "\n");
        if let Some(caution) = own.caution {
            out += &(fill(caution, "     ", "     ") + "\n");
        }
    }
    out
}

fn looked_at(absence: &Absence) -> String {
    let count = |count: usize| format_count(count as u64);
    let told = format!(
        "Looked at: {} faults alone, {}; all {} pairs {}, of which {} needed a run of their own.",
        absence.faults_known,
        absence.phases.join(", "),
        count(absence.pairs_told),
        absence.phases_of_pairs.join(", "),
        count(absence.pairs_run)
    );
    let told = match absence.broken_off {
        0 => told,
        runs => format!("{told} {runs} runs were broken off, where levels swayed around their balance."),
    };
    format!("\n{}\n", fill(&told, "", ""))
}

/// Every fault and pair, what was assumed, the test sheet.
fn in_full(station: &Station, absence: &Absence) -> String {
    let speaker = Speaker { station };
    let mut out = String::from("\nEvery fault that does harm\n");
    let mut phase = "";
    for own in absence.faults.iter().filter(|own| own.set.len() == 1) {
        if own.phase != phase {
            phase = &own.phase;
            out += &format!("  {phase}\n");
        }
        out += &fault(&speaker, own);
    }
    let pairs = absence.minimal_sets.iter().filter(|own| own.set.len() == 2);
    out += &sets(&speaker, "Every least pair", pairs, usize::MAX);
    out += "\nTest sheet\n";
    for row in &absence.tests {
        let told = format!("{} ({}): {}; {}.", row.part, row.every, row.does, row.must);
        out += &(fill(&told, "  ", "    ") + "\n");
    }
    out += "\nWhat was assumed\n";
    for own in &absence.assumptions {
        let tested = own.tested_every_years.map_or_else(String::new, |years| {
            format!(
                ", tested every {}",
                speaker.exact(Kind::Time, years * 31_536_000.0)
            )
        });
        // Two figures are more than is known.
        let number = |value: f64| match value {
            value if value < 10.0 => format!("{value:.1}").trim_end_matches(".0").to_owned(),
            value => speaker.exact(Kind::Number, value.round()),
        };
        let [soonest, latest] = own.once_in.map(number);
        let told = format!(
            "{}: one fails once in {soonest} to {latest} {}{tested} ({})",
            own.class, own.by, own.source
        );
        out += &(fill(&told, "  ", "    ") + "\n");
    }
    out
}

fn fault(speaker: &Speaker<'_>, own: &FaultSet) -> String {
    let told = format!(
        "{}: {}, {}; you would notice {}",
        own.set.join(" and "),
        own.outcome.join(", "),
        after(speaker, own.hours_to_harm),
        own.noticed.join(", ")
    );
    fill(&told, "    ", "      ") + "\n"
}
