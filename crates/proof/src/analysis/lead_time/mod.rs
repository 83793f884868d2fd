//! Lead time: how long until a wanted volume of salt water is ready, as a schedule of steps.
//!
//! Owns: which water is on hand and which must be made, the order of the steps, both grades of readiness. Doesn't own:
//! flows (`plumbing`), mixing times, recipes.
//!
//! Ready in an emergency: mixed, measured twice alike, at its temperature. Ready as usual: the mix maker's time has passed
//! too. Times are computed, but only readings make water ready.
//!
//! Both seasons are computed, cold water that must be warmed and warm water that must be chilled; the longer is told.

mod dissolve;
mod fault;
mod heat;
mod plan;
mod season;
mod steps;
mod stores;
mod tanks;
mod transfer;

use serde::Serialize;
use station::quantity::{Kind, Spread, SpreadShape};
use station::sections::Water;
use station::{Situation, Station, lowest_drawable_m};

pub use fault::LeadTimeFault;
pub(crate) use heat::warming;
pub use plan::LeadStep;
pub(crate) use season::Permeate;
pub use season::Season;
pub(crate) use tanks::find;

use crate::analysis::Lineups;
use crate::assess::{Scope, assess};
use crate::estimate::Estimate;
use crate::sheet::{NodeId, Sheet, When};
use steps::{Wanted, schedule};

/// When a wanted volume is ready.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeadTime {
    /// What is wanted.
    pub volume_m3: f64,
    /// The moment that it begins at.
    pub situation: String,
    /// Ready in an emergency.
    pub ready: Estimate,
    /// Ready as usual, s.
    pub ready_as_usual_s: f64,
    /// Salt water that is ready already.
    pub on_hand_m3: f64,
    /// Fresh water that stands in the station.
    pub fresh_on_hand_m3: f64,
    /// Fresh water that must be made first.
    pub to_make_m3: f64,
    /// Dry salt mix.
    pub salt_kg: f64,
    /// Batches, one after the other.
    pub batches: u32,
    /// The vessel that they are mixed in; nothing where none is needed.
    pub vessel: Option<String>,
    /// The steps, by their beginning.
    pub steps: Vec<LeadStep>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// The totals in each season, that of the schedule first; nothing where nothing must be mixed.
    pub in_seasons: Vec<InSeason>,
}

/// The totals in one season.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InSeason {
    /// The season.
    pub season: Season,
    /// Ready in an emergency, s.
    pub ready_s: f64,
    /// Ready as usual, s.
    pub ready_as_usual_s: f64,
    /// Temperature of the room, °C.
    pub room_c: f64,
    /// Temperature of the batch when it is ready in an emergency, °C.
    pub temperature_c: f64,
    /// How much warmer that is than it is kept, K; below 0 colder.
    pub off_k: f64,
    /// Heat, or cold, that is wanting to bring it there in half a day, W; `None` where it gets there.
    pub lacking_w: Option<f64>,
}

/// What the schedule rests on.
pub(crate) struct Facts<'a> {
    /// What tells its figures from those of another lead time on the same sheet.
    pub(crate) tag: &'static str,
    /// Whether it belongs to what every letter tells.
    pub(crate) is_told: bool,
    pub(crate) strength: Option<f64>,
    /// Permeate in both seasons.
    pub(crate) permeate: Permeate,
    pub(crate) lineups: Option<&'a Lineups>,
}

/// Batches that one emergency may take; more is no emergency.
const MOST_BATCHES: u32 = 20;

/// When a volume of salt water is ready, from a moment on.
///
/// # Errors
/// [`LeadTimeFault`] where the station can't make it.
pub fn lead_time(
    station: &Station,
    volume_m3: f64,
    situation: &Situation,
) -> Result<LeadTime, LeadTimeFault> {
    let mut assessment = assess(station, Scope::All);
    let facts = Facts {
        tag: "asked",
        is_told: false,
        strength: assessment.batch.strength,
        permeate: Permeate::of(&assessment.supply),
        lineups: assessment.lineups.as_ref(),
    };
    let mut lead = plan(station, volume_m3, situation, &facts, &mut assessment.sheet)?;
    let intervals = assessment.sheet.intervals(When::AtOnce);
    intervals.fill(&mut lead.ready);
    lead.put_in_words(station);
    Ok(lead)
}

