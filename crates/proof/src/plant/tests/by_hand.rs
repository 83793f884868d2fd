//! A year in which nothing is left to chance, beside a reckoning by hand.
//!
//! Source: conservation of water and salt; the formulas of `physics` for what evaporates, for sea water and for a membrane
//! that rests and starts, each held by its own checks there. The reckoning knows nothing of events.

use physics::evaporation::{SurfaceAir, evaporation_kg_s_m2};
use physics::membrane::{HoldUp, Idle, TemperatureResponse, after_flush_kg, concentration_factor};
use physics::seawater;
use station::Station;

use super::super::state::kind;
use super::super::stores::Batch;
use super::super::{Account, Chance, Coarse, DAY_S, Outside, State, Tally, YEAR_S, drive, finish};
use crate::analysis::prepare;
use crate::assess::{Scope, assess};
use station::sections::Water;

/// Everything is the same all year but what evaporates from the tanks. All numbers are invented.
const STATION: &str = r#"
title = "By hand"

[room]
lowest_winter_temperature = "20 C"
highest_summer_temperature = "20 C"
humidity = "0.5"
winter_humidity = "0.5"

[people]
days = "every day"
arrives = "09:00"
stays = "4 h"
late_by = "0 min"

[tanks.north]
volume = "1000 L"
salinity = 35
temperature = "20 C"
evaporation = "9 L/day"
evaporation_in_winter = "14 L/day"
change = "60 L"
change_every = "5 days"
emergency_change = "0 %"

[tanks.south]
volume = "500 L"
salinity = 35
temperature = "20 C"
evaporation = "4 L/day"
change = "25 L"
change_every = "73 h"
emergency_change = "0 %"

[vessels.fresh]
holds = "fresh"
shape = "cylinder"
diameter = "800 mm"
height = "1000 mm"
fill = "automatic"
lid = "none"
start_level = "500 mm"
stop_level = "800 mm"

[vessels.salt]
holds = "salt"
shape = "cylinder"
diameter = "900 mm"
height = "800 mm"
lid = "loose"
target_salinity = 35
mixing_temperature = "20 C"
batch_volume = "400 L"

[salt]
label = "20 kg makes 540 L at 35 and 25 C, finished"
mixing_time = "3 h"

[feed]
pressure = "4 bar"
coldest = "12 C"
warmest = "12 C"
conductivity = "400 uS/cm"

[purifier]
control = "level switches"
feed_valve = true
waste_ratio = 3
flush = "20 mL"

[membranes.one]
rated_flow = "100 gal/day"
rated_pressure = "60 psi"
rated_solids = "250 mg/L"
rejection = "97 %"

[reserve]
salt = "120 L"

[resin_beds.canister]
kind = "mixed"
volume = "0.55 L"
"#;

#[track_caller]
fn near(what: &str, got: f64, wanted: f64, share: f64) {
    assert!(
        (got - wanted).abs() <= share * wanted.abs(),
        "{what}: {got}, by hand {wanted}, apart by {:e}",
        got / wanted - 1.0
    );
}

