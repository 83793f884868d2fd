//! The figures of a year, in one table: what it costs, water, salt, people's time, what had to wait, what stands.

use proof::{Over, Year};
use sheets::chart::item_in_words;
use station::quantity::Kind;

use super::said::{Said, percent};
use crate::cli::page::WIDTH;
use crate::cli::speaker::Speaker;

/// A line: its name, the mean, a share, where nine years in ten lie.
struct Row {
    name: String,
    mean: String,
    share: String,
    band: String,
}

impl Row {
    fn new(name: impl Into<String>, said: Said) -> Self {
        Self {
            name: name.into(),
            mean: said.mean,
            share: String::new(),
            band: said.band,
        }
    }
}

/// Rows under a heading, with what stands over their shares.
struct Section {
    heading: &'static str,
    share: &'static str,
    rows: Vec<Row>,
}

/// Everything, section by section; what isn't there isn't told.
pub(super) fn figures(speaker: &Speaker<'_>, year: &Year) -> String {
    let section = |heading, share, rows| Section { heading, share, rows };
    let sections: Vec<Section> = [
        section("What it costs", "share", cost(speaker, year)),
        section("Water and electricity", "", water(speaker, year)),
        section("Salt water", "", salt(speaker, year)),
        section("People's time", "", work(speaker, year)),
        section("Waiting, and under the reserve", "of years", waiting(year)),
        section("Water that stands", "", standing(speaker, year)),
    ]
    .into_iter()
    .filter(|section| !section.rows.is_empty())
    .collect();
    let [mean_head, band_head] = ["a mean year", "nine years in ten"];
    let widest = |of: fn(&Row) -> &str, head: &str| {
        sections
            .iter()
            .flat_map(|section| &section.rows)
            .map(|row| of(row).chars().count())
            .chain([head.chars().count()])
            .max()
            .unwrap_or(0)
    };
    let mean = widest(|row| &row.mean, mean_head);
    let share = widest(|row| &row.share, "of years");
    let band = widest(|row| &row.band, band_head);
    let room = WIDTH.saturating_sub(mean + share + band + 8);
    let name = widest(|row| &row.name, "").min(room);
    let line = |name_and_indent: &str, [own_mean, own_share, own_band]: [&str; 3]| {
        let cells = format!("  {own_mean:>mean$}  {own_share:>share$}  {own_band:>band$}");
        let line = format!("{name_and_indent:<0$}{cells}", name + 2);
        format!("{}\n", line.trim_end())
    };
    let mut out = String::new();
    for (at, Section { heading, share, rows }) in sections.iter().enumerate() {
        let [mean_head, band_head] = match at {
            0 => [mean_head, band_head],
            _ => [""; 2],
        };
        out += "\n";
        out += &line(heading, [mean_head, share, band_head]);
        for row in rows {
            let mut names = textwrap::wrap(&row.name, name).into_iter();
            let first = names.next().unwrap_or_default();
            out += &line(&format!("  {first}"), [&row.mean, &row.share, &row.band]);
            for more in names {
                out += &format!("    {more}\n");
            }
        }
    }
    out
}

fn cost(speaker: &Speaker<'_>, year: &Year) -> Vec<Row> {
    let mut rows: Vec<Row> = year
        .cost
        .items
        .iter()
        .map(|item| Row {
            share: percent(item.share).replace('\u{a0}', " "),
            ..Row::new(
                item_in_words(item.item),
                Said::of(speaker, Kind::Money, &item.cost),
            )
        })
        .collect();
    if rows.len() > 1 {
        rows.push(Row::new(
            "in all",
            Said::of(speaker, Kind::Money, &year.cost.total),
        ));
    }
    rows
}

fn water(speaker: &Speaker<'_>, year: &Year) -> Vec<Row> {
    let volume = |over: &Over| Said::of(speaker, Kind::Volume, over);
    let number = |over: &Over| Said::of(speaker, Kind::Number, over);
    let mut rows = Vec::new();
    if year.runs.mean > 0.0 {
        rows.push(Row::new("runs of the purifier", number(&year.runs)));
        rows.push(Row::new(
            "water of a run (nine runs in ten)",
            volume(&year.run_volume_m3),
        ));
        rows.push(Row::new("it runs for", Said::hours(&year.running_s, 3600.0)));
        rows.push(Row::new("purified water", volume(&year.permeate_m3)));
        rows.push(Row::new("water to the drain", volume(&year.reject_m3)));
    }
    if let Some((beds, litres)) = year.beds.as_ref().zip(year.resin_litres_per_bed.as_ref()) {
        rows.push(Row::new("beds of resin used up", number(beds)));
        rows.push(Row::new("purified water to a bed", volume(&in_m3(litres))));
    }
    if year.delivered_m3.mean > 0.0 {
        rows.push(Row::new("delivered water", volume(&year.delivered_m3)));
    }
    for energy in year.energy.iter().filter(|energy| energy.energy_j.mean > 0.0) {
        let what = match energy.what {
            "booster" => "the booster",
            other => other,
        };
        rows.push(Row::new(
            format!("electricity of {what}"),
            Said::of(speaker, Kind::Energy, &energy.energy_j),
        ));
    }
    rows
}

