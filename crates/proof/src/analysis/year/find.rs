//! What there is to say of a year, and which of the changes that were tried mends it.

use station::Station;
use station::quantity::Kind;
use station::sections::{Fill, Water};

use super::changes::{Aim, TriedChange};
use super::say::{hours, percent, roughly, said};
use super::types::{Over, Week, Year};
use crate::analysis::speak::{say, shown};

use crate::finding::{Finding, Remedy, Severity};
use crate::plant::DAY_S;
use crate::remedy::with_what_it_brings;

const HOUR_S: f64 = 3600.0;
const YEAR_HOURS: f64 = 8760.0;
/// Hours a year that tanks may wait before it is worth a word: a day in all (house rule).
const WAITS_HOURS: f64 = 24.0;
/// Share of the time of all tanks that may surely be spent waiting before the station fails at what it is for (house rule).
const WAITS_MUST: f64 = 0.1;
/// What a tank waits for, each by itself: top-off and changes.
const DUE: f64 = 2.0;
/// Share of the year under the reserve that is worth a word, and that is worth mending (house rules).
const UNDER: f64 = 0.01;
const OFTEN_UNDER: f64 = 0.05;
/// Share of emergencies that should find all their water (house rule).
const AT_ONCE: f64 = 0.9;
/// An emergency that is met in this time is met soon, s (house rule).
const SOON_S: f64 = 3600.0;
/// Runs of a year above which they are many: more than one a day (house rule).
const MANY_RUNS: f64 = 365.0;
/// Age of purified water that is worth a word, and worth mending, s (common practice, no source: turned over in days to
/// weeks).
const OLD_S: f64 = 14.0 * DAY_S;
const TOO_OLD_S: f64 = 28.0 * DAY_S;
/// Share of the salt water that may be drawn after its time (house rule).
const STALE: f64 = 0.01;
/// How much thinner or saltier than its target salt water may go to the tanks (common practice, no source: a unit a day).
const OFF: f64 = 1.0;
const DRIFT: f64 = 0.5;
/// Share of the year's cost from which the drain is dear (house rule), and reject that is much for each part made.
const DEAR_DRAIN: f64 = 0.15;
const MUCH_REJECT: f64 = 5.0;
/// A change mends a measure that it brings down by a third, and may raise the cost by a twentieth (house rules).
const MENDS: f64 = 1.0 / 3.0;
const MAY_COST: f64 = 0.05;
/// How much worse it may make another measure of the same weight (house rule).
const MAY_HARM: f64 = 0.10;
/// Findings of the letter about what runs cost: the year has reckoned that, start by start.
const WEIGHED: [&str; 3] = ["run-too-short", "drain-costs-most", "carbon-spent-early"];
/// What must not get worse.
const WEIGHTY: [&str; 4] = [
    "waited",
    "fresh-under-reserve",
    "salt-under-reserve",
    "emergency-wait",
];

/// What there is to say, worst first.
pub(crate) fn find(station: &Station, year: &Year) -> Vec<Finding> {
    let mut findings = Vec::new();
    water(station, year, &mut findings);
    reserve(station, year, &mut findings);
    purse(station, year, &mut findings);
    for finding in &mut findings {
        finding.line = station
            .span_of(&finding.place)
            .map(|span| station::Position::of(&station.text, span.start).line);
    }
    findings.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
    findings
}

/// The change most worth making: what mends the worst of what there is to say; where nothing does, what saves most, a
/// hundredth of the cost at least.
pub(crate) fn best(year: &Year) -> Option<usize> {
    let mending = year
        .findings
        .iter()
        .filter(|finding| finding.severity > Severity::Note);
    let mends = mending
        .filter_map(|finding| finding.remedy.as_ref())
        .find_map(|remedy| {
            year.changes
                .iter()
                .position(|change| change.edits == remedy.edits)
        });
    mends.or_else(|| {
        let (at, change) = year
            .changes
            .iter()
            .enumerate()
            .filter(|(_, change)| is_harmless(change))
            .min_by(|(_, a), (_, b)| a.cost.mean.total_cmp(&b.cost.mean))?;
        let saves = change.cost.high < 0.0 && -change.cost.mean > 0.01 * year.cost.total.mean;
        saves.then_some(at)
    })
}

