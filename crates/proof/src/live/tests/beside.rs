//! What somebody turns beside a card: what comes of it, and the card's own end all the same.

use station::Station;

use super::super::{Act, Beginning, Ended, Follow, Foretold, Live, LiveFault, Part, Snapshot};
use super::{EXAMPLES, example, go_through, seen, valve, with};

/// A card taken to where one watches, and watched for a while.
fn watched(live: &mut Live<'_>, task: &str, seconds: f64) -> Follow {
    let mut card = match live.follow(task) {
        // A vessel that is full has no card that fills it: a bucket is drawn from it first.
        Err(LiveFault::NothingToCome { .. }) => {
            let mut drawn = watched(live, "salt-bucket", 0.0);
            until_ended(live, &mut drawn);
            go_through(live, &mut drawn);
            live.follow(task).expect("a card")
        }
        own => own.expect("a card"),
    };
    live.look_on(&mut card);
    while let Some(act) = card.next_step().and_then(|step| step.act.clone())
        && card.ended().is_none()
    {
        live.act(&act).expect("a step");
        live.look_on(&mut card);
    }
    live.advance(seconds).expect("goes on");
    live.look_on(&mut card);
    card
}

/// More looks than any card takes.
const MOST_LOOKS: usize = 20_000;

/// Goes on until the card's water has ended, and nobody does a step.
fn until_ended(live: &mut Live<'_>, card: &mut Follow) {
    for _ in 0..MOST_LOOKS {
        if live.look_on(card) {
            return;
        }
        let seconds = live.look_again_s(card).expect("its end is to come");
        live.advance(seconds).expect("goes on");
    }
    panic!("it has no end: {card:?}");
}

fn gained_m3(live: &Live<'_>, tank: &str) -> f64 {
    let tanks = seen(live).tanks;
    tanks
        .iter()
        .find(|own| own.name == tank)
        .expect("a tank")
        .gained_m3
}

fn new_harm(before: &Snapshot, after: &Snapshot) -> bool {
    let floor = |seen: &Snapshot| seen.floor.iter().map(|own| own.volume_m3).sum::<f64>();
    after.harms.len() > before.harms.len() || floor(after) > floor(before) + 1e-3
}

const CHANGE: &str = "touch-pool-change";

/// While a pool is filled, a second suction thins it; an act that changes nothing adds nothing, and that nobody ends the pump
/// is told all the same: the pool runs over within the quarter of an hour.
#[test]
fn what_comes_anyway_is_no_all_clear() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let mut card = watched(live, CHANGE, 20.0);
        assert!(card.watches() && !card.is_beside());
        let told = live
            .foretell(&Act::Wipe, None)
            .expect("looks ahead")
            .expect("it is told");
        assert!(told.anyway && told.harm.contains("over the rim of"), "{told:?}");
        live.act(&valve("fresh-outlet", true)).expect("opens");
        live.look_on(&mut card);
        let told = live
            .foretell_beside(&card)
            .expect("looks ahead")
            .expect("it is told");
        assert!(!told.anyway && told.harm.contains("thinned too far"), "{told:?}");
        live.advance(900.0).expect("goes on");
        let said: Vec<String> = seen(live).harms.into_iter().map(|own| own.harm).collect();
        for wanted in ["thinned too far", "over the rim of"] {
            assert!(said.iter().any(|own| own.contains(wanted)), "{said:?}");
        }
        // Water that runs already goes on to.
        let told = live
            .foretell(&Act::Reset, None)
            .expect("looks ahead")
            .expect("it is told");
        assert!(told.anyway && told.in_s < 5.0, "{told:?}");
    });
}

/// Every valve by hand turned the other way, and every pump.
fn turns(station: &Station, seen: &Snapshot) -> Vec<Act> {
    let is_open = |name: &str| seen.valves.iter().any(|own| own.name == name && own.open);
    let runs = |name: &str| seen.pumps.iter().any(|own| own.name == name && own.asked);
    let valves = station.valves.iter().filter(|own| own.fields.kind.value.is_set());
    let pumps = station.pumps.iter().map(|own| Act::Pump {
        pump: own.name.clone(),
        on: !runs(&own.name),
    });
    valves
        .map(|own| valve(&own.name, !is_open(&own.name)))
        .chain(pumps)
        .collect()
}

