//! Chance: numbers that are a pure function of seed, year and what they are for, so that two stations meet the same year.
//!
//! What chance brings to a part of the station hangs on the part's name and not on its place in the file: two files whose
//! tanks stand in another order, or one of which has a tank more, share the chance of the tanks that they share.

use physics::stats::Counter;

use crate::name_key::name_key;

/// What a stream is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stream {
    /// When people arrive.
    Arrival,
    /// Which day of its changes it is for a tank when the year begins.
    FirstChange(NameKey),
    /// Emergencies of a tank.
    Emergency(NameKey),
    /// Odd days of the feed: one of its states.
    FeedState(NameKey),
}

/// What stands for a name where chance is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NameKey(u64);

impl NameKey {
    /// Of a tank or of a state of the feed.
    pub(crate) fn of(name: &str) -> Self {
        Self(name_key(name))
    }
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
        let (kind, name) = match of {
            Stream::Arrival => (0, None),
            Stream::FirstChange(tank) => (1, Some(tank)),
            Stream::Emergency(tank) => (2, Some(tank)),
            Stream::FeedState(state) => (3, Some(state)),
        };
        let own = Counter::new(self.seed, (self.year << 16) ^ (kind << 12));
        match name {
            None => own,
            // A stream of the year's stream, so that no name of one year meets another name of another year.
            Some(NameKey(key)) => Counter::new(own.bits(0), key),
        }
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
        let [one, two] = ["one", "two"].map(NameKey::of);
        let first = Chance::new(7, 1).stream(Stream::Emergency(one)).bits(0);
        for other in [
            Chance::new(7, 2).stream(Stream::Emergency(one)),
            Chance::new(7, 1).stream(Stream::Emergency(two)),
            Chance::new(7, 1).stream(Stream::FirstChange(one)),
            Chance::new(7, 1).stream(Stream::FeedState(one)),
            Chance::new(7, 1).stream(Stream::Arrival),
            Chance::new(8, 1).stream(Stream::Emergency(one)),
        ] {
            assert_ne!(other.bits(0), first);
        }
    }
}
