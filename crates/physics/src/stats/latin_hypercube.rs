//! Stratified draws: each uncertain input is drawn once from each of `n` equally likely slices.

use super::counter::Counter;

/// Where in its slice a draw lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Placement {
    /// In the middle: the least spread of a mean, and the same points for any seed but for their order.
    Midpoint,
    /// Anywhere, evenly: free of bias, also for functions that are bent inside a slice.
    Jittered,
}

/// Returns one column of a Latin hypercube: `draws` probabilities, one in each slice of width `1/draws`, shuffled.
///
/// A column depends on its own key only. Draw `i` of the whole is the `i`-th entry of every column, so that an
/// input can be added or left out without moving the draws of the others, and two stations compared with the
/// same seed share theirs.
///
/// # Arguments
/// * `seed`: of the whole analysis.
/// * `dimension_key`: of the uncertain input, the same from run to run; inputs that vary on their own need
///   different keys.
/// * `draws`: how many; 0 gives an empty column.
///
/// # Properties
/// Every entry lies strictly between 0 and 1, as [`normal_quantile`](super::normal_quantile) needs it.
///
/// # Source
/// `MCKAY-BECKMAN-CONOVER-1979`, the jittered form; the shuffle is Fisher's and Yates's, from memory.
///
/// # Examples
/// ```
/// use physics::stats::{Placement, latin_hypercube};
///
/// let mut column = latin_hypercube(42, 1, 4, Placement::Midpoint);
/// column.sort_by(f64::total_cmp);
/// assert_eq!(column, [0.125, 0.375, 0.625, 0.875]);
/// ```
pub fn latin_hypercube(seed: u64, dimension_key: u64, draws: u32, placement: Placement) -> Vec<f64> {
    let stream = Counter::new(seed, dimension_key);
    let mut slices: Vec<u32> = (0..draws).collect();
    for last in (1..slices.len()).rev() {
        slices.swap(last, below(&stream, last as u64 + 1, last as u64));
    }
    // Jitter comes from a stream of its own, so that the shuffle's redraws don't shift it.
    let jitter = Counter::new(!seed, dimension_key);
    let width = f64::from(draws);
    slices
        .iter()
        .enumerate()
        .map(|(draw, slice)| {
            let place = match placement {
                Placement::Midpoint => 0.5,
                Placement::Jittered => jitter.open_unit(draw as u64),
            };
            // The uppermost slice may round up to 1, which is no probability of a finite draw.
            ((f64::from(*slice) + place) / width).min(1.0 - f64::EPSILON / 2.0)
        })
        .collect()
}

/// An even whole number below `bound`: numbers of the incomplete last cycle are drawn again, at most 64 times.
fn below(stream: &Counter, bound: u64, index: u64) -> usize {
    let cycle_end = u64::MAX - u64::MAX % bound;
    let drawn = (0..64)
        .map(|attempt| stream.bits(index.wrapping_add(attempt << 32)))
        .find(|bits| *bits < cycle_end)
        .unwrap_or(0);
    usize::try_from(drawn % bound).unwrap_or(0)
}
