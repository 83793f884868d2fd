//! A valve that closes by itself is held, and let go once the container is full.

use station::Station;

use super::super::{Act, Beginning};
use super::{EXAMPLES, go_through, seen, valve, with};

fn held_spout() -> Station {
    let text = EXAMPLES[0].1;
    let plain = "fresh-spout = { line = \"fresh-spout\", kind = \"ball\" }";
    assert!(text.contains(plain), "the example's spout");
    let held = "fresh-spout = { line = \"fresh-spout\", kind = \"ball\", self_closing = true }";
    Station::read(&text.replace(plain, held)).expect("sound")
}

/// As Mistakes has it: no water comes to the floor of a spout that closes by itself, however long nobody thinks of it; where
/// it is wedged open, all of it does.
#[test]
fn a_spout_that_is_held_runs_over_only_where_it_is_wedged() {
    let station = held_spout();
    with(&station, Beginning::Full, |live| {
        let own = valve("fresh-spout", true);
        assert_eq!(live.foretell(&own, None).expect("looks ahead"), None);
        live.act(&own).expect("opens");
        live.advance(900.0).expect("goes on");
        let now = seen(live);
        assert!(now.harms.is_empty(), "{:?}", now.harms);
        let spout = now
            .valves
            .iter()
            .find(|own| own.name == "fresh-spout")
            .expect("there");
        let bucket = now
            .draws
            .iter()
            .find(|own| own.name == "fresh-tap")
            .expect("there");
        assert!(
            !spout.open && bucket.caught_m3 > 0.999 * bucket.container_m3,
            "{bucket:?}"
        );
        // Nobody fills a full bucket.
        live.act(&own).expect("opens");
        live.advance(60.0).expect("goes on");
        assert!(seen(live).harms.is_empty());
    });
    with(&station, Beginning::Full, |live| {
        let fault = "valve Fresh spout wedged open".to_owned();
        live.act(&Act::Break { fault }).expect("is put in");
        live.advance(60.0).expect("goes on");
        let floor_m3: f64 = seen(live).floor.iter().map(|own| own.volume_m3).sum();
        assert!(floor_m3 > 0.05, "{floor_m3}");
    });
}

/// The card of such a spout ends as any other: before the hand lets go by itself.
#[test]
fn a_card_ends_before_the_hand_lets_go() {
    let station = held_spout();
    with(&station, Beginning::Full, |live| {
        let mut card = live.follow("fresh-bucket").expect("a card");
        live.look_on(&mut card);
        while let Some(act) = card
            .next_step()
            .and_then(|step| step.act.clone())
            .filter(|_| card.ended().is_none())
        {
            live.act(&act).expect("a step");
            live.look_on(&mut card);
        }
        while let Some(seconds) = live.look_again_s(&card) {
            live.advance(seconds).expect("goes on");
            live.look_on(&mut card);
        }
        assert!(!card.is_beside() && card.next_step().is_some(), "{card:?}");
        go_through(live, &mut card);
        assert!(live.unlike_rest(&card).is_empty() && seen(live).harms.is_empty());
    });
}
