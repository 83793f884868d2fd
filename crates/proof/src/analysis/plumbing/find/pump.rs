//! Findings on a pump at work.

use physics::hydraulics::pump_effects::PREFERRED_SHARE;
use physics::hydraulics::suction::{
    Place, USUAL_NPSH_MARGIN_M, USUAL_SUCTION_M_S, VelocityFinding, judge_velocity,
};
use station::plumbing::End;
use station::quantity::{Kind, UnitSystem};
use station::sections::Water;
use station::{Station, lowest_drawable_m};

use super::of;
use crate::analysis::plumbing::Lineups;
use crate::analysis::plumbing::look::PumpAtWork;
use crate::analysis::speak::{say, set_length, shown, tape};
use crate::finding::{Finding, Severity};

/// Warming of a batch in an hour that is worth a word, K (house rule).
const WARMS_C_H: f64 = 0.5;

pub(super) fn find(station: &Station, all: &Lineups, work: &PumpAtWork) -> Vec<Finding> {
    let place = format!("pumps.{}", work.pump);
    let mut out = Vec::new();
    let mut push = |id, severity, place: String, gap: f64, sentence: String| {
        out.push(Finding::new(id, severity, place, sentence).gap(gap));
    };
    if !work.primes {
        let at = work
            .source_level_m
            .map_or("this level".to_owned(), |level| tape(station, level));
        let lift = tape(station, work.lift_m);
        let why = if work.dry_lift_m > 0.0 {
            format!("and it draws water up by {} only", tape(station, work.dry_lift_m))
        } else {
            "and it doesn't draw water up by itself".to_owned()
        };
        push(
            "pump-not-primed",
            Severity::Must,
            place.clone(),
            work.lift_m,
            format!(
                "{}: with its source at {at}, its suction rises {lift} above the water, {why}: it runs dry and spoils. Set it lower, or keep its suction under water all the way.",
                of(work)
            ),
        );
    } else if !work.flooded {
        push(
            "suction-lifts",
            Severity::Note,
            place.clone(),
            work.lift_m,
            format!(
                "{}: it draws water up by {} when it is dry, which takes time and fails with the smallest leak of air.",
                of(work),
                tape(station, work.lift_m)
            ),
        );
    }
    if let Some(line) = &work.air_stays_in {
        push(
            "crest-in-suction",
            Severity::Should,
            place.clone(),
            1.0,
            format!(
                "{}: {line} before it has a high point, and the water there is too slow to carry air out of it. Air collects until the pump loses its water: lay the line so that it falls or rises all the way.",
                of(work)
            ),
        );
    }
    if let (Some(required), Some(spare)) = (work.npsh_required_m, work.npsh_spare_m)
        && spare < USUAL_NPSH_MARGIN_M
    {
        let severity = if spare < 0.0 {
            Severity::Must
        } else {
            Severity::Should
        };
        push(
            "npsh-short",
            severity,
            place.clone(),
            USUAL_NPSH_MARGIN_M - spare,
            format!(
                "{}: its inlet has {} of head above the water's vapour (NPSH), and its maker asks for {}: {}. A wider, shorter suction or a lower pump helps.",
                of(work),
                water_head(station, work.npsh_available_m),
                water_head(station, required),
                if spare < 0.0 {
                    "it cavitates"
                } else {
                    "too little to spare when the water is warm or a strainer clogs"
                }
            ),
        );
    }
    if let Ok(VelocityFinding::Fast { .. }) = judge_velocity(Place::Suction, work.suction_velocity_m_per_s) {
        push(
            "suction-fast",
            Severity::Note,
            place.clone(),
            work.suction_velocity_m_per_s - USUAL_SUCTION_M_S,
            format!(
                "{}: water comes to it at {}, faster than the usual {} of a suction line; a wider one loses less.",
                of(work),
                say(station, Kind::Speed, work.suction_velocity_m_per_s),
                say(station, Kind::Speed, USUAL_SUCTION_M_S)
            ),
        );
    }
    if let Some(bears) = work.suction_line_bears_pa
        && work.inlet_gauge_pressure_pa < -bears
    {
        push(
            "suction-collapses",
            Severity::Should,
            place.clone(),
            -work.inlet_gauge_pressure_pa - bears,
            format!(
                "{}: the pressure before it is {} below the air's, and its soft suction line may be pressed flat from {} on. Take a ribbed hose or a pipe.",
                of(work),
                say(station, Kind::Pressure, -work.inlet_gauge_pressure_pa),
                say(station, Kind::Pressure, bears)
            ),
        );
    }
    if !work.within_curve {
        push(
            "beyond-curve",
            Severity::Note,
            place.clone(),
            0.0,
            format!(
                "{}: it moves {}, more than its curve was given for; that flow is a guess.",
                of(work),
                say(station, Kind::Flow, work.flow_m3_per_s)
            ),
        );
    }
    if let Some(share) = work.share_of_best
        && !(PREFERRED_SHARE.0..=PREFERRED_SHARE.1).contains(&share)
    {
        let than = if share < 1.0 { "less" } else { "more" };
        push(
            "off-best-range",
            Severity::Note,
            place.clone(),
            (share - 1.0).abs(),
            format!(
                "{}: it moves {:.0} % of the flow at which it works best, {than} than the usual {:.0} to {:.0} %: it wears sooner and uses more power.",
                of(work),
                100.0 * share,
                100.0 * PREFERRED_SHARE.0,
                100.0 * PREFERRED_SHARE.1
            ),
        );
    }
    if let Some(warming) = work.warming_c_per_h
        && warming > WARMS_C_H
    {
        push(
            "pump-warms",
            Severity::Note,
            place.clone(),
            warming,
            format!(
                "{}: it warms the batch by {} in an hour.",
                of(work),
                say(station, Kind::TemperatureDifference, warming)
            ),
        );
    }
    let lineup = station.lineups.iter().position(|own| own.name == work.lineup);
    if let Some(at) = lineup
        && let End::Vessel(vessel) = station.plumbing.tasks[at].from
    {
        out.extend(of_source(
            station,
            all,
            work,
            vessel,
            station.plumbing.tasks[at].to,
        ));
    }
    out
}

