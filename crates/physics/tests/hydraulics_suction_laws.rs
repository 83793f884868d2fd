//! What must hold for every suction side, and what every question about it refuses.

use physics::hydraulics::suction::{
    Crest, CrestState, Filling, Place, Start, SuctionError, SuctionHead, SuctionLine, Tube, WallStiffness,
    air_pocket, back_flow_m3, clearing_velocity_m_s, collapse_margin, collapse_pressure_pa, crest_of,
    froude_number, greatest_flow_m3_s, hose_volume_m3, judge_velocity, least_level_m, least_submergence_m,
    mean_velocity_m_s, npsh_available_m, npsh_margin, siphon_break_heights, standard_pressure_pa, start_of,
    surge, water_vapour_pressure_pa, wave_speed_m_s,
};
use proptest::prelude::*;

const HEAD: SuctionHead = SuctionHead {
    surface_absolute_pa: 101_325.0,
    vapour_pa: 3169.0,
    density_kg_m3: 997.0,
    static_head_m: 0.3,
    friction_head_m: 0.2,
};

const CREST: Crest = Crest {
    surface_absolute_pa: 101_325.0,
    air_absolute_pa: 101_325.0,
    vapour_pa: 2339.0,
    density_kg_m3: 1000.0,
    rise_m: 1.0,
    velocity_m_s: 2.0,
    friction_head_m: 0.5,
};

const TUBE: Tube = Tube {
    outer_m: 0.016,
    wall_m: 0.001,
    modulus_pa: 1e7,
    poisson: 0.48,
};

const WALL: WallStiffness = WallStiffness {
    bore_m: 0.017,
    wall_m: 0.0015,
    modulus_pa: 3e9,
};

/// Absolute pressure at a crest that doesn't break.
fn pressure_pa(crest: &Crest) -> Option<f64> {
    match crest_of(crest).expect("a sound question") {
        CrestState::AboveAir { absolute_pa } | CrestState::BelowAir { absolute_pa, .. } => Some(absolute_pa),
        CrestState::Breaks { .. } => None,
    }
}

