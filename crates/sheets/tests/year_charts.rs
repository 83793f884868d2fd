//! The charts of many years: legible on any paper, their points where the years have them; kept as pictures.

use crate::kept;
use crate::legible;
use crate::proved::{EXAMPLES, read};

use kept::as_it_was;
use legible::legible;
use proof::{Progress, Year, Years};
use sheets::chart::{cost_by_item, reserve_by_week, run_volumes};
use sheets::{Drawing, Ink, Shape, year_tables};
use station::Station;
use station::sections::Water;

/// Few, so that the tests are quick.
const YEARS: u32 = 40;

fn simulated(text: &str) -> (Station, Year) {
    let station = read(text);
    let years = Years {
        years: YEARS,
        ..Years::default()
    };
    let year = proof::year(&station, &years, &Progress::default()).expect("years");
    (station, year)
}

fn charts(station: &Station, year: &Year, width_mm: f64) -> Vec<(&'static str, Drawing)> {
    [
        (
            "fresh-reserve",
            reserve_by_week(station, year, Water::Fresh, width_mm),
        ),
        (
            "salt-reserve",
            reserve_by_week(station, year, Water::Salt, width_mm),
        ),
        ("run-volumes", run_volumes(station, year, width_mm)),
        ("cost-by-item", cost_by_item(station, year, width_mm)),
    ]
    .into_iter()
    .filter_map(|(name, chart)| chart.map(|chart| (name, chart)))
    .collect()
}

#[test]
fn nothing_overlaps_on_any_paper() {
    for (example, text) in EXAMPLES {
        let (station, year) = simulated(text);
        for width in [88.0, 110.0, 130.0, 190.0, 280.0] {
            let charts = charts(&station, &year, width);
            assert!(charts.len() >= 3, "{example}");
            for (name, chart) in charts {
                legible(&chart, &format!("{example}, {name} at {width}"));
                assert!(!chart.description.is_empty());
            }
        }
    }
}

/// The bars grow as the costs do, and end at their means.
#[test]
fn bars_are_as_long_as_what_they_cost() {
    let (station, year) = simulated(EXAMPLES[0].1);
    let chart = cost_by_item(&station, &year, 180.0).expect("prices");
    let lengths: Vec<f64> = chart
        .items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Area { points, .. } => Some(points[1].x_mm - points[0].x_mm),
            _ => None,
        })
        .collect();
    assert_eq!(lengths.len(), year.cost.items.len());
    for (length, item) in lengths.iter().zip(&year.cost.items) {
        let share = length / lengths[0];
        let wanted = item.cost.mean / year.cost.items[0].cost.mean;
        assert!((share - wanted).abs() < 1e-9, "{}: {share} {wanted}", item.item);
    }
}

/// The dot of the leanest week stands under the dashed line exactly where one year in twenty is under the reserve, and is
/// in the ink of what must be fixed only then.
#[test]
fn the_leanest_week_stands_where_it_belongs() {
    for (example, text) in EXAMPLES {
        let (station, year) = simulated(text);
        let waters = [
            (Water::Fresh, year.fresh_leanest),
            (Water::Salt, year.salt_leanest),
        ];
        for (water, leanest) in waters {
            let Some(leanest) = leanest else { continue };
            let chart = reserve_by_week(&station, &year, water, 180.0).expect("a reserve");
            let (dot, ink) = chart
                .items
                .iter()
                .find_map(|item| match &item.shape {
                    Shape::Dot { centre, ink, .. } => Some((*centre, *ink)),
                    _ => None,
                })
                .expect("a dot");
            let dashed_mm = chart
                .items
                .iter()
                .find_map(|item| match &item.shape {
                    Shape::Line {
                        points, dashed: true, ..
                    } => Some(points[0].y_mm),
                    _ => None,
                })
                .expect("the reserve");
            let under = leanest.p05_m3 < leanest.reserve_m3;
            assert_eq!(dot.y_mm > dashed_mm, under, "{example}");
            assert_eq!(ink == Ink::Must, under, "{example}");
        }
    }
}

/// Tables hold what the years hold: as many runs, the same costs.
#[test]
fn tables_hold_the_years() {
    for (example, text) in EXAMPLES {
        let (station, year) = simulated(text);
        let tables = year_tables(&station, &year);
        for table in &tables {
            for row in &table.rows {
                assert_eq!(row.len(), table.heads.len(), "{example}: {}", table.name);
            }
        }
        let rows = |name: &str| {
            let table = tables.iter().find(|table| table.name == name);
            table.map_or(0, |table| table.rows.len())
        };
        assert_eq!(rows("reserve-by-week"), year.reserve.len(), "{example}");
        assert_eq!(rows("cost-by-item"), year.cost.items.len() + 1, "{example}");
        let runs: f64 = year.run_volumes.iter().map(|bin| bin.runs_a_year).sum();
        assert!((runs - year.runs.mean).abs() < 1e-9, "{example}: {runs}");
    }
}

/// The charts as they are; after a change that was looked at and is meant: BLESS=1 cargo test -p sheets
#[test]
fn charts_as_they_were() {
    for (example, text) in EXAMPLES {
        let (station, year) = simulated(text);
        for width in [88.0, 190.0] {
            for (name, chart) in charts(&station, &year, width) {
                as_it_was(&chart, &format!("year-{name}-{example}-{width:.0}"));
            }
        }
    }
}
