//! What changes through the year: by month, even waves between summer and winter, and odd days of the feed.

use super::{DAY_S, YEAR_S};

/// Twelve values, each at the middle of its month; straight between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ByMonth(pub(crate) [f64; 12]);

/// A time of the year: between the middles of which two months, and which share of the way. Found once where several things
/// change by it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Season {
    month: usize,
    next: usize,
    share: f64,
}

impl Season {
    /// Of a time since the beginning of the year, s; years follow each other.
    #[inline]
    pub(crate) fn at(t_s: f64) -> Self {
        // A year and more before the beginning isn't asked for; so the cast rounds down.
        let months = t_s * (12.0 / YEAR_S) + 23.5;
        let below = months as u32;
        let month = below % 12;
        Self {
            month: month as usize,
            next: if month == 11 { 0 } else { month as usize + 1 },
            share: months - f64::from(below),
        }
    }
}

impl ByMonth {
    /// At a time since the beginning of the year, s; years follow each other.
    #[inline]
    pub(crate) fn at(&self, t_s: f64) -> f64 {
        self.of(Season::at(t_s))
    }

    /// At a time of the year.
    #[inline]
    pub(crate) fn of(&self, season: Season) -> f64 {
        let first = self.0[season.month];
        first + season.share * (self.0[season.next] - first)
    }
}

/// An even wave between two seasons, with the depth of winter in the middle of a month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wave {
    pub(crate) winter: f64,
    pub(crate) summer: f64,
    /// The coldest month, from 0.
    pub(crate) coldest: usize,
}

impl Wave {
    /// The twelve values: `½(s + w) − ½(s − w)·cos(2π·m/12)`, m months after the coldest, as the monthly figures have it.
    pub(crate) fn by_month(&self) -> ByMonth {
        let mut months = [0.0; 12];
        for (at, month) in months.iter_mut().enumerate() {
            let after = ((at + 12 - self.coldest) % 12) as f64;
            let wave = libm::cos(core::f64::consts::TAU * after / 12.0);
            *month = 0.5 * (self.summer + self.winter) - 0.5 * (self.summer - self.winter) * wave;
        }
        ByMonth(months)
    }
}

/// The day of a time, from 0 at the beginning of the year.
#[inline]
pub(crate) fn day_of(t_s: f64) -> i64 {
    // The cast rounds towards 0.
    let days = t_s / DAY_S;
    let whole = days as i64;
    if whole as f64 > days { whole - 1 } else { whole }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_down_before_the_year() {
        for (t_s, day) in [
            (0.0, 0),
            (DAY_S - 1e-6, 0),
            (DAY_S, 1),
            (-1e-6, -1),
            (-DAY_S, -1),
            (-DAY_S - 1e-6, -2),
        ] {
            assert_eq!(day_of(t_s), day, "{t_s}");
        }
    }

    #[test]
    fn months_are_met_in_their_middle_and_years_join() {
        let wave = Wave {
            winter: 6.0,
            summer: 17.0,
            coldest: 1,
        };
        let months = wave.by_month();
        let middle = |month: f64| (month + 0.5) * YEAR_S / 12.0;
        assert!((months.at(middle(1.0)) - 6.0).abs() < 1e-12);
        assert!((months.at(middle(7.0)) - 17.0).abs() < 1e-12);
        assert!((months.at(0.0) - months.at(YEAR_S)).abs() < 1e-9);
        assert!((months.at(-DAY_S) - months.at(YEAR_S - DAY_S)).abs() < 1e-9);
        assert!((months.0.iter().sum::<f64>() / 12.0 - 11.5).abs() < 1e-12);
    }
}
