//! Cards followed step by step, and what is done beside them.

use super::super::{Act, Beginning, Ended, Follow, Live, LiveFault, Part};
use super::{EXAMPLES, begin, bytes, example, go_through, seen, valve, with};
use station::Station;

use crate::{REST, prove};

/// More looks than any card takes.
const MOST_LOOKS: usize = 20_000;

/// Follows a card from how everything stands to its end.
fn to_its_end(live: &mut Live<'_>, task: &str) -> Follow {
    let mut card = live
        .follow(task)
        .unwrap_or_else(|fault| panic!("{task}: {fault}"));
    for _ in 0..MOST_LOOKS {
        live.look_on(&mut card);
        assert!(!card.is_beside(), "{task}: {card:?}");
        let Some(step) = card.next_step() else {
            return card;
        };
        match step.act.clone() {
            Some(act) => live.act(&act).expect("a step can be done"),
            None => {
                let seconds = live.look_again_s(&card).expect("one watches");
                live.advance(seconds).expect("goes on");
            }
        }
    }
    panic!("{task} has no end: {card:?}");
}

/// Whether there is room where a task leads: a vessel that is full has no card that fills it. A bucket of salt water is drawn
/// first, where there is a card for that.
fn has_room(live: &mut Live<'_>, task: &str) -> bool {
    match live.follow(task) {
        Err(LiveFault::NothingToCome { .. }) if live.follow("salt-bucket").is_ok() => {
            to_its_end(live, "salt-bucket");
            true
        }
        Err(LiveFault::NothingToCome { .. }) => false,
        _ => true,
    }
}

fn turned_on(live: &Live<'_>) -> Vec<String> {
    let seen = seen(live);
    let valves = seen.valves.into_iter().filter(|own| own.open).map(|own| own.name);
    let pumps = seen.pumps.into_iter().filter(|own| own.asked).map(|own| own.name);
    valves.chain(pumps).collect()
}

/// Each card of each example, from both beginnings, to its end and back: no harm that would not have come without, everything
/// stands as before, and the watch came to its end by itself.
#[test]
fn every_card_is_followed_to_its_end_and_back() {
    let mut moved = 0;
    for (name, _) in EXAMPLES {
        let station = example(name);
        for beginning in [Beginning::Full, Beginning::Filling] {
            for own in &station.lineups {
                with(&station, beginning, |live| {
                    if !has_room(live, &own.name) {
                        return;
                    }
                    let before = turned_on(live);
                    let card = to_its_end(live, &own.name);
                    let what = format!("{name}, {beginning:?}, {}", own.name);
                    assert_eq!(turned_on(live), before, "{what}");
                    assert!(seen(live).harms.is_empty(), "{what}: {:?}", seen(live).harms);
                    let ended = card.ended().unwrap_or_else(|| panic!("{what}: {card:?}"));
                    assert_ne!(ended, Ended::Enough, "{what}");
                    // As much was taken out of a tank as comes to it.
                    assert_ne!(ended, Ended::Full, "{what}");
                    moved += usize::from(ended == Ended::Moved);
                });
            }
        }
    }
    assert!(moved >= 10, "{moved}");
}

/// The steps of a card from how everything stands between tasks are the moves of the order that is proved; so are those back.
#[test]
fn the_steps_are_those_of_the_proved_order() {
    for (name, _) in EXAMPLES {
        let station = example(name);
        let proof = prove(&station);
        with(&station, Beginning::Full, |live| {
            for own in &station.lineups {
                if !has_room(live, &own.name) {
                    continue;
                }
                let card = live.follow(&own.name).expect("a card");
                for (part, from, to) in [
                    (Part::There, REST, own.name.as_str()),
                    (Part::Back, own.name.as_str(), REST),
                ] {
                    let order = proof
                        .switching
                        .iter()
                        .find(|order| order.from == from && order.to == to);
                    let moves = order.and_then(|order| order.moves.as_ref()).expect("an order");
                    let told: Vec<(&str, String)> =
                        moves.iter().map(|own| (own.turn, own.what.clone())).collect();
                    let steps: Vec<(&str, String)> = card
                        .steps()
                        .iter()
                        .filter(|step| step.part == part)
                        .filter_map(|step| match step.act.clone()? {
                            Act::Valve { valve, open } => Some((if open { "open" } else { "close" }, valve)),
                            Act::Pump { pump, on } => Some((if on { "start" } else { "stop" }, pump)),
                            _ => None,
                        })
                        .collect();
                    assert_eq!(steps, told, "{name}, {}", own.name);
                }
            }
        });
    }
}