/// The schedule, with its figures told to the sheet.
pub(crate) fn plan(
    station: &Station,
    volume_m3: f64,
    situation: &Situation,
    facts: &Facts<'_>,
    sheet: &mut Sheet,
) -> Result<LeadTime, LeadTimeFault> {
    if !(volume_m3 > 0.0 && volume_m3.is_finite()) {
        return Err(LeadTimeFault::NoVolume);
    }
    let drawable = |holds: Water| -> f64 {
        station
            .vessels
            .iter()
            .zip(&situation.vessels)
            .filter(|(vessel, _)| vessel.fields.holds.value == holds)
            .map(|(vessel, moment)| {
                let low = vessel.shape.volume_m3(lowest_drawable_m(vessel)).unwrap_or(0.0);
                let now = vessel.shape.volume_m3(moment.level_m).unwrap_or(0.0);
                (now - low).max(0.0)
            })
            .sum()
    };
    let on_hand_m3 = drawable(Water::Salt).min(volume_m3);
    let fresh_on_hand_m3 = drawable(Water::Fresh);
    let rest_m3 = volume_m3 - on_hand_m3;
    let vessel = mixing_vessel(station);
    let (mut batches, mut each_m3) = (0, 0.0);
    if rest_m3 > 1e-9 {
        let vessel = vessel.ok_or(LeadTimeFault::NoVessel)?;
        let capacity_m3 = capacity_m3(station, vessel);
        let count = libm::ceil(rest_m3 / capacity_m3 - 1e-9);
        if !(count.is_finite() && count <= f64::from(MOST_BATCHES)) {
            return Err(LeadTimeFault::TooMuch {
                capacity_m3,
                most_m3: capacity_m3 * f64::from(MOST_BATCHES),
            });
        }
        batches = count as u32;
        each_m3 = rest_m3 / count;
    }
    let wanted = Wanted {
        volume_m3,
        on_hand_m3,
        fresh_on_hand_m3,
        batches,
        each_m3,
        vessel: if batches > 0 { vessel } else { None },
    };
    in_worse_season(station, situation, facts, &wanted, sheet)
}

/// The schedule of the season in which it takes longer, and the other's totals.
fn in_worse_season(
    station: &Station,
    situation: &Situation,
    facts: &Facts<'_>,
    wanted: &Wanted,
    sheet: &mut Sheet,
) -> Result<LeadTime, LeadTimeFault> {
    let mut totals = Vec::with_capacity(Season::BOTH.len());
    for season in Season::BOTH {
        let tried = sheet.trial(|sheet| schedule(station, situation, facts, wanted, season, sheet))?;
        totals.extend(tried.in_seasons);
    }
    // The longer first; of two that take as long the one that ends further from its temperature.
    totals.sort_by(|a, b| {
        b.ready_s
            .total_cmp(&a.ready_s)
            .then(b.off_k.abs().total_cmp(&a.off_k.abs()))
    });
    let worse = totals.first().map_or(Season::Winter, |total| total.season);
    let mut lead = schedule(station, situation, facts, wanted, worse, sheet)?;
    lead.in_seasons = totals;
    Ok(lead)
}

/// The largest vessel that salt water is mixed in.
fn mixing_vessel(station: &Station) -> Option<usize> {
    (0..station.vessels.len())
        .filter(|at| station.vessels[*at].fields.holds.value == Water::Salt)
        .max_by(|a, b| {
            capacity_m3(station, *a)
                .total_cmp(&capacity_m3(station, *b))
                .then(b.cmp(a))
        })
}

/// What one batch gives: from the batch's level down to where nothing more can be drawn.
fn capacity_m3(station: &Station, vessel: usize) -> f64 {
    let own = &station.vessels[vessel];
    let full = Situation::full(station).vessels[vessel].level_m;
    let top = own.shape.volume_m3(full).unwrap_or(0.0);
    let low = own.shape.volume_m3(lowest_drawable_m(own)).unwrap_or(0.0);
    (top - low).max(0.0)
}

/// A value that no field holds, in the sheet; its path begins with the tag.
fn assumed(sheet: &mut Sheet, path: &str, value: f64, kind: Kind, half_width: f64, reason: &str) -> NodeId {
    let spread = Spread {
        half_width,
        shape: SpreadShape::Normal,
    };
    sheet.assumed(&format!("lead-time.{path}"), value, kind, spread, reason)
}
