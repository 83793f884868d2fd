//! Lead times: the examples' by hand, and what must hold of every one.

#![expect(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

use proof::{LeadTime, LeadTimeFault, Proof, Season, lead_time, prove};
use proptest::prelude::*;
use station::{Edit, Situation, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn with(text: &str, path: &str, value: &str) -> Station {
    let edits = [Edit {
        path: path.to_owned(),
        text: value.to_owned(),
    }];
    read(&edit::apply(text, &edits).unwrap())
}

fn step<'a>(lead: &'a LeadTime, begins: &str) -> &'a proof::LeadStep {
    lead.steps
        .iter()
        .find(|step| step.what.starts_with(begins))
        .unwrap_or_else(|| panic!("no step begins with {begins}: {:#?}", lead.steps))
}

/// By hand, from the printed parts: 120 L of salinity 34.5 at 20 °C are 122.94 kg with 4.262 kg of sea salt
/// (`salt_batch.json` has the density), so 118.8 L of fresh water and 4.39 kg of a mix that is 97.2 % salt. At the start
/// level 67.3 L can be drawn; the rest, 51.5 L, takes the permeate of February, 1.598 mL/s, 8.9 h. The salt takes 3 min
/// and a minute for each kilogram.
#[test]
fn larkhaven_by_hand() {
    let station = read(LARKHAVEN);
    let lead = lead_time(&station, 0.12, &Situation::worst(&station)).unwrap();
    assert!((lead.salt_kg - 4.39).abs() < 0.01, "{}", lead.salt_kg);
    assert!((lead.fresh_on_hand_m3 - 0.0673).abs() < 1e-4);
    assert!((lead.to_make_m3 - 0.0515).abs() < 2e-4, "{}", lead.to_make_m3);
    let make = step(&lead, "make");
    assert!((make.end_s - make.start_s - lead.to_make_m3 / 1.598e-6).abs() < 30.0);
    let salt = step(&lead, "start mix, weigh");
    assert!((salt.end_s - salt.start_s - (180.0 + 60.0 * 4.39)).abs() < 1.0);
    assert_eq!(lead.batches, 1);
    // And 10 min to measure again.
    let usual_s = salt.end_s + 6.0 * 3600.0 + 600.0;
    assert!(
        (lead.ready_as_usual_s - usual_s.max(lead.ready.value)).abs() < 1.0,
        "the maker asks for 6 h"
    );
}

/// A batch goes onto what lies under the outlet already, and not over the rim: 670 L of salinity 34 at 22 °C take
/// 670 L · 1.0237 kg/L · 34 · 35.165/35/1000 of sea salt, 23.4 kg, and a little more of the mix.
#[test]
fn a_batch_goes_onto_the_heel() {
    let station = read(SKELDER);
    let worst = Situation::worst(&station);
    let lead = lead_time(&station, 0.67, &worst).unwrap();
    let pure_kg = 670.0 * 1.0237 * 34.0 * 35.165_04 / 35.0 / 1000.0;
    assert!(
        (pure_kg..1.05 * pure_kg).contains(&lead.salt_kg),
        "{}",
        lead.salt_kg
    );
    assert_eq!(lead.batches, 1);
    // Two batches weigh what their volume asks for, no heel twice.
    let two = lead_time(&station, 1.3, &worst).unwrap();
    assert_eq!(two.batches, 2);
    assert!((two.salt_kg / lead.salt_kg - 1.3 / 0.67).abs() < 1e-6);
}

/// What stands ready in the mixing vessel is drawn before the next batch goes in.
#[test]
fn a_full_vessel_is_drawn_first() {
    let station = read(SKELDER);
    let lead = lead_time(&station, 3.0, &Situation::full(&station)).unwrap();
    let draw = step(&lead, "draw what is ready");
    let moved = step(&lead, "move");
    assert!(moved.start_s >= draw.end_s - 1e-6);
}

/// What is ready is ready at once.
#[test]
fn a_full_station_is_ready() {
    let station = read(LARKHAVEN);
    let lead = lead_time(&station, 0.12, &Situation::full(&station)).unwrap();
    assert_eq!((lead.ready.value, lead.batches, lead.vessel), (0.0, 0, None));
}

