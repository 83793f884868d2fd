//! What the air takes.

use super::super::{Beginning, Snapshot, TankNow};
use super::{EXAMPLES, Live, example, seen, with};
use station::Station;

const DAY_S: f64 = 86_400.0;

fn pool(now: &Snapshot) -> TankNow {
    let mut tanks = now.tanks.iter();
    tanks.find(|own| own.name == "touch-pool").expect("there").clone()
}

/// By hand: 9 L a day are 22.5 L of 900 L in two days and a half, and the salt stays, so that the pool is saltier by
/// 900/877.5; by volume, where a part in a thousand is density's. It bears 1 more than its 34.5: that is passed once
/// 900 L times 1/35.5 are gone, after 2.82 days; by a part in a thousand of 35.5 that is a twentieth of a day.
#[test]
fn a_tank_that_nobody_tops_off_gets_too_salty() {
    with(&example("Larkhaven"), Beginning::Full, |live| {
        live.advance(2.5 * DAY_S).expect("goes on");
        let now = seen(live);
        let own = pool(&now);
        assert!((own.evaporated_m3 - 0.0225).abs() < 1e-9, "{own:?}");
        assert!((own.gained_m3 + 0.0225).abs() < 1e-9, "{own:?}");
        let salinity = own.practical_salinity.expect("there is water");
        let by_hand = 34.5 * 900.0 / 877.5;
        assert!((salinity / by_hand - 1.0).abs() < 1e-3, "{salinity} {by_hand}");
        assert!(
            now.harms.iter().all(|own| !own.harm.contains("ouch pool")),
            "{:?}",
            now.harms
        );
        live.advance(3.5 * DAY_S).expect("goes on");
        let now = seen(live);
        let told: Vec<_> = now
            .harms
            .iter()
            .filter(|own| own.harm.contains("ouch pool"))
            .collect();
        let [one] = told[..] else {
            panic!("{told:?}");
        };
        assert_eq!(
            one.harm,
            "Touch pool saltier than it bears, for nobody tops it off"
        );
        let by_hand = 900.0 / 35.5 / 9.0;
        assert!((one.at_s / DAY_S - by_hand).abs() < 0.12, "{one:?} {by_hand}");
        assert!(now.balance.water_residual < 1e-9, "{:?}", now.balance);
    });
}

/// A tank that is left for months dries out: what is left is its salt, which has no salinity, and the air takes no more.
/// Nothing of it is lost to the balance.
#[test]
fn a_tank_that_is_left_dries_out() {
    with(&example("Larkhaven"), Beginning::Full, |live| {
        let salt_kg = |now: &Snapshot| {
            let mut there = now.balance.there.iter();
            there
                .find(|own| own.place == "in the tanks")
                .expect("there")
                .salt_kg
        };
        let at_first_kg = salt_kg(&seen(live));
        for _ in 0..20 {
            live.advance(7.0 * DAY_S).expect("goes on");
        }
        let now = seen(live);
        let own = pool(&now);
        assert_eq!(own.practical_salinity, None);
        assert!((own.volume_m3 - 0.03 * 0.9).abs() < 1e-9, "{own:?}");
        live.advance(7.0 * DAY_S).expect("goes on");
        let later = seen(live);
        assert_eq!(pool(&later), own);
        assert!((salt_kg(&later) / at_first_kg - 1.0).abs() < 1e-12);
        assert!(later.balance.water_residual < 1e-9 && later.balance.salt_residual < 1e-9);
    });
}

/// An open vessel that nobody draws from asks for water once the air has taken what stands over its start level: by hand,
/// that volume by the rate of its first day. The switch at 870 mm lets go 10 mm lower, which is its play (`plant::control`).
#[test]
fn a_fill_begins_by_itself() {
    let (_, text) = EXAMPLES[0];
    let open = text.replacen("lid = \"tight\"", "lid = \"none\"", 1).replacen(
        "start_level = \"260 mm ± 5 mm\"",
        "start_level = \"870 mm ± 5 mm\"",
        1,
    );
    let station = Station::read(&open).expect("a station");
    with(&station, Beginning::Full, |live| {
        let fresh = |live: &Live<'_>| seen(live).vessels[0].clone();
        let runs = |live: &Live<'_>| seen(live).purifier.is_some_and(|own| own.runs);
        let (full, area_m2) = (fresh(live), 0.25 * core::f64::consts::PI * 0.71 * 0.71);
        live.advance(DAY_S).expect("goes on");
        let a_day_m3 = full.volume_m3 - fresh(live).volume_m3;
        let wanted_s = DAY_S * area_m2 * (full.level_m - 0.86) / a_day_m3;
        live.advance_to(0.999 * wanted_s).expect("goes on");
        assert!(!runs(live));
        live.advance_to(1.001 * wanted_s).expect("goes on");
        assert!(runs(live), "by {wanted_s}");
    });
}
