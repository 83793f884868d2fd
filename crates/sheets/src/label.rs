//! Labels that never overlap: a column of them spread apart, each as near to its place as the others allow.

/// Places for a column of labels: given where each would like to be (rising), how far apart each and the next must stand, and
/// the ends of the column, where each goes. The sum of squared moves is the least possible.
///
/// With more labels than fit, they stand from end to end, closer by one share, and overlap; the caller makes room first.
///
/// # Source
/// Isotonic regression by pooling adjacent violators, on places less their least distances (Barlow, Bartholomew,
/// Bremner & Brunk 1972; from memory).
pub fn spread(wanted_mm: &[f64], apart_mm: &[f64], from_mm: f64, to_mm: f64) -> Vec<f64> {
    if wanted_mm.is_empty() {
        return Vec::new();
    }
    // How far below the first each stands where all stand as close as they may.
    let mut below_mm = vec![0.0];
    for apart in apart_mm.iter().take(wanted_mm.len() - 1) {
        below_mm.push(below_mm[below_mm.len() - 1] + apart);
    }
    // What is left over then: these must rise.
    let shifted = wanted_mm
        .iter()
        .zip(&below_mm)
        .map(|(wanted, below)| wanted - below);
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for value in shifted {
        let mut pool = (value, 1_usize);
        while let Some(&(mean, size)) = pools.last() {
            if mean <= pool.0 {
                break;
            }
            pools.pop();
            let together = size + pool.1;
            pool = (
                (mean * size as f64 + pool.0 * pool.1 as f64) / together as f64,
                together,
            );
        }
        pools.push(pool);
    }
    let (needed, given) = (below_mm[below_mm.len() - 1], to_mm - from_mm);
    let (low, high) = (from_mm, from_mm + (given - needed).max(0.0));
    let share = if needed > given { given / needed } else { 1.0 };
    pools
        .into_iter()
        .flat_map(|(mean, size)| core::iter::repeat_n(mean.clamp(low, high), size))
        .zip(below_mm)
        .map(|(place, below)| place + share * below)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay_where_they_are() {
        assert_eq!(spread(&[1.0, 5.0, 9.0], &[3.0; 2], 0.0, 20.0), [1.0, 5.0, 9.0]);
    }

    #[test]
    fn crowded_labels_spread_evenly_about_their_middle() {
        let places = spread(&[10.0, 10.0, 10.0], &[4.0; 2], 0.0, 40.0);
        assert_eq!(places, [6.0, 10.0, 14.0]);
        // By hand: 10, 10 and 10 less 0, 2 and 8 have the mean 20/3.
        let places = spread(&[10.0, 10.0, 10.0], &[2.0, 6.0], 0.0, 40.0);
        assert_eq!(places, [0.0, 2.0, 8.0].map(|below| 20.0 / 3.0 + below));
        // More than fit.
        assert_eq!(spread(&[1.0, 1.0, 1.0], &[2.0, 6.0], 0.0, 4.0), [0.0, 1.0, 4.0]);
    }

    proptest! {
        #[test]
        fn they_stand_apart_within_their_ends(labels in proptest::collection::vec((0.0..100.0_f64, 1.0..8.0_f64), 1..12)) {
            let (mut wanted, apart): (Vec<f64>, Vec<f64>) = labels.into_iter().unzip();
            wanted.sort_by(f64::total_cmp);
            let places = spread(&wanted, &apart, 0.0, 100.0);
            for (pair, apart) in places.windows(2).zip(&apart) {
                prop_assert!(pair[1] - pair[0] >= apart - 1e-9);
            }
            prop_assert!(places.iter().all(|place| (-1e-9..=100.0 + 1e-9).contains(place)));
        }
    }
}
