//! The charts: legible on any paper, their points where the proof has them; kept as pictures.

use crate::kept;
use crate::legible;
use crate::proved::{EXAMPLES, proved, unplumbed};

use kept::as_it_was;
use legible::legible;
use proptest::prelude::*;
use sheets::chart::{cost_against_run, level_against_volume, same_for_any_run, supply_by_month};
use sheets::{Drawing, Shape, Stroke};
use station::{Edit, Station, edit};

const WIDTHS_MM: [f64; 3] = [88.0, 130.0, 190.0];

fn charts(text: &str, width_mm: f64) -> Vec<(String, Drawing)> {
    let own = proved(text);
    let (station, proof) = &*own;
    let made = proof.supply.purifier.as_ref();
    let own = [
        (
            "cost",
            made.and_then(|made| cost_against_run(station, made, width_mm)),
        ),
        (
            "supply",
            made.and_then(|made| supply_by_month(station, made, width_mm)),
        ),
    ];
    let levels = level_against_volume(station, proof, width_mm);
    own.into_iter()
        .filter_map(|(name, chart)| chart.map(|chart| (name.to_owned(), chart)))
        .chain(
            levels
                .into_iter()
                .enumerate()
                .map(|(at, chart)| (format!("level-{}", at + 1), chart)),
        )
        .collect()
}

#[test]
fn nothing_overlaps_on_any_paper() {
    for (example, text) in EXAMPLES {
        for width in WIDTHS_MM {
            let charts = charts(text, width);
            assert!(charts.len() >= 3, "{example}");
            for (name, chart) in charts {
                legible(&chart, &format!("{example}, {name} at {width}"));
                assert!(!chart.description.is_empty());
            }
        }
    }
}

/// What a run changes is drawn over most of the height that there is; where it changes next to nothing a sentence says so.
#[test]
fn a_flat_line_is_told_and_any_other_is_seen() {
    let mut seen = [false; 2];
    // Beside dear tap water it hardly matters what resin costs.
    for (path, value) in [("feed.price", "40 EUR/m3"), ("purifier.hold_up", "300 mL")] {
        let edit = Edit::quoted(path, value);
        let text = edit::apply(EXAMPLES[0].1, &[edit]).expect("it can be edited");
        let own = proved(&text);
        let (station, proof) = &*own;
        let made = proof.supply.purifier.as_ref().expect("a purifier");
        let (chart, told) = (
            cost_against_run(station, made, 130.0),
            same_for_any_run(station, made),
        );
        seen[usize::from(told.is_some())] = true;
        assert_ne!(chart.is_some(), told.is_some(), "{value}: {told:?}");
        let Some(chart) = chart else { continue };
        let bands = chart.items.iter().filter_map(|item| match &item.shape {
            Shape::Area { points, .. } => Some(points.iter().map(|own| own.y_mm).collect::<Vec<_>>()),
            _ => None,
        });
        let tall = |own: &Vec<f64>| {
            own.iter().fold(f64::MIN, |a, b| a.max(*b)) - own.iter().fold(f64::MAX, |a, b| a.min(*b))
        };
        let tallest = bands.map(|own| tall(&own)).fold(0.0, f64::max);
        assert!(
            tallest > 0.3 * chart.height_mm,
            "{value}: {tallest} of {}",
            chart.height_mm
        );
    }
    assert_eq!(seen, [true, true], "one of them is flat, the other isn't");
}

