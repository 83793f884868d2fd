//! Acts and what comes of them.

use super::super::{Act, Beginning, Live};
use super::{begin, bytes, example, mixed, seen, valve, with};

/// A float alone closes where it hangs, whatever the batch of its vessel is: less, as much, or more.
#[test]
fn a_float_closes_at_its_level() {
    for stop in ["24 in", "28 3/4 in", "32 in"] {
        let edits = [station::Edit::quoted("vessels.drum.stop_level", stop)];
        let text = station::edit::apply(&example("Juniper").text, &edits).expect("an edit");
        let station = station::Station::read(&text).expect("a sound station");
        let stop_m = station.vessels[0]
            .fields
            .stop_level
            .as_ref()
            .expect("a stop")
            .value
            .m();
        // It opens as soon as the water has sunk by its travel, 10 mm.
        for (beginning, most_m) in [(Beginning::Full, 1e-6), (Beginning::Filling, 0.0101)] {
            with(&station, beginning, |live| {
                let first = seen(live);
                let under_m = stop_m - first.vessels[0].level_m;
                assert!(
                    (-1e-9..most_m).contains(&under_m),
                    "{stop}: {under_m} m under it at first"
                );
                live.advance(12.0 * 3600.0).expect("goes on");
                let then = seen(live);
                assert!(
                    (then.vessels[0].level_m - stop_m).abs() < 0.0101,
                    "{stop}: {:?}",
                    then.vessels[0]
                );
            });
        }
    }
}

/// A fill that has just been asked for goes on until the stop switch is wet and no further; and one starts when water is
/// drawn below the start switch.
#[test]
fn a_fill_starts_and_stops_by_its_switches() {
    let station = example("Larkhaven");
    let fields = &station.vessels[0].fields;
    let start_m = fields.start_level.as_ref().expect("a start switch").value.m();
    let stop_m = fields.stop_level.as_ref().expect("a stop switch").value.m();
    with(&station, Beginning::Filling, |live| {
        live.advance(60.0).expect("goes on");
        let first = seen(live);
        assert!(
            (first.vessels[0].level_m - start_m).abs() < 0.015,
            "{:?}",
            first.vessels[0]
        );
        for _ in 0..96 {
            live.advance(1800.0).expect("goes on");
            let now = seen(live);
            assert!(now.vessels[0].level_m < stop_m + 1e-3, "{:?}", now.vessels[0]);
        }
        let full = seen(live);
        let purifier = full.purifier.expect("a purifier");
        assert!(!purifier.runs && !purifier.feed_open);
        assert!(
            (full.vessels[0].level_m - stop_m).abs() < 1e-3,
            "{:?}",
            full.vessels[0]
        );
        assert!(full.harms.is_empty(), "{:?}", full.harms);
        // Drawn down into buckets until it asks again.
        let mut runs_m = None;
        for _ in 0..40 {
            live.act(&begin("fresh-bucket")).expect("begins");
            for _ in 0..30 {
                live.advance(5.0).expect("goes on");
                let now = seen(live);
                if runs_m.is_none() && now.purifier.is_some_and(|own| own.runs) {
                    runs_m = Some(now.vessels[0].level_m);
                }
            }
        }
        let runs_m = runs_m.expect("it starts again");
        assert!(runs_m < start_m && runs_m > start_m - 0.05, "{runs_m}");
    });
}

/// Water poured by hand with nobody to shut it: the word before, the floor after, at the moment that was told; and asking
/// changes nothing.
#[test]
fn a_word_before_a_bucket_runs_over() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        live.advance(3.3).expect("goes on");
        let before = bytes(&seen(live));
        let word = live
            .foretell(&valve("fresh-spout", true), None)
            .expect("looks ahead");
        assert_eq!(before, bytes(&seen(live)));
        let word = word.expect("it runs over");
        assert!(word.harm.contains("on the floor under"), "{word:?}");
        assert_eq!(
            live.foretell(&begin("fresh-bucket"), None).expect("looks ahead"),
            None
        );
        live.act(&valve("fresh-spout", true)).expect("opens");
        live.advance(word.in_s - 1.0).expect("goes on");
        assert!(seen(live).harms.is_empty());
        live.advance(2.0).expect("goes on");
        let seen = seen(live);
        assert_eq!(seen.harms.len(), 1, "{:?}", seen.harms);
        assert!(
            (seen.harms[0].at_s - 3.3 - word.in_s).abs() < 0.5,
            "{word:?} {:?}",
            seen.harms
        );
    });
}

