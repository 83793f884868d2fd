//! `brinewright trim`: correcting water whose salinity is off.

mod answer;

use super::{Answer, Output, read};
use crate::failure::{COMMAND_LINE, Failure, Fault, Gathered};
use crate::task::Refused;
use crate::task::dry_mix::DryMix;
use crate::task::station::load;
use crate::task::trim::{TrimPlan, TrimQuestion, plan, plan_in_room, volume_at};
use clap::Args;
use physics::vessel::LevelError;
use station::label::read_label;
use station::quantity::{Amount, Kind, Quantity, Spread, UnitSystem, format_tape};
use station::register::Field;
use station::sections::Water;
use station::{Station, Vessel};
use std::path::{Path, PathBuf};

use super::page::Page;
use answer::{Stands, machine, page, vessel_page};

/// A correction of salt water: how much mix or fresh water brings it to the salinity wanted
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; then --vessel and --measured are enough, and the rim is minded
    file: Option<PathBuf>,
    /// Vessel of the station that holds the water
    #[arg(long, value_name = "NAME")]
    vessel: Option<String>,
    /// Level of the water above the vessel's floor, in place of --volume, such as "640 mm"
    #[arg(long, value_name = "LEVEL", allow_hyphen_values = true)]
    at: Option<String>,
    /// Salt water there is, such as "200 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: Option<String>,
    /// Salinity it has
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    measured: Option<String>,
    /// Salinity wanted
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    target: Option<String>,
    /// Temperature of the water, such as "24 C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Share of the mix that is salt, such as 0.93; needed to strengthen only
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    anhydrous_fraction: Option<String>,
    /// What the bag says, in place of --anhydrous-fraction: "20 kg makes 540 L at 35"
    #[arg(long, value_name = "WORDS", allow_hyphen_values = true)]
    label: Option<String>,
}

const PLACES: [(&str, &str); 4] = [
    ("volume", "--volume"),
    ("temperature", "--temperature"),
    ("practical salinity", "--target"),
    ("strength of the mix", "--anhydrous-fraction"),
];

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    if let Some(file) = &options.file {
        return options.in_vessel(file, output);
    }
    let question = options.question()?;
    let otherwise = if options.label.is_some() {
        "--label"
    } else {
        "--target"
    };
    let plan = plan(&question).map_err(|refused| failure(refused, otherwise))?;
    Ok(Answer {
        text: page(&question, &plan, output.system()),
        json: super::page::json(&machine(&plan)),
        ..Answer::default()
    })
}

fn failure(refused: Refused, otherwise: &str) -> Failure {
    Failure::from(match refused {
        Refused::NoMix => read::no_mix(),
        Refused::TooDoubtful => Fault::too_doubtful(),
        Refused::Mixing(error) => Fault::mixing(&error, &PLACES, otherwise),
    })
}

impl Options {
    fn question(&self) -> Result<TrimQuestion, Failure> {
        let mut faults = Gathered::default();
        for (option, given) in [("--vessel", self.vessel.is_some()), ("--at", self.at.is_some())] {
            if given {
                faults.push(Fault::new(
                    option,
                    format!("{option} belongs to a station file, and none is named"),
                    "name it: brinewright trim FILE --vessel NAME --measured 36.4",
                ));
            }
        }
        let temperature = faults.take(
            read::required("--temperature", self.temperature.as_ref(), "\"24 C\"")
                .and_then(|text| read::temperature("--temperature", text)),
        );
        let volume = faults.take(
            read::required("--volume", self.volume.as_ref(), "\"200 L\"")
                .and_then(|text| read::above_zero("--volume", text, Kind::Volume)),
        );
        let measured = faults.take(
            read::required("--measured", self.measured.as_ref(), "36.4")
                .and_then(|text| read::salinity("--measured", text, temperature)),
        );
        let target = faults.take(
            read::required("--target", self.target.as_ref(), "35")
                .and_then(|text| read::salinity("--target", text, temperature)),
        );
        let mix = read::dry_mix(self.anhydrous_fraction.as_ref(), self.label.as_ref(), &mut faults);
        let all = volume.zip(temperature).zip(measured.zip(target));
        let ((volume, temperature), (measured, target)) = faults.settle(all)?;
        Ok(TrimQuestion {
            volume,
            measured,
            target,
            temperature,
            mix,
        })
    }

