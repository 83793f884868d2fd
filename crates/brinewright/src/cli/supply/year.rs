//! The months: what the feed is, what is made, what is needed.

use proof::{Made, MonthOfWater};

use super::Speaker;
use crate::cli::table::{First, columns, without_empty};

/// One row a month, the leanest marked; one row for all where a state of the feed makes them alike.
pub(super) fn months(speaker: &Speaker<'_>, made: &Made) -> String {
    let alike = made.months_are_alike();
    let months = match made.months.as_slice() {
        [first, ..] if alike => core::slice::from_ref(first),
        months => months,
    };
    let temperature = speaker.column(months.iter().map(|month| &month.feed_temperature_c));
    // One unit for what comes and goes, so that the columns can be compared.
    let flow = speaker.column(
        months
            .iter()
            .flat_map(|month| [Some(&month.made_m3_per_s), month.need_m3_per_s.as_ref()])
            .flatten(),
    );
    let time = speaker.column(months.iter().filter_map(|month| month.fill_time_s.as_ref()));
    let mut rows = vec![
        [
            "",
            "feed",
            "made",
            "±",
            "delivered",
            "need",
            "margin",
            "±",
            "a fill",
        ]
        .map(str::to_owned)
        .to_vec(),
        vec![
            String::new(),
            temperature.unit(),
            flow.unit(),
            String::new(),
            flow.unit(),
            flow.unit(),
            flow.unit(),
            String::new(),
            time.unit(),
        ],
    ];
    for month in months {
        let [water, doubt] = flow.cell(&month.made_m3_per_s);
        let [margin, margin_doubt] = month
            .margin_m3_per_s
            .as_ref()
            .map_or_else(Default::default, |margin| flow.cell(margin));
        let mut row = vec![
            name_of(month, alike),
            temperature.bare(Some(&month.feed_temperature_c)),
            water,
            doubt,
            flow.bare(month.delivered_m3_per_s.as_ref()),
            flow.bare(month.need_m3_per_s.as_ref()),
            margin,
            margin_doubt,
            time.bare(month.fill_time_s.as_ref()),
        ];
        if month.month == made.leanest_month && !alike {
            row.push("leanest".to_owned());
        }
        rows.push(row);
    }
    format!("\nThe year\n{}", columns(First::Words, &without_empty(2, &rows)))
}

/// What leaves the membrane on either side while it runs, and what is dissolved in it.
pub(super) fn while_running(speaker: &Speaker<'_>, made: &Made) -> String {
    let alike = made.months_are_alike();
    let months = match made.months.as_slice() {
        [first, ..] if alike => core::slice::from_ref(first),
        months => months,
    };
    let flow = speaker.column(
        months
            .iter()
            .flat_map(|month| [&month.permeate_m3_per_s, &month.reject_m3_per_s]),
    );
    let pure = speaker.column(months.iter().map(|month| &month.permeate_solids_kg_m3));
    let salty = speaker.column(months.iter().map(|month| &month.reject_solids_kg_m3));
    let mut rows = vec![
        ["", "permeate", "solids", "±", "reject", "solids", "±", "reject"]
            .map(str::to_owned)
            .to_vec(),
        vec![
            String::new(),
            flow.unit(),
            pure.unit(),
            String::new(),
            flow.unit(),
            salty.unit(),
            String::new(),
            "to 1".to_owned(),
        ],
    ];
    for month in months {
        let [solids, doubt] = pure.cell(&month.permeate_solids_kg_m3);
        let [reject_solids, reject_doubt] = salty.cell(&month.reject_solids_kg_m3);
        rows.push(vec![
            name_of(month, alike),
            flow.bare(Some(&month.permeate_m3_per_s)),
            solids,
            doubt,
            flow.bare(Some(&month.reject_m3_per_s)),
            reject_solids,
            reject_doubt,
            to_drain(month),
        ]);
    }
    format!(
        "\nWhile it runs\n{}",
        columns(First::Words, &without_empty(2, &rows))
    )
}

fn name_of(month: &MonthOfWater, alike: bool) -> String {
    match alike {
        true => "any month".to_owned(),
        false => month.month.to_owned(),
    }
}

/// Reject to permeate while it runs.
fn to_drain(month: &MonthOfWater) -> String {
    let ratio = month.reject_m3_per_s.value / month.permeate_m3_per_s.value;
    match ratio.is_finite() {
        true => format!("{ratio:.1}"),
        false => String::new(),
    }
}
