//! What must hold for every bed and every load.

use physics::resin::{
    Bed, Limiting, Load, degassed_mol_m3, mixed_bed_to_exhaustion_m3, resin_per_water,
    separate_beds_to_exhaustion_m3, utilisation_from_zone, volume_to_exhaustion_m3, water_per_resin,
    zone_height_m,
};
use proptest::prelude::*;

fn bed() -> impl Strategy<Value = Bed> {
    (1e-5..10.0_f64, 20.0..4000.0_f64, 0.01..=1.0_f64).prop_map(
        |(volume_m3, capacity_mol_m3, utilisation)| Bed {
            volume_m3,
            capacity_mol_m3,
            utilisation,
        },
    )
}

fn part() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), 1e-4..300.0_f64, 1e-3..1.0_f64]
}

fn load() -> impl Strategy<Value = Load> {
    (1e-4..100.0_f64, part(), part(), part()).prop_map(|(salt, carbon_dioxide, silica, ammonium)| Load {
        salt_mol_m3: salt,
        carbon_dioxide_mol_m3: carbon_dioxide,
        silica_mol_m3: silica,
        ammonium_mol_m3: ammonium,
    })
}

fn scaled(load: &Load, factor: f64) -> Load {
    Load {
        salt_mol_m3: load.salt_mol_m3 * factor,
        carbon_dioxide_mol_m3: load.carbon_dioxide_mol_m3 * factor,
        silica_mol_m3: load.silica_mol_m3 * factor,
        ammonium_mol_m3: load.ammonium_mol_m3 * factor,
    }
}

/// A few roundings.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-14 * a.abs().max(b.abs())
}

