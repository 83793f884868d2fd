//! Time under the reserve: what a vessel with even flows in and out is under it for, by division.

use station::control::Mark;

use super::super::body::{Asked, Plant};
use super::super::season::ByMonth;
use super::super::ways::Way;
use super::super::{Chance, Coarse, DAY_S, State, Tally, drive, finish};
use super::{AT_ONCE, plant};

/// 0.8 m³ when full, made at 10⁻⁴ m³/s from 0.3 m³ on; a reserve of 0.25 m³.
fn vessel() -> Plant {
    let mut plant = plant();
    plant.vessels[0].full_m3 = 0.8;
    plant.vessels[0].low_m3 = 0.05;
    for switch in &mut plant.wiring.switches[0] {
        (switch.wets_m3, switch.dries_m3) = match switch.mark {
            Mark::Start => (0.3, 0.3),
            _ => (0.8, 0.79),
        };
    }
    let purifier = plant.purifier.as_mut().expect("a purifier");
    purifier.flush_m3 = 0.0;
    purifier.feeds[0].permeate_m3_s = ByMonth([1e-4; 12]);
    plant.reserve_m3 = [0.25, 0.0];
    plant
}

fn under_s(plant: &Plant, days: f64) -> [f64; 2] {
    let mut state = State::begin(plant, 0.0, Chance::new(1, 0));
    drive(plant, &mut state, &mut Coarse, 0.5 * DAY_S).expect("drives");
    state.tally = Tally::begin(state.t_s);
    drive(plant, &mut state, &mut Coarse, days * DAY_S).expect("drives");
    finish(plant, &mut state);
    state.tally.under_reserve_s
}

/// What is ready is what can be drawn: the reserve of 0.25 m³ is there from 0.3 m³ on.
#[test]
fn until_it_is_made_again() {
    let mut plant = vessel();
    plant.script = vec![Asked {
        at_s: DAY_S,
        vessel: 0,
        volume_m3: 0.6,
    }];
    // Down to 0.2 m³ at once; the switch must say so for 2 s; 0.1 m³ at 10⁻⁴ m³/s.
    let [fresh_s, salt_s] = under_s(&plant, 3.0);
    assert!((fresh_s - (2.0 + 0.1 / 1e-4)).abs() < 1e-2, "{fresh_s}");
    assert!(salt_s.abs() < 1e-12);
}

#[test]
fn while_it_is_drawn_and_until_it_is_made_again() {
    let mut plant = vessel();
    // One top-off of 0.6 m³, at 2·10⁻⁴ m³/s: what evaporates in a day from the first midnight on.
    let calendar = &mut plant.people.calendar;
    calendar.weekdays = [false, true, false, false, false, false, false];
    calendar.arrives_s = 3600.0;
    calendar.stays_s = 3600.0;
    let rate = 2e-4;
    plant.tanks[0].top_off_m3_s = ByMonth([0.6 / (DAY_S + 3600.0); 12]);
    let way = Way {
        rate_m3_s: rate,
        ..AT_ONCE
    };
    plant.ways.to_tank = vec![vec![way]; 2];
    // Drawn from 0.8 to 0.2 m³ in 3000 s: under 0.3 m³ the purifier starts, 2 s later; from there on it falls at half the
    // speed. Then it is made again.
    let [fresh_s, _] = under_s(&plant, 2.9);
    let drawing_s = (0.6 - 0.5) / rate;
    let lowest_m3 = 0.3 - rate * drawing_s + 1e-4 * (drawing_s - 2.0);
    let filling_s = (0.3 - lowest_m3) / 1e-4;
    assert!(
        (fresh_s - drawing_s - filling_s).abs() < 1e-2,
        "{fresh_s} {}",
        drawing_s + filling_s
    );
}
