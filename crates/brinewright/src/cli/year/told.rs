//! What is told in words below the figures: emergencies, and how the years were reckoned.

use proof::Year;
use station::quantity::Kind;

use super::verdict::{percent, roughly};
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
        "{rate} a year, {} in all. {} find all their water ready (95\u{a0}% interval: {:.0} to {:.0}\u{a0}%).",
        own.all,
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

const NOT_IN_IT: &str = "Not in it: chillers, the swelling of warm water, parts that break, the time at filters and beds, what salt top-off does to a tank. Every year is an ordinary \
                         one of 365 days. \"Nine years in ten\" lie between the two figures; one in twenty lies above.";

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
        "{} years with seed {}, each of some {} events, with {draws}.{sure} The books close: of the water of a year \
         {} at most isn't accounted for, of the salt {}. {NOT_IN_IT}",
        year.years,
        year.seed,
        Column::of("", 1.0).rough(year.events),
        tiny(year.residual_water),
        tiny(year.residual_salt)
    );
    format!("\nHow it was reckoned\n{}\n", fill(&text, "  ", "  "))
}

/// A share that is next to nothing: `1e-13`.
fn tiny(share: f64) -> String {
    match share > 0.0 {
        true => format!("{share:.0e}"),
        false => "nothing".to_owned(),
    }
}