    /// The form with a station file.
    fn in_vessel(&self, file: &Path, output: Output) -> Result<Answer, Failure> {
        let loaded = load(Some(file))?;
        let station = &loaded.station;
        let vessel = self.salt_vessel(station)?;
        let system = match (output.system(), station.units()) {
            (UnitSystem::Si, UnitSystem::Si) => UnitSystem::Si,
            _ => UnitSystem::Us,
        };
        let fields = &vessel.fields;
        let mut faults = Gathered::default();
        let mut taken = Vec::new();
        let temperature = match &self.temperature {
            Some(text) => faults.take(read::temperature("--temperature", text)),
            None => {
                taken.push(Taken::Temperature);
                Some(amount_of(&fields.mixing_temperature))
            }
        };
        let measured = faults.take(
            read::required("--measured", self.measured.as_ref(), "36.4")
                .and_then(|text| read::salinity("--measured", text, temperature)),
        );
        let target = match &self.target {
            Some(text) => faults.take(read::salinity("--target", text, temperature)),
            None => {
                taken.push(Taken::Target);
                Some(amount_of(&fields.target_salinity))
            }
        };
        let volume = faults.take(self.volume_in(vessel, system, &mut taken));
        let mut otherwise = if self.label.is_some() {
            "--label"
        } else {
            "--target"
        };
        let mix = match (&self.anhydrous_fraction, &self.label) {
            (None, None) => {
                let mix = mix_of(station);
                if let Some(DryMix::Label(_)) = mix {
                    otherwise = "salt.label";
                }
                if mix.is_some() {
                    taken.push(Taken::Mix);
                }
                mix
            }
            (strength, label) => read::dry_mix(strength.as_ref(), label.as_ref(), &mut faults),
        };
        let all = volume.zip(temperature).zip(measured.zip(target));
        let ((volume, temperature), (measured, target)) = faults.settle(all)?;
        let measured = match best_accuracy(station) {
            Some(accuracy) if measured.spread.is_none() => {
                taken.push(Taken::Accuracy);
                Amount {
                    spread: Spread::normal(accuracy),
                    ..measured
                }
            }
            _ => measured,
        };
        let question = TrimQuestion {
            volume,
            measured,
            target,
            temperature,
            mix,
        };
        let highest_m = (vessel.height_m() - fields.freeboard.value.m()).max(0.0);
        let room_m3 = vessel
            .shape
            .volume_m3(highest_m)
            .map_err(|error| Failure::from(level_fault("--vessel", error, vessel, system)))?;
        let plan = plan_in_room(&question, room_m3).map_err(|refused| failure(refused, otherwise))?;
        if plan.plan == TrimPlan::Nothing || matches!(plan.plan, TrimPlan::Water { .. }) {
            taken.retain(|taken| *taken != Taken::Mix);
        }
        let stands = Stands::new(&question, &plan, vessel, room_m3)
            .map_err(|error| Failure::from(level_fault("--volume", error, vessel, system)))?;
        Ok(Answer {
            text: vessel_page(&question, &plan, &stands, &taken, system),
            json: super::page::json(&stands.machine(&question, &plan)),
            ..Answer::default()
        })
    }

