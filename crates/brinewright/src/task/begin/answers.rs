//! The answers as they were typed, read by the reader of the station file.

use proof::first::{Answers, Evaporation, Minerals, Money, Space, TankAnswer, Tap, Thrift};
use serde::Deserialize;
use station::quantity::{Currency, Kind, QuantityFault, UnitSystem, as_written, read_amount, read_salinity};

use super::field::Field;
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
    pub(crate) salinity: String,
    pub(crate) temperature: String,
    pub(crate) change: String,
    pub(crate) every: String,
    pub(crate) cover: Cover,
    /// What evaporates, where somebody knows.
    pub(crate) evaporation: String,
}

/// The owner's units.
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
    units: Units,
    faults: Vec<Fault>,
}

impl Reader {
    /// A quantity that must be there; what stands in for a faulty one is never used.
    fn wanted(&mut self, place: &str, text: &str, field: Field) -> f64 {
        let read = self
            .written(text, field)
            .and_then(|text| self.amount(&text, field));
        match read {
            Ok(si) => si,
            Err(fault) => {
                self.faults.push(Fault::quantity(place, fault));
                f64::NAN
            }
        }
    }

    /// A quantity, or nothing where nobody knows.
    fn known(&mut self, place: &str, text: &str, field: Field) -> Option<f64> {
        (!text.trim().is_empty()).then(|| self.wanted(place, text, field))
    }

    /// With the unit that its field shows, where it has none of its own.
    fn written(&self, text: &str, field: Field) -> Result<String, QuantityFault> {
        let unit = field.unit(self.units, self.currency.code());
        as_written(text, field.kind(), unit.as_deref())
    }

    /// Read, and within what a station can be planned for.
    fn amount(&self, text: &str, field: Field) -> Result<f64, QuantityFault> {
        let own = read_amount(text, field.kind(), &self.currency)?;
        field.within(text, own.si, self.units, &self.currency)
    }

    /// A conductivity, or what is dissolved: whichever the unit tells.
    fn minerals(&mut self, place: &str, text: &str) -> Option<Minerals> {
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        if text.parse::<f64>().is_ok() {
            self.faults.push(Fault::new(
                place,
                format!("`{text}` doesn't say of what"),
                format!("write \"{text} uS/cm\" for a conductivity, \"{text} ppm\" for what is dissolved"),
            ));
            return None;
        }
        if read_amount(text, Kind::Concentration, &self.currency).is_ok() {
            return Some(Minerals::Solids(self.wanted(place, text, Field::Solids)));
        }
        Some(Minerals::Conductivity(self.wanted(
            place,
            text,
            Field::Conductivity,
        )))
    }

    /// A salinity, as whichever instrument reads it.
    fn salinity(&mut self, place: &str, text: &str, temperature_c: f64) -> f64 {
        let sample_c = temperature_c.is_finite().then_some(temperature_c);
        let read = read_salinity(text, sample_c)
            .and_then(|own| Field::Salinity.within(text, own.si, self.units, &self.currency));
        read.unwrap_or_else(|fault| {
            self.faults.push(Fault::quantity(place, fault));
            f64::NAN
        })
    }

    /// A share of a tank's water, told as one or as a volume.
    fn share(&mut self, place: &str, text: &str, volume_m3: f64) -> f64 {
        let Ok(change) = read_amount(text, Kind::Volume, &self.currency) else {
            return self.wanted(place, text, Field::Change);
        };
        let share = change.si / volume_m3;
        let wrong = match () {
            () if change.si < 0.0 => Some("is less than nothing"),
            () if share > 1.0 => Some("is more than the tank has"),
            () => None,
        };
        if let Some(wrong) = wrong {
            self.faults.push(Fault::new(
                place,
                format!("`{}` {wrong}", text.trim()),
                "give a volume that is in the tank, or a share such as 10 %",
            ));
        }
        share
    }

    fn tank(&mut self, at: usize, asked: &AskedTank) -> TankAnswer {
        let field = |name: &str| format!("tanks.{at}.{name}");
        let volume_m3 = self.wanted(&field("volume"), &asked.volume, Field::Volume);
        let temperature_c = self.wanted(&field("temperature"), &asked.temperature, Field::Temperature);
        let evaporation = match (
            self.known(&field("evaporation"), &asked.evaporation, Field::Evaporation),
            asked.cover,
        ) {
            (Some(flow_m3_s), _) => Evaporation::Measured(flow_m3_s),
            (None, Cover::Open) => Evaporation::Open,
            (None, Cover::Covered) => Evaporation::Covered,
        };
        TankAnswer {
            name: asked.name.chars().take(60).collect(),
            volume_m3,
            salinity: self.salinity(&field("salinity"), &asked.salinity, temperature_c),
            temperature_c,
            change_share: self.share(&field("change"), &asked.change, volume_m3),
            change_every_s: self.wanted(&field("every"), &asked.every, Field::Every),
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
            units: self.units,
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
                pressure_pa: reader.known("pressure", &self.pressure, Field::Pressure),
                coldest_c: reader.known("coldest", &self.coldest, Field::Coldest),
                warmest_c: reader.known("warmest", &self.warmest, Field::Warmest),
                chloramine: match self.chloramine {
                    Maybe::Yes => Some(true),
                    Maybe::No => Some(false),
                    Maybe::Unknown => None,
                },
            },
            space: Space {
                width_m: reader.wanted("width", &self.width, Field::Width),
                depth_m: reader.wanted("depth", &self.depth, Field::Depth),
                ceiling_m: reader.wanted("ceiling", &self.ceiling, Field::Ceiling),
                door_m: reader.wanted("door", &self.door, Field::Door),
                floor_drain: self.drain,
            },
            money: Money {
                thrift: match self.thrift {
                    Purse::Least => Thrift::Least,
                    Purse::Sensible => Thrift::Sensible,
                    Purse::Kept => Thrift::WellKept,
                },
                water_per_m3: reader.known("water_price", &self.water_price, Field::WaterPrice),
                electricity_per_j: reader.known(
                    "electricity_price",
                    &self.electricity_price,
                    Field::ElectricityPrice,
                ),
            },
            days_away: reader.wanted("days_away", &self.days_away, Field::DaysAway) / 86_400.0,
        };
        for (at, own) in self.tanks.iter().enumerate() {
            let name = own.name.trim();
            let same = |other: &AskedTank| other.name.trim().to_lowercase() == name.to_lowercase();
            if !name.is_empty() && self.tanks[..at].iter().any(same) {
                reader.faults.push(Fault::new(
                    &format!("tanks.{at}.name"),
                    format!("another tank is called {name}"),
                    "give each a name of its own",
                ));
            }
        }
        if let (Some(coldest_c), Some(warmest_c)) = (answers.tap.coldest_c, answers.tap.warmest_c)
            && coldest_c > warmest_c
        {
            reader.faults.push(Fault::new(
                "coldest",
                "the tap's coldest water is warmer than its warmest",
                "exchange the two, or check their units",
            ));
        }
        match reader.faults.is_empty() {
            true => Ok(answers),
            false => Err(reader.faults),
        }
    }
}
