//! Two and more stations through the same years: what differs, and how sure that is.
//!
//! Owns: the figures that are compared, and their differences year by year: every station meets the same chance and, as far
//! as they share their fields, the same draws, so that differences aren't noise. Doesn't own: the years (`year`).

use serde::Serialize;
use station::Station;
use station::quantity::Kind;

use super::year::{
    OneYear, Over, Prepared, YearFault, Years, cost_of, many_years, pair, prepare, unfollowed,
};
use crate::method::Refusal;
use crate::progress::{Progress, Stage};

/// Stations side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Years that each went through.
    pub years: u32,
    /// Their seed.
    pub seed: u64,
    /// The currency that all share; `None` where they don't, and money isn't compared.
    pub currency: Option<String>,
    /// The stations, in the order in which they were given.
    pub designs: Vec<Design>,
    /// How each but the first differs from the first.
    pub differences: Vec<Vec<Difference>>,
}

/// One station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Design {
    /// Its title.
    pub title: String,
    /// What its file asks for and these years don't follow, each in a sentence.
    pub not_followed: Vec<String>,
    /// Its figures.
    pub figures: Vec<ComparedFigure>,
}

/// A figure of a station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparedFigure {
    /// Stable name.
    pub key: &'static str,
    /// What it is.
    pub title: &'static str,
    /// Unit of its value.
    pub unit: &'static str,
    /// A year of it; `None` where the station has no such thing.
    pub value: Option<Over>,
    /// What it measures.
    #[serde(skip)]
    pub kind: Kind,
}

/// How a figure differs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Difference {
    /// The figure.
    pub key: &'static str,
    /// What it is.
    pub title: &'static str,
    /// Unit of its value.
    pub unit: &'static str,
    /// The second less the first, year by year.
    pub difference: Over,
    /// That over the first; `None` where the first has none of it.
    pub share: Option<f64>,
    /// Whether it is sure: its interval leaves out 0.
    pub sure: bool,
    /// Whether it is sure and worth a word (a fiftieth of the first and more).
    pub matters: bool,
    /// Whether less of it is better.
    pub less_is_better: bool,
    /// What it measures.
    #[serde(skip)]
    pub kind: Kind,
}

/// Share of the first from which a difference is worth a word (house rule).
const WORTH_A_WORD: f64 = 0.02;
const HOUR_S: f64 = 3600.0;

struct Compared {
    key: &'static str,
    title: &'static str,
    kind: Kind,
    less_is_better: bool,
    of: fn(&Station, &OneYear) -> Option<f64>,
}

const COMPARED: [Compared; 14] = [
    Compared {
        key: "cost",
        title: "cost of a year",
        kind: Kind::Money,
        less_is_better: true,
        of: |station, year| Some(cost_of(station, year)),
    },
    Compared {
        key: "work",
        title: "people's time",
        kind: Kind::Time,
        less_is_better: true,
        of: |_, year| Some(year.tally.work_s.iter().sum()),
    },
    Compared {
        key: "carries",
        title: "buckets carried",
        kind: Kind::Number,
        less_is_better: true,
        of: |_, year| Some(year.tally.carries),
    },
    Compared {
        key: "waited",
        title: "time that tanks waited",
        kind: Kind::Time,
        less_is_better: true,
        of: |_, year| Some(year.tally.waited_s.iter().sum()),
    },
    Compared {
        key: "fresh-under-reserve",
        title: "time under the fresh-water reserve",
        kind: Kind::Time,
        less_is_better: true,
        of: |station, year| {
            station.reserve.fresh.as_ref()?;
            Some(year.tally.under_reserve_s[0])
        },
    },
    Compared {
        key: "salt-under-reserve",
        title: "time under the salt-water reserve",
        kind: Kind::Time,
        less_is_better: true,
        of: |station, year| {
            station.reserve.salt.as_ref()?;
            Some(year.tally.under_reserve_s[1])
        },
    },
    Compared {
        key: "emergency-wait",
        title: "longest wait of an emergency",
        kind: Kind::Time,
        less_is_better: true,
        of: |_, year| Some(year.tally.met_after_s.iter().copied().fold(0.0, f64::max)),
    },
    Compared {
        key: "runs",
        title: "runs of the purifier",
        kind: Kind::Number,
        less_is_better: true,
        of: |station, year| {
            station.purifier.as_ref()?;
            Some(year.tally.runs_m3.len() as f64)
        },
    },
    Compared {
        key: "running",
        title: "time that the purifier made water",
        kind: Kind::Time,
        less_is_better: true,
        of: |station, year| {
            station.purifier.as_ref()?;
            Some(year.tally.running_s)
        },
    },
    Compared {
        key: "reject",
        title: "water to the drain",
        kind: Kind::Volume,
        less_is_better: true,
        of: |station, year| {
            station.purifier.as_ref()?;
            Some(year.tally.reject_m3 + year.tally.flushed_m3)
        },
    },
    Compared {
        key: "beds",
        title: "beds of resin",
        kind: Kind::Number,
        less_is_better: true,
        of: |_, year| year.beds(),
    },
    Compared {
        key: "batches",
        title: "batches of salt water",
        kind: Kind::Number,
        less_is_better: true,
        of: |_, year| Some(f64::from(year.tally.batches)),
    },
    Compared {
        key: "energy",
        title: "electric energy",
        kind: Kind::Energy,
        less_is_better: true,
        of: |_, year| Some(year.tally.energy_j.iter().sum()),
    },
    Compared {
        key: "oldest-fresh",
        title: "oldest fresh water that was drawn",
        kind: Kind::Time,
        less_is_better: true,
        // A station whose tanks get no fresh water has none that could be old.
        of: |_, year| (year.tally.drawn_m3[0] > 0.0).then_some(year.tally.oldest_s[0]),
    },
];

