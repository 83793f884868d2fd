//! What the card of a valve setting says below its schematic: its way, its valves and pumps, its order of moves, its flow
//! and its time.

use proof::{Ending, Lineup, LineupMoment, Proof, REST};
use station::plumbing::End;
use station::quantity::{Kind, format_interval, format_plain, format_tape};
use station::{Station, shown, spoken};

use crate::told::{gravest, moves};

/// A card in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Card {
    /// The task: `Touch pool change`.
    pub title: String,
    /// From end to end by its lines.
    pub way: String,
    /// What to open.
    pub open: String,
    /// What to run.
    pub run: String,
    /// The valves that stand open at rest.
    pub stand_open: Vec<String>,
    /// The moves from rest one after the other, where their order is known.
    pub order: Vec<String>,
    /// The moves back to rest one after the other, where their order is known.
    pub back: Vec<String>,
    /// The gravest wrong moves, each with what it does and how soon.
    pub wrong: Vec<String>,
    /// For each level of the source: that level, the flow, the time, what ends it.
    pub moments: Vec<[String; 4]>,
}

/// The card of a valve setting, with what the proof knows of its moves.
pub fn card(station: &Station, proof: &Proof, lineup: &Lineup) -> Card {
    let open = match lineup.valves_open.as_deref() {
        None => "No setting of the valves does it.".to_owned(),
        Some([]) => "No valve to open; close all.".to_owned(),
        Some(open) => {
            let stands_open = proof
                .lineups
                .as_ref()
                .is_some_and(|all| !all.stand_open.is_empty());
            let others = match stands_open {
                true => "what else its water could reach",
                false => "the others",
            };
            format!("Open {}; close {others}.", listed(open))
        }
    };
    let run = match lineup.pumps_on.as_slice() {
        [] => "No pump: gravity moves it.".to_owned(),
        pumps => format!("Run {}.", listed(pumps)),
    };
    let moments = match lineup.valves_open {
        None => Vec::new(),
        Some(_) => lineup
            .moments
            .iter()
            .map(|moment| told(station, lineup, moment))
            .collect(),
    };
    Card {
        title: shown(&lineup.name),
        way: format!("{}.", way(station, lineup)),
        open,
        run,
        stand_open: proof
            .lineups
            .as_ref()
            .map_or_else(Vec::new, |all| all.stand_open.clone()),
        order: moves(proof, REST, &lineup.name),
        back: moves(proof, &lineup.name, REST),
        wrong: gravest(proof, &lineup.name),
        moments,
    }
}

/// `a, b and c`.
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => spoken(one),
        [rest @ .., last] => format!("{} and {}", spoken(&rest.join(", ")), spoken(last)),
    }
}

fn told(station: &Station, lineup: &Lineup, moment: &LineupMoment) -> [String; 4] {
    let (units, currency) = (station.units(), station.currency());
    let (from, to) = (spoken(&lineup.from), spoken(&lineup.to));
    let level = match (moment.source, moment.source_level_m) {
        (_, None) => from.clone(),
        (word, Some(level_m)) => {
            let word = match word {
                "half" => "half full",
                "start" => "at its start level",
                other => other,
            };
            format!("{from} {word}, {}", format_tape(level_m, units))
        }
    };
    let estimate = |estimate: &Option<proof::Estimate>| {
        estimate.as_ref().map_or_else(String::new, |own| {
            format_interval(own.kind, own.value, own.half_width(), units, &currency).to_string()
        })
    };
    let moved = moment
        .moved_m3
        .map(|moved| format_plain(Kind::Volume, moved, units, &currency))
        .map_or_else(String::new, |moved| format!(", {moved}"));
    let until = match moment.ending {
        Some(Ending::Moved) => format!("all is moved{moved}"),
        Some(Ending::SourceLow) => format!("{from} is low{moved}"),
        Some(Ending::TargetFull) => format!("{to} is full{moved}"),
        Some(Ending::Level) => format!("the levels are even{moved}"),
        Some(Ending::Fades) => format!("no more comes{moved}"),
        Some(Ending::Endless) => "it goes on for days".to_owned(),
        None if moment.flow.is_none() => "nothing flows".to_owned(),
        None if lineup.from == lineup.to => "you stop it".to_owned(),
        None => String::new(),
    };
    [level, estimate(&moment.flow), estimate(&moment.time), until]
}

impl Card {
    /// In which order to turn, and what not to turn, a sentence each; what isn't known is left out.
    pub fn turning(&self) -> Vec<String> {
        let from = match self.stand_open.as_slice() {
            [] => "From rest, in this order".to_owned(),
            open => format!(
                "From rest ({} open, for a timer that stirs), in this order",
                listed(open)
            ),
        };
        [
            (from.as_str(), &self.order),
            ("Back to rest", &self.back),
            ("Don't", &self.wrong),
        ]
        .into_iter()
        .filter(|(_, moves)| !moves.is_empty())
        .map(|(begins, moves)| format!("{begins}: {}.", moves.join(", ")))
        .collect()
    }
}

/// The heads of a card's moments.
pub(crate) const HEADS: [&str; 4] = ["source", "flow at first", "time", "until"];

/// The way of a setting: `From salt by salt out to salt leg, by salt suction to suction`.
pub(super) fn way(station: &Station, lineup: &Lineup) -> String {
    let found = station.lineups.iter().position(|own| own.name == lineup.name);
    let ends = format!("From {} to {}", spoken(&lineup.from), spoken(&lineup.to));
    let Some(task) = found.and_then(|at| station.plumbing.tasks.get(at)) else {
        return ends;
    };
    let mut here = task.from;
    let name = |end: End| spoken(station.name_of(end));
    let mut steps = Vec::new();
    for own in &lineup.lines {
        let Some(line) = station.lines.iter().position(|line| line.name == *own) else {
            continue;
        };
        let joined = &station.plumbing.lines[line];
        here = if here == joined.from {
            joined.to
        } else {
            joined.from
        };
        steps.push(format!("by {} to {}", spoken(own), name(here)));
    }
    match steps.as_slice() {
        [] => ends,
        steps => format!("From {} {}", name(task.from), steps.join(", ")),
    }
}