/// Told that nothing comes: nothing comes; told that something comes: it does. Every valve and pump of two examples turned by
/// itself, at rest and in the midst of each card; once more after what came was wiped up.
#[test]
fn what_is_foretold_comes_and_nothing_else() {
    let mut quiet = 0;
    for (name, _) in &EXAMPLES[..2] {
        let station = example(name);
        let tasks = station.lineups.iter().map(|own| Some(own.name.as_str()));
        for task in tasks.chain([None]) {
            for at in 0..turns(&station, &with(&station, Beginning::Full, |live| seen(live))).len() {
                with(&station, Beginning::Full, |live| {
                    if let Some(task) = task {
                        watched(live, task, 5.0);
                    }
                    let act = &turns(&station, &seen(live))[at];
                    for round in ["first", "after wiping"] {
                        let told: Option<Foretold> = live.foretell(act, None).expect("looks ahead");
                        live.act(act).expect("an act");
                        let before = seen(live);
                        live.advance(900.0).expect("goes on");
                        let after = seen(live);
                        let what = format!("{name}, {task:?}, {act:?}, {round}: {told:?}");
                        // A harm that was done isn't noted anew: only water that comes to the floor again shows then.
                        let comes = new_harm(&before, &after);
                        assert!(told.is_some() || !comes, "{what}: {:?}", after.harms);
                        if round == "first" {
                            assert_eq!(comes, told.is_some(), "{what}: {:?}", after.harms);
                        }
                        quiet += usize::from(!comes);
                        live.act(&Act::Wipe).expect("wipes");
                    }
                });
            }
        }
    }
    assert!(quiet > 10, "{quiet}");
}

/// A hose that is drowned in its tank, with no hole in it: once the pump stops, water of the tank runs back at once, and that
/// is told before it is stopped.
#[test]
fn water_that_runs_back_at_once_is_foretold() {
    let text = EXAMPLES[0].1;
    let text = text
        .replace("tank_height = \"950 mm\"", "tank_height = \"1.6 m\"")
        .replace("siphon_break = \"2.08 m\"", "siphon_break_note = \"\"")
        .replace(
            "[tanks.touch-pool]\n",
            "[tanks.touch-pool]\nwater_height = \"2 m\"\n",
        );
    let text: String = text
        .lines()
        .filter(|line| !line.starts_with("siphon_break_note"))
        .map(|line| format!("{line}\n"))
        .collect();
    let station = Station::read(&text).expect("sound");
    with(&station, Beginning::Full, |live| {
        for own in ["salt-outlet", "pump-outlet"] {
            live.act(&valve(own, true)).expect("opens");
        }
        let told = live
            .foretell(&valve("pool", true), None)
            .expect("looks ahead")
            .expect("it is told");
        assert!(told.harm.contains("drawn back") && told.in_s < 1.0, "{told:?}");
    });
}

/// A second suction opened beside a bucket of salt water: what stands in it in the end is neither water, which is told before
/// and counts as harm; by the levels both give about as much.
#[test]
fn a_bucket_of_two_waters_is_harm() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let mut card = watched(live, "tall-bucket", 3.0);
        assert!(card.watches());
        let own = valve("fresh-outlet", true);
        let told = live
            .foretell(&own, None)
            .expect("looks ahead")
            .expect("it is told");
        assert!(told.harm.contains("neither fresh nor"), "{told:?}");
        live.act(&own).expect("opens");
        until_ended(live, &mut card);
        let now = seen(live);
        let bucket = now
            .draws
            .iter()
            .find(|own| own.name == "pump-tap")
            .expect("there");
        assert!((10.0..30.0).contains(&bucket.practical_salinity), "{bucket:?}");
        let said: Vec<&str> = now.harms.iter().map(|own| own.harm.as_str()).collect();
        assert!(
            said.iter().any(|own| own.contains("neither fresh nor")),
            "{said:?}"
        );
    });
}