/// The curve of what a vessel holds passes through the volume that its marks were computed with.
#[test]
fn levels_stand_where_they_belong() {
    let (_, chart) = charts(EXAMPLES[0].1, 190.0).remove(2);
    let curve = chart
        .items
        .iter()
        .find_map(|item| match &item.shape {
            Shape::Line {
                points,
                stroke: Stroke::Heavy,
                ..
            } => Some(points.clone()),
            _ => None,
        })
        .expect("a curve");
    let dots = chart.items.iter().filter_map(|item| match &item.shape {
        Shape::Dot { centre, .. } => Some(*centre),
        _ => None,
    });
    for dot in dots {
        let pair = curve
            .windows(2)
            .find(|pair| pair[0].x_mm <= dot.x_mm && dot.x_mm <= pair[1].x_mm)
            .expect("on the curve");
        let share = (dot.x_mm - pair[0].x_mm) / (pair[1].x_mm - pair[0].x_mm);
        let y_mm = pair[0].y_mm + share * (pair[1].y_mm - pair[0].y_mm);
        // A cylinder's curve is a straight line.
        assert!((dot.y_mm - y_mm).abs() < 1e-6, "{dot:?} {y_mm}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// Random taps, needs, prices and runs, on paper of any width: no label on another, on a curve or off the paper.
    #[test]
    fn random_stations_stay_legible(
        pressure in 1.5..7.0_f64,
        coldest in 2.0..14.0_f64,
        evaporation in 0.5..120.0_f64,
        price in 0.1..40.0_f64,
        hold_up in 10.0..400.0_f64,
        delivered in 50.0..900.0_f64,
        start in 0.30..0.85_f64,
        width in 85.0..300.0_f64,
    ) {
        let quoted = |value: f64, unit: &str| format!("\"{value:.2} {unit}\"");
        let edits: Vec<Edit> = [
            ("feed.pressure", quoted(pressure, "bar")),
            ("feed.coldest", quoted(coldest, "C")),
            ("tanks.touch-pool.evaporation", quoted(evaporation, "L/day")),
            ("feed.price", quoted(price, "EUR/m3")),
            ("purifier.hold_up", quoted(hold_up, "mL")),
            ("vessels.fresh.start_level", quoted(start * 1000.0, "mm")),
            ("delivered.bay.holds", "\"fresh\"".to_owned()),
            ("delivered.bay.kind", "\"purified\"".to_owned()),
            ("delivered.bay.every", "\"2 weeks\"".to_owned()),
            ("delivered.bay.volume", quoted(delivered, "L")),
        ]
        .into_iter()
        .map(|(path, text)| Edit { path: path.to_owned(), text })
        .collect();
        let plain = unplumbed().replace("salinity = 34.2\n", "");
        let text = edit::apply(&plain, &edits).expect("it can be edited");
        prop_assume!(Station::read(&text).is_ok());
        for (name, chart) in charts(&text, width) {
            legible(&chart, &format!("{name} at {width}: {edits:?}"));
            // Every curve has its name.
            if name == "supply" {
                let texts = chart.text_bounds();
                for wanted in ["made", "needed", "made and delivered"] {
                    prop_assert!(texts.iter().any(|(_, text)| *text == wanted), "{wanted} at {width}: {edits:?}");
                }
            }
        }
    }
}

/// The line of what is made has a point a month, evenly apart, higher where the proof has more.
#[test]
fn the_months_stand_where_they_belong() {
    for (example, text) in EXAMPLES {
        let (_, chart) = charts(text, 190.0).remove(1);
        let own = proved(text);
        let (_, proof) = &*own;
        let months = &proof.supply.purifier.as_ref().expect("a purifier").months;
        let line = chart
            .items
            .iter()
            .find_map(|item| match &item.shape {
                Shape::Line {
                    points,
                    stroke: Stroke::Medium,
                    ..
                } if item.path == "made" => Some(points),
                _ => None,
            })
            .expect("a line");
        assert_eq!(line.len(), 12);
        // y falls as water grows, in one proportion for all.
        let water = |at: usize| months[at].made_m3_per_s.value;
        let slope = (line[7].y_mm - line[1].y_mm) / (water(7) - water(1));
        for (at, point) in line.iter().enumerate() {
            let expected = line[1].y_mm + slope * (water(at) - water(1));
            assert!((point.y_mm - expected).abs() < 1e-9, "{example}: month {at}");
        }
        let step = line[1].x_mm - line[0].x_mm;
        assert!(
            line.windows(2)
                .all(|pair| (pair[1].x_mm - pair[0].x_mm - step).abs() < 1e-9)
        );
    }
}

/// The charts as they are; after a change that was looked at and is meant: BLESS=1 cargo test -p sheets
#[test]
fn charts_as_they_were() {
    for (example, text) in EXAMPLES {
        for width in [88.0, 190.0] {
            for (name, chart) in charts(text, width) {
                as_it_was(&chart, &format!("{name}-{example}-{width:.0}"));
            }
        }
    }
}
