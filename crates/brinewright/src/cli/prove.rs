//! `brinewright prove`: the whole proof of a station, as a letter.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use proof::{Absence, LevelMark, Proof, Severity};
use serde::Serialize;
use sheets::Paper;
use station::quantity::{Kind, UnitSystem, format_ends, format_interval};
use station::{Station, spoken};

use super::findings::findings;
use super::page::{WIDTH, fill, json};
use super::speaker::Speaker;
use super::{Answer, Output, lineup_table, pumps_at_work};
use crate::failure::Failure;
use crate::task;
use crate::task::proved::{self, Proved};
use crate::task::station::{Loaded, load_on};

/// Prove a station: what it holds, what each batch takes, what to fix
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Named state of the feed to prove, from the file
    #[arg(long, value_name = "NAME")]
    feed: Option<String>,
    /// Folder for the page, the printed sheets, the drawings and the tables; it is made where it isn't there
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Size of the printed sheets: a4 or letter; by the units of the text where none is named
    #[arg(
        long,
        value_enum,
        value_name = "SIZE",
        requires = "out",
        hide_possible_values = true
    )]
    paper: Option<Size>,
    /// End with exit code 3 when something must be fixed
    #[arg(long)]
    strict: bool,
}

/// Sizes of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Size {
    /// 210 mm by 297 mm
    A4,
    /// 8 1/2 in by 11 in
    Letter,
}

impl Size {
    /// What a printer most likely holds where these units are used.
    fn usual(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Si => Self::A4,
            UnitSystem::Us => Self::Letter,
        }
    }

    fn paper(self) -> Paper {
        match self {
            Self::A4 => Paper::A4,
            Self::Letter => Paper::Letter,
        }
    }
}

/// Reads, proves, writes the letter.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), options.feed.as_deref(), output.asked())?;
    task::paper::ready(options.out.as_deref(), "prove")?;
    let proof = proof::prove(&station);
    let must_fix = options.strict && proof.of_severity(Severity::Must).next().is_some();
    let demo = options.file.is_none();
    let absence = task::absence::in_short(&station, options.out.is_some());
    let mut text = letter(&station, &name, &proof, absence.as_ref(), demo);
    if let Some(folder) = &options.out {
        let size = options.paper.unwrap_or(Size::usual(station.units()));
        let count = task::paper::write(&station, &proof, absence.as_ref(), &name, size.paper(), folder)?;
        let written = format!(
            "Written to {}: page.html, which opens anywhere, sheets.pdf to print, and {} drawings and tables.",
            folder.display(),
            count - 2
        );
        text += &format!("\n{}\n", fill(&written, "", ""));
    }
    Ok(Answer {
        text,
        json: json(&Machine {
            format: 1,
            told: Proved {
                proof: &proof,
                absence,
                year: output.is_json().then(|| proved::years(&station)).flatten(),
            },
        }),
        must_fix,
    })
}

#[derive(Serialize)]
struct Machine<'p> {
    format: u32,
    #[serde(flatten)]
    told: Proved<'p>,
}

fn letter(station: &Station, name: &str, proof: &Proof, absence: Option<&Absence>, demo: bool) -> String {
    let mut out = format!("{}\n\n{}\n", proof.title, fill(&proof.verdict, "", ""));
    if let Some(state) = &proof.feed_state {
        out += &format!("Proved with the feed of {}.\n", spoken(state));
    }
    if !proof.tests_today.is_empty() {
        out += "\nTest today\n";
        for test in &proof.tests_today {
            out += &(fill(test, "  ", "    ") + "\n");
        }
    }
    out += &findings(name, &proof.findings);
    // On the workbench they weigh in the verdict; here each is asked for.
    if station.purifier.is_some() && !station.vessels.is_empty() {
        let more = "What its years bring to light, and whether one can go away, isn't among this: ask brinewright year and \
                    brinewright absence.";
        out += &format!("\n{}\n", fill(more, "", ""));
    }
    out += &figures(station, proof);
    out += &marks(station, proof);
    let speaker = Speaker { station };
    if let Some(all) = &proof.lineups {
        out += &lineup_table::in_short(&speaker, all);
        out += &pumps_at_work::pumps(&speaker, all);
    }
    out += &away(absence);
    let file = if demo { String::new() } else { format!(" {name}") };
    if proof.supply.purifier.is_some() {
        out += &format!("\nThe water in full: brinewright supply{file}");
    }
    if proof.lineups.is_some() {
        out += &format!("\nThe valves in full: brinewright lineups{file}");
    }
    if absence.is_some() {
        out += &format!("\nEvery fault in full: brinewright absence{file}");
        out += &format!("\nWhat only years show: brinewright year{file}");
    }
    out += "\nAsk about any figure: brinewright why KEY";
    out += &format!("{file}\n");
    out += "Advice, not a permit: readings beat it, local codes and licensed trades govern.\n";
    if demo {
        out += "Larkhaven and its numbers are invented. Yours: brinewright new FILE\n";
    }
    out
}

/// Whether one can go away, and how often that would go wrong.
fn away(absence: Option<&Absence>) -> String {
    let Some(absence) = absence else {
        return String::new();
    };
    let mut out = format!("\nWhile nobody is there\n{}\n", fill(&absence.answer, "  ", "  "));
    if let Some(why) = absence.reasons.first() {
        out += &(fill(why, "  ", "  ") + "\n");
    }
    out
}

