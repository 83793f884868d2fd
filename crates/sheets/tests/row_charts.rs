//! Charts of rows: legible on any paper, their bars as long as what they stand for.

use crate::legible;
use crate::proved::{EXAMPLES, proved};

use legible::legible;
use proof::{Progress, Years};
use sheets::chart::{cost_of_changes, need_by_tank, soon_by_cause};
use sheets::fragment::{changes_in_short, comparison_in_short};
use sheets::{Ink, Shape, changes_by_worth, changes_table};

const WIDTHS_MM: [f64; 5] = [88.0, 110.0, 130.0, 190.0, 280.0];
/// Few, so that the test is quick.
const YEARS: u32 = 40;

#[test]
fn nothing_overlaps_on_any_paper() {
    for (example, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        let years = Years {
            years: YEARS,
            ..Years::default()
        };
        let year = proof::year(station, &years, &Progress::default()).expect("years");
        for width in WIDTHS_MM {
            let mistakes = proof.mistakes.as_ref();
            let charts = [
                need_by_tank(station, proof, width),
                mistakes.and_then(|all| soon_by_cause(all, width)),
                cost_of_changes(station, &year, width),
            ];
            assert!(charts[0].is_some(), "{example}");
            for chart in charts.iter().flatten() {
                legible(chart, &format!("{example}, {} at {width}", chart.title));
                assert!(!chart.description.is_empty());
            }
        }
    }
}

/// Both parts of a tank's bar together are to the longest bar as its need is to the greatest.
#[test]
fn bars_are_as_long_as_the_needs() {
    let own = proved(EXAMPLES[0].1);
    let (station, proof) = &*own;
    let chart = need_by_tank(station, proof, 180.0).expect("tanks");
    let needs = &proof.needs.tanks;
    let most = needs
        .iter()
        .map(|own| own.top_off_m3_per_s + own.salt_m3_per_s)
        .fold(0.0, f64::max);
    for tank in needs {
        let length: f64 = chart
            .items
            .iter()
            .filter(|item| item.path == format!("tanks.{}", tank.name))
            .filter_map(|item| match &item.shape {
                Shape::Area { points, .. } => Some(points[1].x_mm - points[0].x_mm),
                _ => None,
            })
            .sum();
        let share = (tank.top_off_m3_per_s + tank.salt_m3_per_s) / most;
        let whole_mm = chart.width_mm - 8.0;
        assert!(
            (length / whole_mm - share).abs() < 1e-9,
            "{}: {length} of {whole_mm}",
            tank.name
        );
    }
}

/// The rows stand soonest first, no dot left of the one before; what must be fixed has its ink.
#[test]
fn wrong_moves_stand_soonest_first() {
    let own = proved(EXAMPLES[0].1);
    let (_, proof) = &*own;
    let all = proof.mistakes.as_ref().expect("it is plumbed");
    let chart = soon_by_cause(all, 180.0).expect("causes");
    let dots: Vec<(f64, Ink)> = chart
        .items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Dot { centre, ink, .. } => Some((centre.x_mm, *ink)),
            _ => None,
        })
        .collect();
    assert_eq!(dots.len(), all.causes.len().min(12));
    assert!(dots.windows(2).all(|pair| pair[0].0 <= pair[1].0), "{dots:?}");
    assert!(dots.iter().any(|(_, ink)| *ink == Ink::Must));
}

/// The chart's numbers stand beside it as a file: each move, and when its harm comes.
#[test]
fn wrong_moves_have_their_times_in_a_file() {
    let own = proved(EXAMPLES[0].1);
    let (station, proof) = &*own;
    let all = proof.mistakes.as_ref().expect("it is plumbed");
    let table = sheets::files(station, proof)
        .into_iter()
        .find(|own| own.name == "wrong-moves")
        .expect("a table");
    assert_eq!(table.heads[2], "after, min");
    for (row, cause) in table.rows.iter().zip(&all.causes) {
        let minutes: f64 = row[2].printed().parse().expect("a number");
        // Printed as exactly as a file has it: to half a per cent here.
        let told = cause.seconds_to_harm / 60.0;
        assert!((minutes - told).abs() <= 5e-3 * told, "{minutes} of {told}");
        let named = row[1].printed();
        assert!(
            !named.is_empty() && cause.sentence.contains(named.split(' ').next().expect("a name")),
            "{named}"
        );
    }
}