/// Whether a change makes nothing weighty worse, and brings nothing to be fixed beyond what the year itself has weighed.
fn is_harmless(change: &TriedChange) -> bool {
    change.brings.iter().all(|id| WEIGHED.contains(id)) && keeps_weighty(change)
}

fn keeps_weighty(change: &TriedChange) -> bool {
    change
        .differences
        .iter()
        .filter(|row| WEIGHTY.contains(&row.key))
        .all(|row| {
            row.share
                .map_or(row.difference.mean <= 0.0, |share| share <= MAY_HARM)
        })
}

/// The change that brings a measure down most; nothing where none does by a third without harm.
fn mends(year: &Year, key: &str) -> Option<Remedy> {
    let brings = |change: &TriedChange| {
        let row = change.differences.iter().find(|row| row.key == key)?;
        row.share.filter(|share| *share <= -MENDS)
    };
    let (_, change) = year
        .changes
        .iter()
        .filter(|change| is_harmless(change))
        .filter(|change| change.cost.low <= MAY_COST * year.cost.total.mean)
        .filter_map(|change| Some((brings(change)?, change)))
        .min_by(|(a, _), (b, _)| a.total_cmp(b))?;
    Some(as_remedy(change))
}

/// The change of an aim that saves money for sure.
fn saves(year: &Year, aim: Aim) -> Option<Remedy> {
    year.changes
        .iter()
        .find(|change| change.aim == aim && change.cost.high < 0.0 && is_harmless(change))
        .map(as_remedy)
}

fn as_remedy(change: &TriedChange) -> Remedy {
    Remedy {
        sentence: with_what_it_brings(change.sentence.clone(), &change.brings_told),
        edits: change.edits.clone(),
        tried: true,
    }
}

fn with(mut finding: Finding, remedy: Option<Remedy>) -> Finding {
    finding.remedy = remedy;
    finding
}

/// What thins a batch while it is drawn.
fn thinned_by(station: &Station) -> String {
    let filled = station.filled();
    let salt = filled.iter().map(|at| &station.vessels[*at]);
    let mut salt = salt.filter(|own| own.fields.holds.value == Water::Salt);
    match salt.next() {
        Some(own) if own.fields.fill.value == Fill::Automatic => {
            "the vessel fills itself while it is drawn".to_owned()
        }
        Some(own) => format!(
            "the purifier has only {} to run into, while it is drawn",
            shown(&own.name)
        ),
        None => "fresh water comes to it while it is drawn".to_owned(),
    }
}

