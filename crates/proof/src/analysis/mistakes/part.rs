//! Parts that can be bought, or work that can be done, against a wrong move: what each costs, and what to keep in mind.

use station::{Edit, Station};

use crate::analysis::speak::{list, spoken};
use crate::remedy::told_edits;

/// What a check valve may cost where nobody told, to rank by, in no currency (house rule).
const CHECK_VALVE: f64 = 18.0;

/// What has to be bought, or done, for a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Hole,
    Moved,
    Check,
    SelfClosing,
    ThreeWay,
    HeaterCutout,
    Cutout,
    FlowSwitch,
    Interlock,
}

impl Part {
    /// Its price as the file gives it.
    pub(super) fn price(self, station: &Station) -> Option<f64> {
        let prices = &station.prices;
        let given = match self {
            Self::Hole | Self::Moved => return Some(0.0),
            Self::Check => &prices.check_valve,
            Self::SelfClosing => &prices.self_closing_valve,
            Self::ThreeWay => &prices.three_way_valve,
            Self::FlowSwitch => &prices.flow_switch,
            Self::Interlock => &prices.interlock,
            Self::Cutout => &prices.level_switch,
            Self::HeaterCutout => return None,
        };
        given.as_ref().map(|price| price.value.amount())
    }

    /// What it costs in check valves, where nobody told (house rule).
    const fn in_check_valves(self) -> f64 {
        match self {
            Self::Hole => 0.1,
            Self::Moved => 0.4,
            Self::Check => 1.0,
            Self::SelfClosing => 1.3,
            Self::ThreeWay => 2.0,
            Self::HeaterCutout => 2.2,
            Self::Cutout => 2.4,
            Self::FlowSwitch => 2.6,
            Self::Interlock => 3.5,
        }
    }

    /// What it is called where it didn't help, before the names of valves, lines or pumps.
    const fn called(self) -> &'static str {
        match self {
            Self::Hole => "a hole in",
            Self::Moved => "another place or end for",
            Self::Check => "a check valve in",
            Self::SelfClosing => "a valve that closes by itself for",
            Self::ThreeWay => "a three-way valve at",
            Self::HeaterCutout => "a heater cut-out in",
            Self::Cutout => "a level switch in",
            Self::FlowSwitch => "a flow switch for",
            Self::Interlock => "an interlock for",
        }
    }

    /// What to keep in mind about it.
    pub(super) const fn caution(self) -> Option<&'static str> {
        match self {
            Self::Check => Some(
                "A check valve takes a head of its own to open, and can stick or leak: test it when you test the backups.",
            ),
            Self::Hole => Some(
                "A hole can clog with salt or scale: look at it when you clean. It may spray while the pump runs: let it point down.",
            ),
            Self::Cutout | Self::FlowSwitch | Self::Interlock | Self::HeaterCutout => Some(
                "Mains near water: behind a residual-current device, by a licensed electrician where your code asks for one.",
            ),
            Self::Moved | Self::SelfClosing | Self::ThreeWay => None,
        }
    }
}

/// A change to try.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Recipe {
    pub(super) edits: Vec<Edit>,
    pub(super) part: Part,
    /// How many of the part it takes.
    pub(super) count: usize,
}

/// What some changes are called, one phrase for each part: "a check valve in north-out; a hole in fill-west".
pub(super) fn called(recipes: &[Recipe]) -> Vec<String> {
    let mut parts: Vec<(Part, Vec<&str>)> = Vec::new();
    for recipe in recipes {
        let names = recipe.edits.iter().filter_map(place);
        for name in names {
            match parts.iter_mut().find(|(part, _)| *part == recipe.part) {
                Some((_, own)) if own.contains(&name) => {}
                Some((_, own)) => own.push(name),
                None => parts.push((recipe.part, vec![name])),
            }
        }
    }
    let phrase = |(part, names): (Part, Vec<&str>)| {
        format!("{} {}", part.called(), list(&names).replacen(" and ", " or ", 1))
    };
    parts.into_iter().map(phrase).collect()
}

/// Where an edit changes something: the line of a valve that is added, otherwise what it is an edit of. What a task opens
/// besides is no place of its own.
fn place(edit: &Edit) -> Option<&str> {
    let (section, rest) = edit.path.split_once('.')?;
    if section == "lineups" {
        return None;
    }
    let added = edit
        .text
        .strip_prefix("{ line = \"")
        .and_then(|text| text.split('"').next());
    Some(added.unwrap_or_else(|| rest.split('.').next().unwrap_or(rest)))
}

impl Recipe {
    pub(super) fn of(part: Part, edits: Vec<Edit>) -> Self {
        Self {
            edits,
            part,
            count: 1,
        }
    }

    /// What to do, in words.
    pub(super) fn told(&self) -> String {
        let level = self.edits.iter().find_map(|edit| {
            let vessel = edit
                .path
                .strip_prefix("vessels.")?
                .strip_suffix(".low_cutout_level")?;
            Some((vessel, edit.text.trim_matches('"')))
        });
        match level {
            // Tried for vessels only that have none.
            Some((vessel, level)) => format!("give {} a low-level cut-out at {level}", spoken(vessel)),
            None => told_edits(&self.edits),
        }
    }

    /// Its price as the file gives it.
    pub(super) fn price(&self, station: &Station) -> Option<f64> {
        Some(self.part.price(station)? * self.count as f64)
    }

    /// What it is ranked by.
    pub(super) fn cost(&self, station: &Station) -> f64 {
        let check = Part::Check.price(station).unwrap_or(CHECK_VALVE);
        let usual = self.part.in_check_valves() * check;
        match self.price(station) {
            // Work is counted where no part is bought.
            Some(price) if price > 0.0 => price,
            _ => usual * self.count as f64,
        }
    }
}
