//! What holds for every mixture without a table: salt and mass are the same before and after, and what was
//! trimmed measures what was wanted.

use physics::mixing::{
    IonAnalysis, MixingError, Portion, Recipe, Trim, Water, after_evaporation, after_salt_top_off,
    batch_from_finished_volume, batch_from_fresh_volume, blend, blend_parts, drift_by_salt_top_off, fill_up,
    ions_at, practical_salinity_of_salt_per_volume, trim_by_replacement, trim_by_salt, trim_by_water,
    trim_within_room,
};
use physics::seawater::{practical_salinity_from_absolute, salt_mass_fraction};
use proptest::prelude::*;

/// Conservation residual, relative to the whole.
const BALANCE: f64 = 1e-12;

fn water() -> impl Strategy<Value = Water> {
    (0.001..5.0_f64, 0.5..42.0_f64, 5.0..35.0_f64).prop_map(
        |(volume_m3, practical_salinity, temperature_c)| Water {
            volume_m3,
            practical_salinity,
            temperature_c,
        },
    )
}

fn mass_kg(volume_m3: f64, practical_salinity: f64, temperature_c: f64) -> f64 {
    Water {
        volume_m3,
        practical_salinity,
        temperature_c,
    }
    .mass_kg()
    .expect("inside the range")
}

fn same(a: f64, b: f64, size: f64) -> bool {
    (a - b).abs() <= BALANCE * size.abs()
}

/// Carries a trim out and measures the result: mass, volume and salinity of what is then in the vessel.
fn carry_out(water: &Water, trim: &Trim, added_practical_salinity: f64, strength: f64) -> (f64, f64) {
    let present_kg = water.mass_kg().expect("inside the range");
    let kept_kg = present_kg - trim.withdraw_mass_kg;
    let mass = kept_kg + trim.added_mass_kg + trim.dry_mass_kg;
    let salt = kept_kg * salt_mass_fraction(water.practical_salinity)
        + trim.added_mass_kg * salt_mass_fraction(added_practical_salinity)
        + trim.dry_mass_kg * strength;
    (mass, practical_salinity_from_absolute(1000.0 * salt / mass))
}