/// A heater warms a batch; the time is that of the heat alone plus what is lost, so at least m·c·ΔT/P.
#[test]
fn a_heater_makes_it_warm() {
    let station = read(LARKHAVEN);
    let lead = lead_time(&station, 0.12, &Situation::worst(&station)).unwrap();
    let warm = step(&lead, "warm");
    let least_s = 120.0 * 1.0245 * 3990.0 * 9.0 / (600.0 + 39.0);
    let took_s = warm.end_s - warm.start_s;
    assert!(
        took_s > least_s && took_s < 1.4 * least_s,
        "{took_s} against {least_s}"
    );
    assert!(
        !lead
            .cautions
            .iter()
            .any(|caution| caution.contains("isn't waited for"))
    );
    let without = with(LARKHAVEN, "vessels.salt.heater", "\"5 W\"");
    let cold = lead_time(&without, 0.12, &Situation::worst(&without)).unwrap();
    assert!(
        cold.cautions
            .iter()
            .any(|caution| caution.contains("isn't waited for"))
    );
}

fn edited(text: &str, edits: &[(&str, &str)]) -> Station {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    read(&edit::apply(text, &edits).unwrap())
}

/// Newton's law of cooling with a constant power, `C·dT/dt = P − UA·(T − Tₐ)`: a chiller of 400 W against a pump of 39 W
/// takes 120 L from 30 °C to 20 °C in a room of 30 °C. No sooner than without what comes in, m·c·ΔT/361 W; and no later
/// than as if all of it came in at the end's 10 K all the time, by at most 7 W/(m²·K) (common practice, no source: still
/// air on plastic, radiation included) on at most 2 m² of wall, lid and floor.
#[test]
fn a_chiller_makes_it_cold() {
    let station = edited(
        LARKHAVEN,
        &[
            ("room.lowest_winter_temperature", "\"20 C\""),
            ("room.highest_summer_temperature", "\"30 C\""),
            ("vessels.salt.chiller", "\"400 W\""),
        ],
    );
    let lead = lead_time(&station, 0.12, &Situation::worst(&station)).unwrap();
    let told = &lead.in_seasons[0];
    assert_eq!(told.season, Season::Summer);
    assert_eq!(lead.in_seasons[1].season, Season::Winter);
    assert!((told.ready_s - lead.ready.value).abs() < 1e-6);
    assert!(told.ready_s > lead.in_seasons[1].ready_s);
    let chill = step(&lead, "chill it from 30 °C to 20 °C");
    let heat_j = 120.0 * 1.0225 * 3990.0 * 10.0;
    let (least_s, most_s) = (
        heat_j / (400.0 - 39.0),
        heat_j / (400.0 - 39.0 - 7.0 * 2.0 * 10.0),
    );
    let took_s = chill.end_s - chill.start_s;
    assert!(
        (least_s..most_s).contains(&took_s),
        "{took_s} against {least_s} to {most_s}"
    );
    assert_eq!((told.temperature_c, told.lacking_w), (20.0, None));
    // A stronger chiller is quicker, and then winter, with less permeate, is the longer.
    let strong = edited(
        LARKHAVEN,
        &[
            ("room.lowest_winter_temperature", "\"20 C\""),
            ("room.highest_summer_temperature", "\"30 C\""),
            ("vessels.salt.chiller", "\"20 kW\""),
        ],
    );
    let quick = lead_time(&strong, 0.12, &Situation::worst(&strong)).unwrap();
    assert_eq!(quick.in_seasons[0].season, Season::Winter);
}

