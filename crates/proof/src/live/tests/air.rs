//! What the air takes.

use super::super::{Beginning, Snapshot};
use super::{EXAMPLES, Live, example, seen, with};
use station::Station;

const DAY_S: f64 = 86_400.0;

/// By hand: 9 L a day are 27 L of 900 L in three days, and the salt stays, so that the pool is saltier by 900/873; by volume,
/// where a part in a thousand is density's. That is a day's work for whoever tops off, and no harm.
#[test]
fn a_tank_gets_saltier_by_what_has_evaporated() {
    let pool = |now: &Snapshot| {
        let mut tanks = now.tanks.iter();
        tanks.find(|own| own.name == "touch-pool").expect("there").clone()
    };
    with(&example("Larkhaven"), Beginning::Full, |live| {
        live.advance(3.0 * DAY_S).expect("goes on");
        let now = seen(live);
        let own = pool(&now);
        assert!((own.evaporated_m3 - 0.027).abs() < 1e-9, "{own:?}");
        assert!((own.gained_m3 + 0.027).abs() < 1e-9, "{own:?}");
        let salinity = own.practical_salinity.expect("there is water");
        let by_hand = 34.5 * 900.0 / 873.0;
        assert!((salinity / by_hand - 1.0).abs() < 1e-3, "{salinity} {by_hand}");
        assert!(now.harms.is_empty(), "{:?}", now.harms);
        // Three days more, and it is saltier by more than a day may bring: still nobody's harm.
        live.advance(3.0 * DAY_S).expect("goes on");
        let now = seen(live);
        let own = pool(&now);
        assert!(own.practical_salinity.is_some_and(|own| own > 35.5), "{own:?}");
        assert!(now.harms.is_empty(), "{:?}", now.harms);
        assert!(now.balance.water_residual < 1e-9, "{:?}", now.balance);
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
