//! The chance of a year, as it is told to others, is the chance that the year meets.

use proof::plain_year::PlainYears;
use station::Station;

const YEAR_S: f64 = 365.0 * 86_400.0;

#[test]
fn the_chance_that_is_told_is_the_chance_that_is_met() {
    let station =
        Station::read(include_str!("../../../stations/larkhaven.toml")).expect("an example of the project");
    let years = PlainYears::of(&station, 4).expect("it has vessels");
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