/// What goes to the tanks, and when.
fn water(station: &Station, year: &Year, findings: &mut Vec<Finding>) {
    let first_salt = station
        .vessels
        .iter()
        .find(|vessel| vessel.fields.holds.value == Water::Salt);
    let place = first_salt.map_or_else(|| "salt".to_owned(), |vessel| format!("vessels.{}", vessel.name));
    if year.too_fresh.mean > OFF {
        let sentence = format!(
            "At its worst in a year salt water goes to the tanks with a salinity {} below its target: {}, and nobody adds the salt. A sudden fall harms animals.",
            said(station, Kind::Salinity, &year.too_fresh),
            thinned_by(station)
        );
        let fixed = year
            .changes
            .iter()
            .find(|change| change.aim == Aim::Thin && keeps_weighty(change))
            .map(as_remedy);
        findings.push(with(
            Finding::new("year-water-thin", Severity::Must, "purifier.control", sentence),
            fixed,
        ));
    }
    if year.too_salty.mean > DRIFT {
        let sentence = format!(
            "The salinity of salt water that stands rises to {} above its target in a year at worst, for water evaporates under the lid: measure before use, and trim.",
            said(station, Kind::Salinity, &year.too_salty)
        );
        findings.push(Finding::new(
            "year-water-salty",
            Severity::Note,
            place.clone(),
            sentence,
        ));
    }
    if year.shortfall_hours.mean > WAITS_HOURS
        && let Some(first) = year.shortfalls.first()
    {
        let all_hours = YEAR_HOURS * DUE * station.tanks.len() as f64;
        let severity = match year.shortfall_hours.low > WAITS_MUST * all_hours {
            true => Severity::Must,
            false => Severity::Should,
        };
        let sentence = format!(
            "{} {} a year for top-off or changes that are due, most of it because {}.",
            match station.tanks.len() {
                1 => "Its tank waits",
                _ => "Tanks wait, their times added up,",
            },
            hours(station, &year.shortfall_hours),
            first.because
        );
        findings.push(with(
            Finding::new("year-tanks-wait", severity, "reserve", sentence),
            mends(year, "waited"),
        ));
    }
    if let Some(share) = year.emergencies.met_at_once.filter(|share| share.high < AT_ONCE) {
        let wait = year.emergencies.p95_wait_s.unwrap_or(0.0);
        // Water that only waits for its readings is nearly there; where none was met, nothing is.
        let severity = match year.emergencies.p95_wait_s.is_some_and(|wait| wait <= SOON_S) {
            true => Severity::Note,
            false => Severity::Should,
        };
        let sentence = format!(
            "{} of the emergency changes find all their salt water mixed and measured; from when somebody knows, one in twenty takes longer than {}.",
            match share.share > 0.0 {
                true => format!(
                    "Only {} ({} to {})",
                    percent(share.share),
                    percent(share.low),
                    percent(share.high)
                ),
                false => "None".to_owned(),
            },
            roughly(station, Kind::Time, wait)
        );
        findings.push(with(
            Finding::new("year-emergency-late", severity, place.clone(), sentence),
            mends(year, "emergency-wait"),
        ));
    }
    let oldest = year.oldest_fresh_s.mean;
    if oldest > OLD_S {
        let severity = if oldest > TOO_OLD_S {
            Severity::Should
        } else {
            Severity::Note
        };
        let sentence = format!(
            "The oldest purified water that is drawn in a year has stood for {}: keep it cool, dark and closed, and turn it over.",
            said(station, Kind::Time, &year.oldest_fresh_s)
        );
        findings.push(with(
            Finding::new("year-water-old", severity, "vessels", sentence),
            mends(year, "oldest-fresh"),
        ));
    }
    if year.stale_m3.mean > STALE * year.salt_to_tanks_m3.mean {
        let sentence = format!(
            "{} of salt water a year is drawn after the time within which its maker wants it used.",
            said(station, Kind::Volume, &year.stale_m3)
        );
        let fixed = year
            .changes
            .iter()
            .find(|change| change.aim == Aim::Age && is_harmless(change))
            .map(as_remedy);
        findings.push(with(
            Finding::new("year-water-stale", Severity::Should, "salt.use_within", sentence),
            fixed,
        ));
    }
}

/// The reserve through the year.
fn reserve(station: &Station, year: &Year, findings: &mut Vec<Finding>) {
    let both = [
        (
            "fresh",
            &station.reserve.fresh,
            year.fresh_under_reserve_hours,
            "fresh-under-reserve",
        ),
        (
            "salt",
            &station.reserve.salt,
            year.salt_under_reserve_hours,
            "salt-under-reserve",
        ),
    ];
    for (at, (word, reserve, under, key)) in both.into_iter().enumerate() {
        let (Some(reserve), Some(under)) = (reserve, under) else {
            continue;
        };
        let share = under.mean / YEAR_HOURS;
        if share < UNDER {
            continue;
        }
        let severity = if share < OFTEN_UNDER {
            Severity::Note
        } else {
            Severity::Should
        };
        let mut sentence = format!(
            "Less than {} of {word} water is at hand for {} of the year.",
            say(station, Kind::Volume, reserve.value.m3()),
            percent(share)
        );
        if let Some(month) = worst_month(&year.reserve, at) {
            sentence.push_str(&format!(" {month} is the leanest month."));
        }
        findings.push(with(
            Finding::new(
                "year-reserve-short",
                severity,
                format!("reserve.{word}"),
                sentence,
            ),
            mends(year, key),
        ));
    }
}

