//! Laws that any station's years keep.

use crate::year_support;

use std::collections::BTreeSet;

use proof::{Over, Progress, Remedy, RemedyEdit, Severity, Year, Years, prove, year};
use station::{Edit, Station, edit};
use year_support::{EXAMPLES, named, set};

fn years_of(text: &str, years: u32, seed: u64, threads: usize) -> Year {
    let station = Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let asked = Years { years, seed, threads };
    year(&station, &asked, &Progress::default()).expect("a year")
}

/// Conservation of water and of salt: rounding only, of some thousand sums.
#[test]
fn nothing_is_lost_or_made() {
    for (name, text) in EXAMPLES {
        let year = years_of(text, 20, 3, 2);
        assert!(year.residual_water < 1e-12, "{name}: {}", year.residual_water);
        assert!(year.residual_salt < 1e-12, "{name}: {}", year.residual_salt);
    }
}

/// A year is a function of its seed and number: not of who computes it.
#[test]
fn the_same_bytes_on_any_number_of_threads() {
    for (name, text) in EXAMPLES {
        let bytes = |threads| serde_json::to_string(&years_of(text, 40, 9, threads)).expect("JSON");
        let one = bytes(1);
        assert_eq!(one, bytes(2), "{name}");
        assert_eq!(one, bytes(3), "{name}");
        let other = serde_json::to_string(&years_of(text, 40, 10, 2)).expect("JSON");
        assert_ne!(one, other, "{name}: another seed, other years");
    }
}

/// The standard error of a mean falls with the root of the number (central limit): four times the years, half the width.
/// The deviation itself is estimated from n years with a relative error of √((κ − 1)/(4n)), 5 % at 200 for a kurtosis κ of
/// 3 and 9 % for one of 8; both ends together make a fifth three standard errors.
#[test]
fn four_times_the_years_halve_the_interval() {
    let (_, text) = EXAMPLES[0];
    let (few, many) = (years_of(text, 200, 1, 2), years_of(text, 800, 1, 2));
    let width = |over: &Over| over.high - over.low;
    for (what, few, many) in [
        ("permeate", &few.permeate_m3, &many.permeate_m3),
        ("mix", &few.mix_kg, &many.mix_kg),
        ("work", &few.work_s, &many.work_s),
        ("reject", &few.reject_m3, &many.reject_m3),
        ("cost", &few.cost.total, &many.cost.total),
    ] {
        let ratio = width(few) / width(many);
        assert!((ratio / 2.0 - 1.0).abs() < 0.2, "{what}: {ratio}");
        // And the means agree: their difference has less than the wider interval's deviation.
        assert!((few.mean - many.mean).abs() < width(few), "{what}");
    }
}

/// Water is conserved: twice the demand takes twice the permeate, but for what stands in the vessels at either end and what
/// evaporates from them all the same.
#[test]
fn twice_the_demand_takes_twice_the_water() {
    let (_, text) = EXAMPLES[0];
    let with = |times: f64| {
        let mut text = text.to_owned();
        for (tank, evaporation, change, every) in [
            ("tanks.touch-pool", 4.5, 45.0, "1 week"),
            ("tanks.seahorse-nursery", 1.5, 18.0, "1 week"),
            ("tanks.kelp-tank", 0.75, 20.0, "2 weeks"),
            ("tanks.quarantine", 0.75, 11.0, "4 days"),
            ("tanks.coral-raceway", 4.0, 28.0, "1 week"),
        ] {
            text = set(
                &text,
                tank,
                "evaporation",
                &format!("\"{} L/day\"", times * evaporation),
            );
            text = set(&text, tank, "change", &format!("\"{} L\"", times * change));
            text = set(&text, tank, "change_every", &format!("\"{every}\""));
            text = set(&text, tank, "emergency_change", "\"0 %\"");
        }
        years_of(&set(&text, "people", "days", "\"every day\""), 2, 1, 1)
    };
    assert_eq!(named(text, "tanks").len(), 5);
    // Little enough that twice as much is still served.
    let (once, twice) = (with(0.8), with(1.6));
    // No tank has to wait long in either, or the demand isn't served.
    assert!(twice.shortfall_hours.mean < 100.0, "{:?}", twice.shortfalls);
    let vessels_m3 = 0.40 + 0.30;
    let off_m3 = twice.permeate_m3.mean - 2.0 * once.permeate_m3.mean;
    assert!(off_m3.abs() < 3.0 * vessels_m3, "{off_m3}");
    assert!(once.permeate_m3.mean > 5.0);
    // Runs times their volume is what was made, but for the run that isn't over.
    for year in [&once, &twice] {
        let runs_m3 = year.runs.mean * year.run_volume_m3.mean;
        assert!((runs_m3 - year.permeate_m3.mean).abs() < 0.4, "{runs_m3}");
        assert!(
            (year.feed_m3.mean - year.permeate_m3.mean - year.reject_m3.mean).abs()
                < 1e-9 * year.feed_m3.mean
        );
    }
}

