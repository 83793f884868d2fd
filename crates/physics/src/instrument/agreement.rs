//! Whether several readings of the same water agree, and which one is off where they don't.
//!
//! Owns: the weighted mean, the test of agreement, the suspect. Must not know: which instruments gave the readings,
//! on which scale they were.

use crate::stats::Estimate;
use crate::{OutOfRange, Range};

/// Share of chance below which readings are said to disagree: agreeing ones are accused once in twenty times.
/// House rule: the usual 5 %.
pub const DISAGREEMENT: f64 = 0.05;

/// Readings and uncertainties that are reckoned with. House rule: anything that squares without overflow, and no
/// reading that is certain.
const VALUE: Range = Range {
    quantity: "reading",
    unit: "",
    min: -1e9,
    max: 1e9,
    source_key: "HOUSE-RULE",
};
const UNCERTAINTY: Range = Range {
    quantity: "standard uncertainty of a reading",
    unit: "",
    min: 1e-9,
    max: 1e9,
    source_key: "HOUSE-RULE",
};
const DEGREES: Range = Range {
    quantity: "degrees of freedom",
    unit: "",
    min: 1.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
const CHI_SQUARE: Range = Range {
    quantity: "chi-square",
    unit: "",
    min: 0.0,
    max: f64::MAX,
    source_key: "DEFINITION",
};

/// Two χ² closer than this share of their sum are taken as equal: rounding must not name a suspect.
const EQUAL: f64 = 1e-9;

/// Why readings can't be compared.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AgreementError {
    /// Fewer readings than the question needs.
    #[error("{given} readings are too few; {needed} are needed")]
    TooFew {
        /// Readings given.
        given: usize,
        /// Readings needed.
        needed: usize,
    },
    /// A reading or its uncertainty is no number that can be reckoned with, or there are more than 1001 readings.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
}

/// What several readings come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightedMean {
    /// Mean, each reading weighted by the inverse of its variance; its standard uncertainty `1/√Σ(1/uᵢ²)`.
    pub mean: Estimate,
    /// `Σ((xᵢ − mean)/uᵢ)²`; 0 for a single reading.
    pub chi_square: f64,
    /// Readings less one.
    pub degrees_of_freedom: usize,
}

impl WeightedMean {
    /// `√(χ²/(n − 1))`: near 1 where the uncertainties tell how far the readings scatter, larger where they are too
    /// small. `None` for a single reading.
    ///
    /// # Source
    /// `BIRGE-1932`.
    pub fn birge_ratio(&self) -> Option<f64> {
        (self.degrees_of_freedom > 0).then(|| (self.chi_square / self.degrees_of_freedom as f64).sqrt())
    }
}

/// The verdict on several readings of the same water.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// Of all readings.
    pub all: WeightedMean,
    /// Chance that readings with these uncertainties scatter as far as they do, or farther, `0..=1`.
    pub chance: f64,
    /// Whether that is at least [`DISAGREEMENT`].
    pub agree: bool,
    /// Place of the reading without which the others agree, and agree best. `None` where all agree, where there are
    /// but two, where the others would disagree still, and where two would do equally well.
    pub suspect: Option<usize>,
    /// Places of other readings without which the rest would agree too: not ruled out, only less likely to be off.
    pub rivals: Vec<usize>,
    /// Mean of the readings that agree: all, or all but the suspect. `None` where it isn't known which do.
    pub agreed: Option<WeightedMean>,
}

/// Returns the mean of independent readings, weighted by the inverse of their variances.
///
/// # Arguments
/// * `readings`: one or more, any unit, `-1e9..=1e9`; standard uncertainties in the same unit, `1e-9..=1e9`. Readings
///   that share a cause of error, such as one thermometer, are taken as independent all the same.
///
/// # Errors
/// [`AgreementError`] for no reading, for one outside the ranges above, and for NaN.
///
/// # Source
/// Weights by least squares; the uncertainty of the mean by `JCGM-100-2008`, equation 10.
///
/// # Examples
/// ```
/// use physics::instrument::weighted_mean;
/// use physics::stats::Estimate;
///
/// let sharp = Estimate { value: 35.0, standard_uncertainty: 0.1 };
/// let blunt = Estimate { value: 36.0, standard_uncertainty: 0.3 };
/// let both = weighted_mean(&[sharp, blunt])?;
/// assert!((both.mean.value - 35.1).abs() < 1e-12);
/// assert!((both.chi_square - 10.0).abs() < 1e-9);
/// # Ok::<(), physics::instrument::AgreementError>(())
/// ```
pub fn weighted_mean(readings: &[Estimate]) -> Result<WeightedMean, AgreementError> {
    check(readings, 1)?;
    Ok(mean_of(readings.iter().copied()))
}

