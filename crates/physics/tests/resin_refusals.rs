//! What resin refuses: values that are no numbers, infinite, or negative.

use physics::resin::{
    Bed, Load, SODIUM_CHLORIDE_KG_EQ, capacity_mol_m3_from_grains_per_ft3, contact_time_s, degassed_mol_m3,
    lead_lag_gain, resin_per_water, salt_equivalents_mol_m3, separate_beds_to_exhaustion_m3,
    service_velocity_m_s, utilisation_from_zone, volume_to_exhaustion_m3, water_per_resin, zone_height_m,
};

#[test]
fn nothing_that_is_no_number_gets_in() {
    let bed = Bed {
        volume_m3: 1e-3,
        capacity_mol_m3: 457.0,
        utilisation: 0.85,
    };
    let load = Load {
        salt_mol_m3: 0.1,
        carbon_dioxide_mol_m3: 0.15,
        silica_mol_m3: 0.02,
        ammonium_mol_m3: 0.01,
    };
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        let beds = [
            Bed {
                volume_m3: bad,
                ..bed
            },
            Bed {
                capacity_mol_m3: bad,
                ..bed
            },
            Bed {
                utilisation: bad,
                ..bed
            },
        ];
        let loads = [
            Load {
                salt_mol_m3: bad,
                ..load
            },
            Load {
                carbon_dioxide_mol_m3: bad,
                ..load
            },
            Load {
                silica_mol_m3: bad,
                ..load
            },
            Load {
                ammonium_mol_m3: bad,
                ..load
            },
        ];
        for bad_bed in beds {
            assert!(volume_to_exhaustion_m3(&bad_bed, 0.2).is_err());
            assert!(separate_beds_to_exhaustion_m3(&bed, &bad_bed, &load).is_err());
            assert!(separate_beds_to_exhaustion_m3(&bad_bed, &bed, &load).is_err());
        }
        for bad_load in loads {
            assert!(bad_load.anion_mol_m3().is_err());
            assert!(bad_load.cation_mol_m3().is_err());
            assert!(separate_beds_to_exhaustion_m3(&bed, &bed, &bad_load).is_err());
        }
        assert!(volume_to_exhaustion_m3(&bed, bad).is_err());
        assert!(capacity_mol_m3_from_grains_per_ft3(bad).is_err());
        assert!(salt_equivalents_mol_m3(bad, SODIUM_CHLORIDE_KG_EQ).is_err());
        assert!(salt_equivalents_mol_m3(0.01, bad).is_err());
        assert!(water_per_resin(bad, 0.85, 0.2).is_err() && water_per_resin(457.0, bad, 0.2).is_err());
        assert!(resin_per_water(457.0, 0.85, bad).is_err());
        assert!(utilisation_from_zone(bad, 0.1, 0.5).is_err());
        assert!(
            utilisation_from_zone(0.5, bad, 0.5).is_err() && utilisation_from_zone(0.5, 0.1, bad).is_err()
        );
        assert!(zone_height_m(0.5, bad, 1.0, 0.5).is_err() && zone_height_m(0.5, 0.5, bad, 0.5).is_err());
        assert!(lead_lag_gain(bad, 1.0).is_err() && lead_lag_gain(0.8, bad).is_err());
        assert!(contact_time_s(bad, 1e-6).is_err() && contact_time_s(1e-3, bad).is_err());
        assert!(service_velocity_m_s(bad, 1e-3).is_err() && service_velocity_m_s(1e-6, bad).is_err());
        assert!(degassed_mol_m3(bad, 0.01, 0.5).is_err() && degassed_mol_m3(0.1, bad, 0.5).is_err());
        assert!(degassed_mol_m3(0.1, 0.01, bad).is_err());
    }
}
