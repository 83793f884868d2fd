//! Findings on what lines bear: a pump with its outlet closed, warmth that weakens a tube, a valve that shuts at once.

use physics::hydraulics::pump_effects::{TubeMaterial, rating_at_pa, shut_off};
use physics::hydraulics::suction::{SoftMaterial, Surge, WallStiffness, surge, wave_speed_m_s};
use station::plumbing::{End, Task};
use station::quantity::Kind;
use station::sections::{Tube, Valve};
use station::{Situation, Station};

use super::super::Lineup;
use super::super::build::Pipework;
use super::super::flows::Flows;
use super::super::look::water;
use crate::analysis::speak::{say, shown};
use crate::finding::{Finding, Severity};

/// What a soft hose bears that nobody rated, warm water included, Pa (common practice, no source: unreinforced vinyl
/// hoses are sold for 1.5 to 3 bar).
const SOFT_HOSE_PA: f64 = 1.5e5;
/// Share of its rating that a soft hose has left at 40 °C, from all of it at 20 °C (common practice, no source).
const SOFT_AT_40: f64 = 0.5;
/// Two metres of water before the pump, as a vessel on a stand gives, Pa (house rule).
const BEFORE_PUMP_PA: f64 = 2.0 * DENSITY_KG_M3 * physics::hydraulics::GRAVITY_M_S2;
/// Sea water, which is the heavier, kg/m³.
const DENSITY_KG_M3: f64 = 1025.0;
/// Modulus of rigid PVC, Pa (from memory, as in physics).
const PVC_PA: f64 = 3e9;
/// Time in which a solenoid stops the water, s (common practice, no source: some hundredths).
const SOLENOID_S: f64 = 0.03;
/// Time in which a ball valve that is slammed stops the water, s (house rule: a fifth of half a second).
const SLAMMED_S: f64 = 0.1;

/// The pressure that a line bears at a temperature, and whose word that is.
fn bears(station: &Station, line: usize, temperature_c: f64) -> Option<(f64, Severity, &'static str)> {
    let fields = &station.lines[line].fields;
    let tube = fields.tube.value;
    let soft = matches!(tube, Tube::VinylHose | Tube::CorrugatedHose);
    match &fields.rated_pressure {
        Some(rated) => {
            let rated_pa = rated.value.pa_gauge();
            let left_pa = weakened_pa(tube, rated_pa, temperature_c);
            let whose = if left_pa < 0.99 * rated_pa {
                "which is weaker in warm water than its rating: it bears"
            } else {
                "which is rated for"
            };
            Some((left_pa, Severity::Must, whose))
        }
        None if soft => Some((
            SOFT_HOSE_PA,
            Severity::Should,
            "a soft hose without a rating in the file, for which this is assumed:",
        )),
        None => {
            let by_kind_pa = match tube {
                Tube::Metric10Bar => 10e5,
                Tube::Metric16Bar => 16e5,
                _ => return None,
            };
            let left_pa = weakened_pa(tube, by_kind_pa, temperature_c);
            Some((left_pa, Severity::Should, "which by its kind bears"))
        }
    }
}

/// What is left of a rating in warm water. Beyond its table a material counts as at the table's end.
fn weakened_pa(tube: Tube, rated_pa: f64, temperature_c: f64) -> f64 {
    let by_table = |material, warmest_c: f64| {
        rating_at_pa(material, rated_pa, temperature_c.clamp(0.0, warmest_c)).unwrap_or(rated_pa)
    };
    match tube {
        Tube::VinylHose | Tube::CorrugatedHose => {
            let way = ((temperature_c - 20.0) / 20.0).clamp(0.0, 1.0);
            rated_pa * (1.0 - way * (1.0 - SOFT_AT_40))
        }
        Tube::PushFit => by_table(TubeMaterial::Polyethylene, 40.0),
        Tube::Schedule40 | Tube::Schedule80 | Tube::Metric10Bar | Tube::Metric16Bar => {
            by_table(TubeMaterial::RigidPvc, 45.0)
        }
    }
}

/// The warmest that a task's water gets: its own, or the room's in summer where it stands in the lines.
fn warmest_c(station: &Station, task: &Task) -> f64 {
    let (_, own_c) = water(station, &Situation::full(station), task.from);
    own_c.max(station.room.highest_summer_temperature.value.c())
}

