//! `brinewright lead-time`: when a wanted volume of salt water is ready, and in which order to act.

use std::path::PathBuf;

use clap::Args;
use proof::{InSeason, LeadStep, LeadTime, LeadTimeFault, lead_time};
use serde::Serialize;
use station::quantity::Kind;

use super::moment::{Moment, situation};
use super::page::{fill, json};
use super::speaker::Speaker;
use super::{Answer, Output, read};
use crate::failure::{Failure, Fault};
use crate::task::station::load_on;

/// When a volume of salt water is ready, and in which order to act
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Salt water that is wanted, such as "120 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: String,
    /// Moment that it begins at: start, full or worst: fresh vessels at their start, salt vessels drawn down
    #[arg(long, value_enum, value_name = "MOMENT", hide_possible_values = true)]
    at: Option<Moment>,
    /// Levels in vessels, above their floors, such as "fresh=0.42 m, salt=0.6 m"
    #[arg(long, value_name = "LEVELS")]
    levels: Option<String>,
}

#[derive(Serialize)]
struct Machine<'l> {
    format: u32,
    seconds: f64,
    seconds_low: Option<f64>,
    seconds_high: Option<f64>,
    ready_as_usual_s: f64,
    situation: &'l str,
    volume_m3: f64,
    on_hand_m3: f64,
    fresh_on_hand_m3: f64,
    to_make_m3: f64,
    salt_kg: f64,
    batches: u32,
    vessel: Option<&'l str>,
    steps: &'l [LeadStep],
    cautions: &'l [String],
    season: Option<&'static str>,
    in_seasons: &'l [InSeason],
}

/// Reads, computes, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let loaded = load_on(options.file.as_deref(), None, output.asked())?;
    let station = &loaded.station;
    let volume = read::amount("--volume", &options.volume, Kind::Volume)?;
    let situation = situation(station, options.at, options.levels.as_deref())?;
    let speaker = Speaker { station };
    let lead = lead_time(station, volume.si, &situation)
        .map_err(|fault| Failure::from(Fault::new("--volume", what(&fault, &speaker), fault.mend())))?;
    let machine = Machine {
        format: 1,
        seconds: lead.ready.value,
        seconds_low: lead.ready.low,
        seconds_high: lead.ready.high,
        ready_as_usual_s: lead.ready_as_usual_s,
        situation: &lead.situation,
        volume_m3: lead.volume_m3,
        on_hand_m3: lead.on_hand_m3,
        fresh_on_hand_m3: lead.fresh_on_hand_m3,
        to_make_m3: lead.to_make_m3,
        salt_kg: lead.salt_kg,
        batches: lead.batches,
        vessel: lead.vessel.as_deref(),
        steps: &lead.steps,
        cautions: &lead.cautions,
        season: lead.in_seasons.first().map(|told| told.season.word()),
        in_seasons: &lead.in_seasons,
    };
    Ok(Answer {
        text: text(&lead, &speaker),
        json: json(&machine),
        ..Answer::default()
    })
}

/// What was refused, with its volumes in the owner's units.
fn what(fault: &LeadTimeFault, speaker: &Speaker<'_>) -> String {
    let volume = |m3: f64| speaker.exact(Kind::Volume, m3);
    match fault {
        LeadTimeFault::NoFresh { short_m3 } => format!(
            "{} of fresh water are wanting, and no purifier is described that makes them",
            volume(*short_m3)
        ),
        LeadTimeFault::TooMuch { capacity_m3, most_m3 } => format!(
            "that is more than {}, which the largest vessel makes in twenty batches of {}",
            volume(*most_m3),
            volume(*capacity_m3)
        ),
        other => other.to_string(),
    }
}

fn text(lead: &LeadTime, speaker: &Speaker<'_>) -> String {
    let volume = |m3: f64| speaker.exact(Kind::Volume, m3);
    let time = |s: f64| speaker.exact(Kind::Time, s);
    let mut out = Vec::new();
    out.push(if lead.ready.value > 0.0 {
        fill(
            &format!(
                "{} of salt water is ready in an emergency in {}{}, ready as usual in {}.",
                volume(lead.volume_m3),
                speaker.plain(&lead.ready),
                match speaker.doubt(&lead.ready).as_str() {
                    "" => String::new(),
                    doubt => format!(" ({doubt})"),
                },
                time(lead.ready_as_usual_s)
            ),
            "",
            "",
        )
    } else {
        format!("{} of salt water stands ready.", volume(lead.volume_m3))
    });
    let moment = match lead.situation.as_str() {
        "worst" => {
            "It begins at the leanest, fresh vessels where their fill starts and salt vessels drawn down"
        }
        "start" => "It begins with every vessel where its fill starts",
        "full" => "It begins with every vessel full",
        _ => "It begins with the levels given",
    };
    let mut there = format!(
        "{moment}: {} of salt water is ready, {} of fresh water can be drawn",
        volume(lead.on_hand_m3),
        volume(lead.fresh_on_hand_m3)
    );
    if lead.to_make_m3 > 0.0 {
        there.push_str(&format!(", {} must be made", volume(lead.to_make_m3)));
    }
    if lead.batches > 1 {
        there.push_str(&format!(", in {} batches", lead.batches));
    }
    out.push(fill(&format!("{there}."), "", ""));
    if let [told, other] = lead.in_seasons.as_slice() {
        let temperature = |c: f64| speaker.exact(Kind::Temperature, c);
        let off = match other.lacking_w {
            Some(_) => format!(
                ", but it is {} too {} then",
                speaker.exact(Kind::TemperatureDifference, other.off_k.abs()),
                if other.off_k > 0.0 { "warm" } else { "cold" }
            ),
            None => String::new(),
        };
        let words = format!(
            "The schedule is for {}, with {} in the room, when it takes longer; in {}, with {}, it is ready in an emergency in {}{off}.",
            told.season.word(),
            temperature(told.room_c),
            other.season.word(),
            temperature(other.room_c),
            time(other.ready_s),
        );
        out.push(fill(&words, "", ""));
    }
    if !lead.steps.is_empty() {
        let mut lines = vec![format!("{:>7}  {:>7}    what", "from", "to")];
        for step in &lead.steps {
            let head = format!(
                "{:>7}  {:>7}  {} ",
                clock(step.start_s),
                clock(step.end_s),
                if step.on_longest_way { "*" } else { " " }
            );
            lines.push(fill(&step.what, &head, &" ".repeat(20)));
        }
        lines.push("Hours and minutes. * the next step waits for it.".to_owned());
        out.push(lines.join("\n"));
    }
    let cautions: Vec<String> = lead
        .cautions
        .iter()
        .map(|caution| fill(caution, "  - ", "    "))
        .collect();
    out.push(format!("Mind\n{}", cautions.join("\n")));
    format!("{}\n", out.join("\n\n"))
}

/// Hours and minutes: `9:05`.
fn clock(seconds: f64) -> String {
    let minutes = (seconds / 60.0).round();
    format!("{}:{:02}", (minutes / 60.0).floor(), minutes % 60.0)
}