/// Emergencies of a tank are a Poisson process: 365 days over the mean time between two, tank by tank, as mean and variance.
/// Each year has its own; one that falls on a tank that is in trouble already isn't counted, which is one in some hundreds.
#[test]
fn each_year_has_its_own_emergencies() {
    let (_, text) = EXAMPLES[0];
    let years = 400;
    let year = years_of(text, years, 1, 2);
    let wanted = 5.0 / 3.0;
    let count = &year.emergencies.count;
    let error = (wanted / f64::from(years)).sqrt();
    assert!(
        (count.mean - wanted).abs() < 4.0 * error + 0.01 * wanted,
        "{count:?}"
    );
    // The interval is 1.96 deviations of the mean on either side; a deviation from n years is good to 1/√(2n) and a bit.
    let half = 0.5 * (count.high - count.low);
    assert!((half / (1.96 * error) - 1.0).abs() < 0.15, "{half} {error}");
    assert_eq!(
        f64::from(year.emergencies.all),
        (count.mean * f64::from(years)).round()
    );
}

/// A cure of the years brings nothing to be fixed whose own cure takes it back: else the two are offered by turns for ever.
#[test]
fn no_cure_of_the_years_is_taken_back_by_another() {
    let touched = |remedy: &Remedy| -> BTreeSet<String> {
        let edits = remedy.edits.iter();
        edits.map(|own| own.path.clone()).collect()
    };
    // Its fill starts late, and it wants a longer run than one that starts in time.
    let late = set(EXAMPLES[0].1, "vessels.fresh", "start_level", "\"200 mm ± 5 mm\"");
    let mut stations = Vec::from(EXAMPLES);
    stations.push(("larkhaven, late", &late));
    let mut tried = 0;
    for (name, text) in stations {
        let station = Station::read(text).expect("an example");
        let before: BTreeSet<(&str, String)> = prove(&station)
            .findings
            .into_iter()
            .map(|own| (own.id, own.place))
            .collect();
        let findings = years_of(text, 20, 3, 2).findings;
        let mut cures: Vec<&Remedy> = findings.iter().filter_map(|own| own.remedy.as_ref()).collect();
        cures.dedup_by_key(|own| &own.sentence);
        for cure in cures {
            let edits: Vec<Edit> = cure.edits.iter().map(RemedyEdit::edit).collect();
            let mended = Station::read(&edit::apply(text, &edits).expect("edits")).expect("a station");
            for finding in prove(&mended).findings {
                let is_new = !before.contains(&(finding.id, finding.place.clone()));
                if let (true, true, Some(back)) = (is_new, finding.severity > Severity::Note, &finding.remedy)
                {
                    let both: Vec<String> = touched(cure).intersection(&touched(back)).cloned().collect();
                    assert!(
                        both.is_empty(),
                        "{name}: {} and then {}",
                        cure.sentence,
                        back.sentence
                    );
                }
            }
            tried += 1;
        }
    }
    assert!(tried > 2, "only {tried}");
}