#[test]
fn a_year_without_chance_is_what_it_is_by_hand() {
    let station = Station::read(STATION).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let plant = prepare(&station, false).expect("a plant").nominal;
    let mut state = State::begin(&plant, -28.0 * DAY_S, Chance::new(1, 0));
    drive(&plant, &mut state, &mut Coarse, 0.0).expect("drives");
    finish(&plant, &mut state);
    state.tally = Tally::begin(0.0);
    let began = state.clone();
    drive(&plant, &mut state, &mut Coarse, YEAR_S).expect("drives");
    finish(&plant, &mut state);
    let tally = &state.tally;
    let since = |account: Account| {
        let (now, then) = (state.books.of(account), began.books.of(account));
        (now.water_m3 - then.water_m3, now.salt_kg - then.salt_kg)
    };
    let outside = |of: Outside| since(Account::Outside(of));
    let held = |vessel: usize| state.volume_m3(&plant, vessel) - began.volume_m3(&plant, vessel);
    let (fresh, salt) = (0, 1);

    // A visit each day at nine tops off what a day took. A wave's mean is the mean of its ends, 11.5 L; the midpoint rule
    // over days is off where months join, by 1/8·(1/30)² of what changes in a month.
    near(
        "top-off",
        tally.to_tanks_m3[kind(Water::Fresh)],
        365.0 * (0.0115 + 0.004),
        1e-4,
    );

    // 73 changes of 60 L; one of 25 L each 73 h, which is 120 in the year.
    let changes_m3 = 73.0 * 0.060 + 120.0 * 0.025;
    near("changes", tally.to_tanks_m3[kind(Water::Salt)], changes_m3, 1e-9);

    // From a still surface, half of a busy one's (the activity factor), at the air's temperature, under its lid: all of
    // it, or three twentieths. The fresh vessel is 0.8 m wide, the salt one 0.9 m.
    let evaporates = |salinity: f64, diameter_m: f64, open: f64| {
        let air = SurfaceAir {
            water_temperature_c: 20.0,
            practical_salinity: salinity,
            air_temperature_c: 20.0,
            relative_humidity: 0.5,
            air_speed_m_s: 0.0,
        };
        let area_m2 = core::f64::consts::FRAC_PI_4 * diameter_m * diameter_m;
        evaporation_kg_s_m2(&air, 0.5).expect("in range") * area_m2 * open * YEAR_S / 1000.0
    };
    let (from_fresh_m3, from_salt_m3) = (evaporates(0.0, 0.8, 1.0), evaporates(35.0, 0.9, 0.15));
    near(
        "evaporation",
        outside(Outside::Air).0,
        from_fresh_m3 + from_salt_m3,
        1e-9,
    );

    // Salt water: what was mixed is what went to the tanks and evaporated, and what there is more of now. A batch that is
    // half made at midnight would be missing; none is.
    near(
        "mixed",
        tally.batch_m3,
        changes_m3 + from_salt_m3 + held(salt),
        1e-6,
    );
    // A batch brings the vessel from about 3/4 of what can be drawn back to full; they are whole, so their mean volume lies
    // between the largest that fits and the least that was wanted.
    let each_m3 = tally.batch_m3 / f64::from(tally.batches);
    assert!(each_m3 > 0.09 && each_m3 < 0.4, "{each_m3}");

    // Its salt: the mass fraction of sea water of 35 times its density, by TEOS-10. What evaporates between two batches
    // stays in the vessel: what is drawn is saltier by at most what evaporates in a batch's life over its volume.
    let density = seawater::density_kg_m3(35.0, 20.0).expect("in range");
    let salt_kg_m3 = density * seawater::salt_mass_fraction(35.0);
    let drawn_kg = outside(Outside::Tanks).1;
    let life = each_m3 / changes_m3;
    let saltier = life * from_salt_m3 / 0.27;
    assert!(
        drawn_kg > salt_kg_m3 * changes_m3 && drawn_kg < salt_kg_m3 * changes_m3 * (1.0 + saltier),
        "{drawn_kg} {} {saltier}",
        salt_kg_m3 * changes_m3
    );
    let strength = plant.mix.strength.expect("a mix");
    near(
        "mix",
        tally.mix_kg * strength,
        drawn_kg + since(Account::vessel(salt)).1,
        1e-9,
    );

    // Fresh water: the top-off, what evaporated, the water of the salt water, and what there is more of now.
    let pure = seawater::pure_water_density_kg_m3(20.0).expect("in range");
    let water_share = (density - salt_kg_m3) / pure;
    let into_salt_m3 = water_share * (changes_m3 + held(salt)) + from_salt_m3;
    let fresh_m3 = 365.0 * 0.0155 + from_fresh_m3 + into_salt_m3 + held(fresh);
    // As above, and what the salt water is saltier by, twice 0.1 % at the most.
    near("permeate", tally.permeate_m3, fresh_m3, 5e-4);

    // Each start flushes 20 mL; the rest of the feed is rejected, in the measure that the proof has for all its months.
    let runs = tally.runs_m3.len() as f64;
    let starts = runs + f64::from(u8::from(state.running.on)) - f64::from(u8::from(began.running.on));
    near("flushed", tally.flushed_m3, 20e-6 * starts, 1e-6);
    let assessment = assess(&station, Scope::All);
    let made = assessment.supply.purifier.as_ref().expect("a purifier");
    let month = &made.months[0];
    let flow_m3_s = month.permeate_m3_per_s.value;
    let ratio = month.reject_m3_per_s.value / flow_m3_s;
    near(
        "reject",
        tally.reject_m3,
        ratio * (tally.permeate_m3 + tally.flushed_m3),
        1e-9,
    );
    // From start to stop, in a vessel 0.8 m wide: 300 mm and the play of its switch, 10 mm; and at most a batch and a
    // day's top-off that were drawn in one go below the switch or while it runs.
    let between_m3 = core::f64::consts::FRAC_PI_4 * 0.64 * 0.31;
    let made_m3: f64 = tally.runs_m3.iter().sum();
    let run_m3 = made_m3 / runs;
    assert!(
        run_m3 > between_m3 && run_m3 < between_m3 + each_m3 + 0.02,
        "{run_m3} {between_m3} {each_m3}"
    );

    // The membrane: its figures from the sheet, the rest and the start from `physics::membrane`.
    let value = |node| assessment.sheet.value(node);
    let nodes = &made.nodes;
    near(
        "running",
        tally.running_s,
        (tally.permeate_m3 + tally.flushed_m3) / flow_m3_s,
        1e-6,
    );
    let hold_up = HoldUp {
        permeate_m3: value(nodes.hold_up),
        feed_side_m3: value(nodes.feed_side),
    };
    let response = TemperatureResponse::from_output_at_15_c(value(nodes.cold)).expect("in range");
    let steady_kg_m3 = month.permeate_solids_kg_m3.value;
    let idle = Idle {
        steady_kg_m3,
        feed_side_kg_m3: value(nodes.feed_solids)
            * concentration_factor(1.0 / (1.0 + ratio)).expect("in range"),
        salt_conductance_m3_s: value(nodes.salt) * response.factor(12.0).expect("in range"),
    };
    let idle_s = (YEAR_S - tally.running_s) / starts;
    let at_start = idle.solids_kg_m3(&hold_up, idle_s).expect("in range");
    let start_kg =
        after_flush_kg(hold_up.permeate_m3, at_start, steady_kg_m3, 20e-6, between_m3).expect("in range");
    let resin_kg = outside(Outside::Resin).1;
    // The long run's part is the same whatever comes before; what is left is what the starts wash out. Rests are longer than
    // salt takes to creep through, so that they are all about alike.
    let starts_kg = resin_kg - steady_kg_m3 * tally.permeate_m3;
    near("salt of the starts", starts_kg, starts * start_kg, 0.01);
    let resin = nodes.resin.as_ref().expect("resin");
    let load_mol = resin_kg * 1000.0 / value(resin.equivalent)
        + (value(resin.gas) + value(resin.silica)) * tally.permeate_m3;
    let [capacity, volume, utilisation] = resin.bed.map(value);
    let beds = load_mol / (capacity * volume * utilisation);
    let bed_mol = plant
        .purifier
        .as_ref()
        .and_then(|purifier| purifier.bed_mol)
        .expect("a bed");
    near("beds", tally.load_mol / bed_mol, beds, 1e-9);

    // Visits; a siphon round each change.
    assert_eq!(tally.visits, 365);
    assert!(
        tally.waited_s.iter().all(|waited_s| *waited_s == 0.0),
        "{:?}",
        tally.waited_s
    );
    // 193 changes, each with a quarter of an hour around it, carried at a bucket of what one lifts in two minutes.
    let to_tank = |volume_m3: f64| volume_m3 / plant.ways.to_tank[salt][0].rate_m3_s;
    let changing_s = 193.0 * 900.0 + to_tank(changes_m3);
    near("time of changes", tally.work_s[1], changing_s, 1e-9);
    let bucket_m3 = 0.015;
    near(
        "a bucket",
        plant.ways.to_tank[salt][0].rate_m3_s,
        bucket_m3 / 120.0,
        1e-9,
    );
    let mixing = |state: &State| f64::from(u8::from(state.stores.batches()[salt] != Batch::Ready));
    let read = f64::from(tally.batches) + mixing(&began) - mixing(&state);
    let measured_s = read * station.people.measuring_time.value.s();
    near("measuring", tally.work_s[3], measured_s, 1e-9);
}