proptest! {
    #[test]
    fn suction_head_falls_one_by_one_with_friction_and_lift(loss in 0.0..50.0_f64, lift in 0.0..50.0_f64) {
        let base_m = npsh_available_m(&HEAD).unwrap();
        let drawn = SuctionHead {
            static_head_m: HEAD.static_head_m - lift,
            friction_head_m: HEAD.friction_head_m + loss,
            ..HEAD
        };
        prop_assert!((npsh_available_m(&drawn).unwrap() - (base_m - loss - lift)).abs() < 1e-12);
        let margin = npsh_margin(&drawn, 2.0).unwrap();
        prop_assert!((margin.ratio * 2.0 - 2.0 - margin.spare_m).abs() < 1e-12);
    }

    #[test]
    fn the_air_thins_and_balances_its_own_weight(altitude in -1900.0..10_900.0_f64) {
        // dp/dH = -p·g/(R·T), here by a difference of two metres, good to 10⁻⁷ of itself.
        let [below, here, above] =
            [altitude - 1.0, altitude, altitude + 1.0].map(|m| standard_pressure_pa(m).unwrap());
        let weight = here * 9.806_65 / (287.052_87 * (288.15 - 0.0065 * altitude));
        prop_assert!(((below - above) / 2.0 / weight - 1.0).abs() < 1e-6);
    }

    #[test]
    fn flow_and_depth_are_each_others_inverse(bore in 2e-3..0.3_f64, velocity in 0.01..5.0_f64) {
        let depth_m = least_submergence_m(bore, velocity).unwrap();
        prop_assert!(depth_m > bore);
        let flow_m3_s = greatest_flow_m3_s(bore, depth_m).unwrap();
        // Depth less one bore loses digits where the flow is slow: a share of 0.007 of the depth at the worst.
        prop_assert!((mean_velocity_m_s(flow_m3_s, bore).unwrap() / velocity - 1.0).abs() < 1e-12);
        // Larger opening, same flow: less depth, while the velocity counts for more than the bore.
        prop_assume!(froude_number(velocity, bore).unwrap() > 1.0);
        let wider = least_submergence_m(1.1 * bore, velocity / 1.21).unwrap();
        prop_assert!(wider < depth_m);
    }

    #[test]
    fn collapse_goes_with_the_cube(wall in 2e-4..1.5e-3_f64, outer in 0.0128..0.1_f64, modulus in 1e6..1e9_f64) {
        let tube = Tube { outer_m: outer, wall_m: wall, modulus_pa: modulus, poisson: 0.48 };
        // The same shape twice as large is as strong; twice the wall at the same mean diameter eight times.
        let pressure = collapse_pressure_pa(&tube).unwrap();
        let large = Tube { outer_m: 2.0 * outer, wall_m: 2.0 * wall, ..tube };
        prop_assert!((collapse_pressure_pa(&large).unwrap() / pressure - 1.0).abs() < 1e-13);
        let thick = Tube { outer_m: outer + wall, wall_m: 2.0 * wall, ..tube };
        prop_assert!((collapse_pressure_pa(&thick).unwrap() / pressure - 8.0).abs() < 1e-12);
        let stiff = Tube { modulus_pa: 3.0 * modulus, ..tube };
        prop_assert!((collapse_pressure_pa(&stiff).unwrap() / pressure - 3.0).abs() < 1e-13);
        let margin = collapse_margin(&tube, 0.5 * pressure).unwrap_or_else(|_| collapse_margin(&tube, 0.0).unwrap());
        prop_assert!(margin.share < 0.5 + 1e-12 && margin.spare_pa > 0.0);
    }

    #[test]
    fn a_crest_loses_what_hangs_on_it(rise in 0.0..4.0_f64, more in 0.0..4.0_f64, velocity in 0.0..3.0_f64) {
        let low = Crest { rise_m: rise, velocity_m_s: velocity, friction_head_m: 0.0, ..CREST };
        let lost = Crest { friction_head_m: more, ..low };
        let (at_low, at_lost) = (pressure_pa(&low), pressure_pa(&lost));
        prop_assert!((at_low.unwrap() - at_lost.unwrap() - 9806.65 * more).abs() < 1e-9);
    }

    #[test]
    fn a_dry_start_is_a_matter_of_the_highest_point(
        surface in -10.0..10.0_f64, crest in -10.0..10.0_f64, pump in -10.0..10.0_f64, dry in 0.0..10.0_f64,
    ) {
        let line = SuctionLine { surface_m: surface, crest_m: crest, pump_m: pump };
        let lift = crest.max(pump) - surface;
        match start_of(&line, Filling::Air, dry).unwrap() {
            Start::Flooded => prop_assert!(lift <= 0.0),
            Start::PrimesItself { spare_m } => prop_assert!((dry - lift - spare_m).abs() < 1e-12 && lift > 0.0),
            Start::AirLocked { short_m } => prop_assert!((lift - dry - short_m).abs() < 1e-12 && short_m > 0.0),
            Start::HoldsItsPrime { .. } => prop_assert!(false, "it was empty"),
        }
        let full = start_of(&line, Filling::Water, dry).unwrap();
        let expected = if lift <= 0.0 { Start::Flooded } else { Start::HoldsItsPrime { lift_m: lift } };
        prop_assert_eq!(full, expected);
    }

    #[test]
    fn a_blow_is_softer_the_slower_and_never_harder_than_sudden(
        velocity in 0.0..5.0_f64, length in 0.0..50.0_f64, closing in 0.0..5.0_f64,
    ) {
        let sudden = surge(1000.0, 400.0, velocity, length, 0.0).unwrap();
        let closed = surge(1000.0, 400.0, velocity, length, closing).unwrap();
        let slower = surge(1000.0, 400.0, velocity, length, 2.0 * closing).unwrap();
        prop_assert!(sudden.sudden && sudden.rise_pa == 1000.0 * velocity * 400.0);
        prop_assert!(slower.rise_pa <= closed.rise_pa && closed.rise_pa <= sudden.rise_pa);
        if !closed.sudden {
            // Michaud: the momentum of the column over half the time.
            let expected_pa = 2.0 * 1000.0 * length * velocity / closing;
            prop_assert!((closed.rise_pa - expected_pa).abs() <= 1e-12 * expected_pa);
        }
    }

    #[test]
    fn what_goes_back_is_what_lay_above_the_hole(level in 0.0..2.0_f64, lowest in 0.0..2.0_f64, hole in 1e-3..0.05_f64) {
        match siphon_break_heights(level, lowest, hole) {
            // With the hole as low as it may be, the vessel sinks just to its lowest level.
            Ok(heights) => {
                let back_m3 = back_flow_m3(0.25, level, heights.lowest_m, hole).unwrap();
                prop_assert!((back_m3 - 0.25 * (level - lowest)).abs() < 1e-14);
            }
            Err(_) => prop_assert!(level - lowest < hole + 1e-12),
        }
    }
}