/// The card that fills up for the next batch does what it says: nothing of it is harm until the batch is ready again. Where
/// there is no room it is no card.
#[test]
fn filling_up_for_a_batch_thins_none() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let none = live.follow("fresh-to-salt").expect_err("it is full");
        assert!(matches!(none, LiveFault::NothingToCome { .. }), "{none}");
        for _ in 0..3 {
            let mut card = watched(live, "tall-bucket", 0.0);
            until_ended(live, &mut card);
            go_through(live, &mut card);
        }
        let mut card = watched(live, "fresh-to-salt", 0.0);
        until_ended(live, &mut card);
        assert_eq!(card.ended(), Some(Ended::Moved));
        let now = seen(live);
        let salt = now.vessels.iter().find(|own| own.name == "salt").expect("there");
        assert!(salt.practical_salinity < 33.0, "{salt:?}");
        let thinned = |own: &Snapshot| own.harms.iter().any(|own| own.harm.contains("the batch"));
        assert!(!thinned(&now), "{:?}", now.harms);
        go_through(live, &mut card);
        let wants = live.unsalted(&card).expect("it wants salt");
        assert_eq!((wants.vessel.as_str(), wants.target), ("salt", 34.5));
        // As much salt as is wanting, by hand: the deficit of salinity is grams in a litre, at 1.025 kg/L about.
        let wanting_kg = (34.5 - salt.practical_salinity) * 1e-3 * 1.0047 * salt.volume_m3 * 1025.0;
        let pour = Act::Salt {
            vessel: "salt".to_owned(),
            mass_kg: wanting_kg / (1.0 - 0.0345),
        };
        assert!(
            (wants.salt_kg * (1.0 - 0.0345) / wanting_kg - 1.0).abs() < 0.01,
            "{wants:?}"
        );
        live.act(&pour).expect("pours");
        // What lies there is counted, though it isn't dissolved: that takes mixing.
        assert_eq!(live.unsalted(&card), None);
        live.advance(60.0).expect("goes on");
        let lies_kg = seen(live).vessels.iter().map(|own| own.grains_kg).sum::<f64>();
        assert!((lies_kg / wanting_kg - 1.0).abs() < 0.05, "{lies_kg}");
        let mut card = watched(live, "mix", 0.0);
        until_ended(live, &mut card);
        go_through(live, &mut card);
        let now = seen(live);
        let salt = now.vessels.iter().find(|own| own.name == "salt").expect("there");
        assert!((salt.practical_salinity - 34.5).abs() < 0.1, "{salt:?}");
        assert_eq!(live.unsalted(&card), None);
        // From now on it is a batch, and thinning it is harm.
        for own in ["fresh-outlet", "pump-outlet", "jet"] {
            live.act(&valve(own, true)).expect("opens");
        }
        let pump = Act::Pump {
            pump: "bracket".to_owned(),
            on: true,
        };
        live.act(&pump).expect("starts");
        live.advance(300.0).expect("goes on");
        assert!(thinned(&seen(live)), "{:?}", seen(live).harms);
    });
}

/// Nobody looks in thousandths of a second at a card whose water can't end any more: a pump that is stopped on the drawing
/// while water goes round.
#[test]
fn a_card_is_looked_at_now_and_then() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let mut card = watched(live, "mix", 60.0);
        assert!(card.watches());
        let stop = Act::Pump {
            pump: "bracket".to_owned(),
            on: false,
        };
        live.act(&stop).expect("stops");
        let end_s = live.t_s() + 86_400.0;
        let mut looks = 0;
        while live.t_s() < end_s {
            live.look_on(&mut card);
            live.advance(live.look_again_s(&card).unwrap_or(60.0))
                .expect("goes on");
            looks += 1;
            assert!(looks < MOST_LOOKS, "at {}: {card:?}", live.t_s());
        }
    });
}

/// The card's volume ends its water whatever stands beside it, before and after somebody goes on from there.
#[test]
fn a_card_ends_beside_what_isnt_its_own() {
    let station = example("Larkhaven");
    let own = station
        .lineups
        .iter()
        .find(|own| own.name == CHANGE)
        .expect("there");
    let tank = own.fields.to.value.clone();
    let pool = station.tanks.iter().find(|own| own.name == tank).expect("there");
    let change_m3 = pool.fields.change.as_ref().expect("it is changed").value.m3();
    for goes_on in [false, true] {
        with(&station, Beginning::Full, |live| {
            let mut card = watched(live, CHANGE, 10.0);
            assert!(card.watches());
            live.act(&valve("fresh-outlet", true)).expect("opens");
            live.look_on(&mut card);
            assert!(card.is_beside());
            if goes_on {
                live.go_on(&mut card).expect("an order from here");
                // The first step of the way from here isn't done: its water runs on meanwhile.
                assert_eq!(card.next_step().map(|step| step.part), Some(Part::There));
                until_ended(live, &mut card);
                assert_eq!(card.next_step().map(|step| step.part), Some(Part::Back));
            } else {
                until_ended(live, &mut card);
                assert!(card.is_beside(), "it is put back first");
            }
            assert_eq!(card.ended(), Some(Ended::Moved));
            // What was taken out has come again, a thousandth of it short at the most.
            let short_m3 = -gained_m3(live, &tank);
            assert!((-1e-6..2e-3 * change_m3).contains(&short_m3), "{short_m3}");
            // And back to rest.
            for act in live.put_back(&card) {
                live.act(&act).expect("is put back");
            }
            live.look_on(&mut card);
            go_through(live, &mut card);
            assert!(live.unlike_rest(&card).is_empty(), "{card:?}");
        });
    }
}

