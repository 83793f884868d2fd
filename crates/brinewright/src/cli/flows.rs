//! `brinewright flows`: what flows in every line in one valve setting, at one moment.

use std::path::PathBuf;

use clap::Args;
use proof::{FlowFault, Flows, LinkFlow, Regime};
use serde::Serialize;
use station::quantity::{Kind, format_tape};
use station::{Station, did_you_mean};

use super::moment::{Moment, situation};
use super::page::{fill, json};
use super::settings::settings;
use super::speaker::Speaker;
use super::table::{First, Heights, Pressures, columns};
use super::{Answer, Output, read};
use crate::failure::{Failure, Fault};
use crate::task::station::{Loaded, load_on};

/// What flows in every line in one valve setting: flow, velocity, head lost, pressures
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Name of the valve setting, as the file has it in its section lineups; all of them, each with its flow and time, where
    /// none is named
    #[arg(long, value_name = "NAME")]
    lineup: Option<String>,
    /// Moment to look at: start, full or worst; worst where none is named
    #[arg(
        long,
        value_enum,
        value_name = "MOMENT",
        hide_possible_values = true,
        requires = "lineup"
    )]
    at: Option<Moment>,
    /// Levels above the vessels' floors, such as "fresh=0.42 m, salt=0.6 m"; vessels that aren't named stand as the
    /// moment has them
    #[arg(long, value_name = "LEVELS", allow_hyphen_values = true, requires = "lineup")]
    levels: Option<String>,
}

#[derive(Serialize)]
struct Machine<'f> {
    format: u32,
    #[serde(flatten)]
    flows: &'f Flows,
}

/// Reads, solves, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), None, output.asked())?;
    let file = options
        .file
        .as_ref()
        .map_or_else(String::new, |_| format!(" {name}"));
    let Some(lineup) = &options.lineup else {
        return Ok(settings(&station, &file));
    };
    let moment = situation(&station, options.at, options.levels.as_deref())?;
    let flows = proof::flows(&station, lineup, &moment).map_err(|fault| refused(&fault, &name))?;
    Ok(Answer {
        text: sheet(&station, &flows, &file),
        json: json(&Machine {
            format: 1,
            flows: &flows,
        }),
        ..Answer::default()
    })
}

fn refused(fault: &FlowFault, file: &str) -> Failure {
    match fault {
        FlowFault::NoSuchLineup { name, known } if known.is_empty() => Fault::new(
            "--lineup",
            format!("there is no valve setting `{name}`: {file} has none"),
            "add [lineups] to the file: from where, to where; brinewright new shows how",
        )
        .into(),
        FlowFault::NoSuchLineup { name, known } => {
            let known: Vec<&str> = known.iter().map(String::as_str).collect();
            Fault::new(
                "--lineup",
                format!("there is no valve setting `{name}`"),
                did_you_mean(name, &known),
            )
            .into()
        }
        FlowFault::NoSetting { name } => Fault::new(
            "--lineup",
            format!("no setting of the valves does `{name}`"),
            format!("brinewright lineups {file} tells why"),
        )
        .into(),
        other => Failure::other(Fault::new(
            "the network",
            other.to_string(),
            "check the lines, valves and pumps of the file",
        )),
    }
}

fn sheet(station: &Station, flows: &Flows, file: &str) -> String {
    let speaker = Speaker { station };
    let mut out = format!(
        "{}\nValve setting {}\n\n",
        station.title.title.value, flows.lineup
    );
    out += &(fill(&moment(station, flows), "", "") + "\n");
    out += &(fill(&setting(flows), "", "") + "\n");
    let (running, still): (Vec<&LinkFlow>, Vec<&LinkFlow>) =
        flows.links.iter().partition(|link| link.regime != Regime::Still);
    if running.is_empty() {
        out += "\nNothing flows at these levels.\n";
    } else {
        out += &lines(&speaker, &running);
    }
    let still: Vec<&str> = still.iter().map(|link| link.name.as_str()).collect();
    if !still.is_empty() && !running.is_empty() {
        let sentence = format!("Nothing flows in {}.", read::list(&still, "and"));
        out += &(fill(&sentence, "  ", "  ") + "\n");
    }
    out += &pressures(&speaker, flows);
    out += &vessels(&speaker, flows);
    station.in_words(&out)
        + &format!("\nWith their doubt, and how long it takes:\n  brinewright lineups{file}\n")
}

/// Where the vessels stand.
fn moment(station: &Station, flows: &Flows) -> String {
    let levels: Vec<String> = flows
        .levels
        .iter()
        .map(|level| format!("{} {}", level.vessel, format_tape(level.level_m, station.units())))
        .collect();
    let levels: Vec<&str> = levels.iter().map(String::as_str).collect();
    let when = match flows.situation.as_str() {
        "start" => "Every vessel where its fill starts",
        "full" => "Every vessel full",
        "worst" => "Fresh vessels where their fill starts, salt vessels drawn down",
        _ => "At these levels",
    };
    format!("{when}: {} above the floor inside.", read::list(&levels, "and"))
}