/// Returns the chance that chi-square exceeds a value, `Q(n/2, χ²/2)`.
///
/// A finite sum for each number of degrees of freedom; absolute error below 10⁻¹⁴ or so.
///
/// # Arguments
/// * `chi_square`: 0 or more.
/// * `degrees_of_freedom`: `1..=1000`.
///
/// # Errors
/// [`OutOfRange`] for an argument outside the ranges above, and for NaN.
///
/// # Source
/// Definition: the upper incomplete gamma function by its recurrence, from `erfc` or `exp`.
///
/// # Examples
/// ```
/// use physics::instrument::chi_square_above;
///
/// assert!((chi_square_above(3.841_459, 1)? - 0.05).abs() < 1e-6);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn chi_square_above(chi_square: f64, degrees_of_freedom: usize) -> Result<f64, OutOfRange> {
    let x = CHI_SQUARE.require(chi_square)? / 2.0;
    DEGREES.require(degrees_of_freedom as f64)?;
    // Q(a + 1, x) = Q(a, x) + xᵃe⁻ˣ/Γ(a + 1), upwards from a = 1/2 or 1.
    let (mut a, mut sum, mut log_gamma) = if degrees_of_freedom.is_multiple_of(2) {
        (1.0, libm::exp(-x), 0.0)
    } else {
        (0.5, libm::erfc(x.sqrt()), libm::lgamma(1.5))
    };
    if x <= 0.0 {
        return Ok(1.0);
    }
    let log_x = libm::log(x);
    while a + 0.25 < degrees_of_freedom as f64 / 2.0 {
        sum += libm::exp(a * log_x - x - log_gamma);
        a += 1.0;
        log_gamma += libm::log(a);
    }
    Ok(sum.min(1.0))
}

/// Tells whether readings of the same water agree, and which one is likeliest off where they don't.
///
/// They disagree where χ² against their weighted mean lies above its 95 % point for n − 1 degrees of freedom. Then
/// each is left out in turn: the suspect is the one whose absence brings the others into best agreement. Of two that
/// disagree either may be off. The order of the readings doesn't matter.
///
/// # Arguments
/// * `readings`: two or more, otherwise as [`weighted_mean`].
///
/// # Errors
/// [`AgreementError`] for fewer than two readings, for one outside the ranges, and for NaN.
///
/// # Source
/// The test of χ², in another form `BIRGE-1932`; leaving one out is a house rule.
///
/// # Examples
/// ```
/// use physics::instrument::agreement;
/// use physics::stats::Estimate;
///
/// let readings = [35.1, 34.9, 37.2].map(|value| Estimate { value, standard_uncertainty: 0.3 });
/// let verdict = agreement(&readings)?;
/// assert!(!verdict.agree);
/// assert_eq!(verdict.suspect, Some(2));
/// assert!((verdict.agreed.expect("the others agree").mean.value - 35.0).abs() < 1e-9);
/// # Ok::<(), physics::instrument::AgreementError>(())
/// ```
pub fn agreement(readings: &[Estimate]) -> Result<Agreement, AgreementError> {
    check(readings, 2)?;
    let all = mean_of(readings.iter().copied());
    let chance = chi_square_above(all.chi_square, all.degrees_of_freedom)?;
    let mut verdict = Agreement {
        all,
        chance,
        agree: chance >= DISAGREEMENT,
        suspect: None,
        rivals: Vec::new(),
        agreed: None,
    };
    if verdict.agree {
        verdict.agreed = Some(all);
        return Ok(verdict);
    }
    if readings.len() < 3 {
        return Ok(verdict);
    }
    let mut without: Vec<(usize, WeightedMean)> = Vec::new();
    for left_out in 0..readings.len() {
        let others = mean_of(
            readings
                .iter()
                .enumerate()
                .filter(|(place, _)| *place != left_out)
                .map(|(_, reading)| *reading),
        );
        if chi_square_above(others.chi_square, others.degrees_of_freedom)? >= DISAGREEMENT {
            without.push((left_out, others));
        }
    }
    without.sort_by(|(_, one), (_, other)| one.chi_square.total_cmp(&other.chi_square));
    let tied = |one: &WeightedMean, other: &WeightedMean| {
        other.chi_square - one.chi_square <= EQUAL * (all.chi_square + other.chi_square)
    };
    let named = match &without[..] {
        [] => None,
        [(_, best), (_, second), ..] if tied(best, second) => None,
        [best, ..] => Some(*best),
    };
    verdict.suspect = named.map(|(place, _)| place);
    verdict.agreed = named.map(|(_, others)| others);
    verdict.rivals = without
        .iter()
        .map(|(place, _)| *place)
        .filter(|place| Some(*place) != verdict.suspect)
        .collect();
    verdict.rivals.sort_unstable();
    Ok(verdict)
}

