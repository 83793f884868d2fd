//! Chance: numbers that are a pure function of seed, year and what they are for, so that two stations meet the same year.

use physics::stats::Counter;

/// What a stream is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stream {
    /// When people arrive.
    Arrival,
    /// Where filters and beds stand in their lives, and which day of the changes it is, when the year begins.
    Begin,
    /// Emergencies of a tank.
    Emergency(usize),
    /// Odd days of the feed.
    FeedState(usize),
}

/// The chance of one simulated year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Chance {
    seed: u64,
    year: u64,
}

impl Chance {
    pub(crate) fn new(seed: u64, year: u64) -> Self {
        Self { seed, year }
    }

    /// The stream for one purpose.
    pub(crate) fn stream(&self, of: Stream) -> Counter {
        let (kind, which) = match of {
            Stream::Arrival => (0, 0),
            Stream::Begin => (1, 0),
            Stream::Emergency(tank) => (2, tank as u64),
            Stream::FeedState(state) => (3, state as u64),
        };
        Counter::new(self.seed, (self.year << 16) ^ (kind << 12) ^ which)
    }
}

/// A time that an event with a mean time between is waited for: `−m·ln u`, the exponential law.
pub(crate) fn waited_s(mean_s: f64, open_unit: f64) -> f64 {
    -mean_s * libm::log(open_unit)
}

/// A number of mean 0 and standard deviation 1 from two even ones: the triangular law, which has no far tails and costs
/// no logarithm (house rule: nobody comes a day late).
pub(crate) fn triangular(first: f64, second: f64) -> f64 {
    const ROOT_6: f64 = 2.449_489_742_783_178;
    (first + second - 1.0) * ROOT_6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_triangular_law_has_mean_0_and_deviation_1() {
        let stream = Chance::new(1, 0).stream(Stream::Arrival);
        let n = 20_000;
        let drawn: Vec<f64> = (0..n)
            .map(|at| triangular(stream.open_unit(2 * at), stream.open_unit(2 * at + 1)))
            .collect();
        let mean = drawn.iter().sum::<f64>() / n as f64;
        let square = drawn.iter().map(|x| x * x).sum::<f64>() / n as f64;
        // Five standard errors: 5/√n of the mean; of the variance 5·√((μ₄ − 1)/n) with μ₄ = 2.4 of this law.
        assert!(mean.abs() < 5.0 / 141.4, "{mean}");
        assert!(
            (square - 1.0).abs() < 5.0 * (1.4_f64 / n as f64).sqrt(),
            "{square}"
        );
    }

    #[test]
    fn years_and_purposes_don_t_share_numbers() {
        let first = Chance::new(7, 1).stream(Stream::Emergency(0)).bits(0);
        for other in [
            Chance::new(7, 2).stream(Stream::Emergency(0)),
            Chance::new(7, 1).stream(Stream::Emergency(1)),
            Chance::new(7, 1).stream(Stream::FeedState(0)),
            Chance::new(8, 1).stream(Stream::Emergency(0)),
        ] {
            assert_ne!(other.bits(0), first);
        }
    }
}
