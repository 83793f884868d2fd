//! The months: what the feed is, what is made, what is needed.

use proof::{Estimate, Made, MonthOfWater};

use super::{Speaker, columns};

/// Where the need stands.
const NEED_COLUMN: usize = 6;

/// One row a month; the leanest is marked.
pub(super) fn months(speaker: &Speaker<'_>, made: &Made) -> String {
    let months = &made.months;
    let of = |pick: fn(&MonthOfWater) -> Option<&Estimate>| months.iter().filter_map(pick);
    let heads: [(&str, String); 7] = [
        ("feed", speaker.unit(of(|month| Some(&month.feed_temperature_c)))),
        ("made", speaker.unit(of(|month| Some(&month.made_m3_per_s)))),
        ("", "±".to_owned()),
        ("reject", speaker.unit(of(|month| Some(&month.reject_m3_per_s)))),
        (
            "solids",
            speaker.unit(of(|month| Some(&month.permeate_solids_kg_m3))),
        ),
        ("need", speaker.unit(of(|month| month.need_m3_per_s.as_ref()))),
        ("a fill takes", String::new()),
    ];
    let mut rows = vec![
        head(heads.iter().map(|(name, _)| *name)),
        head(heads.iter().map(|(_, unit)| unit.as_str())),
    ];
    for month in months {
        let water = speaker.shown(&month.made_m3_per_s);
        let optional = |estimate: &Option<Estimate>| {
            estimate
                .as_ref()
                .map_or_else(String::new, |estimate| speaker.bare(estimate))
        };
        let mut row = vec![
            month.month.to_owned(),
            speaker.bare(&month.feed_temperature_c),
            water.value,
            water.half_width.unwrap_or_default(),
            speaker.bare(&month.reject_m3_per_s),
            speaker.bare(&month.permeate_solids_kg_m3),
            optional(&month.need_m3_per_s),
            month
                .fill_time_s
                .as_ref()
                .map_or_else(String::new, |time| speaker.plain(time)),
        ];
        if month.month == made.leanest_month {
            row.push("leanest".to_owned());
        }
        rows.push(row);
    }
    // Without tanks nothing is needed, and the column says nothing.
    if months.iter().all(|month| month.need_m3_per_s.is_none()) {
        for row in &mut rows {
            row.remove(NEED_COLUMN);
        }
    }
    format!("\nThe year\n{}", columns(&rows))
}

/// The head of a table whose first column has none.
fn head<'t>(cells: impl Iterator<Item = &'t str>) -> Vec<String> {
    core::iter::once("").chain(cells).map(str::to_owned).collect()
}