/// Widest doubt that stands beside its figure.
const WIDEST_DOUBT: usize = 14;

/// The headline figures, each with its doubt and the key to ask about it.
fn figures(station: &Station, proof: &Proof) -> String {
    let currency = station.currency();
    let rows: Vec<[String; 4]> = proof
        .figures
        .iter()
        .filter(|figure| figure.headline)
        .map(|figure| {
            let shown = format_interval(
                figure.kind,
                figure.value,
                figure.half_width(),
                station.units(),
                &currency,
            );
            [
                figure.title.clone(),
                shown.value_with_unit(),
                doubt(figure, &shown, station),
                figure.key.clone(),
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let widest = |column: usize| {
        rows.iter()
            .map(|row| row[column].chars().count())
            .filter(|width| column != 2 || *width <= WIDEST_DOUBT)
            .max()
            .unwrap_or(0)
    };
    let (value, half, key) = (widest(1), widest(2).max(1), widest(3));
    let title = WIDTH.saturating_sub(value + half + key + 8).max(20);
    let mut out = format!(
        "\nFigures\n  {:<title$}  {:>value$}  {:>half$}  {}\n",
        "", "", "±", "key"
    );
    for [name, shown, doubt, figure_key] in &rows {
        let mut lines = textwrap::wrap(name, title).into_iter();
        let first = lines.next().unwrap_or_default();
        // Ends that are too wide for their column stand below.
        let (beside, below) = match doubt.chars().count() <= WIDEST_DOUBT {
            true => (doubt.as_str(), None),
            false => ("", Some(doubt)),
        };
        out += format!("  {first:<title$}  {shown:>value$}  {beside:>half$}  {figure_key}").trim_end();
        out += "\n";
        for more in lines {
            out += &format!("    {more}\n");
        }
        if let Some(ends) = below {
            out += &format!("    ({ends})\n");
        }
    }
    out + &beyond(proof)
}

/// What headline figures say of themselves: that an input lies beyond what their method was made for.
fn beyond(proof: &Proof) -> String {
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for figure in proof.figures.iter().filter(|figure| figure.headline) {
        let Some(remark) = &figure.remark else { continue };
        // What was left out of an interval is told by `why`.
        if remark.ends_with("left out") {
            continue;
        }
        match told.iter_mut().find(|(said, _)| said == remark) {
            Some((_, keys)) => keys.push(&figure.key),
            None => told.push((remark, vec![&figure.key])),
        }
    }
    told.iter()
        .map(|(remark, keys)| fill(&format!("{}: {remark}", keys.join(", ")), "  ", "    ") + "\n")
        .collect()
}

/// Where the marks of each vessel lie, as a tape reads them.
fn marks(station: &Station, proof: &Proof) -> String {
    use station::quantity::{format_plain, format_tape};
    let units = station.units();
    let mut out = String::new();
    for vessel in &proof.levels.vessels {
        out += &format!(
            "\nMarks of {}\n  {:<28}{:>11}{:>12}{:>11}\n",
            spoken(&vessel.name),
            "",
            "above",
            "above the",
            "below"
        );
        out += &format!(
            "  {:<28}{:>11}{:>12}{:>11}{:>10}\n",
            "", "its floor", "room floor", "its rim", "holds"
        );
        let mut rows: Vec<(String, &LevelMark)> = vessel
            .marks
            .iter()
            .map(|mark| (mark.name.to_owned(), mark))
            .collect();
        // Where marks belong is shown where they stand elsewhere, or nowhere yet.
        rows.extend(
            vessel
                .to_move()
                .map(|mark| (format!("({} for the run wanted)", mark.name), mark)),
        );
        if let Some(batch) = proof
            .batch
            .vessels
            .iter()
            .find(|batch| batch.vessel == vessel.name)
        {
            let salinity = batch.target_salinity;
            rows.extend(batch.marks.iter().map(|mark| {
                let words = match mark.name {
                    "fresh" => "fresh line, then salt".to_owned(),
                    "finished" => format!("finished at {salinity}"),
                    "one bag, fresh" => format!("one bag, fresh, for {salinity}"),
                    _ => format!("one bag, finished, {salinity}"),
                };
                (words, mark)
            }));
        }
        rows.sort_by(|a, b| b.1.level_m.total_cmp(&a.1.level_m));
        for (name, mark) in rows {
            out += format!(
                "  {name:<28}{:>11}{:>12}{:>11}{:>10}",
                format_tape(mark.level_m, units),
                format_tape(mark.above_room_floor_m, units),
                format_tape(mark.from_rim_m, units),
                format_plain(Kind::Volume, mark.volume_m3, units, &station.currency()),
            )
            .trim_end();
            out += "\n";
        }
    }
    out
}

/// `2 L`, or the two ends where the value doesn't sit between them.
fn doubt(figure: &proof::Figure, shown: &station::quantity::Shown, station: &Station) -> String {
    match (figure.low, figure.high) {
        (Some(low), Some(high)) if figure.is_lopsided() => format_ends(
            figure.kind,
            (figure.value, low, high),
            figure.half_width(),
            station.units(),
            &station.currency(),
        ),
        _ => shown.half_width_with_unit(),
    }
}