proptest! {
    #[test]
    fn loads_add_up(a in load(), b in load()) {
        let sum = Load {
            salt_mol_m3: a.salt_mol_m3 + b.salt_mol_m3,
            carbon_dioxide_mol_m3: a.carbon_dioxide_mol_m3 + b.carbon_dioxide_mol_m3,
            silica_mol_m3: a.silica_mol_m3 + b.silica_mol_m3,
            ammonium_mol_m3: a.ammonium_mol_m3 + b.ammonium_mol_m3,
        };
        prop_assert!(same(sum.anion_mol_m3().unwrap(), a.anion_mol_m3().unwrap() + b.anion_mol_m3().unwrap()));
        prop_assert!(same(sum.cation_mol_m3().unwrap(), a.cation_mol_m3().unwrap() + b.cation_mol_m3().unwrap()));
        // A mixture's share of weak acids lies between the two.
        let (low, high) = {
            let (x, y) = (a.weak_share().unwrap(), b.weak_share().unwrap());
            (x.min(y), x.max(y))
        };
        let mixed = sum.weak_share().unwrap();
        prop_assert!(low * (1.0 - 1e-14) <= mixed && mixed <= high * (1.0 + 1e-14));
    }

    #[test]
    fn what_a_bed_holds_is_what_the_water_brought(bed in bed(), load in load()) {
        let water_m3 = mixed_bed_to_exhaustion_m3(&bed, &load).unwrap();
        let held_mol = bed.volume_m3 * bed.capacity_mol_m3 * bed.utilisation;
        let (anion, cation) = (load.anion_mol_m3().unwrap(), load.cation_mol_m3().unwrap());
        // The charge is used up on the worse side, and no side is overrun.
        prop_assert!(same(water_m3 * anion.max(cation), held_mol));
        prop_assert!(water_m3 * anion.min(cation) <= held_mol * (1.0 + 1e-14));
    }

    #[test]
    fn twice_the_bed_twice_the_water(bed in bed(), load in load()) {
        let twice = Bed { volume_m3: 2.0 * bed.volume_m3, ..bed };
        let water_m3 = mixed_bed_to_exhaustion_m3(&bed, &load).unwrap();
        // A factor of two is exact.
        prop_assert_eq!(mixed_bed_to_exhaustion_m3(&twice, &load).unwrap(), 2.0 * water_m3);
        prop_assert_eq!(mixed_bed_to_exhaustion_m3(&bed, &scaled(&load, 2.0)).unwrap(), 0.5 * water_m3);
    }

    #[test]
    fn capacity_and_load_scale_together(bed in bed(), load in load(), factor in 0.6..1.2_f64) {
        let scaled_bed = Bed { capacity_mol_m3: bed.capacity_mol_m3 * factor, ..bed };
        prop_assert!(same(
            mixed_bed_to_exhaustion_m3(&scaled_bed, &scaled(&load, factor)).unwrap(),
            mixed_bed_to_exhaustion_m3(&bed, &load).unwrap()
        ));
    }

    #[test]
    fn separate_beds_end_with_the_first(cation in bed(), anion in bed(), load in load()) {
        let (water_m3, limiting) = separate_beds_to_exhaustion_m3(&cation, &anion, &load).unwrap();
        let by_cation = volume_to_exhaustion_m3(&cation, load.cation_mol_m3().unwrap()).unwrap();
        let by_anion = volume_to_exhaustion_m3(&anion, load.anion_mol_m3().unwrap()).unwrap();
        prop_assert_eq!(water_m3, by_cation.min(by_anion));
        prop_assert_eq!(limiting == Limiting::Cation, by_cation < by_anion);
        // Two equal beds are a mixed bed.
        let (equal_m3, _) = separate_beds_to_exhaustion_m3(&anion, &anion, &load).unwrap();
        prop_assert_eq!(equal_m3, mixed_bed_to_exhaustion_m3(&anion, &load).unwrap());
    }

    #[test]
    fn more_load_is_never_more_water(bed in bed(), load in load(), more in part()) {
        let water_m3 = mixed_bed_to_exhaustion_m3(&bed, &load).unwrap();
        for worse in [
            Load { salt_mol_m3: load.salt_mol_m3 + more, ..load },
            Load { carbon_dioxide_mol_m3: load.carbon_dioxide_mol_m3 + more, ..load },
            Load { silica_mol_m3: load.silica_mol_m3 + more, ..load },
            Load { ammonium_mol_m3: load.ammonium_mol_m3 + more, ..load },
        ] {
            prop_assert!(mixed_bed_to_exhaustion_m3(&bed, &worse).unwrap() <= water_m3);
        }
    }

    #[test]
    fn resin_and_water_undo_each_other(bed in bed(), load in 1e-4..500.0_f64) {
        let water = water_per_resin(bed.capacity_mol_m3, bed.utilisation, load).unwrap();
        let resin = resin_per_water(bed.capacity_mol_m3, bed.utilisation, load).unwrap();
        prop_assert!(same(water * resin, 1.0));
    }

    #[test]
    fn the_zone_and_its_bed(
        height in 0.05..2.0_f64,
        leak in 0.01..10.0_f64,
        zone in 1e-3..1.0_f64,
        unused in 0.0..=1.0_f64,
    ) {
        // A zone that passes in a share of the water before the leak always fits.
        let exhaustion = leak * (1.0 + zone);
        let zone_m = zone_height_m(height, leak, exhaustion, unused).unwrap();
        let used = utilisation_from_zone(height, zone_m, unused).unwrap();
        prop_assert!((0.0..=1.0).contains(&used));
        // What the bed held at the leak, by what it can hold: rounding, magnified by the difference of the
        // readings.
        let held = leak / (leak + unused * (exhaustion - leak));
        prop_assert!((used - held).abs() < 1e-12);
        // The zone is the same in a taller bed, which loses a smaller share.
        prop_assert!(utilisation_from_zone(1.5 * height, zone_m, unused).unwrap() >= used);
    }

    #[test]
    fn degassing_stays_between(before in part(), in_air in part(), share in 0.0..=1.0_f64, more in 0.0..=1.0_f64) {
        let after = degassed_mol_m3(before, in_air, share).unwrap();
        let (low, high) = (before.min(in_air), before.max(in_air));
        prop_assert!(low * (1.0 - 1e-15) <= after && after <= high * (1.0 + 1e-15));
        // Two steps are one step of the shares that are left, multiplied.
        let twice = degassed_mol_m3(after, in_air, more).unwrap();
        let at_once = degassed_mol_m3(before, in_air, 1.0 - (1.0 - share) * (1.0 - more)).unwrap();
        prop_assert!((twice - at_once).abs() <= 1e-14 * high);
    }
}