/// A valve that isn't the card's is noticed and can be put back, or gone on from; looking changes nothing.
#[test]
fn what_isnt_the_cards_is_noticed() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let mut card = live.follow("mix").expect("a card");
        live.look_on(&mut card);
        assert_eq!(card.next_at(), 0);
        live.act(&valve("pool", true)).expect("opens");
        let before = bytes(&seen(live));
        live.look_on(&mut card);
        assert_eq!(before, bytes(&seen(live)), "looking changes nothing");
        let turned = live.turned(&card);
        assert!(
            turned.len() == 1 && turned[0].what == "pool" && turned[0].on,
            "{turned:?}"
        );
        assert_eq!(live.put_back(&card), [valve("pool", false)]);
        live.act(&valve("pool", false)).expect("shuts");
        live.look_on(&mut card);
        assert!(!card.is_beside() && card.next_at() == 0);
        // Gone on from there: what was opened is shut again on the card's way.
        live.act(&valve("pool", true)).expect("opens");
        live.look_on(&mut card);
        live.go_on(&mut card).expect("an order from here");
        assert!(!card.is_beside());
        let shuts = card
            .steps()
            .iter()
            .any(|step| step.act == Some(valve("pool", false)));
        assert!(shuts, "{card:?}");
        go_through(live, &mut card);
        assert!(card.watches() && !card.is_beside());
    });
}

/// A valve that harms by itself, one that harms only once the card goes on, and one that harms neither way: each is told as
/// what it is, and put back none of them harms.
#[test]
fn what_comes_of_a_wrong_valve_is_foretold() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        to_its_end(live, "salt-bucket");
        let mut card = live.follow("fresh-to-salt").expect("a card");
        live.look_on(&mut card);
        for (own, alone, on) in [
            (
                "fresh-spout",
                Some("on the floor under Fresh tap"),
                Some("on the floor under Fresh tap"),
            ),
            ("pump-spout", None, Some("on the floor under Pump tap")),
            ("over-the-rim", None, None),
        ] {
            live.act(&valve(own, true)).expect("opens");
            live.look_on(&mut card);
            let before = bytes(&seen(live));
            for (wanted, told) in [
                (alone, live.foretell_beside(&card)),
                (on, live.foretell_gone_on(&card)),
            ] {
                // With the card's steps the vessel that nobody watches runs over in any case.
                let told = told.expect("looks ahead").filter(|own| !own.anyway);
                let fits = match (wanted, &told) {
                    (None, None) => true,
                    (Some(wanted), Some(told)) => told.harm.contains(wanted) && told.in_s > 0.0,
                    _ => false,
                };
                assert!(fits, "{own}: {told:?}");
            }
            assert_eq!(before, bytes(&seen(live)), "looking ahead changes nothing");
            for act in live.put_back(&card) {
                live.act(&act).expect("is put back");
            }
            live.look_on(&mut card);
            assert!(!card.is_beside());
            assert_eq!(live.foretell_beside(&card).expect("looks ahead"), None);
            let told = live.foretell_gone_on(&card).expect("looks ahead");
            assert!(told.as_ref().is_none_or(|own| own.anyway), "{told:?}");
        }
    });
}

/// What stands otherwise than between tasks is told, whatever the card says of its steps.
#[test]
fn what_stands_open_after_a_card_is_told() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let mut card = to_its_end(live, "fresh-bucket");
        assert!(live.unlike_rest(&card).is_empty());
        live.act(&valve("jet", true)).expect("opens");
        live.look_on(&mut card);
        assert!(card.next_step().is_none() && !card.is_beside());
        let unlike = live.unlike_rest(&card);
        assert!(
            unlike.len() == 1 && unlike[0].what == "jet" && unlike[0].on,
            "{unlike:?}"
        );
    });
}

/// A card in whose midst the whole task is begun and ended by its own buttons follows along.
#[test]
fn a_task_that_is_begun_at_once_is_followed() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let mut card = live.follow("touch-pool-change").expect("a card");
        live.act(&begin("touch-pool-change")).expect("begins");
        live.look_on(&mut card);
        assert!(card.watches(), "{card:?}");
        live.advance(10.0).expect("goes on");
        live.act(&Act::End).expect("ends");
        live.look_on(&mut card);
        assert!(card.next_step().is_none() && !card.is_beside(), "{card:?}");
        assert_eq!(card.ended(), None, "it was ended before its time");
    });
}

