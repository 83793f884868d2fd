//! A figure of many years in words: its mean, and between what nine years in ten lie.

use proof::Over;
use station::quantity::{Kind, format_ends};

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
        let half = digits(over);
        let (units, currency) = (speaker.station.units(), speaker.station.currency());
        let ends = || format_ends(kind, (over.mean, over.p05, over.p95), half, units, &currency);
        Self {
            mean: speaker.interval(kind, over.mean, half).value_with_unit(),
            band: band(over, ends),
        }
    }

    /// A time in hours, as work is counted: days of it would be days of 24 hours. `hour` is one hour in the figure's unit.
    pub(crate) fn hours(over: &Over, hour: f64) -> Self {
        let column = Column::of("h", hour);
        let half = digits(over).map(|half| half / hour);
        let number = |value: f64| column.number(value, half).value;
        Self {
            mean: format!("{} h", number(over.mean)),
            band: band(over, || format!("{} to {}", number(over.p05), number(over.p95))),
        }
    }
}

/// What the last digit stands for: half of the band, and for a figure that its band dwarfs a quarter of itself (house
/// rule).
fn digits(over: &Over) -> Option<f64> {
    let band = (over.p95 - over.p05) / 2.0;
    let half = match band > 0.0 {
        true => band,
        false => (over.high - over.low) / 2.0,
    };
    let least = over.mean.abs() / 4.0;
    let half = if least > 0.0 { half.min(least) } else { half };
    (half > 0.0).then_some(half)
}

fn band(over: &Over, ends: impl FnOnce() -> String) -> String {
    match over.p95 > over.p05 {
        true => ends(),
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
            low: mean - 0.01 * mean,
            high: mean + 0.01 * mean,
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
            (0.052, [0.0, 0.0], ["0.0520 h", "mostly none"]),
        ] {
            let Said { mean, band } = Said::hours(&over(mean, ends), 1.0);
            assert_eq!([mean.as_str(), band.as_str()], said);
        }
    }
}
