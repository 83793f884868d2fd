//! The chance of a year, as it is told to others, is the chance that the year meets.

use proof::plain_year::PlainYears;
use station::Station;

const YEAR_S: f64 = 365.0 * 86_400.0;

#[test]
fn the_chance_that_is_told_is_the_chance_that_is_met() {
    let station =
        Station::read(include_str!("../../../stations/larkhaven.toml")).expect("an example of the project");
    let mut years = PlainYears::of(&station, 4).expect("it has vessels");
    for year in 0..6 {
        let (draws, totals) = (years.draws(year), years.simulate(year).expect("it can be driven"));
        // Nobody of Larkhaven's stays so long as to miss the next day's visit.
        let visits = draws.visits.iter().filter(|visit| (0..365).contains(&visit.day));
        assert_eq!(visits.count(), totals.visits as usize);
        // Trouble that comes to a tank that is in trouble counts once.
        let times = draws.emergencies_s.iter().flatten();
        let troubles = times.filter(|at_s| (0.0..YEAR_S).contains(*at_s)).count();
        assert!(totals.emergencies as usize <= troubles && troubles <= totals.emergencies as usize + 1);
        // What comes in a month comes once a year.
        let odd = draws
            .odd_feeds
            .iter()
            .filter(|odd| odd.feed == 1 && odd.at_s >= 0.0);
        assert_eq!(odd.count(), 1);
    }
    assert_ne!(years.draws(0), years.draws(1));
}

/// The text with its sections of one kind in another order: the last of them first.
fn turned(text: &str, kind: &str) -> String {
    let mut blocks: Vec<String> = vec![String::new()];
    for line in text.lines() {
        if line.starts_with('[') {
            blocks.push(String::new());
        }
        let last = blocks.last_mut().expect("one at least");
        *last += &format!("{line}\n");
    }
    let own = |block: &String| block.starts_with(&format!("[{kind}."));
    let mut others: Vec<String> = blocks.iter().filter(|block| !own(block)).cloned().collect();
    let kinds: Vec<String> = blocks.into_iter().filter(own).collect();
    assert!(kinds.len() > 1, "{kind}: one alone has no order");
    others.extend(kinds.into_iter().rev());
    others.concat()
}

/// Tanks and states of the feed that stand in another order in the file, or beside one tank less, meet the same chance: it
/// hangs on their names.
#[test]
fn the_order_of_the_file_is_nothing_to_chance() {
    let text = include_str!("../../../stations/larkhaven.toml");
    let years = |text: &str| {
        let station = Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"));
        PlainYears::of(&station, 4).expect("it has vessels")
    };
    let names = |years: &PlainYears| -> Vec<String> {
        years.plant().tanks.into_iter().map(|tank| tank.name).collect()
    };
    let before = years(text);
    let tanks = years(&turned(text, "tanks"));
    let reversed: Vec<String> = names(&before).into_iter().rev().collect();
    assert_eq!(names(&tanks), reversed);
    let feeds = years(&turned(text, "feed_states"));
    let mut troubles = 0;
    for year in 0..20 {
        let (own, mut other) = (before.draws(year), tanks.draws(year));
        other.emergencies_s.reverse();
        other.change_day.reverse();
        assert_eq!(own, other, "year {year}");
        troubles += own.emergencies_s.iter().map(Vec::len).sum::<usize>();
        // No two tanks and no two years share theirs.
        let days: Vec<f64> = own.change_day.iter().flatten().copied().collect();
        assert!(days.windows(2).all(|pair| pair[0] != pair[1]), "{days:?}");
        assert_ne!(own.change_day, before.draws(year + 1).change_day);
        // States of the feed change their places, and come when they came.
        let times = |draws: &proof::plain_year::PlainDraws| -> Vec<(f64, f64)> {
            draws.odd_feeds.iter().map(|odd| (odd.at_s, odd.ends_s)).collect()
        };
        assert_eq!(times(&own), times(&feeds.draws(year)));
    }
    assert!(troubles > 10, "{troubles}: too few to tell");
}
