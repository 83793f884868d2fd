//! `brinewright level`: level to volume and back, in a vessel of a station.

use std::path::PathBuf;

use clap::Args;
use physics::vessel::LevelError;
use serde::Serialize;
use station::quantity::{Kind, format_plain, format_tape};
use station::spoken;

use super::page::json;
use super::{Answer, read};
use crate::failure::{Failure, Fault};
use crate::task::station::load;

/// Level of a volume in a vessel, or the volume at a level
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file
    file: PathBuf,
    /// Name of the vessel
    #[arg(long, value_name = "NAME")]
    vessel: String,
    /// A volume, such as "150 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: Option<String>,
    /// A level above the vessel's floor, such as "0.5 m"
    #[arg(long, value_name = "LEVEL", allow_hyphen_values = true)]
    at: Option<String>,
}

#[derive(Serialize)]
struct Machine {
    format: u32,
    level_m: f64,
    volume_m3: f64,
    full_volume_m3: f64,
    from_rim_m: f64,
}

/// Reads, computes, prints.
pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let loaded = load(Some(&options.file))?;
    let Some(vessel) = loaded.station.vessel(&options.vessel) else {
        let names: Vec<&str> = loaded
            .station
            .vessels
            .iter()
            .map(|vessel| vessel.name.as_str())
            .collect();
        return Err(Fault::new(
            "--vessel",
            format!("there is no vessel `{}`", options.vessel),
            format!("the vessels are {}", names.join(", ")),
        )
        .into());
    };
    let shape = &vessel.shape;
    let refused = |option: &str, error: LevelError| {
        let units = loaded.station.units();
        let mend = format!(
            "`{}` is {} high and holds {} to the rim",
            vessel.name,
            format_tape(shape.height_m(), units),
            format_plain(
                Kind::Volume,
                shape.full_volume_m3(),
                units,
                &loaded.station.currency()
            )
        );
        let what = match error {
            LevelError::AboveRim { .. } => "the level is above the rim".to_owned(),
            LevelError::BelowFloor { .. } => "the level is below the floor".to_owned(),
            LevelError::MoreThanFull { .. } => "the vessel doesn't hold that much".to_owned(),
            LevelError::LessThanEmpty { .. } => "the volume is less than nothing".to_owned(),
            other => other.to_string(),
        };
        Failure::from(Fault::new(option, what, mend))
    };
    let (level_m, volume_m3) = match (&options.volume, &options.at) {
        (Some(text), None) => {
            let volume = read::amount("--volume", text, Kind::Volume)?.si;
            (
                shape
                    .level_m(volume)
                    .map_err(|error| refused("--volume", error))?,
                volume,
            )
        }
        (None, Some(text)) => {
            let level = read::amount("--at", text, Kind::Length)?.si;
            (
                level,
                shape.volume_m3(level).map_err(|error| refused("--at", error))?,
            )
        }
        _ => {
            return Err(Fault::new(
                "command line",
                "a level or a volume is wanted",
                "give --volume \"150 L\" or --at \"0.5 m\"",
            )
            .into());
        }
    };
    let machine = Machine {
        format: 1,
        level_m,
        volume_m3,
        full_volume_m3: shape.full_volume_m3(),
        from_rim_m: shape.height_m() - level_m,
    };
    let units = loaded.station.units();
    let volume = |si| format_plain(Kind::Volume, si, units, &loaded.station.currency());
    let text = format!(
        "{}: {} stands {} above its floor, {} below the rim.\nFull to the rim it holds {}.\n",
        spoken(&vessel.name),
        volume(volume_m3),
        format_tape(level_m, units),
        format_tape(machine.from_rim_m, units),
        volume(machine.full_volume_m3)
    );
    Ok(Answer {
        text,
        json: json(&machine),
        ..Answer::default()
    })
}
