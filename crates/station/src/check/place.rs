//! Places in the schematic: no two things at one.

use crate::fault::Fault;
use crate::register::{Field, Place};
use crate::station::Station;

pub(super) fn check(station: &Station, faults: &mut Vec<Fault>) {
    let mut taken: Vec<(Place, &'static str, &str)> = Vec::new();
    let mut take = |kind: &'static str, name, place: Option<&Field<Place>>| {
        let Some(field) = place else { return };
        let Place { column, row } = field.value;
        let Some((_, other_kind, other)) = taken.iter().find(|(place, ..)| *place == field.value) else {
            taken.push((field.value, kind, name));
            return;
        };
        // Below it, where nothing else was put so far.
        let free = (row + 1..).find(|row| {
            taken
                .iter()
                .all(|(place, ..)| *place != Place { column, row: *row })
        });
        faults.push(Fault {
            span: field.span().unwrap_or(0..0),
            what: format!("the {kind} `{name}` stands where the {other_kind} `{other}` does"),
            why: "a place of the schematic holds one thing".into(),
            mend: match free {
                Some(row) => format!("write another, as \"{column}, {row}\", or leave one of them out"),
                None => "leave one of them out".into(),
            },
        });
    };
    for own in &station.tanks {
        take("tank", &own.name, own.fields.place.as_ref());
    }
    for own in &station.vessels {
        take("vessel", &own.name, own.fields.place.as_ref());
    }
    for own in &station.pumps {
        take("pump", &own.name, own.fields.place.as_ref());
    }
    for own in &station.tees {
        take("tee", &own.name, own.fields.place.as_ref());
    }
    for own in &station.draw_points {
        take("draw point", &own.name, own.fields.place.as_ref());
    }
}
