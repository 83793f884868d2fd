//! When odd states of the feed come.

use super::super::body::{Comes, Plant};
use super::super::{Chance, Coarse, DAY_S, NameKey, State, YEAR_S, drive};
use super::plant;

fn with(comes: Comes) -> Plant {
    let mut plant = plant();
    let purifier = plant.purifier.as_mut().expect("a purifier");
    let mut odd = purifier.feeds[0].clone();
    odd.comes = Some(comes);
    purifier.feeds.push(odd);
    plant
}

/// When it began in so many days, s.
fn begun(plant: &Plant, year: u64, from_s: f64, days: u32) -> Vec<f64> {
    let mut state = State::begin(plant, from_s, Chance::new(4, year));
    let mut begun = Vec::new();
    let mut count = state.feed_next[1].1;
    for day in 1..=days {
        drive(plant, &mut state, &mut Coarse, from_s + f64::from(day) * DAY_S).expect("drives");
        if state.feed_next[1].1 > count {
            count = state.feed_next[1].1;
            begun.push(state.t_s);
        }
    }
    begun
}

/// "Every year in this month" (the reference of the file): once a year and not twice in one month, however short it is.
#[test]
fn what_comes_in_a_month_comes_once_a_year() {
    for month in [0, 3, 11] {
        let plant = with(Comes {
            key: NameKey::of("odd"),
            every_s: None,
            in_month: Some(month),
            lasts_s: 2.0 * DAY_S,
        });
        for year in 0..20 {
            let begun = begun(&plant, year, 0.0, 5 * 365);
            assert_eq!(begun.len(), 5, "month {month}: {begun:?}");
            for (at, began_s) in begun.iter().enumerate() {
                let months = (began_s - at as f64 * YEAR_S) / (YEAR_S / 12.0);
                // Looked at by the day.
                assert!(
                    months > month as f64 && months < (month + 1) as f64 + 0.04,
                    "{months}"
                );
            }
        }
    }
}

/// One that lasts longer than its month comes the next year, and one of more than a year doesn't overtake itself.
#[test]
fn what_lasts_long_comes_when_it_is_over() {
    for (lasts_days, wanted) in [(40.0, 6), (400.0, 3)] {
        let plant = with(Comes {
            key: NameKey::of("odd"),
            every_s: None,
            in_month: Some(5),
            lasts_s: lasts_days * DAY_S,
        });
        let begun = begun(&plant, 1, 0.0, 6 * 365);
        assert_eq!(begun.len(), wanted, "{begun:?}");
    }
}

/// One that comes at random: gaps of its duration and an exponential wait.
#[test]
fn what_comes_at_random_comes_as_often_as_it_should() {
    let (every, lasts) = (20.0, 5.0);
    let plant = with(Comes {
        key: NameKey::of("odd"),
        every_s: Some(every * DAY_S),
        in_month: None,
        lasts_s: lasts * DAY_S,
    });
    let days = 30_000;
    let count = begun(&plant, 0, 0.0, days).len() as f64;
    // A renewal process of mean `every + lasts`, deviation `every`: the count's deviation is √(t·σ²/μ³).
    let mean = every + lasts;
    let wanted = f64::from(days) / mean;
    let error = (f64::from(days) * every * every / (mean * mean * mean)).sqrt();
    assert!((count - wanted).abs() < 4.0 * error, "{count} {wanted} {error}");
}
