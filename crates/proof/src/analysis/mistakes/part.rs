//! Parts that can be bought, or work that can be done, against a wrong move: what each costs, and what to keep in mind.

use station::{Edit, Station};

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

impl Recipe {
    pub(super) fn of(part: Part, edits: Vec<Edit>) -> Self {
        Self {
            edits,
            part,
            count: 1,
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