/// Sends stations through the same years. Where somebody asks for an end meanwhile, it tells of the years that all of them
/// have gone through by then.
///
/// # Errors
/// [`YearFault`] of the first that has one, [`YearFault::Alone`] for fewer than two; also where an end was asked for before
/// all had gone through two years.
pub fn compare(stations: &[Station], years: &Years, progress: &Progress) -> Result<Comparison, YearFault> {
    if stations.len() < 2 {
        return Err(YearFault::Alone);
    }
    years.check()?;
    let mut prepared: Vec<Prepared> = Vec::with_capacity(stations.len());
    for station in stations {
        prepared.push(prepare(station, true)?);
    }
    pair(&mut prepared);
    progress.begin(Stage::Compared, years.years as usize * stations.len());
    let mut all: Vec<Vec<OneYear>> = Vec::with_capacity(stations.len());
    for prepared in &prepared {
        all.push(many_years(
            prepared,
            years.years,
            years.seed,
            years.threads.max(1),
            progress,
        )?);
    }
    let shared_years = all.iter().map(Vec::len).min().unwrap_or_default();
    if shared_years < 2 {
        return Err(Refusal::Stopped.into());
    }
    for own in &mut all {
        own.truncate(shared_years);
    }
    let currency = &stations[0].display.currency.value;
    let shared = stations
        .iter()
        .all(|station| station.display.currency.value == *currency);
    let compared: Vec<&Compared> = COMPARED
        .iter()
        .filter(|compared| shared || compared.kind != Kind::Money)
        .collect();
    let rows: Vec<Vec<Option<Vec<f64>>>> = stations
        .iter()
        .zip(&all)
        .map(|(station, years)| {
            let of = |compared: &&Compared| years.iter().map(|year| (compared.of)(station, year)).collect();
            compared.iter().map(of).collect()
        })
        .collect();
    let designs = stations
        .iter()
        .zip(&prepared)
        .zip(&rows)
        .map(|((station, prepared), row)| Design {
            title: station.title.title.value.clone(),
            not_followed: unfollowed(station, &prepared.nominal),
            figures: compared
                .iter()
                .zip(row)
                .map(|(compared, values)| ComparedFigure {
                    key: compared.key,
                    title: compared.title,
                    unit: compared.kind.si_unit(),
                    value: values.as_deref().map(Over::of),
                    kind: compared.kind,
                })
                .collect(),
        })
        .collect();
    let (first, others) = rows.split_first().ok_or(YearFault::Alone)?;
    Ok(Comparison {
        // No more than were asked for.
        years: shared_years as u32,
        seed: years.seed,
        currency: shared.then(|| currency.to_string()),
        designs,
        differences: others
            .iter()
            .map(|other| differences(&compared, first, other))
            .collect(),
    })
}

/// Every difference of two stations that went through the same years.
pub(crate) fn between(first: (&Station, &[OneYear]), other: (&Station, &[OneYear])) -> Vec<Difference> {
    let compared: Vec<&Compared> = COMPARED.iter().collect();
    let values = |(station, years): (&Station, &[OneYear])| -> Vec<Option<Vec<f64>>> {
        let of = |compared: &&Compared| years.iter().map(|year| (compared.of)(station, year)).collect();
        compared.iter().map(of).collect()
    };
    differences(&compared, &values(first), &values(other))
}

fn differences(
    compared: &[&Compared],
    first: &[Option<Vec<f64>>],
    other: &[Option<Vec<f64>>],
) -> Vec<Difference> {
    let mut rows = Vec::new();
    for ((compared, first), other) in compared.iter().zip(first).zip(other) {
        let (Some(first), Some(other)) = (first, other) else {
            continue;
        };
        let each: Vec<f64> = first
            .iter()
            .zip(other)
            .map(|(first, other)| other - first)
            .collect();
        let difference = Over::of(&each);
        let base = Over::of(first).mean;
        let share = (base.abs() > 0.0).then(|| difference.mean / base);
        let sure = difference.low > 0.0 || difference.high < 0.0;
        let large = match (share, compared.kind) {
            (Some(share), _) => share.abs() >= WORTH_A_WORD,
            // Where there was none, an hour or one of anything is worth a word.
            (None, Kind::Time) => difference.mean.abs() >= HOUR_S,
            (None, _) => difference.mean.abs() >= 1.0,
        };
        rows.push(Difference {
            key: compared.key,
            title: compared.title,
            unit: compared.kind.si_unit(),
            difference,
            share,
            sure,
            matters: sure && large,
            less_is_better: compared.less_is_better,
            kind: compared.kind,
        });
    }
    rows
}
