//! Sixteen positions that were worked out by hand, as `docs/mistakes-by-hand.md` tells them: that page is read.

use proof::{HarmOfState, MistakeKind as Kind, StateOfStation, every_state};

use super::support::{mistakes_of, read};

const PAGE: &str = include_str!("../../../../docs/mistakes-by-hand.md");

/// Water and tubes are known to a per mille here and the page has three figures; the valves, which the page leaves out,
/// take another half per mille of each line's loss.
const TOLERANCE: f64 = 5e-3;

/// The page's station.
fn text() -> &'static str {
    PAGE.split("```toml").nth(1).unwrap().split("```").next().unwrap()
}

/// The rows of the table under a heading, by cells.
fn table(heading: &str) -> Vec<Vec<&'static str>> {
    let section = PAGE
        .split("\n## ")
        .find(|section| section.starts_with(heading))
        .unwrap();
    let rows = section.lines().filter(|line| line.starts_with('|'));
    rows.skip(2)
        .map(|row| row.trim_matches('|').split('|').map(str::trim).collect())
        .collect()
}

/// A harm in the page's words; each happens to one thing of this station only.
fn harm(words: &str) -> (Kind, &'static str) {
    match words {
        "salt into fresh" => (Kind::SaltIntoFresh, "fresh"),
        "fresh into salt" => (Kind::FreshIntoSalt, "salt"),
        "over the rim" => (Kind::OverRim, "salt"),
        "wrong water" => (Kind::WrongWaterDrawn, "tap"),
        "to the floor" => (Kind::ToFloor, "tap"),
        "heater dry" => (Kind::HeaterUncovered, "salt"),
        _ => panic!("no harm is called `{words}`"),
    }
}

fn listed(cell: &str) -> Vec<&str> {
    match cell {
        "nothing" | "–" => Vec::new(),
        all => all.split(", ").collect(),
    }
}

fn sorted<T: Ord>(all: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut all: Vec<T> = all.into_iter().collect();
    all.sort();
    all
}

fn states() -> Vec<StateOfStation> {
    every_state(&read(text()), 0.0).unwrap()
}

fn state<'a>(states: &'a [StateOfStation], open: &str, moment: &str) -> &'a StateOfStation {
    let open = sorted(listed(open));
    let is = |state: &&StateOfStation| {
        state.situation == moment && sorted(state.valves_open.iter().map(String::as_str)) == open
    };
    states
        .iter()
        .find(is)
        .unwrap_or_else(|| panic!("no state {open:?} at {moment}"))
}

#[test]
fn every_position_does_what_the_page_says() {
    let states = states();
    let rows = table("What every position does");
    assert_eq!((rows.len(), states.len()), (16, 48));
    for row in &rows {
        for (moment, cell) in ["start", "full", "worst"].into_iter().zip(&row[1..]) {
            let own = state(&states, row[0], moment);
            let own = own.harms.iter().map(|harm| (harm.kind, harm.victim.as_str()));
            let told = listed(cell).into_iter().map(harm);
            assert_eq!(sorted(own), sorted(told), "{} at {moment}", row[0]);
        }
    }
}

#[test]
fn flows_and_times_are_those_of_the_page() {
    let states = states();
    let rows = table("Figures");
    assert_eq!(rows.len(), 14);
    for row in &rows {
        let [open, moment, words, _, flow, seconds] = row.as_slice() else {
            panic!("{row:?}");
        };
        let (kind, victim) = harm(words);
        let is = |own: &&HarmOfState| (own.kind, own.victim.as_str()) == (kind, victim);
        let own = state(&states, open, moment).harms.iter().find(is).unwrap();
        let close = |own: f64, told: &str| {
            let told: f64 = told.parse().unwrap();
            assert!((own / told - 1.0).abs() < TOLERANCE, "{row:?}: {own}, not {told}");
        };
        close(own.flow_m3_per_s * 60e3, flow);
        close(own.seconds_to_harm, seconds);
    }
}

/// Read off the table: a harm begins where it stands in a row and in no row with fewer of the same valves.
#[test]
fn the_least_that_does_each_harm_is_in_the_table() {
    let rows = table("What every position does");
    let does = |row: &[&'static str]| sorted(row[1..].iter().flat_map(|cell| listed(cell)));
    let mut least = Vec::new();
    for row in &rows {
        let open = listed(row[0]);
        let is_part = |other: &&Vec<&str>| {
            let part = listed(other[0]);
            part.len() < open.len() && part.iter().all(|valve| open.contains(valve))
        };
        for words in does(row) {
            if !rows
                .iter()
                .filter(is_part)
                .any(|part| does(part).contains(&words))
            {
                least.push((
                    sorted(open.iter().map(|valve| (*valve).to_owned())),
                    harm(words).0,
                ));
            }
        }
    }
    least.dedup();
    let mistakes = mistakes_of(&read(text()));
    let own = mistakes
        .map
        .hazards
        .iter()
        .map(|hazard| (sorted(hazard.valves_open.iter().cloned()), hazard.kind));
    assert_eq!(sorted(own), sorted(least));
    // Counted in the table: 48 states, and those with a dash.
    let dashes = rows
        .iter()
        .flat_map(|row| &row[1..])
        .filter(|cell| **cell == "–")
        .count();
    assert_eq!(
        (mistakes.map.states_tried, mistakes.map.harmless),
        (48, dashes as u64)
    );
}

/// The page: fresh water runs in above 313 mm, salt water out below 306 mm, nothing between.
#[test]
fn it_turns_round_where_the_page_says() {
    let mistakes = mistakes_of(&read(text()));
    let of_both = mistakes.map.hazards.iter().filter(|hazard| {
        hazard.valves_open == ["fresh-outlet", "salt-outlet"] && hazard.kind == Kind::SaltIntoFresh
    });
    let told: Vec<f64> = of_both
        .map(|hazard| hazard.balance.as_ref().unwrap().level_m)
        .collect();
    let [level_m] = told.as_slice() else {
        panic!("{told:?}");
    };
    assert!((0.3055..=0.3135).contains(level_m), "{level_m} m");
}