/// A container that isn't empty is changed first, and water that comes meanwhile is the new one's.
#[test]
fn a_full_bucket_is_changed_first() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        to_its_end(live, "fresh-bucket");
        let card = live.follow("fresh-bucket").expect("a card");
        assert!(
            matches!(card.steps()[0].act, Some(Act::Bucket { .. })),
            "{card:?}"
        );
        to_its_end(live, "fresh-bucket");
        let draw = seen(live).draws.into_iter().find(|own| own.name == "fresh-tap");
        let draw = draw.expect("a draw point");
        assert!(
            (draw.caught_m3 / draw.container_m3 - 1.0).abs() < 2e-3,
            "{draw:?}"
        );
        assert!(seen(live).harms.is_empty());
    });
}

#[test]
fn a_task_that_isnt_there_has_no_card() {
    let station = example("Juniper");
    with(&station, Beginning::Full, |live| {
        let none = live.follow("nothing").expect_err("no card");
        assert!(matches!(none, LiveFault::NoSuch { .. }), "{none}");
    });
}

/// A change: what the card brings is taken out first, and the tank stands as before afterwards; topping off takes nothing out.
#[test]
fn a_change_takes_out_first_what_it_brings() {
    let station = example("Larkhaven");
    let task = "touch-pool-change";
    let lineup = station
        .lineups
        .iter()
        .find(|own| own.name == task)
        .expect("there");
    let tank = lineup.fields.to.value.clone();
    let own = station.tanks.iter().find(|own| own.name == tank).expect("there");
    let change_m3 = own.fields.change.as_ref().expect("it is changed").value.m3();
    let take_out = |volume_m3: f64| Act::TakeOut {
        tank: tank.clone(),
        volume_m3,
    };
    with(&station, Beginning::Full, |live| {
        // As if the air took nothing: that is topped off, and no change's.
        let stands_m3 = |live: &Live<'_>| {
            let all = seen(live).tanks;
            let own = all.into_iter().find(|own| own.name == tank).expect("there");
            own.volume_m3 + own.evaporated_m3
        };
        let before_m3 = stands_m3(live);
        let card = live.follow(task).expect("a card");
        // By hand: a change takes out as much as it brings.
        assert_eq!(card.steps()[0].act, Some(take_out(change_m3)));
        let card = to_its_end(live, task);
        assert_eq!(card.ended(), Some(Ended::Moved));
        let more_m3 = stands_m3(live) - before_m3;
        // The watch ends a thousandth of the change short at the most; what still runs out of the hose is no more.
        assert!(more_m3.abs() < 2e-3 * change_m3, "{more_m3}");
        let now = seen(live);
        assert!(now.harms.is_empty(), "{:?}", now.harms);
        assert!(
            now.balance.water_residual < 1e-9 && now.balance.salt_residual < 1e-9,
            "{now:?}"
        );
        // What was taken out already isn't once more; half of it is half.
        live.act(&take_out(0.5 * change_m3)).expect("it holds so much");
        let card = live.follow(task).expect("a card");
        let Some(Act::TakeOut { volume_m3, .. }) = card.steps()[0].act else {
            panic!("{:?}", card.steps());
        };
        assert!(
            (volume_m3 - 0.5 * change_m3 - more_m3).abs() < 1e-9,
            "{volume_m3}"
        );
        live.act(&take_out(volume_m3)).expect("it holds so much");
        let card = live.follow(task).expect("a card");
        assert!(!matches!(card.steps()[0].act, Some(Act::TakeOut { .. })));
        // More than it holds is refused, and so is nothing.
        for (volume_m3, told) in [
            (before_m3 + 1.0, "doesn't hold"),
            (0.0, "can't be 0"),
            (f64::NAN, "can't be"),
        ] {
            let fault = live.act(&take_out(volume_m3)).expect_err("refused");
            assert!(fault.to_string().contains(told), "{fault}");
        }
    });
    // Days later it is short of what the air took, and a change takes out as much as ever.
    with(&station, Beginning::Full, |live| {
        live.advance(3.0 * 86_400.0).expect("goes on");
        let card = live.follow(task).expect("a card");
        let Some(Act::TakeOut { volume_m3, .. }) = card.steps()[0].act else {
            panic!("{:?}", card.steps());
        };
        assert!((volume_m3 - change_m3).abs() < 1e-9, "{volume_m3}");
    });
    let topped = include_str!("../../../../../stations/larkhaven.toml").replace(
        "[lineups.touch-pool-change]\nfrom = \"salt\"",
        "[lineups.touch-pool-change]\nfrom = \"fresh\"",
    );
    let station = Station::read(&topped).expect("sound");
    assert_ne!(station.text, example("Larkhaven").text);
    with(&station, Beginning::Full, |live| {
        let card = live.follow(task).expect("a card");
        let takes_out = |own: &super::super::Step| matches!(own.act, Some(Act::TakeOut { .. }));
        assert!(!card.steps().iter().any(takes_out), "{:?}", card.steps());
    });
}