/// What it costs.
fn purse(station: &Station, year: &Year, findings: &mut Vec<Finding>) {
    let total = year.cost.total.mean;
    let ratio = year.reject_m3.mean / year.permeate_m3.mean.max(1e-9);
    let price = station.feed.as_ref().and_then(|feed| feed.price.as_ref());
    if let Some(price) = price {
        let drain = year.reject_m3.mean * price.value.per_m3();
        if ratio > MUCH_REJECT && drain > DEAR_DRAIN * total {
            let sentence = format!(
                "{} a year goes to the drain, {} times as much as is made: {} of what a year costs.",
                said(station, Kind::Volume, &year.reject_m3),
                roughly(station, Kind::Number, ratio),
                percent(drain / total)
            );
            findings.push(with(
                Finding::new("year-drain-dear", Severity::Should, "purifier", sentence),
                saves(year, Aim::Reject),
            ));
        }
    }
    if year.runs.mean > MANY_RUNS {
        let sentence = format!(
            "The purifier starts {} times a year for {} each time: every start washes salt into the resin and wears what switches it.",
            said(station, Kind::Number, &year.runs),
            said(station, Kind::Volume, &year.run_volume_m3)
        );
        findings.push(with(
            Finding::new("year-runs-many", Severity::Should, "purifier.control", sentence),
            mends(year, "runs"),
        ));
    }
    if year.alarms.mean > 1.0 {
        let sentence = format!(
            "Control raises an alarm {} times a year in ordinary use: marks that lie too near each other, or a run that takes longer than it may.",
            said(station, Kind::Number, &year.alarms)
        );
        findings.push(Finding::new("year-alarms", Severity::Note, "purifier", sentence));
    }
    if let Some(first) = year.cost.items.first()
        && first.item == "work"
    {
        let most = year
            .work
            .iter()
            .max_by(|a, b| a.time_s.mean.total_cmp(&b.time_s.mean))
            .map_or("", |most| most.what);
        let sentence = format!(
            "People's time is {} of what a year costs: {}, most of it for {most}; {} buckets are carried.",
            percent(first.cost.mean / total.max(1e-9)),
            hours(station, &scaled(year.work_s, 1.0 / HOUR_S)),
            roughly(station, Kind::Number, year.carries.mean)
        );
        findings.push(Finding::new(
            "year-labour-heavy",
            Severity::Note,
            "people",
            sentence,
        ));
    }
}

fn scaled(over: Over, by: f64) -> Over {
    Over {
        mean: over.mean * by,
        low: over.low * by,
        high: over.high * by,
        p05: over.p05 * by,
        p95: over.p95 * by,
    }
}

/// The month with the lowest median, where one is lower than the year's usual by a tenth.
fn worst_month(weeks: &[Week], at: usize) -> Option<&'static str> {
    let median = |week: &Week| [week.fresh.median, week.salt.median][at];
    let mut months = [(0.0, 0.0); 12];
    for week in weeks {
        let month = ((f64::from(week.week) - 0.5) * 7.0 / 365.0 * 12.0) as usize;
        let slot = &mut months[month.min(11)];
        slot.0 += median(week);
        slot.1 += 1.0;
    }
    let means = months.map(|(sum, count)| if count > 0.0 { sum / count } else { f64::INFINITY });
    let (worst, least) = means
        .iter()
        .enumerate()
        .min_by(|(_, a), (_, b)| a.total_cmp(b))
        .map(|(at, mean)| (at, *mean))?;
    let usual = means.iter().sum::<f64>() / 12.0;
    (least < 0.9 * usual).then(|| station::sections::Month::ALL[worst].word())
}