/// Waiting is worth fixing where it is days; where a membrane makes less than evaporates, it is a must.
#[test]
fn tanks_that_always_wait_are_a_must() {
    let (_, text) = EXAMPLES[0];
    let starved = set(text, "membranes.first", "rated_flow", "\"3 gal/day\"");
    for (text, wanted) in [(text, Severity::Should), (&starved, Severity::Must)] {
        let findings = years_of(text, 20, 3, 2).findings;
        let waits = findings.iter().find(|own| own.id == "year-tanks-wait");
        assert_eq!(waits.map(|own| own.severity), Some(wanted), "{waits:?}");
    }
}

/// A float throttles the permeate at the end of each run while the reject hardly falls (`physics::membrane::FloatStop`): the
/// years count that, and come to less than the least runs that supply tells of, since what is drawn meanwhile makes runs longer.
#[test]
fn a_float_that_closes_slowly_costs_water() {
    let (_, text) = EXAMPLES[0];
    let float = set(text, "purifier", "control", "\"float alone\"");
    let ratio = |text: &str| {
        let year = years_of(text, 12, 1, 2);
        year.reject_m3.mean / year.permeate_m3.mean
    };
    let station = Station::read(&float).expect("a station");
    let made = prove(&station).supply.purifier.expect("a purifier");
    assert!(made.run.least_of_float && !made.run.on_curve);
    let sharp = made.curve.last().expect("a curve").reject_ratio.value;
    let (own, least_runs) = (ratio(&float), made.run.reject_ratio.value);
    assert!(own > 1.1 * sharp, "{own} of {sharp}");
    assert!(own < least_runs, "{own} of {least_runs}");
    // Half the travel, half of what it costs beyond runs that end at once.
    let travel = |mm: f64| ratio(&set(&float, "purifier", "float_travel", &format!("\"{mm} mm\"")));
    let (all, half) = (travel(8.0), travel(4.0));
    let without = travel(1.0) - (travel(2.0) - travel(1.0));
    let share = (half - without) / (all - without);
    assert!((0.4..0.6).contains(&share), "{share}: {without}, {half}, {all}");
}

/// A tank that is kept weaker than the batch has its changes thinned where they are used: less salt, as much water.
#[test]
fn a_weaker_tank_takes_less_salt() {
    let (_, text) = EXAMPLES[0];
    // The batch is at 34.5, and a tank within half a unit takes it as it is.
    let at = |salinity: &str| {
        let text = set(text, "tanks.quarantine", "salinity", salinity);
        let text = set(&text, "tanks.quarantine", "change", "\"60 L\"");
        let station = Station::read(&text).expect("a station");
        let needs = prove(&station).needs;
        let own = needs.tanks.into_iter().find(|own| own.name == "quarantine");
        (
            own.expect("a tank").salt_m3_per_s,
            needs.fresh_m3_per_s,
            years_of(&text, 12, 1, 2),
        )
    };
    let (whole, fresh, year) = at("34.5");
    let (part, fresh_thinned, thinned) = at("17.25");
    // Half the salinity is half the salt; the weaker water is lighter, by a hundredth.
    assert!((part / whole - 0.5).abs() < 0.01, "{part} of {whole}");
    assert!(
        (fresh_thinned / fresh - 1.0).abs() < 0.02,
        "{fresh_thinned} of {fresh}"
    );
    assert!(
        thinned.mix_kg.mean < 0.97 * year.mix_kg.mean,
        "less salt is bought"
    );
    let water = |year: &Year| year.salt_to_tanks_m3.mean + year.fresh_to_tanks_m3.mean;
    let share = water(&thinned) / water(&year);
    assert!(
        (share - 1.0).abs() < 0.02,
        "as much water goes to the tanks: {share}"
    );
    assert!(thinned.residual_water < 1e-12 && thinned.residual_salt < 1e-12);
}
