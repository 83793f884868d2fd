//! What changes through the year: by month, even waves between summer and winter, and odd days of the feed.

use super::{DAY_S, YEAR_S};

/// Twelve values, each at the middle of its month; straight between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ByMonth(pub(crate) [f64; 12]);

impl ByMonth {
    /// At a time since the beginning of the year, s; years follow each other.
    #[inline]
    pub(crate) fn at(&self, t_s: f64) -> f64 {
        // A year and more before the beginning isn't asked for; so the cast rounds down.
        let months = t_s * (12.0 / YEAR_S) + 23.5;
        let below = months as usize;
        let share = months - below as f64;
        let (at, next) = (below % 12, (below + 1) % 12);
        self.0[at] + share * (self.0[next] - self.0[at])
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
    libm::floor(t_s / DAY_S) as i64
}

#[cfg(test)]
mod tests {
    use super::*;

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
