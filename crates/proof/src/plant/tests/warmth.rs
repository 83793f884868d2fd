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
        Account::vessel(1),
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

/// Half of the band between a thermostat's on and off, K: as the station's control has it.
const HALF_BAND_K: f64 = 0.5;

/// Heat that a thermostat gives which switches, from switching to switching: between two the vessel goes along an
/// exponential towards where loss and heater balance. Energy at each midnight, J. The room is that of the middle of each hour.
fn switched_j(heat: Heat, room_c: ByMonth, full_m3: f64) -> Vec<f64> {
    let tau_s = heat.capacity_j_m3_k * full_m3 / heat.loss_w_k;
    let (mut water_c, mut on, mut energy_j) = (heat.set_c, true, 0.0);
    let mut midnights = Vec::new();
    for hour in 0..365 * 24 {
        let mut left_s = 3600.0;
        while left_s > 0.0 {
            let power_w = if on { heat.heater_w } else { 0.0 };
            let towards_c = room_c.at((f64::from(hour) + 0.5) * 3600.0) + power_w / heat.loss_w_k;
            let mark_c = heat.set_c + if on { HALF_BAND_K } else { -HALF_BAND_K };
            let ratio = (water_c - towards_c) / (mark_c - towards_c);
            let seconds = if ratio > 1.0 {
                tau_s * libm::log(ratio)
            } else {
                f64::INFINITY
            };
            let passed_s = seconds.min(left_s);
            water_c = towards_c + (water_c - towards_c) * libm::exp(-passed_s / tau_s);
            energy_j += power_w * passed_s;
            left_s -= passed_s;
            if seconds <= passed_s {
                on = !on;
            }
        }
        if (hour + 1) % 24 == 0 {
            midnights.push(energy_j);
        }
    }
    midnights
}

/// A thermostat that switches and the balance by days are never further apart than what its band holds, 1 K of 0.7 m³, and
/// what the bend of its exponentials adds up to: under 0.2 % (the mean of a cycle lies some band²/(12·rise) from its middle).
#[test]
fn days_are_as_good_as_a_thermostat_that_switches() {
    let room_c = super::super::season::Wave {
        winter: 15.0,
        summer: 21.0,
        coldest: 1,
    }
    .by_month();
    let (mut plant, _) = warm(HEAT);
    plant.room_c = room_c;
    let mut state = State::begin(&plant, 0.0, Chance::new(1, 0));
    state.tally = Tally::begin(0.0);
    let switched = switched_j(HEAT, room_c, 0.7);
    let band_j = 2.0 * HALF_BAND_K * HEAT.capacity_j_m3_k * 0.7;
    for (day, switched_j) in switched.iter().enumerate() {
        drive(&plant, &mut state, &mut Coarse, (day + 1) as f64 * DAY_S + 1.0).expect("drives");
        let by_days_j = state.tally.energy_j[0];
        assert!(
            (by_days_j - switched_j).abs() < band_j + 0.002 * by_days_j,
            "day {day}: {by_days_j} {switched_j}"
        );
    }
    // 120 W as a mean.
    let year_j = state.tally.energy_j[0];
    assert!((year_j / YEAR_S - 120.0).abs() < 1.0, "{year_j}");
    assert!(
        (year_j / switched[364] - 1.0).abs() < 0.003,
        "{year_j} {}",
        switched[364]
    );
}