/// Which valves are open and which pumps run.
fn setting(flows: &Flows) -> String {
    let names: Vec<&str> = flows.valves_open.iter().map(String::as_str).collect();
    let mut out = match names.as_slice() {
        [] => "Every valve closed.".to_owned(),
        names => format!("Open: {}. Every other valve closed.", names.join(", ")),
    };
    let pumps: Vec<&str> = flows.pumps_on.iter().map(String::as_str).collect();
    match pumps.as_slice() {
        [] => {}
        [one] => out += &format!(" Pump {one} runs."),
        pumps => out += &format!(" Pumps {} run.", read::list(pumps, "and")),
    }
    out
}

fn lines(speaker: &Speaker<'_>, running: &[&LinkFlow]) -> String {
    let most = |value: fn(&LinkFlow) -> f64| running.iter().map(|link| value(link).abs()).fold(0.0, f64::max);
    let flow = speaker.unit_of(Kind::Flow, most(|link| link.flow_m3_per_s));
    let speed = speaker.unit_of(Kind::Speed, most(|link| link.velocity_m_per_s));
    let tape = Heights::of(speaker.station.units());
    let mut rows = vec![
        ["", "flow", "velocity", "head lost", ""]
            .map(str::to_owned)
            .to_vec(),
        vec![
            String::new(),
            flow.unit(),
            speed.unit(),
            tape.0.unit(),
            String::new(),
        ],
    ];
    for link in running {
        let pump = link.kind == "pump";
        let remark = match link.regime {
            _ if pump && link.head_loss_m < 0.0 => "lifted by the pump",
            _ if pump => "a pump that stands",
            Regime::Between => "between laminar and turbulent",
            _ => "",
        };
        rows.push(vec![
            link.name.clone(),
            flow.exact(link.flow_m3_per_s),
            match pump {
                true => String::new(),
                false => speed.fixed(link.velocity_m_per_s, if speed.unit() == "m/s" { 2 } else { 0 }),
            },
            tape.fixed(if pump {
                link.head_loss_m.abs()
            } else {
                link.head_loss_m
            }),
            format!("{remark:<30}"),
        ]);
    }
    let mut out = format!("\nWhere water runs\n{}", columns(First::Words, &rows));
    if running.iter().any(|link| link.flow_m3_per_s < 0.0) {
        let sentence = "Below 0: from the end that the file calls `to` to the one it calls `from`.";
        out += &(fill(sentence, "  ", "  ") + "\n");
    }
    out
}

fn pressures(speaker: &Speaker<'_>, flows: &Flows) -> String {
    let told: Vec<_> = flows
        .nodes
        .iter()
        .filter(|node| node.in_flow)
        .filter_map(|node| Some((node, node.head_m?, node.gauge_pressure_pa?)))
        .collect();
    if told.is_empty() {
        return String::new();
    }
    let height = Heights::of(speaker.station.units());
    let pressure = Pressures::of(speaker.station.units());
    let mut rows = vec![
        ["", "height", "head", "pressure"].map(str::to_owned).to_vec(),
        vec![String::new(), height.0.unit(), height.0.unit(), pressure.0.unit()],
    ];
    for (node, head_m, pressure_pa) in told {
        rows.push(vec![
            node.name.clone(),
            height.fixed(node.height_m),
            height.fixed(head_m),
            pressure.fixed(pressure_pa),
        ]);
    }
    let legend = "Height above the room's floor; head is that height and the pressure as a height of water; pressure \
                  is above the air's.";
    format!(
        "\nPressures\n{}{}\n",
        columns(First::Words, &rows),
        fill(legend, "  ", "  ")
    )
}

/// What comes into each vessel and leaves it: by its lines, and from the purifier.
fn vessels(speaker: &Speaker<'_>, flows: &Flows) -> String {
    let most = flows
        .vessels
        .iter()
        .map(|vessel| vessel.from_lines_m3_per_s.abs().max(vessel.permeate_m3_per_s))
        .fold(0.0, f64::max);
    let fills = flows.vessels.iter().any(|vessel| vessel.why.is_some());
    if most == 0.0 && !fills {
        return String::new();
    }
    let flow = speaker.unit_of(Kind::Flow, most);
    let mut rows = vec![
        ["", "by its lines", "from the purifier", "together"]
            .map(str::to_owned)
            .to_vec(),
        vec![String::new(), flow.unit(), flow.unit(), flow.unit()],
    ];
    for vessel in &flows.vessels {
        rows.push(vec![
            vessel.vessel.clone(),
            flow.exact(vessel.from_lines_m3_per_s),
            flow.exact(vessel.permeate_m3_per_s),
            flow.exact(vessel.net_m3_per_s),
        ]);
    }
    let mut out = format!("\nInto the vessels\n{}", columns(First::Words, &rows));
    for why in flows.vessels.iter().filter_map(|vessel| vessel.why.as_ref()) {
        out += &(fill(why, "  ", "  ") + "\n");
    }
    out
}
