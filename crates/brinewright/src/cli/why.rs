//! `brinewright why`: a figure with its formula, its inputs and its sources.

use std::path::PathBuf;

use clap::Args;
use proof::{Figure, Input};
use serde::Serialize;
use station::Station;
use station::quantity::{format_interval, format_plain};

use super::page::{fill, json};
use super::{Answer, Output};
use crate::failure::{Failure, Fault};
use crate::task::station::load_on;

/// Ask a figure why: its formula, its inputs with their origin, its sources
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Key of the figure, as `prove` prints it
    key: String,
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Named state of the feed to prove, from the file
    #[arg(long, value_name = "NAME")]
    feed: Option<String>,
}

#[derive(Serialize)]
struct Machine<'p> {
    format: u32,
    key: &'p str,
    title: &'p str,
    formula: &'static str,
    inputs: &'p [Input],
    value: f64,
    unit: &'static str,
    low: Option<f64>,
    high: Option<f64>,
    method: &'static str,
    sources: &'static [&'static str],
    range: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    remark: Option<&'p str>,
}

/// Proves the station and looks the figure up.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let loaded = load_on(options.file.as_deref(), options.feed.as_deref(), output.asked())?;
    let proof = proof::prove(&loaded.station);
    let Some(figure) = proof.figure(&options.key) else {
        return Err(unknown(&options.key, &proof.figures).into());
    };
    let method = proof::method(figure.method).ok_or_else(|| {
        Failure::other(Fault::new(
            "proof",
            format!("the method {} isn't registered", figure.method),
            "please report this",
        ))
    })?;
    let machine = Machine {
        format: 1,
        key: &figure.key,
        title: &figure.title,
        formula: method.formula,
        inputs: &figure.inputs,
        value: figure.value,
        unit: figure.unit,
        low: figure.low,
        high: figure.high,
        method: method.key,
        sources: method.sources,
        range: method.range,
        remark: figure.remark.as_deref(),
    };
    Ok(Answer {
        text: page(&loaded.station, figure, method),
        json: json(&machine),
        ..Answer::default()
    })
}

fn unknown(key: &str, figures: &[Figure]) -> Fault {
    let mut known: Vec<&str> = figures.iter().map(|figure| figure.key.as_str()).collect();
    // A station has hundreds: the nearest, or those that the letter shows.
    let near = station::did_you_mean(key, &known);
    let mend = match near.starts_with("did you mean") {
        true => near,
        false => {
            let part = key.to_lowercase();
            known.retain(|known| known.contains(part.as_str()));
            known.truncate(6);
            match known.as_slice() {
                [] => "brinewright prove shows the keys of the figures that matter".to_owned(),
                known => format!("known here: {}", known.join(", ")),
            }
        }
    };
    Fault::new("key", format!("no figure here is called `{key}`"), mend)
}

fn page(station: &Station, figure: &Figure, method: &proof::Method) -> String {
    let currency = station.currency();
    let units = station.units();
    let shown = format_interval(figure.kind, figure.value, figure.half_width(), units, &currency);
    let value = if figure.is_lopsided() {
        shown.value_with_unit()
    } else {
        shown.to_string()
    };
    let mut out = format!("{}\n\n  {value}\n", figure.title);
    if let (Some(low), Some(high), Some(_)) = (figure.low, figure.high, figure.half_width()) {
        let half = figure.half_width();
        let end = |si| format_interval(figure.kind, si, half, units, &currency).value_with_unit();
        let sentence = format!(
            "95 times in 100 between {} and {}, if the inputs' spreads are right",
            end(low),
            end(high)
        );
        out += &(fill(&sentence, "  ", "  ") + "\n");
    }
    if let Some(remark) = &figure.remark {
        out += &(fill(remark, "  ", "  ") + "\n");
    }
    out += &format!(
        "\nFormula  {}\n{}\n",
        method.key,
        fill(method.formula, "  ", "    ")
    );
    out += "\nInputs\n";
    out += &match figure.inputs.len() > MOST_BY_ONE {
        true => grouped(station, figure),
        false => one_by_one(station, figure),
    };
    out += &format!("\nHolds\n{}\n", fill(method.range, "  ", "  "));
    out += &format!("\nSources\n  {}\n", method.sources.join(", "));
    let figures: Vec<&str> = figure
        .inputs
        .iter()
        .filter_map(|input| input.origin.strip_prefix("figure "))
        .collect();
    if let Some(first) = figures.first() {
        out += &format!("\nAsk on: brinewright why {first}\n");
    }
    out
}

/// Inputs that are listed one by one; more stand together by the part that they belong to.
const MOST_BY_ONE: usize = 12;

fn value_of(station: &Station, input: &Input) -> String {
    let half = (input.half_width > 0.0).then_some(input.half_width);
    let (units, currency) = (station.units(), station.currency());
    match half {
        None => format_plain(input.kind, input.value, units, &currency),
        half => format_interval(input.kind, input.value, half, units, &currency).to_string(),
    }
}

fn one_by_one(station: &Station, figure: &Figure) -> String {
    let mut out = String::new();
    for input in &figure.inputs {
        out += &format!("  {}: {}\n", input.name, value_of(station, input));
        out += &(fill(&input.origin, "      ", "      ") + "\n");
    }
    out
}

/// A line for each part with its values; what isn't in the file has its reason below.
fn grouped(station: &Station, figure: &Figure) -> String {
    let mut parts: Vec<(&str, Vec<String>)> = Vec::new();
    let mut reasons: Vec<String> = Vec::new();
    for input in &figure.inputs {
        let (part, name) = input.name.rsplit_once('.').unwrap_or(("", &input.name));
        let mut text = format!("{} {}", name.replace('_', " "), value_of(station, input));
        if input.origin != input.name {
            let default = format!("default of {}: ", input.name);
            let reason = match input.origin.strip_prefix(&default) {
                Some(reason) => format!("default: {reason}"),
                None => input.origin.clone(),
            };
            let at = reasons.iter().position(|own| *own == reason).unwrap_or_else(|| {
                reasons.push(reason);
                reasons.len() - 1
            });
            text += &format!(" ({})", at + 1);
        }
        match parts.iter_mut().find(|(own, _)| *own == part) {
            Some((_, texts)) => texts.push(text),
            None => parts.push((part, vec![text])),
        }
    }
    let mut out = String::new();
    for (part, texts) in parts {
        out += &(fill(&format!("{part}: {}", texts.join(", ")), "  ", "      ") + "\n");
    }
    for (at, reason) in reasons.iter().enumerate() {
        out += &(fill(&format!("({}) {reason}", at + 1), "  ", "      ") + "\n");
    }
    out
}