#[test]
fn nothing_that_is_no_number_gets_in() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1e9, 1e12] {
        let heads = [
            SuctionHead {
                surface_absolute_pa: bad,
                ..HEAD
            },
            SuctionHead {
                vapour_pa: bad,
                ..HEAD
            },
            SuctionHead {
                density_kg_m3: bad,
                ..HEAD
            },
            SuctionHead {
                static_head_m: bad,
                ..HEAD
            },
            SuctionHead {
                friction_head_m: bad,
                ..HEAD
            },
        ];
        for head in heads {
            assert!(
                npsh_available_m(&head).is_err() && npsh_margin(&head, 1.0).is_err(),
                "{head:?}"
            );
        }
        let crests = [
            Crest {
                surface_absolute_pa: bad,
                ..CREST
            },
            Crest {
                air_absolute_pa: bad,
                ..CREST
            },
            Crest {
                vapour_pa: bad,
                ..CREST
            },
            Crest {
                density_kg_m3: bad,
                ..CREST
            },
            Crest { rise_m: bad, ..CREST },
            Crest {
                velocity_m_s: bad,
                ..CREST
            },
            Crest {
                friction_head_m: bad,
                ..CREST
            },
        ];
        for crest in crests {
            assert!(crest_of(&crest).is_err(), "{crest:?}");
        }
        let tubes = [
            Tube { outer_m: bad, ..TUBE },
            Tube { wall_m: bad, ..TUBE },
            Tube {
                modulus_pa: bad,
                ..TUBE
            },
            Tube { poisson: bad, ..TUBE },
        ];
        for tube in tubes {
            assert!(collapse_pressure_pa(&tube).is_err(), "{tube:?}");
        }
        for wall in [
            WallStiffness { bore_m: bad, ..WALL },
            WallStiffness { wall_m: bad, ..WALL },
            WallStiffness {
                modulus_pa: bad,
                ..WALL
            },
        ] {
            assert!(wave_speed_m_s(&wall, 1000.0).is_err(), "{wall:?}");
        }
        let level = SuctionLine {
            surface_m: 0.0,
            crest_m: 0.0,
            pump_m: 0.0,
        };
        for line in [
            SuctionLine {
                surface_m: bad,
                ..level
            },
            SuctionLine {
                crest_m: bad,
                ..level
            },
            SuctionLine { pump_m: bad, ..level },
        ] {
            assert!(start_of(&line, Filling::Air, 0.0).is_err(), "{line:?}");
        }
        for place in 0..5 {
            let mut a = [1000.0, 400.0, 1.0, 3.0, 0.1];
            a[place] = bad;
            assert!(surge(a[0], a[1], a[2], a[3], a[4]).is_err(), "{place}");
        }
        for place in 0..4 {
            let mut a = [0.25, 0.5, 0.4, 0.01];
            a[place] = bad;
            assert!(back_flow_m3(a[0], a[1], a[2], a[3]).is_err(), "{place}");
        }
        let refused = [
            npsh_margin(&HEAD, bad).is_err(),
            standard_pressure_pa(bad).is_err(),
            water_vapour_pressure_pa(bad, 0.0).is_err(),
            water_vapour_pressure_pa(20.0, bad).is_err(),
            froude_number(bad, 0.02).is_err(),
            froude_number(1.0, bad).is_err(),
            least_submergence_m(bad, 1.0).is_err(),
            least_submergence_m(0.02, bad).is_err(),
            least_level_m(bad, 0.02, 1.0).is_err(),
            greatest_flow_m3_s(bad, 0.2).is_err(),
            greatest_flow_m3_s(0.02, bad).is_err(),
            start_of(&level, Filling::Water, bad).is_err(),
            air_pocket(bad, 0.02).is_err(),
            air_pocket(1.0, bad).is_err(),
            clearing_velocity_m_s(bad).is_err(),
            hose_volume_m3(bad, 1.0).is_err(),
            hose_volume_m3(0.02, bad).is_err(),
            siphon_break_heights(bad, 0.2, 0.01).is_err(),
            siphon_break_heights(0.5, bad, 0.01).is_err(),
            siphon_break_heights(0.5, 0.2, bad).is_err(),
            collapse_margin(&TUBE, bad).is_err(),
            mean_velocity_m_s(bad, 0.02).is_err(),
            mean_velocity_m_s(1e-4, bad).is_err(),
            judge_velocity(Place::Suction, bad).is_err(),
            wave_speed_m_s(&WALL, bad).is_err(),
        ];
        assert!(!refused.contains(&false), "{bad}: {refused:?}");
    }
}

#[test]
fn a_refusal_says_what_to_do() {
    let out = standard_pressure_pa(1e5).unwrap_err();
    for refusal in [
        SuctionError::OutOfRange(out),
        greatest_flow_m3_s(0.02, 0.01).unwrap_err(),
        siphon_break_heights(0.1, 0.2, 0.01).unwrap_err(),
        collapse_pressure_pa(&Tube {
            wall_m: 0.008,
            ..TUBE
        })
        .unwrap_err(),
    ] {
        assert!(!refusal.mend().is_empty() && !refusal.to_string().is_empty());
    }
}
