//! The moment that a command looks at: one that has a name, or levels given one by one.

use clap::ValueEnum;
use station::quantity::{Kind, format_tape};
use station::{Situation, Station, did_you_mean};

use super::read;
use crate::failure::{Failure, Fault, Gathered};

/// The moments that have names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Moment {
    /// Every vessel where its fill starts
    Start,
    /// Every vessel full
    Full,
    /// As little as ordinary running leaves
    Worst,
}

impl Moment {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Full => "full",
            Self::Worst => "worst",
        }
    }

    fn of(self, station: &Station) -> Situation {
        match self {
            Self::Start => Situation::at_start(station),
            Self::Full => Situation::full(station),
            Self::Worst => Situation::worst(station),
        }
    }
}

const LEVELS: &str = "--levels";
const EXAMPLE: &str = "such as --levels \"fresh=0.42 m, salt=0.6 m\"";

/// A named moment, `worst` where none is named, with the levels that were given; the moment is then called `levels`.
pub(crate) fn situation(
    station: &Station,
    at: Option<Moment>,
    levels: Option<&str>,
) -> Result<Situation, Failure> {
    let mut situation = at.unwrap_or(Moment::Worst).of(station);
    let Some(text) = levels else {
        return Ok(situation);
    };
    let mut faults = Gathered::default();
    let mut told: Vec<usize> = Vec::new();
    for part in text.split(',') {
        let Some((vessel, level_m)) = faults.take(level(station, part.trim())) else {
            continue;
        };
        if told.contains(&vessel) {
            faults.push(Fault::new(
                LEVELS,
                format!("`{}` is given twice", station.vessels[vessel].name),
                "give it once",
            ));
        }
        told.push(vessel);
        situation.vessels[vessel].level_m = level_m;
    }
    "levels".clone_into(&mut situation.name);
    faults.settle(Some(situation))
}

/// `fresh=0.42 m`: which vessel, and its level above its floor.
fn level(station: &Station, part: &str) -> Result<(usize, f64), Fault> {
    let Some((name, text)) = part.split_once('=') else {
        return Err(Fault::new(LEVELS, format!("`{part}` has no `=`"), EXAMPLE));
    };
    let (name, text) = (name.trim(), text.trim());
    let Some(at) = station.vessels.iter().position(|vessel| vessel.name == name) else {
        let names: Vec<&str> = station
            .vessels
            .iter()
            .map(|vessel| vessel.name.as_str())
            .collect();
        return Err(Fault::new(
            LEVELS,
            format!("there is no vessel `{name}`"),
            did_you_mean(name, &names),
        ));
    };
    let amount = read::amount(LEVELS, text, Kind::Length)?;
    if !amount.spread.is_none() {
        return Err(Fault::new(
            LEVELS,
            format!("the level of `{name}` has a doubt, and a moment has none"),
            "leave the ± out",
        ));
    }
    let vessel = &station.vessels[at];
    let high = format!(
        "`{name}` is {} high inside, and its level is told from its floor",
        format_tape(vessel.height_m(), station.units())
    );
    if amount.si > vessel.height_m() {
        let what = format!("a level of {text} is above the rim of `{name}`");
        return Err(Fault::new(LEVELS, what, high));
    }
    if amount.si < 0.0 {
        let what = format!("a level of {text} is below the floor of `{name}`");
        return Err(Fault::new(LEVELS, what, high));
    }
    Ok((at, amount.si))
}