/// The figure behind it is the closed form: `t = C/UA·ln((T₀ − T∞)/(T₁ − T∞))`, `T∞ = Tₐ + P/UA` (solved by hand).
#[test]
fn chilling_follows_newton_s_law() {
    let station = edited(
        LARKHAVEN,
        &[
            ("room.lowest_winter_temperature", "\"20 C\""),
            ("room.highest_summer_temperature", "\"30 C\""),
            ("vessels.salt.chiller", "\"250 W\""),
        ],
    );
    let proof = prove(&station);
    let figure = proof
        .figures
        .iter()
        .find(|figure| figure.key == "lead-time.emergency.warm-1")
        .unwrap();
    let of: Vec<f64> = figure.inputs.iter().map(|input| input.value).collect();
    let [capacity, loss, air, power, from, to] = of[..] else {
        panic!("{of:?}")
    };
    assert_eq!((air, from, to), (30.0, 30.0, 20.0));
    assert!((power - (39.0 - 250.0)).abs() < 1.0, "{power}");
    let rest = air + power / loss;
    let by_hand_s = capacity / loss * libm::log((from - rest) / (to - rest));
    assert!((figure.value / by_hand_s - 1.0).abs() < 1e-9);
}

/// Without a chiller it is ready, and too warm: the room's 27 °C and what the pump adds. A chiller of the power that the
/// finding names brings it there in half a day.
#[test]
fn without_a_chiller_it_is_ready_but_too_warm() {
    let warm = with(LARKHAVEN, "room.highest_summer_temperature", "\"27 C\"");
    let proof = prove(&warm);
    let lead = proof.lead_time.unwrap();
    let summer = lead
        .in_seasons
        .iter()
        .find(|one| one.season == Season::Summer)
        .unwrap();
    assert!((27.0..28.0).contains(&summer.temperature_c), "{summer:?}");
    assert!((summer.off_k - (summer.temperature_c - 20.0)).abs() < 1e-9);
    let found = |proof: &Proof| {
        proof
            .findings
            .iter()
            .find(|finding| finding.id == "batch-warm-in-summer")
            .map(|finding| finding.sentence.clone())
    };
    let proof = prove(&warm);
    let sentence = found(&proof).unwrap();
    // The touch pool takes 18 °C: 20 °C would do, 27 °C is 9 K too warm.
    assert!(sentence.contains("9 °C too warm for touch pool"), "{sentence}");
    assert!(sentence.contains("it has no chiller"), "{sentence}");
    let watts = summer.lacking_w.unwrap();
    let chilled = edited(
        LARKHAVEN,
        &[
            ("room.highest_summer_temperature", "\"27 C\""),
            ("vessels.salt.chiller", &format!("\"{watts:.1} W\"")),
        ],
    );
    let proof = prove(&chilled);
    assert_eq!(found(&proof), None);
    let lead = proof.lead_time.unwrap();
    let summer = lead
        .in_seasons
        .iter()
        .find(|one| one.season == Season::Summer)
        .unwrap();
    assert_eq!(summer.lacking_w, None);
    // Told in the schedule when summer is no shorter: nothing must be made, and no heat is wanted in winter. The 39 W of
    // the pump add 0.3 K in half an hour, and it is told to half a kelvin.
    let idle = edited(
        LARKHAVEN,
        &[
            ("room.lowest_winter_temperature", "\"20 C\""),
            ("room.highest_summer_temperature", "\"27 C\""),
        ],
    );
    let lead = lead_time(&idle, 0.06, &Situation::worst(&idle)).unwrap();
    assert_eq!(lead.in_seasons[0].season, Season::Summer);
    step(&lead, "ready, but 7.5 °C too warm");
}

/// 20 °C are 8 K too warm for the kelp tank at 12 °C; two fifths of it changed at once (the default) shift it by 3.2 K,
/// told to half a kelvin, by mixing waters of one heat capacity.
#[test]
fn what_it_does_to_the_tanks_is_told() {
    let station = read(LARKHAVEN);
    let lead = lead_time(&station, 0.06, &Situation::worst(&station)).unwrap();
    let told = lead
        .cautions
        .iter()
        .find(|caution| caution.contains("too warm"))
        .unwrap();
    assert!(told.contains("8 °C too warm for kelp tank (3 °C)"), "{told}");
    assert!(
        !told.contains("touch pool"),
        "2 K are within what a change may have: {told}"
    );
}

