//! Numbers that look random and are a pure function of seed, key and index.

const GOLDEN_GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;

/// A stream of 64-bit numbers, any of which can be had without the ones before.
///
/// It is the generator SplitMix64, started from a scramble of seed and key. Streams of different keys are
/// independent for all uses here; none is fit for secrets.
///
/// # Source
/// `STEELE-LEA-FLOOD-2014`: SplitMix64, its increment and its mixing function.
///
/// # Examples
/// ```
/// use physics::stats::Counter;
///
/// let stream = Counter::new(42, 7);
/// assert_eq!(stream.bits(1000), Counter::new(42, 7).bits(1000));
/// assert_ne!(stream.bits(1000), Counter::new(42, 8).bits(1000));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counter {
    start: u64,
}

impl Counter {
    /// The stream of a seed and a key.
    pub fn new(seed: u64, key: u64) -> Self {
        Self {
            start: mix(mix(seed.wrapping_add(GOLDEN_GAMMA)) ^ key),
        }
    }

    /// The `index`-th number of the stream, from 0.
    pub fn bits(&self, index: u64) -> u64 {
        mix(self
            .start
            .wrapping_add(index.wrapping_add(1).wrapping_mul(GOLDEN_GAMMA)))
    }

    /// The `index`-th number as a fraction, evenly spread, never 0 and never 1.
    pub fn open_unit(&self, index: u64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "52 bits fit into an f64 exactly")]
        let numerator = (self.bits(index) >> 12) as f64 + 0.5;
        numerator / 4_503_599_627_370_496.0
    }
}

fn mix(state: u64) -> u64 {
    let z = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::Counter;

    #[test]
    fn the_stream_is_split_mix_64() {
        // The sequence widely published for a state of 1234567; from memory.
        let stream = Counter { start: 1_234_567 };
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        for (index, number) in expected.into_iter().enumerate() {
            assert_eq!(stream.bits(index as u64), number);
        }
    }

    #[test]
    fn fractions_stay_inside_and_fill_evenly() {
        let stream = Counter::new(1, 2);
        let fractions: Vec<f64> = (0..10_000).map(|index| stream.open_unit(index)).collect();
        assert!(
            fractions
                .iter()
                .all(|fraction| *fraction > 0.0 && *fraction < 1.0)
        );
        let mean = fractions.iter().sum::<f64>() / 10_000.0;
        // Four standard errors of a mean of 10 000 even fractions: 4/sqrt(12·10⁴).
        assert!((mean - 0.5).abs() < 0.0116, "{mean}");
    }
}