/// What the level of its source does to a pump.
fn of_source(station: &Station, all: &Lineups, work: &PumpAtWork, vessel: usize, to: End) -> Vec<Finding> {
    let mut out = Vec::new();
    let vessel_at = vessel;
    let vessel = &station.vessels[vessel];
    let name = shown(&vessel.name);
    let cutout = format!("vessels.{}.low_cutout_level", vessel.name);
    let lowest = lowest_drawable_m(vessel);
    // Going round draws nothing down.
    if let (Some(least), false) = (work.least_level_m, to == End::Vessel(vessel_at))
        && least > lowest + 1e-6
    {
        let switched_at = tape(station, lowest);
        // One cut-out serves every task.
        let stops_at_m = all.draws_air_below_m(&vessel.name).unwrap_or(least);
        let (id, severity, sentence) = match &vessel.fields.low_cutout_level {
            // Under an outlet's own bore of water it surely draws air; the rule for pumps asks for more.
            Some(_) => (
                "draws-air",
                if work.submergence_m(lowest) < work.outlet_bore_m {
                    Severity::Should
                } else {
                    Severity::Note
                },
                format!(
                    "{}: below a level of {} in {} it may draw air from the surface, and it is switched off only at {switched_at}.",
                    of(work),
                    tape(station, least),
                    name.to_lowercase(),
                ),
            ),
            None => (
                "runs-dry",
                Severity::Should,
                format!(
                    "{}: nothing stops it when {} is drawn down. Below a level of {} it draws air, and dry it is spoilt in minutes.",
                    of(work),
                    name.to_lowercase(),
                    tape(station, least)
                ),
            ),
        };
        out.push(
            Finding::new(id, severity, format!("vessels.{}", vessel.name), sentence)
                .gap(least - lowest)
                .recipe(vec![set_length(station, cutout, stops_at_m, true)]),
        );
    }
    let round = to == End::Vessel(vessel_at);
    let grains = station
        .pumps
        .iter()
        .find(|pump| pump.name == work.pump)
        .is_some_and(|pump| pump.fields.takes_grains.value);
    if round && vessel.fields.holds.value == Water::Salt && !grains {
        out.push(Finding::new(
            "grains-in-pump",
            Severity::Note,
            format!("pumps.{}", work.pump),
            format!(
                "{}: salt that lies undissolved at the outlet of {} goes through it and wears its bearing. Start the pump first and pour the salt slowly into the moving water.",
                of(work),
                name.to_lowercase()
            ),
        ));
    }
    out
}

/// A head of water as pumps are told: metres or feet, to a tenth.
fn water_head(station: &Station, head_m: f64) -> String {
    match station.units() {
        UnitSystem::Si => format!("{head_m:.1} m"),
        UnitSystem::Us => format!("{:.1} ft", head_m / 0.3048),
    }
}
