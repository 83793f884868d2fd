//! Heat, by the balance of a thermostat at rest: what a vessel loses, its heater gives.

use super::super::body::{Heat, Plant};
use super::super::heat::warm_batch;
use super::super::season::ByMonth;
use super::super::{Account, Chance, Coarse, DAY_S, Outside, State, Tally, YEAR_S, drive};
use super::plant;

/// 24 °C in a room of 18 °C; 0.7 m³ of salt water when full.
const HEAT: Heat = Heat {
    set_c: 24.0,
    heater_w: 300.0,
    loss_w_k: 20.0,
    capacity_j_m3_k: 4.09e6,
    keeps_warm: true,
    heater_m3: 0.1,
};

fn warm(heat: Heat) -> (Plant, State) {
    let mut plant = plant();
    plant.room_c = ByMonth([18.0; 12]);
    plant.vessels[1].full_m3 = 0.7;
    plant.vessels[1].heat = Some(heat);
    let state = State::begin(&plant, 0.0, Chance::new(1, 0));
    (plant, state)
}

/// Takes water out of the salt vessel so that so much is left.
fn leave(plant: &Plant, state: &mut State, left_m3: f64) {
    let there_m3 = state.volume_m3(plant, 1);
    let amount = state.books.vessel(1).times(1.0 - left_m3 / there_m3);
    state.book(
        plant,
        Account::Vessel(1),
        Account::Outside(Outside::Tanks),
        amount,
    );
}

fn heaters_j(plant: &Plant, state: &mut State) -> f64 {
    state.tally = Tally::begin(0.0);
    drive(plant, state, &mut Coarse, YEAR_S).expect("drives");
    state.tally.energy_j[0]
}

#[test]
fn a_year_of_keeping_warm() {
    // UA·ΔT: 20 W/K · 6 K = 120 W when full, as much less as less stands in it; never more than its heater; nothing where it
    // isn't covered, or isn't kept warm. Every midnight but the first, which the year begins with; so 365.
    for (heat, left_m3, wanted_w) in [
        (HEAT, 0.7, 120.0),
        (HEAT, 0.35, 60.0),
        (
            Heat {
                heater_w: 50.0,
                ..HEAT
            },
            0.7,
            50.0,
        ),
        (HEAT, 0.09, 0.0),
        (
            Heat {
                keeps_warm: false,
                ..HEAT
            },
            0.7,
            0.0,
        ),
        (Heat { set_c: 15.0, ..HEAT }, 0.7, 0.0),
    ] {
        let (plant, mut state) = warm(heat);
        leave(&plant, &mut state, left_m3);
        let got = heaters_j(&plant, &mut state) / YEAR_S;
        assert!(
            (got - wanted_w).abs() < 1e-9 * 120.0,
            "{heat:?}: {got}, not {wanted_w}"
        );
    }
}

#[test]
fn a_batch_takes_its_time_to_warm() {
    // 0.5 m³ poured in: 4.09 MJ/(m³·K) · 0.5 m³ · 6 K = 12.27 MJ, by what the heater has to spare, 300 − 120 W: 68 167 s.
    let (plant, mut state) = warm(HEAT);
    state.poured_m3 = 0.5;
    let seconds = warm_batch(&plant, &mut state, 1);
    assert!((seconds - 12.27e6 / 180.0).abs() < 1e-6, "{seconds}");
    assert!((state.tally.energy_j[0] - 12.27e6).abs() < 1e-6);
    // Half full, it loses half.
    leave(&plant, &mut state, 0.35);
    state.poured_m3 = 0.2;
    let seconds = warm_batch(&plant, &mut state, 1);
    assert!((seconds - 4.09e6 * 0.2 * 6.0 / 240.0).abs() < 1e-6, "{seconds}");
    // One that isn't kept warm is cold throughout.
    let (plant, mut state) = warm(Heat {
        keeps_warm: false,
        heater_w: 500.0,
        ..HEAT
    });
    state.poured_m3 = 0.1;
    let seconds = warm_batch(&plant, &mut state, 1);
    assert!((seconds - 4.09e6 * 0.7 * 6.0 / 380.0).abs() < 1e-6, "{seconds}");
    // A heater that can't hold it is waited for a day.
    let (plant, mut state) = warm(Heat {
        heater_w: 100.0,
        ..HEAT
    });
    state.poured_m3 = 0.5;
    assert!((warm_batch(&plant, &mut state, 1) - DAY_S).abs() < 1e-9);
}