/// What a pump can make with its outlet closed, against what a line bears.
pub(super) fn bursts(
    station: &Station,
    at: usize,
    lineup: &Lineup,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let task = &station.plumbing.tasks[at];
    let Some(pump) = task.pump else { return };
    let fields = &station.pumps[pump].fields;
    let speed = fields.speed.value.of_one();
    let head_m = speed * speed * fields.curve.value.curve.shut_off_head_m();
    let temperature_c = warmest_c(station, task);
    let behind = way
        .iter()
        .skip_while(|line| station.plumbing.lines[**line].from != End::Pump(pump));
    for line in behind {
        let own = &station.lines[*line];
        let Some((bears_pa, severity, whose)) = bears(station, *line, temperature_c) else {
            continue;
        };
        let Ok(closed) = shut_off(BEFORE_PUMP_PA, DENSITY_KG_M3, head_m, bears_pa) else {
            continue;
        };
        if closed.spare_pa < 0.0 {
            let sentence = format!(
                "{}: with its end closed {} presses up to {} on {}, {whose} {}.",
                shown(&lineup.name),
                shown(&station.pumps[pump].name).to_lowercase(),
                say(station, Kind::Pressure, closed.pressure_gauge_pa),
                own.name,
                say(station, Kind::Pressure, bears_pa)
            );
            findings.push(
                Finding::new(
                    "line-underrated",
                    severity,
                    format!("lines.{}", own.name),
                    sentence,
                )
                .gap(-closed.spare_pa),
            );
        }
    }
}

/// The blow in a line whose water is stopped at its end (water hammer). The water of all lines before it is taken to
/// be stopped with it; the wave goes as fast as in the line itself.
fn blow(
    station: &Station,
    pipework: &Pipework,
    way: &[usize],
    line: usize,
    velocity_m_s: f64,
    closing_s: f64,
) -> Option<Surge> {
    let tube = station.plumbing.lines[line].tube?;
    // The stiffer end of what its material may be: it gives the harder blow.
    let modulus_pa = match station.lines[line].fields.tube.value {
        Tube::VinylHose | Tube::CorrugatedHose => SoftMaterial::SoftVinyl.modulus_pa().1,
        Tube::PushFit => SoftMaterial::Polyethylene.modulus_pa().1,
        Tube::Schedule40 | Tube::Schedule80 | Tube::Metric10Bar | Tube::Metric16Bar => PVC_PA,
    };
    let wall = WallStiffness {
        bore_m: tube.inner_diameter_m,
        wall_m: (tube.outer_diameter_m - tube.inner_diameter_m) / 2.0,
        modulus_pa,
    };
    let length_m: f64 = way
        .iter()
        .take(1 + way.iter().position(|one| *one == line)?)
        .map(|one| pipework.lines[*one].length_m)
        .sum();
    let wave_m_s = wave_speed_m_s(&wall, DENSITY_KG_M3).ok()?;
    surge(DENSITY_KG_M3, wave_m_s, velocity_m_s.abs(), length_m, closing_s).ok()
}

/// `A valve on it that is slammed adds 2.1 bar (water hammer).`
pub(super) fn slammed(
    station: &Station,
    pipework: &Pipework,
    way: &[usize],
    line: usize,
    velocity_m_s: f64,
) -> Option<String> {
    let blow = blow(station, pipework, way, line, velocity_m_s, SLAMMED_S)?;
    Some(say(station, Kind::Pressure, blow.rise_pa))
}

/// A solenoid on the way stops the water at once.
pub(super) fn hammers(
    station: &Station,
    pipework: &Pipework,
    at: usize,
    way: &[usize],
    flows: &Flows,
    findings: &mut Vec<Finding>,
) {
    let temperature_c = warmest_c(station, &station.plumbing.tasks[at]);
    for line in way {
        let own = &station.lines[*line];
        let solenoid = station
            .plumbing
            .valves_of(*line)
            .find(|valve| station.valves[*valve].fields.kind.value == Valve::Solenoid);
        let link = flows.links.iter().find(|link| link.name == own.name);
        let (Some(valve), Some(link)) = (solenoid, link) else {
            continue;
        };
        let Some(blow) = blow(station, pipework, way, *line, link.velocity_m_per_s, SOLENOID_S) else {
            continue;
        };
        // The weakest of the lines that the blow runs back through.
        let before = way.iter().take_while(|one| *one != line).chain([line]);
        let weakest = before
            .filter_map(|one| Some((*one, bears(station, *one, temperature_c)?)))
            .min_by(|a, b| a.1.0.total_cmp(&b.1.0));
        let Some((weak, (bears_pa, _, whose))) = weakest else {
            continue;
        };
        if blow.rise_pa <= bears_pa {
            continue;
        }
        let name = &station.valves[valve].name;
        let sentence = format!(
            "{}: {name} shuts in some hundredths of a second, and the water in the lines before it, at {}, strikes with {} (water hammer) on {}, {whose} {}. Take a valve that closes slowly, or a wider line.",
            shown(&station.lineups[at].name),
            say(station, Kind::Speed, link.velocity_m_per_s.abs()),
            say(station, Kind::Pressure, blow.rise_pa),
            station.lines[weak].name,
            say(station, Kind::Pressure, bears_pa)
        );
        findings.push(
            Finding::new(
                "valve-hammers",
                Severity::Should,
                format!("valves.{name}"),
                sentence,
            )
            .gap(blow.rise_pa - bears_pa),
        );
    }
}
