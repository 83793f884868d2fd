//! From a plan to a text that the proof finds nothing against: the plan is sketched, its sizes and marks follow from the
//! sketch, and the cures that the proof tried are applied until none is left that helps.

use station::{Edit, Station, edit};

use crate::analysis::{Year, Years, year};
use crate::finding::{Finding, Severity};
use crate::plant::DAY_S;
use crate::progress::Progress;
use crate::prove::{Proof, prove, sketch};

use super::answers::Thrift;
use super::fault::{FirstFault, Question};
use super::plan::{BEDS_L, CARBONS, DROWNED_M, MEMBRANES, OUTLET_M, Plan};
use super::text::text;

/// The most rounds of cures (house rule: more than any plan took).
const MOST_ROUNDS: usize = 6;
/// The shortest time that carbon and resin should last, s (house rule: nobody changes them twice in two months).
const LASTS_S: f64 = 60.0 * DAY_S;
/// Findings that a larger membrane clears.
const TOO_LITTLE: [&str; 2] = ["too-little-water", "margin-thin"];
/// Findings that pressure clears, whatever the membrane.
const PRESSURE: [&str; 2] = ["gives-no-water", "pressure-too-low"];
/// Keys that are set by a hand with a pen or a screwdriver: a cure that touches only them costs nothing.
const FREE: [&str; 8] = [
    "low_cutout_level",
    "backup_level",
    "run_volume",
    "volume",
    "siphon_break",
    "change_every",
    "waste_ratio",
    "length",
];

/// The same of a station that nobody has built yet, of which years tell how much stands ready.
const SET: [&str; 4] = ["start_level", "stop_level", "run_volume", "batch_volume"];

/// A cure that was applied.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Applied {
    pub(super) topic: &'static str,
    pub(super) what: String,
    pub(super) why: String,
    edits: Vec<Edit>,
}

/// The text with all the plan's own edits, as a station.
pub(super) fn station_of(plan: &Plan<'_>) -> Result<Station, FirstFault> {
    let text = edit::apply(&text(plan), &plan.edits).map_err(|error| FirstFault::Unreadable {
        what: error.to_string(),
    })?;
    read(&text)
}

fn read(text: &str) -> Result<Station, FirstFault> {
    Station::read(text).map_err(|faults| {
        let told: Vec<String> = faults
            .iter()
            .map(|fault| format!("{}, {}", fault.what, fault.why))
            .collect();
        FirstFault::Unreadable {
            what: told.join("; "),
        }
    })
}

/// Chooses the purifier's sizes, smallest first, by what the proof says of each.
pub(super) fn size_the_purifier(plan: &mut Plan<'_>) -> Result<(), FirstFault> {
    // Who spends the least buys pressure only where no membrane makes enough without.
    let at_first = plan.affords(Thrift::Sensible);
    let enough = choose_membranes(plan, at_first)? || choose_membranes(plan, true)?;
    if !enough {
        let proof = sketch(&station_of(plan)?);
        let said = of(&proof, &[TOO_LITTLE[0], TOO_LITTLE[1], PRESSURE[0]]);
        if let Some(finding) = said.filter(|own| own.severity == Severity::Must) {
            return Err(not_sound(finding));
        }
    }
    for carbon in CARBONS {
        plan.carbon = carbon;
        let proof = sketch(&station_of(plan)?);
        let made = proof.supply.purifier.as_ref();
        let lasts = made.and_then(|made| made.filters.iter().find(|own| own.name == "carbon"));
        if lasts.is_none_or(|lasts| lasts.lasts_s.value >= LASTS_S) {
            break;
        }
    }
    for bed_l in BEDS_L {
        plan.bed_l = *bed_l;
        let proof = sketch(&station_of(plan)?);
        let made = proof.supply.purifier.as_ref();
        let lasts = made.and_then(|made| made.run.resin_lasts_s.as_ref());
        if lasts.is_none_or(|lasts| lasts.value >= LASTS_S) {
            break;
        }
    }
    Ok(())
}

