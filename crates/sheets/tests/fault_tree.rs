//! The fault tree as a drawing: every event that is drawn is there once with its figures, nothing overlaps or leaves the
//! paper, on any width; low paper has fewer rows.

use proof::{Absence, Away, Branch, Gate, absence};
use sheets::{Cell, Drawing, EDGE_MM, Shape, absence_tables, fault_tree};
use station::Station;

const EXAMPLES: [&str; 3] = [
    include_str!("../../../stations/larkhaven.toml"),
    include_str!("../../../stations/juniper-street-school.toml"),
    include_str!("../../../stations/skelder-hatchery.toml"),
];

fn looked_at(text: &str) -> (Station, Absence) {
    let station = Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let away = Away {
        remedies: false,
        ..Away::default()
    };
    let told = absence(&station, &away).expect("an absence");
    (station, told)
}

/// Gates and events of the rows that are drawn.
fn drawn(branch: &Branch, most: usize) -> Vec<Gate> {
    let below = branch.inputs.iter().take(most).flat_map(|own| drawn(own, most));
    core::iter::once(branch.gate).chain(below).collect()
}

fn dots(drawing: &Drawing) -> usize {
    let is_dot = |shape: &Shape| matches!(shape, Shape::Dot { radius_mm, .. } if *radius_mm > 1.7);
    drawing.items.iter().filter(|item| is_dot(&item.shape)).count()
}

#[test]
fn events_stand_apart_on_any_paper() {
    for text in EXAMPLES {
        let (station, told) = looked_at(text);
        let tree = told.tree.as_ref().expect("a tree");
        for width_mm in [80.0, 88.0, 110.0, 150.0, 190.0, 260.0] {
            let drawing = fault_tree(&station, &told, width_mm, f64::INFINITY).expect("a drawing");
            let texts = drawing.text_bounds();
            for (at, (a, one)) in texts.iter().enumerate() {
                assert!(
                    a.left_mm >= EDGE_MM - 0.01
                        && a.right_mm <= width_mm - EDGE_MM + 0.01
                        && a.bottom_mm <= drawing.height_mm,
                    "{:?}: {one} leaves paper of {width_mm} mm",
                    station.title
                );
                for (b, other) in &texts[at + 1..] {
                    assert!(
                        !a.overlaps(b),
                        "{:?}, {width_mm} mm: {one} on {other}",
                        station.title
                    );
                }
            }
            // One of each kind stands in the legend: two circles.
            let basics = drawn(tree, 6).iter().filter(|gate| **gate == Gate::Basic).count();
            assert_eq!(dots(&drawing), basics + 2, "{:?}, {width_mm} mm", station.title);
        }
    }
}

#[test]
fn low_paper_has_fewer_rows_and_tells_how_many_are_left_out() {
    let (station, told) = looked_at(EXAMPLES[2]);
    let whole = fault_tree(&station, &told, 180.0, f64::INFINITY).expect("a drawing");
    let low = fault_tree(&station, &told, 180.0, 0.7 * whole.height_mm).expect("a drawing");
    assert!(low.height_mm <= 0.7 * whole.height_mm);
    assert!(
        low.text_bounds()
            .iter()
            .any(|(_, text)| text.contains("more, rarer"))
    );
    // Words tell all of it, however little is drawn.
    assert_eq!(low.description, whole.description);
}

#[test]
fn its_words_name_every_event() {
    fn events(branch: &Branch, out: &mut Vec<String>) {
        for own in &branch.inputs {
            out.push(own.event.clone());
            events(own, out);
        }
    }
    for text in EXAMPLES {
        let (station, told) = looked_at(text);
        let mut all = Vec::new();
        events(told.tree.as_ref().expect("a tree"), &mut all);
        let drawing = fault_tree(&station, &told, 180.0, f64::INFINITY).expect("a drawing");
        for event in all {
            assert!(drawing.description.contains(&event), "{event}");
        }
    }
}

/// On a page each fault stands once, where it does most; in a file once for each beginning from which it does harm.
#[test]
fn each_fault_stands_once_where_it_does_most() {
    for text in EXAMPLES {
        let (station, told) = looked_at(text);
        let of = |in_full| {
            let tables = absence_tables(&station, &told, in_full);
            let own = tables
                .into_iter()
                .find(|own| own.name == "faults-alone")
                .expect("a table");
            own.rows
        };
        let (read, full) = (of(false), of(true));
        let single = told.faults.iter().filter(|own| own.set.len() == 1).count();
        assert_eq!(full.len(), single);
        let name = |row: &[Cell]| row[0].printed();
        let mut names: Vec<String> = read.iter().map(|row| name(row)).collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), read.len());
        assert!(full.iter().all(|row| names.contains(&name(row))));
        let tap = read
            .iter()
            .find(|row| name(row) == "The feed tube at the tap off")
            .expect("its row");
        let most = told
            .faults
            .iter()
            .filter(|own| own.set.concat() == "the feed tube at the tap off");
        let most = most
            .max_by(|a, b| a.spilled_m3.total_cmp(&b.spilled_m3))
            .expect("it floods");
        assert!(
            tap[2].printed().contains(&most.outcome[0]),
            "{}",
            tap[2].printed()
        );
    }
}
