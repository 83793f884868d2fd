//! Places in the schematic: no two things at one.

use crate::fault::Fault;
use crate::register::{Field, Place};
use crate::station::Station;

pub(super) fn check(station: &Station, faults: &mut Vec<Fault>) {
    let mut taken: Vec<(Place, String)> = Vec::new();
    let mut take = |whose: String, place: Option<&Field<Place>>| {
        let Some(field) = place else { return };
        let Place { column, row } = field.value;
        let Some((_, other)) = taken.iter().find(|(place, _)| *place == field.value) else {
            taken.push((field.value, whose));
            return;
        };
        // Below it, where nothing else was put so far.
        let free = (row + 1..).find(|row| {
            taken
                .iter()
                .all(|(place, _)| *place != Place { column, row: *row })
        });
        faults.push(Fault {
            span: field.span().unwrap_or(0..0),
            what: format!("{whose} stands where {other} does"),
            why: "a place of the schematic holds one thing".into(),
            mend: match free {
                Some(row) => format!("write another, as \"{column}, {row}\", or leave one of them out"),
                None => "leave one of them out".into(),
            },
        });
    };
    for own in &station.tanks {
        take(format!("the tank `{}`", own.name), own.fields.place.as_ref());
    }
    for own in &station.vessels {
        take(format!("the vessel `{}`", own.name), own.fields.place.as_ref());
    }
    for own in &station.pumps {
        take(format!("the pump `{}`", own.name), own.fields.place.as_ref());
    }
    for own in &station.tees {
        take(format!("the tee `{}`", own.name), own.fields.place.as_ref());
    }
    for own in &station.draw_points {
        take(
            format!("the draw point `{}`", own.name),
            own.fields.place.as_ref(),
        );
    }
}
