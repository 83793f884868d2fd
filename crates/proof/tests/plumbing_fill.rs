//! The purifier's fill in the flows of a moment: it runs by the vessel's level and by what starts it.

#![expect(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

use proof::{VesselBalance, flows, prove};
use station::{Edit, Situation, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// Larkhaven with fields set, each to a quoted text unless it is a number or a word of the language.
fn with(edits: &[(&str, &str)]) -> Station {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    read(&edit::apply(LARKHAVEN, &edits).unwrap_or_else(|error| panic!("{error}")))
}

fn balance(station: &Station, vessel: &str, level_m: f64) -> VesselBalance {
    let mut situation = Situation::full(station);
    let at = station.vessels.iter().position(|own| own.name == vessel).unwrap();
    situation.vessels[at].level_m = level_m;
    let flows = flows(station, "fresh-bucket", &situation).unwrap();
    flows.vessels[at].clone()
}

/// Larkhaven's switches: the fill starts at 260 mm and stops at 880 mm. What comes in is the permeate of the letter, and
/// the balance is what the lines take from it.
#[test]
fn it_runs_by_its_switches() {
    let station = with(&[]);
    let permeate = prove(&station).figure("permeate").unwrap().value;
    for (level_m, runs, words) in [
        (0.26, true, "no higher than its start level"),
        (0.20, true, "no higher than its start level"),
        (0.261, false, "above its start level"),
        (0.879, false, "goes on to 880 mm"),
        (0.88, false, "at its stop level"),
        (0.95, false, "at its stop level"),
    ] {
        let own = balance(&station, "fresh", level_m);
        let comes = if runs { permeate } else { 0.0 };
        assert!(
            (own.permeate_m3_per_s - comes).abs() < 1e-15,
            "{level_m}: {own:?}"
        );
        assert!(own.from_lines_m3_per_s < 0.0);
        assert_eq!(own.net_m3_per_s, own.from_lines_m3_per_s + own.permeate_m3_per_s);
        assert!(own.why.as_ref().unwrap().contains(words), "{level_m}: {own:?}");
    }
    // A person fills the salt vessel.
    let salt = balance(&station, "salt", 0.5);
    assert_eq!((salt.permeate_m3_per_s, salt.why), (0.0, None));
}

/// A float opens as soon as the level sinks under it; a clock and a person don't look at levels.
#[test]
fn what_starts_it_counts() {
    for (control, runs, words) in [
        ("\"float alone\"", true, "its float hangs open"),
        ("\"timer\"", false, "A clock starts the purifier"),
        ("\"attended\"", false, "A person starts the purifier"),
    ] {
        let station = with(&[("purifier.control", control), ("purifier.hours_a_day", "\"3 h\"")]);
        let own = balance(&station, "fresh", 0.5);
        assert_eq!(own.permeate_m3_per_s > 0.0, runs, "{control}");
        assert!(own.why.as_ref().unwrap().contains(words), "{own:?}");
    }
}