proptest! {
    #[test]
    fn a_batch_keeps_mass_and_salt(
        practical_salinity in 0.0..=42.0_f64, temperature_c in 5.0..35.0_f64, strength in 0.6..=1.0_f64, fresh_m3 in 0.001..5.0_f64,
    ) {
        let recipe = Recipe { practical_salinity, temperature_c, strength };
        let batch = batch_from_fresh_volume(&recipe, fresh_m3).unwrap();
        let finished_kg = mass_kg(batch.finished_volume_m3, practical_salinity, temperature_c);
        prop_assert!(same(batch.fresh_mass_kg, mass_kg(fresh_m3, 0.0, temperature_c), finished_kg));
        prop_assert!(same(batch.fresh_mass_kg + batch.dry_mass_kg, finished_kg, finished_kg));
        prop_assert!(same(batch.dry_mass_kg * strength, finished_kg * salt_mass_fraction(practical_salinity), finished_kg));
        prop_assert!(batch.finished_volume_m3 >= batch.fresh_volume_m3 * (1.0 - 1e-15));
        prop_assert_eq!(batch.dry_mass_kg == 0.0, practical_salinity == 0.0);
    }

    #[test]
    fn a_remainder_filled_up_keeps_mass_and_salt(
        rest in water(), target in 20.0..40.0_f64, strength in 0.6..=1.0_f64, grown in 1.0..8.0_f64,
    ) {
        let recipe = Recipe { practical_salinity: target, temperature_c: rest.temperature_c, strength };
        let finished_m3 = rest.volume_m3 * grown;
        let rest_kg = rest.mass_kg().unwrap();
        match fill_up(&recipe, rest.volume_m3, rest.practical_salinity, finished_m3) {
            Ok(plan) => {
                let finished_kg = mass_kg(finished_m3, target, rest.temperature_c);
                prop_assert!(plan.water_mass_kg >= 0.0 && plan.dry_mass_kg >= 0.0);
                prop_assert!(same(rest_kg + plan.water_mass_kg + plan.dry_mass_kg, finished_kg, finished_kg));
                let salt_kg = rest.salt_kg().unwrap() + strength * plan.dry_mass_kg;
                prop_assert!(same(salt_kg, salt_mass_fraction(target) * finished_kg, finished_kg));
            }
            Err(MixingError::RemainderTooStrong { water_only_practical_salinity: got, least_finished_volume_m3: least }) => {
                prop_assert!(got > target && least > finished_m3);
                let filled = Water { volume_m3: finished_m3, practical_salinity: got, ..rest };
                prop_assert!((filled.salt_kg().unwrap() / rest.salt_kg().unwrap() - 1.0).abs() < 1e-11);
                let plan = fill_up(&recipe, rest.volume_m3, rest.practical_salinity, least).unwrap();
                prop_assert!(plan.dry_mass_kg <= 1e-12 * plan.finished_mass_kg);
            }
            Err(MixingError::FinishedVolumeTooSmall { least_finished_volume_m3: least }) => {
                prop_assert!(least > finished_m3);
                let plan = fill_up(&recipe, rest.volume_m3, rest.practical_salinity, least).unwrap();
                prop_assert!(plan.water_mass_kg <= 1e-12 * plan.finished_mass_kg);
            }
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn what_was_trimmed_measures_what_was_wanted(
        water in water(), target in 1.0..42.0_f64, strength in 0.6..=1.0_f64, replacement in 0.0..=42.0_f64, spare in 1.0..1.3_f64,
    ) {
        let room_m3 = water.volume_m3 * spare;
        let stronger = target > water.practical_salinity;
        let by_salt = trim_by_salt(&water, target, strength);
        let by_water = trim_by_water(&water, target);
        prop_assert_eq!(by_salt.is_ok(), stronger);
        prop_assert_eq!(by_water.is_ok(), !stronger);
        let by_replacement = trim_by_replacement(&water, target, replacement);
        let between = (water.practical_salinity - target) * (target - replacement) >= 0.0;
        prop_assert_eq!(by_replacement.is_ok(), between);
        let in_room = trim_within_room(&water, target, strength, room_m3);
        prop_assert!(in_room.is_ok());

        for (trim, added) in [(by_salt, 0.0), (by_water, 0.0), (by_replacement, replacement), (in_room, 0.0)] {
            let Ok(trim) = trim else { continue };
            let (mass, practical_salinity) = carry_out(&water, &trim, added, strength);
            prop_assert!((practical_salinity - target).abs() < 1e-11, "{practical_salinity} for {target}");
            prop_assert!(same(mass, trim.finished_mass_kg, mass));
            prop_assert!(same(mass_kg(trim.finished_volume_m3, target, water.temperature_c), mass, mass));
            prop_assert!(trim.withdraw_mass_kg >= -BALANCE * mass && trim.added_mass_kg >= 0.0 && trim.dry_mass_kg >= 0.0);
        }
        if let Ok(trim) = by_replacement {
            prop_assert_eq!(trim.finished_volume_m3, water.volume_m3);
        }
        let trim = in_room.unwrap();
        prop_assert!(trim.finished_volume_m3 <= room_m3 * (1.0 + 1e-14));
        // Drawn off only where needed, and then the room is used to the rim.
        let full = (trim.finished_volume_m3 - room_m3).abs() <= 1e-13 * room_m3;
        prop_assert!(trim.withdraw_mass_kg == 0.0 || full);
    }

    #[test]
    fn at_its_target_water_needs_no_trim(water in water(), strength in 0.6..=1.0_f64, replacement in 0.0..=42.0_f64) {
        let target = water.practical_salinity;
        for trim in [
            trim_by_salt(&water, target, strength), trim_by_water(&water, target),
            trim_by_replacement(&water, target, replacement), trim_within_room(&water, target, strength, water.volume_m3),
        ] {
            let trim = trim.unwrap();
            prop_assert!(trim.is_nothing());
            prop_assert_eq!(trim.finished_volume_m3, water.volume_m3);
        }
    }

    #[test]
    fn a_blend_lies_between_its_parts_and_keeps_all(first in water(), second in water()) {
        let (a, b) = (Portion { water: first, heat_capacity_j_kg_k: 4000.0 }, Portion { water: second, heat_capacity_j_kg_k: 4180.0 });
        let mixed = blend(&a, &b).unwrap();
        let (low, high) = (first.practical_salinity.min(second.practical_salinity), first.practical_salinity.max(second.practical_salinity));
        prop_assert!((low..=high).contains(&mixed.practical_salinity));
        let (cold, warm) = (first.temperature_c.min(second.temperature_c), first.temperature_c.max(second.temperature_c));
        prop_assert!((cold..=warm).contains(&mixed.temperature_c));
        let mass = first.mass_kg().unwrap() + second.mass_kg().unwrap();
        prop_assert!(same(mixed.mass_kg().unwrap(), mass, mass));
        prop_assert!(same(mixed.salt_kg().unwrap(), first.salt_kg().unwrap() + second.salt_kg().unwrap(), mass));
        // Poured back the other way it's the same water.
        let back = blend(&b, &a).unwrap();
        prop_assert!((back.practical_salinity - mixed.practical_salinity).abs() < 1e-12);
    }

    #[test]
    fn parts_of_a_bucket_blend_to_it(bucket in water(), strong in 0.0..=42.0_f64, weak in 0.0..=42.0_f64) {
        let parts = blend_parts(&bucket, strong, weak);
        let between = weak < strong && (weak..=strong).contains(&bucket.practical_salinity);
        prop_assert_eq!(parts.is_ok(), between);
        if let Ok(parts) = parts {
            let mass = bucket.mass_kg().unwrap();
            prop_assert!(same(parts.strong_mass_kg + parts.weak_mass_kg, mass, mass));
            let salt = parts.strong_mass_kg * salt_mass_fraction(strong) + parts.weak_mass_kg * salt_mass_fraction(weak);
            prop_assert!(same(salt, bucket.salt_kg().unwrap(), mass));
            prop_assert!(same(mass_kg(1.0, strong, bucket.temperature_c) * parts.strong_volume_m3, parts.strong_mass_kg, mass));
        }
    }

    #[test]
    fn evaporation_keeps_the_salt(water in water(), share in 0.0..0.3_f64, top_off in 0.0..=42.0_f64) {
        let evaporated_m3 = share * water.volume_m3;
        match after_evaporation(&water, evaporated_m3) {
            Ok(left) => {
                prop_assert!(same(left.salt_kg().unwrap(), water.salt_kg().unwrap(), water.mass_kg().unwrap()));
                prop_assert!(left.practical_salinity >= water.practical_salinity);
            }
            Err(error) => prop_assert!(matches!(error, MixingError::TooSalty { .. }), "{error}"),
        }
        match after_salt_top_off(&water, evaporated_m3, top_off) {
            Ok(topped) => {
                let left_kg = water.mass_kg().unwrap() - evaporated_m3 * mass_kg(1.0, 0.0, water.temperature_c);
                let added_kg = topped.mass_kg().unwrap() - left_kg;
                let salt_kg = water.salt_kg().unwrap() + added_kg * salt_mass_fraction(top_off);
                prop_assert!(same(topped.salt_kg().unwrap(), salt_kg, water.mass_kg().unwrap()));
                prop_assert_eq!(topped.volume_m3, water.volume_m3);
            }
            Err(error) => prop_assert!(matches!(error, MixingError::TooSalty { .. }), "{error}"),
        }
    }

    #[test]
    fn salinity_of_salt_per_volume_is_an_inverse(practical_salinity in 0.0..=42.0_f64, temperature_c in 5.0..35.0_f64) {
        let water = Water { volume_m3: 1.0, practical_salinity, temperature_c };
        let back = practical_salinity_of_salt_per_volume(water.salt_kg().unwrap(), temperature_c).unwrap();
        prop_assert!((back - practical_salinity).abs() < 1e-11);
    }

    #[test]
    fn nothing_is_ever_not_a_number(a in prop::num::f64::ANY, b in prop::num::f64::ANY, c in 0.0..42.0_f64, d in prop::num::f64::ANY) {
        let recipe = Recipe { practical_salinity: c, temperature_c: 25.0, strength: 0.9 };
        let odd = Recipe { practical_salinity: a, temperature_c: b, strength: d };
        let water = Water { volume_m3: d.abs(), practical_salinity: c, temperature_c: 20.0 };
        let trims = [
            trim_by_salt(&water, a, 0.9), trim_by_water(&water, a), trim_by_replacement(&water, a, b),
            trim_within_room(&water, a, 0.9, b), trim_by_water(&water, a.abs()), trim_within_room(&water, c / 1e9, 0.9, d.abs()),
        ];
        for trim in trims.iter().flatten() {
            let all = [trim.withdraw_volume_m3, trim.added_volume_m3, trim.dry_mass_kg, trim.finished_volume_m3];
            prop_assert!(all.iter().all(|value| value.is_finite()), "{trim:?}");
        }
        for batch in [batch_from_fresh_volume(&recipe, a), batch_from_finished_volume(&recipe, a), batch_from_fresh_volume(&odd, 0.1)].iter().flatten() {
            prop_assert!(batch.rise_fraction.is_finite() && batch.dry_mass_kg.is_finite());
        }
        for plan in [fill_up(&recipe, a, c, b), fill_up(&recipe, 0.1, a, b)].iter().flatten() {
            prop_assert!(plan.water_volume_m3.is_finite() && plan.dry_mass_kg.is_finite());
        }
        for left in [after_evaporation(&water, a), after_salt_top_off(&water, a, b)].iter().flatten() {
            prop_assert!(left.practical_salinity.is_finite() && left.volume_m3.is_finite());
        }
    }
}

#[test]
fn salt_for_the_sea_in_three_forms() {
    // Handbook rule restated: sea water of practical salinity 35 takes 35.165 g of salt per kg of itself,
    // 36.45 g per kg of fresh water, 36.0 g per litre at 25 °C.
    let recipe = Recipe {
        practical_salinity: 35.0,
        temperature_c: 25.0,
        strength: 1.0,
    };
    let batch = batch_from_fresh_volume(&recipe, 1.0).unwrap();
    #[rustfmt::skip]
    let rows = [
        (1000.0 * batch.dry_mass_kg / batch.finished_mass_kg, 35.165_04, 1e-10, "definition of the reference composition"),
        (1000.0 * batch.dry_mass_kg / batch.fresh_mass_kg, 36.45, 0.005, "half a unit of the last printed digit; 35.16504/0.96483496"),
        (batch.dry_mass_per_finished_volume_kg_m3, 36.0, 0.05, "half a unit of the last printed digit"),
        (100.0 * batch.rise_fraction, 1.0, 0.05, "half a unit of the last printed digit"),
    ];
    for (got, expected, tolerance, why) in rows {
        assert!(
            (got - expected).abs() <= tolerance,
            "{got} for {expected} ({why})"
        );
    }
}

#[test]
fn ions_scale_with_salt_per_litre() {
    let analysis = IonAnalysis {
        practical_salinity: 35.0,
        temperature_c: 25.0,
        calcium_mg_l: 422.0,
        magnesium_mg_l: 1314.0,
        alkalinity_meq_l: 2.35,
    };
    let same = ions_at(&analysis, 35.0, 25.0).unwrap();
    assert_eq!(same, analysis);
    let weaker = ions_at(&analysis, 30.0, 25.0).unwrap();
    // All by one factor, and that a little below 30/35, by the fall of density.
    let factor = weaker.calcium_mg_l / analysis.calcium_mg_l;
    assert!((weaker.magnesium_mg_l / analysis.magnesium_mg_l - factor).abs() < 1e-15);
    assert!((weaker.alkalinity_meq_l / analysis.alkalinity_meq_l - factor).abs() < 1e-15);
    assert!((0.995 * 30.0 / 35.0..30.0 / 35.0).contains(&factor));
    assert!(
        ions_at(
            &IonAnalysis {
                practical_salinity: 0.0,
                ..analysis
            },
            35.0,
            25.0
        )
        .is_err()
    );
    assert!(
        ions_at(
            &IonAnalysis {
                calcium_mg_l: f64::NAN,
                ..analysis
            },
            35.0,
            25.0
        )
        .is_err()
    );
}

#[test]
fn topping_off_with_salt_water_drifts() {
    // One per cent a day with water of 35, a month: +10.5 by the rule of thumb.
    assert!((drift_by_salt_top_off(35.0, 0.01, 30.0).unwrap() - 10.5).abs() < 1e-12);
    // By mass balance, day by day, from a level where all stays in range.
    let mut water = Water {
        volume_m3: 0.3,
        practical_salinity: 30.0,
        temperature_c: 25.0,
    };
    for _ in 0..30 {
        water = after_salt_top_off(&water, 0.003, 35.0).unwrap();
    }
    let drift = water.practical_salinity - 30.0;
    // Evaporated fresh water is lighter than what replaces it by 2.6 %, and the growing density pushes some back.
    assert!((drift / 10.5 - 1.0).abs() < 0.03, "{drift}");
    // Fresh water leaves no salt behind.
    let topped = after_salt_top_off(&water, 0.003, 0.0).unwrap();
    assert_eq!(topped, water);
}

#[test]
fn refusals_carry_what_is_possible() {
    let water = Water {
        volume_m3: 0.2,
        practical_salinity: 35.0,
        temperature_c: 25.0,
    };
    assert!(matches!(
        trim_by_salt(&water, 33.0, 0.9),
        Err(MixingError::WrongDirection { .. })
    ));
    assert!(matches!(
        trim_by_water(&water, 36.0),
        Err(MixingError::WrongDirection { .. })
    ));
    assert!(matches!(
        trim_by_water(&water, 0.0),
        Err(MixingError::WrongDirection { .. })
    ));
    assert!(matches!(
        trim_by_replacement(&water, 40.0, 38.0),
        Err(MixingError::TargetBeyondReplacement { replacement, .. }) if replacement == 38.0
    ));
    assert!(matches!(
        trim_within_room(&water, 36.0, 0.9, 0.19),
        Err(MixingError::NoRoom { .. })
    ));
    assert!(matches!(
        after_evaporation(&water, 0.3),
        Err(MixingError::EvaporatesDry { .. })
    ));
    assert!(matches!(
        after_evaporation(&water, 0.1),
        Err(MixingError::TooSalty { .. })
    ));
    let recipe = Recipe {
        practical_salinity: 35.0,
        temperature_c: 25.0,
        strength: 0.4,
    };
    assert!(matches!(
        batch_from_fresh_volume(&recipe, 0.1),
        Err(MixingError::OutOfRange(_))
    ));
    let refusal = trim_by_salt(&water, 33.0, 0.9).unwrap_err();
    assert!(!refusal.mend().is_empty());
}
