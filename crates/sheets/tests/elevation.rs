//! The elevation: true to scale, nothing overlapping, nothing outside its paper; kept as pictures.

use crate::kept;
use crate::legible;
use crate::proved::{EXAMPLES, proved, unplumbed};

use kept::as_it_was;
use legible::legible;
use proptest::prelude::*;
use sheets::{Drawing, Shape, Stroke, elevation, elevations};
use station::{Edit, Station, edit};

/// Phone, desk, A4 across: CSS pixels of 360 and 800, less their margins, and 297 mm less 20.
const WIDTHS_MM: [f64; 3] = [88.0, 190.0, 277.0];

fn drawn(text: &str, width_mm: f64) -> (Station, Drawing) {
    let own = proved(text);
    let (station, proof) = &*own;
    let drawing = elevation(station, proof, width_mm).expect("vessels");
    (station.clone(), drawing)
}

#[test]
fn nothing_overlaps_on_any_paper() {
    for (name, text) in EXAMPLES {
        for width in WIDTHS_MM {
            let (_, drawing) = drawn(text, width);
            legible(&drawing, &format!("{name} at {width} mm"));
        }
    }
}

/// Labels leave their unit to the title block: it stands there whole, on any paper.
#[test]
fn the_title_block_names_the_unit() {
    for (name, text) in EXAMPLES {
        for width in WIDTHS_MM.into_iter().chain([80.0, 95.0]) {
            let (_, drawing) = drawn(text, width);
            let has_unit = |item: &sheets::Item| match &item.shape {
                Shape::Text { text, .. } => {
                    text.starts_with("1:") && (text.ends_with("in mm") || text.ends_with("in inches"))
                }
                _ => false,
            };
            assert!(drawing.items.iter().any(has_unit), "{name} at {width} mm");
        }
    }
}

/// Measured on the paper, the body of each vessel is what the file says (elementary geometry).
#[test]
fn the_drawing_is_to_scale() {
    for (name, text) in EXAMPLES {
        for width in WIDTHS_MM {
            let (station, drawing) = drawn(text, width);
            assert_eq!(drawing.maps.len(), station.vessels.len());
            for (vessel, map) in station.vessels.iter().zip(&drawing.maps) {
                let path = format!("vessels.{}", vessel.name);
                let body = drawing
                    .items
                    .iter()
                    .filter(|item| item.path == path)
                    .filter_map(|item| match &item.shape {
                        Shape::Line {
                            points,
                            stroke: Stroke::Heavy,
                            ..
                        } => Some(points),
                        _ => None,
                    })
                    .next()
                    .unwrap_or_else(|| panic!("{name}: no body of {path}"));
                let top = body.iter().map(|p| p.y_mm).fold(f64::INFINITY, f64::min);
                let foot = body.iter().map(|p| p.y_mm).fold(f64::NEG_INFINITY, f64::max);
                let height_m = (foot - top) * map.scale() / 1000.0;
                assert!((height_m - vessel.height_m()).abs() < 1e-9, "{name}: {path}");
                let above_m = (map.origin.y_mm - foot) * map.scale() / 1000.0;
                assert!(
                    (above_m - vessel.fields.floor_height.value.m()).abs() < 1e-9,
                    "{name}: {path}"
                );
                let rim = |side: usize| body[if side == 0 { 0 } else { body.len() - 1 }].x_mm;
                let width_m = (rim(1) - rim(0)) * map.scale() / 1000.0;
                let plan = vessel.shape.plan_at_m(vessel.height_m()).expect("the rim");
                if let Some((length, _)) = plan {
                    assert!(
                        (width_m - length).abs() < 1e-9,
                        "{name}: {path} {width_m} {length}"
                    );
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Random vessels at random heights with random marks, on paper of any width.
    #[test]
    fn random_stations_stay_legible(
        diameter in 0.2..1.4_f64,
        height in 0.3..2.2_f64,
        floor in 0.0..1.8_f64,
        salt_floor in 0.0..1.8_f64,
        marks in proptest::array::uniform4(0.05..0.95_f64),
        width in 85.0..300.0_f64,
    ) {
        let mut levels = marks;
        levels.sort_by(f64::total_cmp);
        let mm = |metres: f64| format!("\"{:.1} mm\"", metres * 1e3);
        let at = |share: f64| mm(share * height);
        let edits: Vec<Edit> = [
            ("vessels.fresh.diameter", mm(diameter)),
            ("vessels.fresh.height", mm(height)),
            ("vessels.fresh.floor_height", mm(floor)),
            ("vessels.salt.floor_height", mm(salt_floor)),
            ("vessels.fresh.freeboard", "\"10 mm\"".to_owned()),
            ("vessels.fresh.run_volume", "\"1 L\"".to_owned()),
            ("vessels.fresh.outlet_level", at(levels[0] * 0.5)),
            ("vessels.fresh.low_cutout_level", at(levels[0])),
            ("vessels.fresh.start_level", at(levels[1])),
            ("vessels.fresh.stop_level", at(levels[2])),
            ("vessels.fresh.backup_level", at(levels[3])),
        ]
        .into_iter()
        .map(|(path, text)| Edit { path: path.to_owned(), text })
        .collect();
        let text = edit::apply(unplumbed(), &edits).expect("it can be edited");
        prop_assume!(Station::read(&text).is_ok());
        let (_, drawing) = drawn(&text, width);
        legible(&drawing, &format!("{edits:?}"));
    }
}

/// One to twelve vessels with names up to sixty letters: all of them are drawn, none is cut, on a phone, a desk and on
/// sheets of paper.
#[test]
fn many_vessels_and_long_names_are_drawn() {
    let one = |at: usize, letters: usize| {
        let name = format!("v{at}-{}", "reservoir-by-the-window-".repeat(3));
        format!(
            "[vessels.{}]\nholds = \"fresh\"\nshape = \"cylinder\"\ndiameter = \"{} mm\"\nheight = \"1100 mm\"\n\
             nominal_volume = \"600 L\"\noutlet_level = \"50 mm\"\nstart_level = \"300 mm\"\nstop_level = \"900 mm\"\n\n",
            &name[..letters.clamp(4, 60)],
            600 + 40 * at
        )
    };
    for (count, letters) in [(1, 60), (2, 36), (5, 20), (6, 8), (8, 12), (12, 30)] {
        let vessels: String = (1..=count).map(|at| one(at, letters)).collect();
        let text = format!("title = \"Many\"\n\n{vessels}");
        let station = Station::read(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
        let proof = proof::prove(&station);
        for width in WIDTHS_MM {
            let drawing = elevation(&station, &proof, width).unwrap_or_else(|| panic!("{count} at {width}"));
            legible(&drawing, &format!("{count} vessels at {width} mm"));
            assert_eq!(drawing.maps.len(), count);
        }
        let most_mm = 240.0;
        let sheets = elevations(&station, &proof, 185.0, [most_mm; 2]);
        assert_eq!(sheets.iter().map(|sheet| sheet.maps.len()).sum::<usize>(), count);
        for sheet in sheets {
            legible(&sheet, &format!("{count} vessels on sheets"));
            assert!(sheet.height_mm <= most_mm + 1e-9, "{count}: {}", sheet.height_mm);
        }
    }
}

/// The drawings as they are; after a change that was looked at and is meant: BLESS=1 cargo test -p sheets
#[test]
fn drawings_as_they_were() {
    for (name, text) in EXAMPLES {
        for width in WIDTHS_MM {
            let (_, drawing) = drawn(text, width);
            as_it_was(&drawing, &format!("elevation-{name}-{width:.0}"));
        }
    }
}
