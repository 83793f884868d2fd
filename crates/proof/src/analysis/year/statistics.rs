//! Means with their intervals, and bands, over many years.

use physics::stats;

use super::types::{Band, Over, Share};

/// The 97.5 % point of the normal law.
const NORMAL: f64 = 1.959_963_984_540_054;

/// Less than that of a figure is the machine's rounding.
const ROUNDING: f64 = 1e-9;

impl Over {
    /// What the last digit of its mean stands for: half of the band of nine years in ten, and for a figure that its band
    /// dwarfs a quarter of itself (house rule); `None` where every year has the same.
    pub fn digits(&self) -> Option<f64> {
        let least = self.mean.abs() / 4.0;
        [(self.p95 - self.p05) / 2.0, (self.high - self.low) / 2.0]
            .into_iter()
            .find(|half| *half > ROUNDING * self.mean.abs())
            .map(|half| half.min(least))
    }

    /// Whether years differ by more than the machine's rounding.
    pub fn is_spread(&self) -> bool {
        self.p95 - self.p05 > ROUNDING * self.mean.abs()
    }

    /// Of one value a year. The interval is that of the mean by the central limit: `x̄ ± 1.96·s/√n`.
    pub(crate) fn of(values: &[f64]) -> Self {
        if values.is_empty() {
            return Self {
                mean: 0.0,
                low: 0.0,
                high: 0.0,
                p05: 0.0,
                p95: 0.0,
            };
        }
        // A single value has no interval; what can't be reckoned with has no mean, and none arises here.
        let mean = stats::mean(values).unwrap_or(f64::NAN);
        let half = NORMAL * stats::standard_deviation_of_mean(values).unwrap_or(0.0);
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        Self {
            mean,
            low: mean - half,
            high: mean + half,
            p05: at(&sorted, 0.05),
            p95: at(&sorted, 0.95),
        }
    }

    /// Of a ratio of two sums: mean and interval of the ratio by its years (the delta method), the band over the values of a
    /// third list.
    pub(crate) fn ratio(above: &[f64], below: &[f64], each: &[f64]) -> Self {
        let n = above.len() as f64;
        let (sum_above, sum_below) = (above.iter().sum::<f64>(), below.iter().sum::<f64>());
        if sum_below <= 0.0 {
            return Self::of(&[]);
        }
        let ratio = sum_above / sum_below;
        let squares: f64 = above
            .iter()
            .zip(below)
            .map(|(above, below)| (above - ratio * below) * (above - ratio * below))
            .sum();
        let half = if n > 1.0 {
            NORMAL * libm::sqrt(squares / (n - 1.0) / n) / (sum_below / n)
        } else {
            0.0
        };
        let band = Self::of(each);
        Self {
            mean: ratio,
            low: ratio - half,
            high: ratio + half,
            ..band
        }
    }
}

impl Band {
    /// Of one value a year.
    pub(crate) fn of(values: &[f64]) -> Self {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        Self {
            p05: at(&sorted, 0.05),
            median: at(&sorted, 0.5),
            p95: at(&sorted, 0.95),
        }
    }
}

impl Share {
    /// So many of so many, with Wilson's interval (Wilson 1927): it stays between 0 and 1 and holds for few, too.
    pub(crate) fn of(hits: u32, all: u32) -> Option<Self> {
        if all == 0 {
            return None;
        }
        let (n, z2) = (f64::from(all), NORMAL * NORMAL);
        let share = f64::from(hits) / n;
        let middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
        let half = NORMAL / (1.0 + z2 / n) * libm::sqrt(share * (1.0 - share) / n + z2 / (4.0 * n * n));
        Some(Self {
            share,
            low: (middle - half).max(0.0),
            high: (middle + half).min(1.0),
        })
    }
}

/// The value under which a share of a sorted list lies, straight between neighbours; 0 for an empty one.
pub(crate) fn at(sorted: &[f64], share: f64) -> f64 {
    stats::quantile_of_sorted(sorted, share).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.4.1 has no worked Wilson interval in memory; this is the closed
    /// form worked by hand for 0 of 10: `z²/(n + z²)` at the upper end.
    #[test]
    fn no_hit_of_ten_still_has_an_upper_end() {
        let share = Share::of(0, 10).expect("ten");
        let z2 = NORMAL * NORMAL;
        assert_eq!(share.share, 0.0);
        assert!(share.low.abs() < 1e-12);
        assert!((share.high - z2 / (10.0 + z2)).abs() < 1e-12);
    }

    /// Half of 10 by Wilson: 0.2366 to 0.7634 (printed in many tables; from memory, and by hand as above).
    #[test]
    fn half_of_ten() {
        let share = Share::of(5, 10).expect("ten");
        assert!(
            (share.low - 0.2366).abs() < 5e-5 && (share.high - 0.7634).abs() < 5e-5,
            "{share:?}"
        );
    }

    /// 1 to 10 by hand: s² = 82.5/9, so 1.96·√(82.5/90) on either side; definition 7 has 1 + 9·0.05.
    #[test]
    fn one_to_ten() {
        let over = Over::of(&(1..=10).map(f64::from).collect::<Vec<f64>>());
        let half = 1.959_964 * f64::sqrt(82.5 / 90.0);
        assert!((over.mean - 5.5).abs() < 1e-12);
        assert!((over.low - 5.5 + half).abs() < 1e-6 && (over.high - 5.5 - half).abs() < 1e-6);
        assert!((over.p05 - 1.45).abs() < 1e-12 && (over.p95 - 9.55).abs() < 1e-12);
    }

    /// By hand: sums 12 over 4, and what each is off by the ratio of 3: −1, 2, −1; s² = 3, so 1.96·√(3/3)/(4/3).
    #[test]
    fn a_ratio_by_hand() {
        let ratio = Over::ratio(&[2.0, 5.0, 5.0], &[1.0, 1.0, 2.0], &[2.0, 5.0, 2.5]);
        assert!((ratio.mean - 3.0).abs() < 1e-12);
        assert!((ratio.high - 3.0 - 1.959_964 * 0.75).abs() < 1e-6, "{ratio:?}");
        assert!((ratio.low - 3.0 + 1.959_964 * 0.75).abs() < 1e-6);
    }

    #[test]
    fn four_times_the_years_halve_the_interval() {
        // A list and the same list four times: s²(n − 1) quadruples, so the width halves but for (n − 1)/(4n − 1).
        let one: Vec<f64> = (0..500).map(|at| f64::from(at % 37)).collect();
        let four: Vec<f64> = one.iter().cycle().take(2000).copied().collect();
        let (one, four) = (Over::of(&one), Over::of(&four));
        let ratio = (one.high - one.low) / (four.high - four.low);
        assert!((ratio - 2.0).abs() < 2e-3, "{ratio}");
    }

    #[test]
    fn the_ratio_of_proportional_lists_has_no_interval() {
        let below: Vec<f64> = (1..50).map(f64::from).collect();
        let above: Vec<f64> = below.iter().map(|below| 0.3 * below).collect();
        let ratio = Over::ratio(&above, &below, &above);
        assert!((ratio.mean - 0.3).abs() < 1e-15 && (ratio.high - ratio.low).abs() < 1e-12);
    }
}