fn check(readings: &[Estimate], needed: usize) -> Result<(), AgreementError> {
    if readings.len() < needed {
        return Err(AgreementError::TooFew {
            given: readings.len(),
            needed,
        });
    }
    for reading in readings {
        VALUE.require(reading.value)?;
        UNCERTAINTY.require(reading.standard_uncertainty)?;
    }
    if readings.len() > 1 {
        DEGREES.require((readings.len() - 1) as f64)?;
    }
    Ok(())
}

/// The weighted mean of checked readings, at least one.
fn mean_of(readings: impl Iterator<Item = Estimate> + Clone) -> WeightedMean {
    let weight = |reading: &Estimate| 1.0 / (reading.standard_uncertainty * reading.standard_uncertainty);
    let (mut weights, mut sum, mut count) = (0.0, 0.0, 0_usize);
    for reading in readings.clone() {
        weights += weight(&reading);
        sum += weight(&reading) * reading.value;
        count += 1;
    }
    let value = sum / weights;
    let chi_square = readings
        .map(|reading| {
            let off = reading.value - value;
            off * off * weight(&reading)
        })
        .sum();
    WeightedMean {
        mean: Estimate {
            value,
            standard_uncertainty: 1.0 / weights.sqrt(),
        },
        chi_square,
        degrees_of_freedom: count.saturating_sub(1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn estimate(value: f64, standard_uncertainty: f64) -> Estimate {
        Estimate {
            value,
            standard_uncertainty,
        }
    }

    /// 95 % and 99 % points as every table prints them, to half a unit of their last digit.
    #[test]
    fn chi_square_meets_the_tables() {
        for (degrees, at_95, at_99) in [
            (1, 3.841, 6.635),
            (2, 5.991, 9.210),
            (3, 7.815, 11.345),
            (4, 9.488, 13.277),
            (5, 11.070, 15.086),
            (10, 18.307, 23.209),
            (30, 43.773, 50.892),
            (100, 124.342, 135.807),
        ] {
            for (point, chance) in [(at_95, 0.05), (at_99, 0.01)] {
                let got = chi_square_above(point, degrees).unwrap();
                // The density of chi-square is below 0.03 there.
                assert!((got - chance).abs() < 2e-5, "{degrees}: {got}");
            }
            assert!((chi_square_above(0.0, degrees).unwrap() - 1.0).abs() < 1e-15);
        }
        assert!(chi_square_above(1e6, 3).unwrap() <= 0.0);
        for (chi_square, degrees) in [(-1.0, 1), (f64::NAN, 1), (1.0, 0), (1.0, 1001)] {
            assert!(chi_square_above(chi_square, degrees).is_err());
        }
    }

    #[test]
    fn verdicts_by_hand() {
        for (readings, agree, suspect, rivals) in [
            // χ² 0.5·(2/0.5)² = 8 of two.
            (vec![(34.0, 0.5), (36.0, 0.5)], false, None, vec![]),
            // χ² 2 of two.
            (vec![(34.0, 0.5), (35.0, 0.5)], true, None, vec![]),
            (
                vec![(34.9, 0.3), (35.1, 0.3), (38.0, 0.3)],
                false,
                Some(2),
                vec![],
            ),
            // Both ends alike: rounding names nobody, and the middle isn't to blame.
            (
                vec![(34.0, 0.4), (35.0, 0.4), (36.0, 0.4)],
                false,
                None,
                vec![0, 2],
            ),
            // Two camps: more than one is off.
            (
                vec![(34.0, 0.2), (34.1, 0.2), (36.0, 0.2), (36.1, 0.2)],
                false,
                None,
                vec![],
            ),
            // 34.0 is farther off, but 35.9 isn't ruled out.
            (
                vec![(34.0, 0.4), (35.0, 0.4), (35.9, 0.4)],
                false,
                Some(0),
                vec![2],
            ),
            // A blunt reading far off is no reproach.
            (vec![(35.0, 0.1), (35.1, 0.1), (38.0, 2.0)], true, None, vec![]),
        ] {
            let readings: Vec<Estimate> = readings.iter().map(|(x, u)| estimate(*x, *u)).collect();
            let verdict = agreement(&readings).unwrap();
            assert_eq!(
                (verdict.agree, verdict.suspect, &verdict.rivals),
                (agree, suspect, &rivals),
                "{readings:?}: {verdict:?}"
            );
            assert_eq!(verdict.agreed.is_some(), agree || suspect.is_some());
        }
    }

    #[test]
    fn the_birge_ratio_is_one_where_chi_square_meets_its_mean() {
        let pair = weighted_mean(&[estimate(0.0, 1.0), estimate(2.0_f64.sqrt(), 1.0)]).unwrap();
        assert!((pair.birge_ratio().unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(weighted_mean(&[estimate(35.0, 0.1)]).unwrap().birge_ratio(), None);
    }

    #[test]
    fn what_is_no_reading_is_refused() {
        let fine = estimate(35.0, 0.3);
        assert!(weighted_mean(&[]).is_err());
        assert!(agreement(&[fine]).is_err());
        for bad in [
            estimate(f64::NAN, 0.3),
            estimate(f64::INFINITY, 0.3),
            estimate(35.0, 0.0),
            estimate(35.0, -0.3),
            estimate(35.0, f64::NAN),
        ] {
            assert!(agreement(&[fine, bad]).is_err(), "{bad:?}");
        }
        assert!(agreement(&vec![fine; 1002]).is_err());
    }

    /// A truth, and readings each off by so many of its own uncertainties.
    fn readings(most_off: f64) -> impl Strategy<Value = Vec<Estimate>> {
        (
            20.0..40.0_f64,
            prop::collection::vec((0.1..0.6_f64, -most_off..most_off), 2..7),
        )
            .prop_map(|(truth, drawn)| {
                drawn
                    .iter()
                    .map(|(u, off)| estimate(truth + u * off, *u))
                    .collect()
            })
    }

    proptest! {
        /// χ² is at most the sum about the truth, n·0.9², which lies below the 95 % point for every n of these.
        #[test]
        fn readings_within_their_uncertainty_agree(readings in readings(0.9)) {
            let verdict = agreement(&readings).unwrap();
            prop_assert!(verdict.agree);
            prop_assert_eq!(verdict.agreed, Some(verdict.all));
            let low = readings.iter().map(|r| r.value).fold(f64::INFINITY, f64::min);
            let high = readings.iter().map(|r| r.value).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!((low - 1e-9..=high + 1e-9).contains(&verdict.all.mean.value));
            let sharpest = readings.iter().map(|r| r.standard_uncertainty).fold(f64::INFINITY, f64::min);
            prop_assert!(verdict.all.mean.standard_uncertainty < sharpest);
        }

        /// Six uncertainties, of the reading or of the bluntest of the others, whichever is more.
        #[test]
        fn a_planted_outlier_is_named(
            readings in readings(0.5).prop_filter("three or more", |readings| readings.len() > 2),
            place in any::<prop::sample::Index>(),
            up in any::<bool>(),
        ) {
            let mut readings = readings;
            let place = place.index(readings.len());
            let bluntest = readings.iter().map(|r| r.standard_uncertainty).fold(0.0, f64::max);
            readings[place].value += if up { 6.0 } else { -6.0 } * bluntest;
            let verdict = agreement(&readings).unwrap();
            prop_assert!(!verdict.agree);
            prop_assert_eq!(verdict.suspect, Some(place));
            readings.remove(place);
            prop_assert_eq!(verdict.agreed, Some(weighted_mean(&readings).unwrap()));
        }

        #[test]
        fn the_order_does_not_matter(readings in readings(4.0), turn in 0..6_usize, mirror in any::<bool>()) {
            let mut other: Vec<usize> = (0..readings.len()).collect();
            other.rotate_left(turn % readings.len());
            if mirror {
                other.reverse();
            }
            let turned: Vec<Estimate> = other.iter().map(|place| readings[*place]).collect();
            let (one, two) = (agreement(&readings).unwrap(), agreement(&turned).unwrap());
            prop_assert_eq!(one.agree, two.agree);
            prop_assert_eq!(one.suspect, two.suspect.map(|place| other[place]));
            prop_assert!((one.all.mean.value - two.all.mean.value).abs() < 1e-9);
            prop_assert!((one.chance - two.chance).abs() < 1e-9);
        }
    }
}