/// Chooses the smallest membranes that make enough, with more pressure where that must be or is bought as well; the largest
/// where none do. Whether they make enough.
fn choose_membranes(plan: &mut Plan<'_>, buys_pressure: bool) -> Result<bool, FirstFault> {
    for membranes in MEMBRANES {
        plan.membranes = *membranes;
        let mut proof = sketch(&station_of(plan)?);
        if let Some(finding) = of(&proof, &PRESSURE)
            && (finding.severity == Severity::Must || buys_pressure)
            && let Some(edits) = finding.recipes.first()
        {
            let fresh: Vec<Edit> = edits
                .iter()
                .filter(|own| !plan.edits.contains(own))
                .cloned()
                .collect();
            plan.edits.extend(fresh);
            proof = sketch(&station_of(plan)?);
        }
        if of(&proof, &TOO_LITTLE).is_none() && of(&proof, &PRESSURE[..1]).is_none() {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Puts the marks of the fresh vessels where the proof says that they belong.
pub(super) fn set_the_marks(plan: &mut Plan<'_>) -> Result<(), FirstFault> {
    let proof = sketch(&station_of(plan)?);
    let fresh = proof.levels.vessels.iter().find(|own| own.holds == "fresh");
    let belong = fresh.map_or(&[][..], |own| own.belong.as_slice());
    if let [cutout, start, stop, backup] = belong {
        let pumped_m = plan.write.mark_m(cutout.level_m.max(OUTLET_M + DROWNED_M));
        // What the pump leaves by its higher mark, the marks above it make up for: the sides are straight.
        let raised_m = pumped_m - cutout.level_m;
        let start_m = plan.write.mark_m(start.level_m + raised_m);
        let stop_m = plan.write.mark_m(start_m + stop.level_m - start.level_m);
        let backup_m = plan.write.mark_m(stop_m + backup.level_m - stop.level_m);
        plan.marks = Some([pumped_m, start_m, stop_m, backup_m]);
    }
    // What one batch takes, for the task that brings it.
    plan.batch_fresh_m3 = proof.batch.vessels.first().map(|batch| batch.fresh_volume_m3);
    Ok(())
}

/// A plan that is mended.
pub(super) struct Mended {
    pub(super) station: Station,
    pub(super) proof: Proof,
    /// Its years, where they were walked through and there are any.
    pub(super) year: Option<Year>,
    pub(super) applied: Vec<Applied>,
}

/// Proves and applies cures until none is left that helps and costs nothing; those of what must be fixed whatever they cost.
/// Then the same with its years, where somebody wants them.
pub(super) fn mend(plan: &Plan<'_>, years: Option<&Years>) -> Result<Mended, FirstFault> {
    let station = station_of(plan)?;
    let walk = |station: &Station| years.and_then(|years| year(station, years, &Progress::default()).ok());
    let mut own = Mended {
        proof: prove(&station),
        year: None,
        station,
        applied: Vec::new(),
    };
    let mut tried: Vec<Vec<Edit>> = Vec::new();
    for _ in 0..MOST_ROUNDS {
        let mut next = cures("Found by the proof", &own.proof.findings, &FREE, &tried);
        if next.is_empty() {
            own.year = walk(&own.station);
            let found = own.year.as_ref().map_or(&[][..], |year| &year.findings);
            next = cures(OF_YEARS, found, &SET, &tried);
        }
        if next.is_empty() {
            break;
        }
        let edits: Vec<Edit> = next.iter().flat_map(|cure| cure.edits.iter().cloned()).collect();
        let text = edit::apply(&own.station.text, &edits).map_err(|error| FirstFault::Unreadable {
            what: error.to_string(),
        })?;
        own.station = read(&text)?;
        own.proof = prove(&own.station);
        own.year = None;
        tried.extend(next.iter().map(|cure| cure.edits.clone()));
        // What a later round sets anew isn't in the file any more.
        let is_set = |old: &Edit| edits.iter().any(|own| own.path == old.path);
        own.applied.retain(|old| !old.edits.iter().all(is_set));
        own.applied.extend(next);
    }
    if own.year.is_none() {
        own.year = walk(&own.station);
    }
    let of_years = own.year.iter().flat_map(|year| &year.findings);
    let mut all = own.proof.findings.iter().chain(of_years);
    let left = all.find(|own| own.severity == Severity::Must).map(not_sound);
    left.map_or(Ok(own), Err)
}

/// What a choice is filed under that the years asked for.
const OF_YEARS: &str = "Found in its years";

/// Cures to apply now, no two of which touch the same value, none a second time.
fn cures(topic: &'static str, findings: &[Finding], free: &[&str], tried: &[Vec<Edit>]) -> Vec<Applied> {
    let mut out: Vec<Applied> = Vec::new();
    for finding in findings {
        let Some(remedy) = &finding.remedy else { continue };
        let edits: Vec<Edit> = remedy
            .edits
            .iter()
            .map(crate::finding::RemedyEdit::edit)
            .collect();
        let is_free = edits.iter().all(|own| {
            let key = own.path.rsplit('.').next().unwrap_or_default();
            free.contains(&key)
        });
        // What years ask for is made only where it is set, whatever it cures: the rest was answered, or is to be bought.
        let at_any_cost = topic != OF_YEARS && finding.severity == Severity::Must;
        let wanted = at_any_cost || finding.severity >= Severity::Should && is_free;
        let again = tried.contains(&edits);
        let meets = out.iter().any(|old| {
            old.edits
                .iter()
                .any(|one| edits.iter().any(|own| own.path == one.path))
        });
        if wanted && !again && !meets {
            out.push(Applied {
                topic,
                what: remedy.sentence.clone(),
                why: finding.sentence.clone(),
                edits,
            });
        }
    }
    out
}

fn of<'p>(proof: &'p Proof, ids: &[&str]) -> Option<&'p Finding> {
    proof.findings.iter().find(|finding| ids.contains(&finding.id))
}

/// A finding that nothing cleared, with the answer that has to do with it.
fn not_sound(finding: &Finding) -> FirstFault {
    let section = finding.place.split('.').next().unwrap_or_default();
    let (question, mend) = match (finding.id, section) {
        ("too-little-water" | "gives-no-water", _) | (_, "feed") => (
            Question::Tap,
            "check the pressure and the coldest water of the tap; or plan for fewer or smaller tanks",
        ),
        (_, "purifier" | "filters" | "membranes" | "resin_beds") => {
            (Question::Tap, "check what was answered of the tap")
        }
        ("door-too-narrow", _) => (Question::Door, "measure another way in"),
        (_, "tanks" | "reserve") => (
            Question::Tanks,
            "check the volumes of the tanks and their changes",
        ),
        _ => (Question::Space, "give it more floor, or plan for smaller tanks"),
    };
    FirstFault::NotSound {
        question,
        what: finding.sentence.trim_end_matches('.').to_owned(),
        mend: mend.to_owned(),
    }
}
