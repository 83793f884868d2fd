//! What passes a wall and leaves an open surface: worked values, and each by its own definition.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use crate::heat_support;

use heat_support::{DRUM_MOUTH, WALL};
use physics::evaporation::{SurfaceAir, evaporation_kg_s_m2, latent_heat_j_kg, vapour_pressure_pa};
use physics::heat::{
    EnvelopePart, OpenSurface, VesselWall, air_film, loss_w_k, open_surface_loss, upright_plate_nusselt,
    wall_loss,
};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got / expected - 1.0).abs() <= tolerance,
        "{got} for {expected}, off by {:e}",
        got / expected - 1.0
    );
}

/// Source: Incropera & DeWitt, example on a glass door before a fire (Ra 1.813·10⁹, Pr 0.690, Nu 147), from memory;
/// and a public worked value (Ra 10⁸, Pr 0.71, Nu 61.0).
#[test]
fn upright_plates() {
    for (rayleigh, prandtl, expected) in [(1.813e9, 0.690, 147.0), (1e8, 0.71, 61.0)] {
        let got = upright_plate_nusselt(rayleigh, prandtl).unwrap();
        // Three digits.
        near(got, expected, 4e-3);
    }
    // Without convection 0.825² is left, in the limit.
    near(
        upright_plate_nusselt(0.1, 0.7).unwrap().sqrt() - 0.825,
        0.387 * 0.681_3 / 1.195,
        5e-3,
    );
}

#[test]
fn walls() {
    // Radiation of a black wall as warm as its room, 4·σ·T³: 5.71 W/(m²·K) at 20 °C, by hand.
    near(
        air_film(0.8, 20.0, 20.0, 1.0).unwrap().radiation_w_m2_k,
        5.714,
        1e-3,
    );
    // By hand at a film of 300 K, where the table of air has a row: Ra 2.952·10⁸, Nu 84.53, 84.53·0.0263/0.8.
    near(
        air_film(0.8, 30.0, 23.7, 0.9).unwrap().convection_w_m2_k,
        2.779,
        3e-4,
    );
    // And at its other rows, by the same rule: 250 K is out of reach, 350 K too; half-way up, air is thinner and carries
    // more: 28.2 mW/(m·K) and 18.33·10⁻⁶ m²/s at 325 K (from memory, within 1 %), Ra 2.035·10⁸ and Nu 75.46 for 6.3 K.
    near(
        air_film(0.8, 55.0, 48.7, 0.9).unwrap().convection_w_m2_k,
        75.46 * 0.0282 / 0.8,
        1e-2,
    );
    // Handbook 12: natural convection and radiation about 8, and 5 to 8 over all for a plastic vessel indoors.
    for (water_c, air_c) in [(25.0, 18.0), (28.0, 10.0), (15.0, 20.0), (20.0, 18.0)] {
        let loss = wall_loss(&WALL, water_c, air_c).unwrap();
        assert!((7.0..10.0).contains(&loss.film.total_w_m2_k()), "{loss:?}");
        assert!((5.0..8.0).contains(&loss.overall_w_m2_k), "{loss:?}");
        // What comes through the wall leaves it.
        let through = (water_c - loss.outside_c) / (1.0 / 200.0 + 0.005 / 0.45);
        // The outside is known to 10⁻⁹ K of 0.3 and more.
        near(through, loss.overall_w_m2_k * (water_c - air_c), 1e-7);
    }
    // 3 cm of foam take it to a watt; a wall of nothing leaves the films.
    let foam = VesselWall {
        thickness_m: 0.03,
        conductivity_w_m_k: 0.035,
        ..WALL
    };
    let insulated = wall_loss(&foam, 25.0, 18.0).unwrap().overall_w_m2_k;
    assert!((0.9..1.05).contains(&insulated), "{insulated}");
    let bare = wall_loss(
        &VesselWall {
            thickness_m: 0.0,
            ..WALL
        },
        25.0,
        18.0,
    )
    .unwrap();
    near(
        1.0 / bare.overall_w_m2_k,
        1.0 / 200.0 + 1.0 / bare.film.total_w_m2_k(),
        1e-13,
    );
    // As warm as the room: a coefficient, not a division by nothing.
    let still = wall_loss(&WALL, 20.0, 20.0).unwrap();
    assert!(
        still.outside_c == 20.0 && (4.0..6.0).contains(&still.overall_w_m2_k),
        "{still:?}"
    );
    // By hand: 1.5 m² at 6 and 0.25 m² at 3.
    let parts = [(1.5, 6.0), (0.25, 3.0)].map(|(area_m2, overall_w_m2_k)| EnvelopePart {
        area_m2,
        overall_w_m2_k,
    });
    assert_eq!(loss_w_k(&parts), Ok(9.75));
    assert_eq!(loss_w_k(&[]), Ok(0.0));
}

#[test]
fn open_surfaces() {
    let loss = open_surface_loss(&DRUM_MOUTH, 26.0).unwrap();
    let air = SurfaceAir {
        water_temperature_c: 26.0,
        ..DRUM_MOUTH.air
    };
    let vapour_w = 0.26 * evaporation_kg_s_m2(&air, 0.5).unwrap() * latent_heat_j_kg(26.0).unwrap();
    near(loss.evaporation_w, vapour_w, 1e-14);
    // Bowen's ratio, by its own definition.
    let difference_pa = vapour_pressure_pa(26.0, 1.0).unwrap() - vapour_pressure_pa(24.0, 0.5).unwrap();
    near(
        loss.convection_w / loss.evaporation_w,
        61.0 * 2.0 / difference_pa,
        1e-12,
    );
    // A kg of air holds 1005 J/K, and 0.622·2.44 MJ by its vapour's share of 101 325 Pa: 67 Pa/K, within a tenth.
    near(61.0, 1005.0 * 101_325.0 / (0.622 * 2.44e6), 0.1);
    // Handbook 12: evaporation is often more than half of what an open top loses.
    assert!(loss.evaporation_w > loss.total_w() / 2.0);
    // By hand: 0.26 m²·0.95·σ·(299.15⁴ − 297.15⁴) K⁴.
    near(loss.radiation_w, 2.9697, 1e-4);
    near(
        loss.total_w(),
        loss.evaporation_w + loss.convection_w + loss.radiation_w,
        1e-15,
    );
    let none = OpenSurface {
        area_m2: 0.0,
        ..DRUM_MOUTH
    };
    assert_eq!(open_surface_loss(&none, 26.0).unwrap().total_w(), 0.0);
}
