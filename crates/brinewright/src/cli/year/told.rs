//! What is told in words below the figures: emergencies, and how the years were reckoned.

use proof::Year;
use station::quantity::{Kind, format_count};

use super::said::percent;
use super::verdict::roughly;
use crate::cli::page::fill;
use crate::cli::speaker::Speaker;
use crate::cli::table::Column;

/// How many emergencies, and how they were met.
pub(super) fn emergencies(speaker: &Speaker<'_>, year: &Year) -> String {
    let own = &year.emergencies;
    let Some(share) = own.met_at_once else {
        return match own.all {
            0 => String::new(),
            _ => "\nEmergencies\n  None of them could be met.\n".to_owned(),
        };
    };
    let rate = Column::of("", 1.0).rough(own.count.mean);
    let mut text = format!(
        "{rate} a year, {} in all. {} find all their water mixed and measured (95\u{a0}% interval: {:.0} to {:.0}\u{a0}%).",
        format_count(own.all),
        match share.share {
            share if share >= 1.0 => "All of them".to_owned(),
            share if share <= 0.0 => "None of them".to_owned(),
            share => format!("{} of them", percent(share)),
        },
        100.0 * share.low,
        100.0 * share.high
    );
    if let Some(((median, p95), longest)) = own.median_wait_s.zip(own.p95_wait_s).zip(own.longest_wait_s) {
        let time = |seconds: f64| roughly(speaker, Kind::Time, seconds);
        text += &format!(
            " From when somebody knows, half of them are met within {}; one in twenty takes longer than {}, the longest {}.",
            time(median),
            time(p95),
            time(longest)
        );
    }
    format!("\nEmergencies\n{}\n", fill(&text, "  ", "  "))
}

const NOT_IN_IT: &str = "Not in it: chillers, the swelling of warm water, parts that break, the time at filters \
                         and beds. Every year is an ordinary one of 365 days. \"Nine years in ten\" lie between the two figures; one in twenty lies above.";

/// How the years were reckoned, and whether their books close.
pub(super) fn reckoned(speaker: &Speaker<'_>, year: &Year) -> String {
    let half = (year.cost.total.high - year.cost.total.low) / 2.0;
    let sure = match half > 0.0 {
        true => format!(
            " The mean cost is known to ± {}; more years narrow that.",
            speaker
                .interval(Kind::Money, year.cost.total.mean, Some(half))
                .half_width_with_unit()
        ),
        false => String::new(),
    };
    let draws = match year.draws {
        0 => "nothing in the file is doubtful".to_owned(),
        draws => format!("{draws} draws of what is doubtful in the file"),
    };
    let text = format!(
        "{} years with seed {}, each of some {} events, with {draws}.{sure} {} {NOT_IN_IT}",
        format_count(year.years),
        year.seed,
        Column::of("", 1.0).rough(year.events),
        books(year.residual_water.max(year.residual_salt))
    );
    let own = match not_followed(&year.not_followed) {
        none if none.is_empty() => none,
        some => format!("  Nor, of this station:\n{some}"),
    };
    format!("\nHow it was reckoned\n{}\n{own}", fill(&text, "  ", "  "))
}

/// What of the station is left out, a line each.
pub(crate) fn not_followed(told: &[String]) -> String {
    told.iter()
        .map(|told| fill(told, "  - ", "    ") + "\n")
        .collect()
}

/// Whether all water and salt of a year is accounted for; `lost` is the larger share that isn't.
fn books(lost: f64) -> String {
    match lost < 1e-9 {
        true => "The books close: less than a billionth of a year's water and salt isn't accounted for."
            .to_owned(),
        false => format!(
            "The books don't close: {:.7}\u{a0}% of a year's water or salt isn't accounted for.",
            100.0 * lost
        ),
    }
}
