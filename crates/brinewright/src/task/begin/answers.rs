//! The answers as they were typed, read by the reader of the station file.

use proof::first::{Answers, Evaporation, Minerals, Money, Space, TankAnswer, Tap, Thrift};
use serde::Deserialize;
use station::quantity::{Currency, Kind, UnitSystem, read_amount};

use crate::failure::Fault;

/// What was typed; an empty text is "I don't know" where that is an answer.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Asked {
    pub(crate) units: Units,
    pub(crate) currency: String,
    pub(super) tanks: Vec<AskedTank>,
    pub(crate) minerals: String,
    pub(crate) pressure: String,
    pub(crate) coldest: String,
    pub(crate) warmest: String,
    pub(crate) chloramine: Maybe,
    pub(crate) width: String,
    pub(crate) depth: String,
    pub(crate) ceiling: String,
    pub(crate) door: String,
    pub(crate) drain: bool,
    pub(crate) thrift: Purse,
    pub(crate) water_price: String,
    pub(crate) electricity_price: String,
    pub(crate) days_away: String,
}

/// A tank as it was typed.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AskedTank {
    pub(crate) name: String,
    pub(crate) volume: String,
    pub(crate) change: String,
    pub(crate) every: String,
    pub(crate) cover: Cover,
    /// What evaporates, where somebody knows.
    pub(crate) evaporation: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(crate) enum Units {
    #[serde(rename = "SI")]
    Si,
    #[serde(rename = "US")]
    Us,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Maybe {
    Yes,
    No,
    Unknown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Cover {
    Open,
    Covered,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Purse {
    Least,
    Sensible,
    Kept,
}

/// Reads answers, and keeps what is wrong with them.
struct Reader {
    currency: Currency,
    faults: Vec<Fault>,
}

impl Reader {
    /// A quantity that must be there; what stands in for a faulty one is never used.
    fn wanted(&mut self, field: &str, text: &str, kind: Kind) -> f64 {
        match read_amount(text, kind, &self.currency) {
            Ok(amount) => amount.si,
            Err(fault) => {
                self.faults.push(Fault::quantity(field, fault));
                f64::NAN
            }
        }
    }

    /// A quantity, or nothing where nobody knows.
    fn known(&mut self, field: &str, text: &str, kind: Kind) -> Option<f64> {
        (!text.trim().is_empty()).then(|| self.wanted(field, text, kind))
    }

    /// A conductivity, or what is dissolved: whichever the unit tells.
    fn minerals(&mut self, field: &str, text: &str) -> Option<Minerals> {
        if text.trim().is_empty() {
            return None;
        }
        if let Ok(solids) = read_amount(text, Kind::Concentration, &self.currency) {
            return Some(Minerals::Solids(solids.si));
        }
        Some(Minerals::Conductivity(self.wanted(
            field,
            text,
            Kind::Conductivity,
        )))
    }

    /// A share of a tank's water, told as one or as a volume.
    fn share(&mut self, field: &str, text: &str, volume_m3: f64) -> f64 {
        match read_amount(text, Kind::Volume, &self.currency) {
            Ok(change) => change.si / volume_m3,
            Err(_) => self.wanted(field, text, Kind::Fraction),
        }
    }

    fn tank(&mut self, at: usize, asked: &AskedTank) -> TankAnswer {
        let field = |name: &str| format!("tanks.{at}.{name}");
        let volume_m3 = self.wanted(&field("volume"), &asked.volume, Kind::Volume);
        let evaporation = match (
            self.known(&field("evaporation"), &asked.evaporation, Kind::Flow),
            asked.cover,
        ) {
            (Some(flow_m3_s), _) => Evaporation::Measured(flow_m3_s),
            (None, Cover::Open) => Evaporation::Open,
            (None, Cover::Covered) => Evaporation::Covered,
        };
        TankAnswer {
            name: asked.name.chars().take(60).collect(),
            volume_m3,
            change_share: self.share(&field("change"), &asked.change, volume_m3),
            change_every_s: self.wanted(&field("every"), &asked.every, Kind::Time),
            evaporation,
        }
    }
}

impl Asked {
    /// The answers in SI.
    ///
    /// # Errors
    /// Every fault at once, by its field.
    pub(super) fn read(&self) -> Result<Answers, Vec<Fault>> {
        let currency = Currency::new(self.currency.trim());
        let mut reader = Reader {
            currency: currency.clone().unwrap_or_default(),
            faults: Vec::new(),
        };
        if currency.is_none() {
            reader.faults.push(Fault::new(
                "currency",
                "that is no code of a currency",
                "write it as EUR, USD, GBP, …",
            ));
        }
        let tanks = self.tanks.iter().enumerate();
        let answers = Answers {
            units: match self.units {
                Units::Si => UnitSystem::Si,
                Units::Us => UnitSystem::Us,
            },
            currency: self.currency.trim().to_owned(),
            tanks: tanks.map(|(at, tank)| reader.tank(at, tank)).collect(),
            tap: Tap {
                minerals: reader.minerals("minerals", &self.minerals),
                pressure_pa: reader.known("pressure", &self.pressure, Kind::Pressure),
                coldest_c: reader.known("coldest", &self.coldest, Kind::Temperature),
                warmest_c: reader.known("warmest", &self.warmest, Kind::Temperature),
                chloramine: match self.chloramine {
                    Maybe::Yes => Some(true),
                    Maybe::No => Some(false),
                    Maybe::Unknown => None,
                },
            },
            space: Space {
                width_m: reader.wanted("width", &self.width, Kind::Length),
                depth_m: reader.wanted("depth", &self.depth, Kind::Length),
                ceiling_m: reader.wanted("ceiling", &self.ceiling, Kind::Length),
                door_m: reader.wanted("door", &self.door, Kind::Length),
                floor_drain: self.drain,
            },
            money: Money {
                thrift: match self.thrift {
                    Purse::Least => Thrift::Least,
                    Purse::Sensible => Thrift::Sensible,
                    Purse::Kept => Thrift::WellKept,
                },
                water_per_m3: reader.known("water_price", &self.water_price, Kind::PricePerVolume),
                electricity_per_j: reader.known(
                    "electricity_price",
                    &self.electricity_price,
                    Kind::PricePerEnergy,
                ),
            },
            days_away: reader.wanted("days_away", &self.days_away, Kind::Time) / 86_400.0,
        };
        match reader.faults.is_empty() {
            true => Ok(answers),
            false => Err(reader.faults),
        }
    }
}
