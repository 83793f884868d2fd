//! Labels that never overlap: a column of them spread apart, each as near to its place as the others allow.

/// Places for a column of labels: given where each would like to be (rising), how far apart two must stand, and the
/// ends of the column, where each goes. The sum of squared moves is the least possible.
///
/// With more labels than fit, they stand evenly from end to end and overlap; the caller makes room first.
///
/// # Source
/// Isotonic regression by pooling adjacent violators, on places less their least distances (Barlow, Bartholomew,
/// Bremner & Brunk 1972; from memory).
pub fn spread(wanted_mm: &[f64], apart_mm: f64, from_mm: f64, to_mm: f64) -> Vec<f64> {
    let count = wanted_mm.len();
    if count == 0 {
        return Vec::new();
    }
    // What is left over when each stands just `apart` from the next: these must rise.
    let shifted: Vec<f64> = wanted_mm
        .iter()
        .enumerate()
        .map(|(at, wanted)| wanted - at as f64 * apart_mm)
        .collect();
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
    let room = to_mm - from_mm - (count - 1) as f64 * apart_mm;
    let (low, high) = (from_mm, from_mm + room.max(0.0));
    let apart = if room < 0.0 && count > 1 {
        (to_mm - from_mm) / (count - 1) as f64
    } else {
        apart_mm
    };
    pools
        .into_iter()
        .flat_map(|(mean, size)| core::iter::repeat_n(mean.clamp(low, high), size))
        .enumerate()
        .map(|(at, place)| place + at as f64 * apart)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay_where_they_are() {
        assert_eq!(spread(&[1.0, 5.0, 9.0], 3.0, 0.0, 20.0), [1.0, 5.0, 9.0]);
    }

    #[test]
    fn crowded_labels_spread_evenly_about_their_middle() {
        let places = spread(&[10.0, 10.0, 10.0], 4.0, 0.0, 40.0);
        assert_eq!(places, [6.0, 10.0, 14.0]);
    }

    proptest! {
        #[test]
        fn they_stand_apart_within_their_ends(mut wanted in proptest::collection::vec(0.0..100.0_f64, 1..12)) {
            wanted.sort_by(f64::total_cmp);
            let places = spread(&wanted, 4.0, 0.0, 100.0);
            for pair in places.windows(2) {
                prop_assert!(pair[1] - pair[0] >= 4.0 - 1e-9);
            }
            prop_assert!(places.iter().all(|place| (-1e-9..=100.0 + 1e-9).contains(place)));
        }
    }
}
