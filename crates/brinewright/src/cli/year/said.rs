//! A figure of many years in words: its mean, and between what nine years in ten lie.

use proof::Over;
use station::quantity::Kind;

use crate::cli::speaker::Speaker;
use crate::cli::table::Column;

/// A figure, said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Said {
    /// `7 550 EUR`.
    pub(crate) mean: String,
    /// `7 290 to 7 810`; empty where every year has the same.
    pub(crate) band: String,
}

impl Said {
    /// In the owner's units.
    pub(crate) fn of(speaker: &Speaker<'_>, kind: Kind, over: &Over) -> Self {
        let half = over.digits();
        let column = speaker.unit_of(kind, over.mean);
        Self {
            mean: speaker.interval(kind, over.mean, half).value_with_unit(),
            band: band(over, &column),
        }
    }

    /// A time in hours, as work is counted: days of it would be days of 24 hours; less than an hour in minutes. `hour` is
    /// one hour in the figure's unit.
    pub(crate) fn hours(over: &Over, hour: f64) -> Self {
        match over.mean < hour {
            true => Self::in_unit(over, "min", hour / 60.0),
            false => Self::in_unit(over, "h", hour),
        }
    }

    /// In days, however few.
    pub(crate) fn days(over: &Over) -> Self {
        Self::in_unit(over, "days", 86_400.0)
    }

    fn in_unit(over: &Over, unit: &str, factor: f64) -> Self {
        let column = Column::of(unit, factor);
        let half = over.digits().map(|half| half / factor);
        Self {
            mean: format!("{} {unit}", column.number(over.mean, half).value),
            band: band(over, &column),
        }
    }
}

/// A share in whole per cent, which never rounds to nothing or to all.
pub(crate) fn percent(share: f64) -> String {
    match 100.0 * share {
        percent if percent > 0.0 && percent < 0.5 => "under 1\u{a0}%".to_owned(),
        percent if (99.5..100.0).contains(&percent) => "over 99\u{a0}%".to_owned(),
        percent => format!("{percent:.0}\u{a0}%"),
    }
}

/// Its two ends in the unit of its mean; nothing where every year has the same.
fn band(over: &Over, column: &Column) -> String {
    let half = over.digits().map(|half| half / column.0.factor);
    let number = |value: f64| column.number(value, half).value;
    match over.is_spread() {
        true => format!("{} to {}", number(over.p05), number(over.p95)),
        false if over.mean.abs() > 0.0 && over.p95.abs() <= 0.0 => "mostly none".to_owned(),
        false => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn over(mean: f64, [p05, p95]: [f64; 2]) -> Over {
        Over {
            mean,
            low: mean,
            high: mean + 1e-13,
            p05,
            p95,
        }
    }

    /// By hand: half of 205 to 215 is 5, so whole hours; a band that dwarfs its mean leaves the mean its own digits.
    #[test]
    fn a_figure_has_the_digits_that_its_band_leaves() {
        for (mean, ends, said) in [
            (210.3, [205.0, 215.0], ["210 h", "205 to 215"]),
            (12.4, [0.0, 97.2], ["12 h", "0 to 97"]),
            (7553.0, [7288.0, 7812.0], ["7 550 h", "7 290 to 7 810"]),
            (0.052, [0.0, 0.0], ["3.12 min", "mostly none"]),
            (19.32, [19.32, 19.32 + 1e-13], ["19.3 h", ""]),
        ] {
            let Said { mean, band } = Said::hours(&over(mean, ends), 1.0);
            assert_eq!([mean.as_str(), band.as_str()], said);
        }
    }
}