/// A kilogram of sea water in the room of a kilogram of fresh water (UNESCO 1981 at 15 °C and 35, from memory: 1025.97 and
/// 999.10 kg/m³).
const HEAVIER: f64 = 1025.97 / 999.10;

/// Fresh water alone pumped into the pool thins it: by hand, its salt stays and its mass grows, so that it is 1 thinner than
/// it should be after `V·ρ/ρ₀·(34.5/33.5 − 1)`. It is noted at the end of a step, which here takes some seconds at the most, as
/// the fresh vessel sinks meanwhile: hence 2 %, half a litre.
#[test]
fn a_pool_is_thinned_by_fresh_water() {
    let station = example("Larkhaven");
    let pool = station
        .tanks
        .iter()
        .find(|own| own.name == "touch-pool")
        .expect("there");
    let (volume_m3, own) = (
        pool.fields.volume.value.m3(),
        pool.fields.salinity.value.practical(),
    );
    let limit = own - pool.fields.salinity_tolerance.value.plain();
    let wanted_m3 = volume_m3 * HEAVIER * (own / limit - 1.0);
    with(&station, Beginning::Full, |live| {
        for own in ["fresh-outlet", "pump-outlet", "pool"] {
            live.act(&valve(own, true)).expect("opens");
        }
        let pump = Act::Pump {
            pump: "bracket".to_owned(),
            on: true,
        };
        let told = live
            .foretell(&pump, None)
            .expect("looks ahead")
            .expect("harm comes");
        assert!(told.harm.contains("thinned too far") && !told.anyway, "{told:?}");
        live.act(&pump).expect("starts");
        let soon = told.in_s - 5.0;
        live.advance(soon).expect("goes on");
        assert!(seen(live).harms.is_empty(), "not yet");
        for _ in 0..40 {
            if seen(live).harms.is_empty() {
                live.advance(0.25).expect("goes on");
            }
        }
        let came_m3 = gained_m3(live, "touch-pool");
        assert!((came_m3 / wanted_m3 - 1.0).abs() < 0.02, "{came_m3} {wanted_m3}");
        let now = seen(live);
        assert!(now.harms[0].harm.ends_with("thinned too far"), "{:?}", now.harms);
        let shown = now
            .tanks
            .iter()
            .find(|own| own.name == "touch-pool")
            .expect("there");
        let salinity = shown.practical_salinity.expect("it holds water");
        assert!((salinity - limit).abs() < 0.02, "{shown:?}");
        assert!(now.balance.salt_residual < 1e-9 && now.balance.water_residual < 1e-9);
    });
}

/// The same where check valves stand in the way of the water, which nobody turns, and where the batch was drawn to half: after
/// a change its vessel is filled up, and that is no harm either.
#[test]
fn filling_up_through_check_valves_thins_none() {
    let station = example("Skelder");
    with(&station, Beginning::Full, |live| {
        for name in ["change", "fill-east"] {
            let mut card = watched(live, name, 0.0);
            until_ended(live, &mut card);
            assert_eq!(card.ended(), Some(Ended::Moved), "{name}");
            go_through(live, &mut card);
        }
        let now = seen(live);
        let vessel = now
            .vessels
            .iter()
            .find(|own| own.name == "salt-east")
            .expect("there");
        assert!(vessel.practical_salinity < 25.0, "{vessel:?}");
        assert!(now.harms.is_empty(), "{:?}", now.harms);
    });
}