    fn salt_vessel<'s>(&self, station: &'s Station) -> Result<&'s Vessel, Fault> {
        let salty: Vec<&str> = station
            .vessels
            .iter()
            .filter(|vessel| vessel.fields.holds.value == Water::Salt)
            .map(|vessel| vessel.name.as_str())
            .collect();
        let mend = match salty[..] {
            [] => "no vessel of the station holds salt water; give --volume without a file".to_owned(),
            [only] => format!("the vessel with salt water is {only}"),
            _ => format!("the vessels with salt water are {}", read::list(&salty, "and")),
        };
        let Some(name) = &self.vessel else {
            return Err(Fault::new("--vessel", "a station file asks for --vessel", mend));
        };
        match station.vessel(name) {
            None => Err(Fault::new(
                "--vessel",
                format!("there is no vessel `{name}`"),
                mend,
            )),
            Some(vessel) if vessel.fields.holds.value == Water::Fresh => Err(Fault::new(
                "--vessel",
                format!("`{name}` holds fresh water, and a trim is for salt water"),
                mend,
            )),
            Some(vessel) => Ok(vessel),
        }
    }

    /// The volume there is: as given, by its level, or one batch.
    fn volume_in(
        &self,
        vessel: &Vessel,
        system: UnitSystem,
        taken: &mut Vec<Taken>,
    ) -> Result<Amount, Fault> {
        let (place, volume) = match (&self.volume, &self.at) {
            (Some(_), Some(_)) => {
                return Err(Fault::new(
                    COMMAND_LINE,
                    "--volume and --at say the same thing; which one holds?",
                    "give one of them",
                ));
            }
            (Some(text), None) => ("--volume", read::above_zero("--volume", text, Kind::Volume)?),
            (None, Some(text)) => {
                let level = read::above_zero("--at", text, Kind::Length)?;
                let volume =
                    volume_at(vessel, level).map_err(|error| level_fault("--at", error, vessel, system))?;
                ("--at", volume)
            }
            (None, None) => {
                let Some(batch) = &vessel.fields.batch_volume else {
                    return Err(Fault::new(
                        "--volume",
                        format!(
                            "`{}` has no batch volume in the file, so the water there is isn't known",
                            vessel.name
                        ),
                        "add --volume \"200 L\", or --at \"640 mm\" for its level",
                    ));
                };
                taken.push(Taken::Batch);
                ("--vessel", amount_of(batch))
            }
        };
        match vessel.shape.level_m(volume.si) {
            Ok(_) => Ok(volume),
            Err(error) => Err(level_fault(place, error, vessel, system)),
        }
    }
}

/// What the station file said, since no option did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Taken {
    Temperature,
    Target,
    Batch,
    Mix,
    Accuracy,
}

/// Accuracy of the best instrument of the station, as a ±.
fn best_accuracy(station: &Station) -> Option<f64> {
    station
        .instruments
        .iter()
        .map(|(_, fields)| fields.accuracy.value.practical())
        .filter(|accuracy| *accuracy > 0.0)
        .min_by(f64::total_cmp)
}

fn amount_of<T: Quantity>(field: &Field<T>) -> Amount {
    Amount {
        si: field.value.si(),
        spread: field.spread,
    }
}

/// The station's mix. Its label was read when the file was.
fn mix_of(station: &Station) -> Option<DryMix> {
    let salt = station.salt.as_ref()?;
    match (&salt.anhydrous_fraction, &salt.label) {
        (Some(strength), _) => Some(DryMix::Strength(amount_of(strength))),
        (None, Some(label)) => read_label(&label.value).ok().map(DryMix::Label),
        (None, None) => None,
    }
}

fn level_fault(place: &str, error: LevelError, vessel: &Vessel, system: UnitSystem) -> Fault {
    let what = match error {
        LevelError::AboveRim { .. } => "the level is above the rim".to_owned(),
        LevelError::BelowFloor { .. } => "the level is below the floor".to_owned(),
        LevelError::MoreThanFull { .. } => "the vessel doesn't hold that much".to_owned(),
        other => other.to_string(),
    };
    let page = Page::new(system);
    Fault::new(
        place,
        what,
        format!(
            "`{}` is {} high and holds {} to the rim",
            vessel.name,
            format_tape(vessel.height_m(), system),
            page.plain(Kind::Volume, vessel.shape.full_volume_m3())
        ),
    )
}