/// Salt is poured in, dissolved by mixing, and what the task brings from there thins or salts what it comes to: by hand, 270 L of
/// salt water of 34.5 carry m kilograms; 0.5 kg more in it are (m + 0.5)/V afterwards, whatever runs out of it meanwhile.
#[test]
fn salt_is_where_it_was_poured() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        let before = seen(live);
        live.act(&Act::Salt {
            vessel: "salt".to_owned(),
            mass_kg: 0.5,
        })
        .expect("pours");
        // At first it lies there, and what is drawn has none of it.
        let poured = seen(live).vessels[1].clone();
        assert_eq!(
            (poured.grains_kg, poured.practical_salinity),
            (0.5, before.vessels[1].practical_salinity)
        );
        mixed(live);
        let after = seen(live);
        let gained_kg = after.balance.salt_there_kg - before.balance.salt_there_kg;
        assert!((gained_kg - 0.5).abs() < 1e-12, "{gained_kg}");
        // 34.5 practical are 34.66 g in a kilogram; 0.5 kg more in 276 kg are 1.75 g/kg more.
        let rise = after.vessels[1].practical_salinity - before.vessels[1].practical_salinity;
        assert!((rise - 1.75).abs() < 0.1, "{rise}");
        live.act(&begin("salt-bucket")).expect("begins");
        live.advance(120.0).expect("goes on");
        let drawn = seen(live);
        let bucket = drawn
            .draws
            .iter()
            .find(|own| own.name == "salt-tap")
            .expect("a draw point");
        assert!(
            (bucket.caught_m3 - bucket.container_m3).abs() < 1e-6,
            "{bucket:?}"
        );
        assert!(
            (bucket.practical_salinity - after.vessels[1].practical_salinity).abs() < 1e-6,
            "{bucket:?}"
        );
    });
}

/// A whole water change, so that the salt vessel stands lower.
fn change_the_pool(live: &mut Live<'_>) {
    live.act(&begin("touch-pool-change")).expect("begins");
    for _ in 0..60 {
        live.advance(60.0).expect("goes on");
        if seen(live).task.is_none() {
            return;
        }
    }
    panic!("no end: {:?}", seen(live));
}

/// Both suction valves open join the vessels through the tee before the pump: fresh water stands higher and thins the batch,
/// with a word before it, and its salt stays what it was.
#[test]
fn joined_vessels_thin_the_batch() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        change_the_pool(live);
        live.act(&valve("fresh-outlet", true)).expect("opens");
        let word = live
            .foretell(&valve("salt-outlet", true), None)
            .expect("looks ahead")
            .expect("a word");
        let before = seen(live);
        live.act(&valve("salt-outlet", true)).expect("opens");
        live.advance(word.in_s + 60.0).expect("goes on");
        let after = seen(live);
        assert!(
            after.vessels[1].practical_salinity < before.vessels[1].practical_salinity - 0.5,
            "{after:?}"
        );
        assert!(
            after.harms.iter().any(|own| own.harm == word.harm),
            "{word:?} {:?}",
            after.harms
        );
        let line = after
            .lines
            .iter()
            .find(|own| own.name == "fresh-out")
            .expect("a line");
        assert!(
            line.flow_m3_per_s > 0.0 && line.practical_salinity == 0.0,
            "{line:?}"
        );
        assert!(after.balance.salt_residual < 1e-9, "{:?}", after.balance);
    });
}

/// A batch that is thinned keeps its salt: by the densities of sea water, which the ledger doesn't use, mass times salinity
/// is the same before and after. Within 0.05 %: so far the volumes of mixtures are from adding up (`plant::Brine`).
#[test]
fn a_thinned_batch_keeps_its_salt() {
    let station = example("Larkhaven");
    with(&station, Beginning::Full, |live| {
        change_the_pool(live);
        live.act(&valve("fresh-outlet", true)).expect("opens");
        live.act(&valve("salt-outlet", true)).expect("opens");
        let salt_kg = |live: &Live<'_>| {
            let salt = seen(live).vessels[1].clone();
            let density = physics::seawater::density_kg_m3(salt.practical_salinity, 20.0).expect("sea water");
            let share = physics::seawater::salt_mass_fraction(salt.practical_salinity);
            (salt.volume_m3, salt.volume_m3 * density * share)
        };
        let (first_m3, first_kg) = salt_kg(live);
        live.advance(600.0).expect("goes on");
        let (last_m3, last_kg) = salt_kg(live);
        assert!(last_m3 > 1.05 * first_m3, "{first_m3} {last_m3}");
        assert!((last_kg / first_kg - 1.0).abs() < 5e-4, "{first_kg} {last_kg}");
    });
}
