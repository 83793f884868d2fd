//! The strength of a mix from its label.

use physics::mixing::{
    Label, MixingError, Recipe, UNSAID_FINISHED_SHARE, batch_from_finished_volume, batch_from_fresh_volume,
    least_dry_mass_kg, strength_from_label,
};
use proptest::prelude::*;

const LABEL: Label = Label {
    dry_mass_kg: 20.0,
    volume_m3: 0.52,
    practical_salinity: 35.0,
    temperature_c: 25.0,
};

proptest! {
    #[test]
    fn a_label_kept_to_the_letter_gives_its_own_batch(
        strength in 0.6..=1.0_f64, practical_salinity in 20.0..40.0_f64, temperature_c in 5.0..35.0_f64,
    ) {
        let recipe = Recipe { practical_salinity, temperature_c, strength };
        let fresh = batch_from_fresh_volume(&recipe, 0.5).unwrap();
        let finished = batch_from_finished_volume(&recipe, 0.5).unwrap();
        for (batch, share) in [(fresh, 0.0), (finished, 1.0)] {
            let label = Label { dry_mass_kg: batch.dry_mass_kg, volume_m3: 0.5, practical_salinity, temperature_c };
            let back = strength_from_label(&label, share);
            // At a strength of exactly 1 the last digit decides.
            prop_assume!(strength < 1.0 - 1e-12 && strength > 0.6 + 1e-12);
            prop_assert!((back.unwrap() - strength).abs() < 1e-12);
        }
    }

    #[test]
    fn the_unsaid_share_lies_between(dry_mass_kg in 18.9..26.0_f64) {
        let label = Label { dry_mass_kg, ..LABEL };
        let at = |share| strength_from_label(&label, share);
        if let (Ok(fresh), Ok(unsaid), Ok(finished)) = (at(0.0), at(UNSAID_FINISHED_SHARE), at(1.0)) {
            // As fresh water the same label asks for more salt: the finished water is more.
            prop_assert!(finished < unsaid && unsaid < fresh);
            prop_assert!(fresh / finished < 1.03);
        }
    }
}

#[test]
fn an_impossible_label_is_refused_with_the_least_that_would_do() {
    let too_good = Label {
        dry_mass_kg: 18.0,
        ..LABEL
    };
    let refusal = strength_from_label(&too_good, 1.0).unwrap_err();
    let MixingError::LabelImpossible {
        strength,
        dry_mass_kg,
        least_dry_mass_kg: least,
    } = refusal
    else {
        panic!("{refusal}");
    };
    assert!(strength > 1.0);
    assert!((dry_mass_kg - 18.0).abs() < 1e-15);
    // 36.0 g a litre for practical salinity 35 at 25 °C: 0.035 165 04 × 1023.34 kg/m³.
    assert!((least / LABEL.volume_m3 - 35.986).abs() < 0.001, "{least}");
    assert!(refusal.to_string().contains("18 kg"), "{refusal}");

    for share in [0.0, 0.5, 1.0] {
        let least_kg = least_dry_mass_kg(&LABEL, share).unwrap();
        let just = strength_from_label(
            &Label {
                dry_mass_kg: least_kg * (1.0 + 1e-12),
                ..LABEL
            },
            share,
        );
        assert!((just.unwrap() - 1.0).abs() < 1e-11);
        assert!(
            strength_from_label(
                &Label {
                    dry_mass_kg: least_kg * 0.999,
                    ..LABEL
                },
                share
            )
            .is_err()
        );
    }
}

#[test]
fn a_label_of_mostly_water_is_refused() {
    let refusal = strength_from_label(
        &Label {
            dry_mass_kg: 40.0,
            ..LABEL
        },
        1.0,
    )
    .unwrap_err();
    assert!(matches!(refusal, MixingError::LabelTooWeak { .. }), "{refusal}");
    assert!(!refusal.mend().is_empty());
}

#[test]
fn a_label_without_sense_is_refused() {
    for label in [
        Label {
            dry_mass_kg: 0.0,
            ..LABEL
        },
        Label {
            dry_mass_kg: f64::NAN,
            ..LABEL
        },
        Label {
            volume_m3: -0.1,
            ..LABEL
        },
        Label {
            practical_salinity: 43.0,
            ..LABEL
        },
        Label {
            temperature_c: f64::INFINITY,
            ..LABEL
        },
    ] {
        assert!(
            matches!(strength_from_label(&label, 0.5), Err(MixingError::OutOfRange(_))),
            "{label:?}"
        );
    }
    let fresh = Label {
        practical_salinity: 0.0,
        ..LABEL
    };
    assert_eq!(strength_from_label(&fresh, 0.5), Err(MixingError::FreshTarget));
    assert!(strength_from_label(&LABEL, 1.1).is_err());
    assert!(strength_from_label(&LABEL, f64::NAN).is_err());
}