/// Litres are what people ask for there; the owner's units may be others.
fn in_m3(litres: &Over) -> Over {
    const LITRE_M3: f64 = 1e-3;
    Over {
        mean: litres.mean * LITRE_M3,
        low: litres.low * LITRE_M3,
        high: litres.high * LITRE_M3,
        p05: litres.p05 * LITRE_M3,
        p95: litres.p95 * LITRE_M3,
    }
}

fn salt(speaker: &Speaker<'_>, year: &Year) -> Vec<Row> {
    let mut rows = Vec::new();
    if year.batches.mean > 0.0 {
        rows.push(Row::new(
            "batches mixed",
            Said::of(speaker, Kind::Number, &year.batches),
        ));
        rows.push(Row::new(
            "salt water mixed",
            Said::of(speaker, Kind::Volume, &year.mixed_m3),
        ));
        rows.push(Row::new(
            "dry salt mix",
            Said::of(speaker, Kind::Mass, &year.mix_kg),
        ));
    }
    for (name, over) in [
        ("salt water to the tanks", &year.salt_to_tanks_m3),
        ("fresh water to the tanks", &year.fresh_to_tanks_m3),
    ] {
        if over.mean > 0.0 {
            rows.push(Row::new(name, Said::of(speaker, Kind::Volume, over)));
        }
    }
    rows
}

fn work(speaker: &Speaker<'_>, year: &Year) -> Vec<Row> {
    let mut rows: Vec<Row> = year
        .work
        .iter()
        .filter(|work| work.time_s.mean > 0.0)
        .map(|work| Row::new(work.what, Said::hours(&work.time_s, 3600.0)))
        .collect();
    if rows.len() > 1 {
        rows.push(Row::new("in all", Said::hours(&year.work_s, 3600.0)));
    }
    for (name, over) in [("buckets carried", &year.carries), ("visits", &year.visits)] {
        if over.mean > 0.0 {
            rows.push(Row::new(name, Said::of(speaker, Kind::Number, over)));
        }
    }
    rows
}

fn waiting(year: &Year) -> Vec<Row> {
    let mut rows: Vec<Row> = year
        .shortfalls
        .iter()
        .map(|shortfall| Row {
            share: percent(shortfall.share_of_years).replace('\u{a0}', " "),
            ..Row::new(shortfall.because, Said::hours(&shortfall.hours, 1.0))
        })
        .collect();
    for (name, hours) in [
        (
            "under the reserve of fresh water",
            &year.fresh_under_reserve_hours,
        ),
        ("under the reserve of salt water", &year.salt_under_reserve_hours),
    ] {
        if let Some(hours) = hours {
            rows.push(Row::new(name, Said::hours(hours, 1.0)));
        }
    }
    rows
}

/// Less salinity than that no instrument of the trade reads (house rule).
const LEAST_SALINITY: f64 = 0.05;

fn standing(speaker: &Speaker<'_>, year: &Year) -> Vec<Row> {
    let mut rows = Vec::new();
    for (name, age) in [
        ("age of fresh water when drawn", &year.fresh_age_s),
        ("the oldest of it", &year.oldest_fresh_s),
        ("age of salt water when drawn", &year.salt_age_s),
        ("the oldest of it", &year.oldest_salt_s),
    ] {
        if age.mean > 0.0 {
            rows.push(Row::new(name, Said::days(age)));
        }
    }
    if year.stale_m3.mean > 0.0 {
        rows.push(Row::new(
            "drawn when older than its mix allows",
            Said::of(speaker, Kind::Volume, &year.stale_m3),
        ));
    }
    for (name, drift) in [
        ("salinity over target, at worst", &year.too_salty),
        ("salinity under target, at worst", &year.too_fresh),
    ] {
        if drift.mean > LEAST_SALINITY {
            rows.push(Row::new(name, Said::of(speaker, Kind::Salinity, drift)));
        }
    }
    rows
}