/// A summer that is colder than the winter is a slip; one that nobody told follows a warm winter.
#[test]
fn a_summer_is_no_colder_than_its_winter() {
    let tropics = read(
        &LARKHAVEN
            .replace("highest_summer_temperature", "# highest_summer_temperature")
            .replace(
                "lowest_winter_temperature = \"11 C\"",
                "lowest_winter_temperature = \"29 C\"",
            ),
    );
    let lead = lead_time(&tropics, 0.12, &Situation::worst(&tropics)).unwrap();
    assert!(lead.in_seasons.iter().all(|one| one.room_c == 29.0));
    let slip = LARKHAVEN.replace(
        "highest_summer_temperature = \"20 C\"",
        "highest_summer_temperature = \"10 C\"",
    );
    let faults = Station::read(&slip).unwrap_err();
    assert!(faults[0].what.contains("summer"), "{faults:?}");
}

#[test]
fn what_cannot_be_made_is_refused() {
    let station = read(LARKHAVEN);
    let worst = Situation::worst(&station);
    for nothing in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(lead_time(&station, nothing, &worst), Err(LeadTimeFault::NoVolume));
    }
    assert!(matches!(
        lead_time(&station, 50.0, &worst),
        Err(LeadTimeFault::TooMuch { .. })
    ));
    let fresh = read(
        "title = \"x\"\n[vessels.a]\nholds = \"fresh\"\nshape = \"cylinder\"\ndiameter = \"50 cm\"\nheight = \"1 m\"\n",
    );
    assert_eq!(
        lead_time(&fresh, 0.1, &Situation::worst(&fresh)),
        Err(LeadTimeFault::NoVessel)
    );
    let bare = read(
        "title = \"x\"\n[vessels.a]\nholds = \"salt\"\nshape = \"cylinder\"\ndiameter = \"50 cm\"\nheight = \"1 m\"\n[salt]\nanhydrous_fraction = 0.95\n",
    );
    let fault = lead_time(&bare, 0.1, &Situation::worst(&bare)).unwrap_err();
    assert!(matches!(fault, LeadTimeFault::NoFresh { .. }));
    assert!(!fault.mend().is_empty());
}

/// What must hold of every schedule.
fn holds(lead: &LeadTime) {
    let end_s = lead
        .steps
        .iter()
        .filter(|step| step.on_longest_way)
        .map(|step| step.end_s)
        .fold(0.0, f64::max);
    assert!(
        (lead.ready.value - end_s).abs() < 1e-6 * end_s.max(1.0),
        "{} against {end_s}",
        lead.ready.value
    );
    assert!(lead.ready_as_usual_s >= lead.ready.value - 1e-6);
    for step in &lead.steps {
        assert!(
            step.start_s >= 0.0 && step.end_s >= step.start_s && step.end_s.is_finite(),
            "{step:?}"
        );
        assert!(
            step.end_s <= lead.ready_as_usual_s + 1e-6,
            "{step:?} ends after all"
        );
    }
    assert!(
        lead.steps
            .windows(2)
            .all(|pair| pair[0].start_s <= pair[1].start_s)
    );
    if let (Some(low), Some(high)) = (lead.ready.low, lead.ready.high) {
        assert!(low <= lead.ready.value * (1.0 + 1e-9) && high >= lead.ready.value * (1.0 - 1e-9));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// More water is never ready sooner, in one batch; nor with less in the vessels.
    #[test]
    fn more_takes_longer(litres in 5.0..250.0_f64, more in 1.0..1.2_f64, which in 0..3_usize) {
        let station = read([LARKHAVEN, JUNIPER, SKELDER][which]);
        for situation in Situation::named(&station) {
            let ask = |litres: f64| lead_time(&station, litres * 1e-3, &situation);
            let (Ok(less), Ok(more)) = (ask(litres), ask(litres * more)) else { continue };
            holds(&less);
            holds(&more);
            if less.batches == more.batches {
                // A warming that passes the day is no longer waited for.
                let waited = |lead: &LeadTime| !lead.cautions.iter().any(|caution| caution.contains("isn't waited for"));
                if waited(&less) == waited(&more) {
                    prop_assert!(more.ready.value >= less.ready.value - 1e-6);
                }
            }
        }
    }
}