/// What chance alone may make is told as that by the chart and by its table alike, never as a figure with a sign.
#[test]
fn a_difference_that_is_not_sure_has_no_sign() {
    let own = proved(EXAMPLES[0].1);
    let (station, _) = &*own;
    let years = Years {
        years: YEARS,
        ..Years::default()
    };
    let mut year = proof::year(station, &years, &Progress::default()).expect("years");
    assert!(year.changes.len() > 1, "changes were tried");
    let cost = &mut year.changes[0].cost;
    (cost.low, cost.mean, cost.high) = (-1.0, -0.003, 1.0);
    let cost = &mut year.changes[1].cost;
    (cost.low, cost.mean, cost.high) = (-13.0, -12.0, -11.0);
    let table = changes_table(station, &year).expect("a row for each");
    let all = changes_by_worth(&year);
    let row_of = |at: usize| all.iter().position(|(own, _)| *own == at).expect("a row");
    let printed = |at: usize| table.rows[row_of(at)][1].printed();
    assert_eq!(
        [printed(0).as_str(), printed(1).as_str()],
        ["no sure difference", "−12.0"]
    );
    assert!(row_of(1) < row_of(0), "what saves most stands first");
    assert!(!table.is_words(1), "its column stays one of figures");
    let csv = table.csv();
    assert!(
        csv.lines()
            .nth(row_of(0) + 1)
            .is_some_and(|row| row.contains(",no sure difference,")),
        "{csv}"
    );
    let chart = cost_of_changes(station, &year, 180.0).expect("a bar for each");
    let told = chart.description.matches("no sure difference").count();
    assert!(
        told >= 1 && chart.description.contains("12.0 EUR less"),
        "{}",
        chart.description
    );
}

/// The change that the heading calls most worth making stands first in the table, whatever saves more; without one, what saves
/// most.
#[test]
fn the_heading_names_the_first_of_the_table() {
    let own = proved(EXAMPLES[0].1);
    let (station, _) = &*own;
    let years = Years {
        years: YEARS,
        ..Years::default()
    };
    let mut year = proof::year(station, &years, &Progress::default()).expect("years");
    let by_cost = |year: &proof::Year| -> Vec<usize> {
        let mut all: Vec<usize> = (0..year.changes.len()).collect();
        all.sort_by(|a, b| year.changes[*a].cost.mean.total_cmp(&year.changes[*b].cost.mean));
        all
    };
    let dearest = *by_cost(&year).last().expect("changes were tried");
    year.best_change = Some(dearest);
    let first = changes_table(station, &year).expect("a table").rows[0][0].printed();
    let heading = changes_in_short(&year);
    assert!(
        heading.ends_with(&format!("{}.", year.changes[dearest].sentence)),
        "{heading}"
    );
    assert_eq!(
        first.to_lowercase(),
        year.changes[dearest].sentence.to_lowercase()
    );
    assert_eq!(changes_by_worth(&year)[0].0, dearest);
    year.best_change = None;
    let told: Vec<usize> = changes_by_worth(&year).into_iter().map(|(at, _)| at).collect();
    assert_eq!(told, by_cost(&year));
    // Every bar lies within the paper, in whatever order they stand.
    year.best_change = Some(dearest);
    legible(
        &cost_of_changes(station, &year, 180.0).expect("a bar for each"),
        "the dearest first",
    );
}

/// Of what differs the heading tells what differs most.
#[test]
fn the_heading_tells_what_differs_most() {
    let text = EXAMPLES[0].1;
    let read = |text: &str| station::Station::read(text).expect("a station");
    let other = text.replace("control = \"level switches\"", "control = \"float alone\"");
    assert_ne!(other, text);
    let years = Years {
        years: YEARS,
        ..Years::default()
    };
    let stations = [read(text), read(&other)];
    let mut compared = proof::compare(&stations, &years, &Progress::default()).expect("years");
    let rows = &mut compared.differences[0];
    // Many of them differ, the last of them most.
    for (at, own) in rows.iter_mut().enumerate() {
        own.matters = true;
        own.share = Some(-0.1 - 0.01 * at as f64);
        (own.difference.low, own.difference.mean, own.difference.high) = (-3.0, -2.0, -1.0);
    }
    let most: Vec<&str> = rows.iter().rev().take(3).map(|own| own.title).collect();
    let told = comparison_in_short(&compared);
    assert!(told.contains(&most.join(", ")), "{told}: {most:?}");
}
