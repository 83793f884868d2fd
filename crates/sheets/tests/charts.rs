//! The charts: legible on any paper, their points where the proof has them; kept as pictures.

use sheets::chart::{cost_against_run, supply_by_month};
use sheets::{Drawing, Shape, Stroke, svg};
use station::Station;

const EXAMPLES: [(&str, &str); 3] = [
    ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
    (
        "juniper-street-school",
        include_str!("../../../stations/juniper-street-school.toml"),
    ),
    (
        "skelder-hatchery",
        include_str!("../../../stations/skelder-hatchery.toml"),
    ),
];
const WIDTHS_MM: [f64; 3] = [88.0, 130.0, 190.0];

fn charts(text: &str, width_mm: f64) -> Vec<(&'static str, Drawing)> {
    let Ok(station) = Station::read(text) else {
        panic!("a sound file")
    };
    let proof = proof::prove(&station);
    let made = proof.supply.purifier.as_ref().expect("a purifier");
    [
        ("cost", cost_against_run(&station, made, width_mm)),
        ("supply", supply_by_month(&station, made, width_mm)),
    ]
    .into_iter()
    .map(|(name, chart)| (name, chart.expect("a chart")))
    .collect()
}

#[test]
fn nothing_overlaps_on_any_paper() {
    for (example, text) in EXAMPLES {
        for width in WIDTHS_MM {
            for (name, chart) in charts(text, width) {
                let texts = chart.text_bounds();
                for (at, (bounds, words)) in texts.iter().enumerate() {
                    assert!(
                        bounds.left_mm >= 0.0
                            && bounds.right_mm <= chart.width_mm
                            && bounds.top_mm >= 0.0
                            && bounds.bottom_mm <= chart.height_mm,
                        "{example}, {name} at {width}: {words} leaves the paper"
                    );
                    for (other, others) in &texts[at + 1..] {
                        assert!(
                            !bounds.overlaps(other),
                            "{example}, {name} at {width}: {words} on {others}"
                        );
                    }
                }
                assert!(!chart.description.is_empty());
            }
        }
    }
}

/// The line of what is made has a point a month, evenly apart, higher where the proof has more.
#[test]
fn the_months_stand_where_they_belong() {
    for (example, text) in EXAMPLES {
        let (_, chart) = charts(text, 190.0).remove(1);
        let Ok(station) = Station::read(text) else {
            panic!("a sound file")
        };
        let proof = proof::prove(&station);
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
                let picture = svg(&chart, true);
                let kept = format!(
                    "{}/tests/drawings/{name}-{example}-{width:.0}.svg",
                    env!("CARGO_MANIFEST_DIR")
                );
                if std::env::var_os("BLESS").is_some() {
                    std::fs::write(&kept, &picture).expect("written");
                }
                let before = std::fs::read_to_string(&kept).expect("a chart that was kept");
                assert!(picture == before, "{name} of {example} at {width} mm has changed");
            }
        }
    }
}
