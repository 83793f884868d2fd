//! Water that isn't what somebody wants: under a draw point, in a tank.

use super::super::{Act, Beginning, Live};
use super::{example, go_through, mixed, seen, valve, with};

fn pump_on() -> Act {
    Act::Pump {
        pump: "bracket".to_owned(),
        on: true,
    }
}

/// Whether a harm stands with these words in it.
fn has(live: &Live<'_>, words: &str) -> bool {
    seen(live).harms.iter().any(|own| own.harm.contains(words))
}

/// A card draws a bucket of salt water, and somebody opens the purified vessel instead: good water, and the wrong one. Who
/// looks ahead with the card knows that, who looks without it doesn't, and the record minds no card.
#[test]
fn a_bucket_of_the_other_water_is_told_to_its_card() {
    let station = example("Larkhaven");
    let wrong = "purified water under Pump tap, where that of Salt is to be drawn";
    with(&station, Beginning::Full, |live| {
        let mut card = live.follow("tall-bucket").expect("a card");
        live.look_on(&mut card);
        for own in ["fresh-outlet", "pump-outlet"] {
            live.act(&valve(own, true)).expect("opens");
            live.look_on(&mut card);
        }
        let last = valve("pump-spout", true);
        let told = live.foretell(&last, Some(&card)).expect("looks ahead");
        assert!(
            told.as_ref().is_some_and(|own| own.harm.contains(wrong)),
            "{told:?}"
        );
        // By hand: 3 % of 20 L at some sixth of a litre in a second, by gravity.
        assert!(
            told.as_ref().is_some_and(|own| (2.0..6.0).contains(&own.in_s)),
            "{told:?}"
        );
        let blind = live.foretell(&last, None).expect("looks ahead");
        assert!(blind.is_none_or(|own| !own.harm.contains("is to be drawn")));
        assert_eq!(live.wrong_drawn(&card), None, "nothing has come");
        live.act(&last).expect("opens");
        live.advance(20.0).expect("goes on");
        live.look_on(&mut card);
        let beside = live
            .foretell_beside(&card)
            .expect("looks ahead")
            .expect("it comes");
        assert!(beside.harm.contains("on the floor"), "{beside:?}");
        assert!(!has(live, "is to be drawn"), "no card is in the record");
        // What came stays in the container when everything is put back and the card goes on: purified and salt water by then.
        for act in live.put_back(&card) {
            live.act(&act).expect("is put back");
        }
        live.look_on(&mut card);
        go_through(live, &mut card);
        live.advance(3.0).expect("goes on");
        let told = live.wrong_drawn(&card).expect("it is told");
        assert!(told.contains("neither fresh nor"), "{told}");
    });
    // The task begun by itself is in the record.
    with(&station, Beginning::Full, |live| {
        live.act(&Act::Begin {
            task: "tall-bucket".to_owned(),
        })
        .expect("begins");
        for (own, open) in [("salt-outlet", false), ("fresh-outlet", true)] {
            live.act(&valve(own, open)).expect("turns");
        }
        live.advance(10.0).expect("goes on");
        assert!(has(live, wrong), "{:?}", seen(live).harms);
    });
}

/// A batch with too much salt makes the bucket neither water, and the pool too salty: by hand, 45 L and what the air took fill the pool to its rim,
/// and from there the difference to the batch, `Sᵦ − S`, fades by `e^(−v/V)`, as of any stirred body that runs over, until
/// the limit (mixed by volume: densities differ by less than 1 %, hence 3 %).
#[test]
fn too_salty_a_batch_is_told_of_bucket_and_tank() {
    let station = example("Larkhaven");
    let pool = &station
        .tanks
        .iter()
        .find(|own| own.name == "touch-pool")
        .expect("there")
        .fields;
    let (usual, limit) = (
        pool.salinity.value.practical(),
        pool.salinity.value.practical() + pool.salinity_tolerance.value.plain(),
    );
    let tank = |live: &Live<'_>| {
        let mut tanks = seen(live).tanks.into_iter();
        tanks.find(|own| own.name == "touch-pool").expect("there")
    };
    let salt = |live: &mut Live<'_>| {
        let too_much = Act::Salt {
            vessel: "salt".to_owned(),
            mass_kg: 1.6,
        };
        live.act(&too_much).expect("pours");
        assert!(has(live, "the batch in Salt saltier than it is to be"));
        mixed(live);
    };
    with(&station, Beginning::Full, |live| {
        salt(live);
        live.act(&Act::Begin {
            task: "salt-bucket".to_owned(),
        })
        .expect("begins");
        live.advance(120.0).expect("goes on");
        assert!(has(live, "neither fresh nor as salty"), "{:?}", seen(live).harms);
    });
    with(&station, Beginning::Full, |live| {
        salt(live);
        let batch = seen(live).vessels[1].practical_salinity;
        // The air has taken some of it while the batch was mixed.
        let own = tank(live);
        let (volume_m3, full_m3) = (own.volume_m3, own.full_m3);
        let salinity = own.practical_salinity.expect("there is water");
        assert!(
            (full_m3 - 0.945).abs() < 1e-9 && salinity > usual && salinity < limit,
            "{own:?}"
        );
        let room_m3 = full_m3 - volume_m3;
        let at_rim = (volume_m3 * salinity + room_m3 * batch) / full_m3;
        let wanted_m3 = room_m3 + full_m3 * libm::log((batch - at_rim) / (batch - limit));
        for own in ["salt-outlet", "pump-outlet", "pool"] {
            live.act(&valve(own, true)).expect("opens");
        }
        live.act(&pump_on()).expect("starts");
        let came_m3 = |live: &Live<'_>| {
            let spilled_m3: f64 = seen(live).floor.iter().map(|own| own.volume_m3).sum();
            tank(live).volume_m3 - volume_m3 + spilled_m3
        };
        while !has(live, "saltier than it bears") {
            live.advance(0.5).expect("goes on");
            assert!(came_m3(live) < 1.1 * wanted_m3, "it is told by then");
        }
        assert!(
            (came_m3(live) / wanted_m3 - 1.0).abs() < 0.03,
            "{} {wanted_m3}",
            came_m3(live)
        );
    });
}

/// Valves stand as the card that fills up for a batch has them, and the vessel is full of a good one: that thins it, though no
/// valve is another than the card's.
#[test]
fn a_full_batch_is_thinned_by_its_own_card() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        for own in ["fresh-outlet", "pump-outlet", "over-the-rim"] {
            live.act(&valve(own, true)).expect("opens");
        }
        let told = live
            .foretell(&pump_on(), None)
            .expect("looks ahead")
            .expect("it is told");
        assert!(told.harm.contains("the batch in Salt thinned"), "{told:?}");
    });
}
