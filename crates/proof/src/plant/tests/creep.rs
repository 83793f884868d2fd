//! Salt that creeps while the purifier stands, beside `physics::membrane` (held there by its own checks).

use physics::membrane::{HoldUp, idle_time_constant_s, solids_after_idle_kg_m3};

use super::super::body::Asked;
use super::super::calendar::Holiday;
use super::super::season::ByMonth;
use super::super::{Chance, Coarse, DAY_S, State, drive};
use super::plant;

#[test]
fn creep_is_that_of_two_mixed_volumes() {
    let hold_up = HoldUp {
        permeate_m3: 1e-4,
        feed_side_m3: 4e-4,
    };
    let salt_m3_s = 2e-9;
    let mut purifier = plant().purifier.expect("a purifier");
    purifier.hold_up_m3 = hold_up.permeate_m3;
    purifier.rest_share = 0.8;
    purifier.rest_s = idle_time_constant_s(&hold_up, salt_m3_s).expect("in range");
    for idle_s in [0.0, 600.0, 7200.0, 43_200.0, 864_000.0] {
        let got = purifier.rested_kg_m3(0.4, 0.01, idle_s);
        let wanted = solids_after_idle_kg_m3(&hold_up, 0.01, 0.4, salt_m3_s, idle_s).expect("in range");
        assert!((got - wanted).abs() < 1e-12, "{idle_s}: {got}, not {wanted}");
    }
}

/// Laid up, it makes nothing; put to work again, it throws away as much as after new membranes (the file's
/// `new_membrane_discard`), once.
#[test]
fn after_a_lay_up_the_first_water_is_thrown_away() {
    let mut plant = plant();
    let purifier = plant.purifier.as_mut().expect("a purifier");
    (purifier.flush_m3, purifier.restart_m3) = (1e-3, 5e-3);
    purifier.feeds[0].permeate_m3_s = ByMonth([1e-4; 12]);
    plant.people.calendar.holidays = vec![Holiday {
        from: 10,
        to: 20,
        laid_up: true,
        looks_in_days: None,
    }];
    let low_m3 = plant.vessels[0].full_m3
        - plant.wiring.switches[0]
            .iter()
            .fold(1.0, |least, own| own.dries_m3.min(least));
    let draw = |day: f64| Asked {
        at_s: day * DAY_S,
        vessel: 0,
        volume_m3: low_m3 + 0.01,
    };
    plant.script = vec![draw(12.0), draw(30.0)];
    let mut state = State::begin(&plant, 0.0, Chance::new(1, 0));
    drive(&plant, &mut state, &mut Coarse, 19.9 * DAY_S).expect("drives");
    assert!(state.tally.permeate_m3 == 0.0 && state.tally.flushed_m3 == 0.0);
    drive(&plant, &mut state, &mut Coarse, 40.0 * DAY_S).expect("drives");
    assert_eq!(state.tally.runs_m3.len(), 2);
    // Two starts, and the lay-up.
    assert!(
        (state.tally.flushed_m3 - 7e-3).abs() < 1e-9,
        "{}",
        state.tally.flushed_m3
    );
}
