//! What the page shows as lists or as the drawing: marks, figures, findings, soundings.

use proof::{LevelMark, Proof};
use station::quantity::{Kind, format_plain};
use station::{Station, shown};

use super::{Cell, Column, Table};
use crate::told;

pub(super) fn marks(station: &Station, proof: &Proof) -> Table {
    let length = Column::sized(station, Kind::Length, 1.0);
    let volume = Column::sized(station, Kind::Volume, 1.0);
    let rows = proof
        .levels
        .vessels
        .iter()
        .flat_map(|vessel| {
            let batch = proof
                .batch
                .vessels
                .iter()
                .find(|batch| batch.vessel == vessel.name);
            let more = batch.map_or(&[][..], |batch| &batch.marks);
            let mut marks: Vec<(String, &LevelMark)> = vessel
                .marks
                .iter()
                .chain(more)
                .map(|mark| (told::mark(mark.name).to_owned(), mark))
                .collect();
            // Where marks belong is shown where they stand elsewhere, or nowhere yet; in brackets, for none is set there.
            let own = station.vessel(&vessel.name);
            let run = own.and_then(|own| own.fields.run_volume.as_ref());
            let run = run.map_or_else(String::new, |run| {
                format_plain(Kind::Volume, run.value.m3(), station.units(), &station.currency())
            });
            marks.extend(
                vessel
                    .to_move()
                    .map(|mark| (format!("({}, if a run were {run})", mark.name), mark)),
            );
            marks.sort_by(|a, b| b.1.level_m.total_cmp(&a.1.level_m));
            marks
                .into_iter()
                .map(|(name, mark)| {
                    vec![
                        Cell::Words(shown(&vessel.name)),
                        Cell::Words(name),
                        length.tape(station, mark.level_m),
                        length.tape(station, mark.above_room_floor_m),
                        length.tape(station, mark.from_rim_m),
                        volume.exact(mark.volume_m3),
                    ]
                })
                .collect::<Vec<_>>()
        })
        .collect();
    Table {
        name: "marks",
        title: "Marks of the vessels",
        heads: vec![
            "vessel".to_owned(),
            "mark".to_owned(),
            length.head("above its floor"),
            length.head("above the room's floor"),
            length.head("below its rim"),
            volume.head("holds"),
        ],
        rows,
    }
}

pub(super) fn figures(station: &Station, proof: &Proof) -> Table {
    let words = |text: &str| Cell::Words(text.to_owned());
    let rows = told::headlines(proof)
        .map(|figure| {
            let column = Column::sized(station, figure.kind, figure.value);
            let exact = |si: Option<f64>| si.map_or(Cell::Empty, |si| column.exact(si));
            vec![
                words(&figure.key),
                words(&figure.title),
                column.exact(figure.value),
                words(&column.unit),
                exact(figure.low),
                exact(figure.high),
                words(figure.method),
            ]
        })
        .collect();
    Table {
        name: "figures",
        title: "Figures",
        heads: [
            "key",
            "figure",
            "value",
            "unit",
            "low, 95 %",
            "high, 95 %",
            "method",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    }
}

pub(super) fn findings(proof: &Proof) -> Table {
    let rows = told::groups(proof)
        .into_iter()
        .flat_map(|group| {
            group.findings.into_iter().map(move |finding| {
                let line = finding
                    .line
                    .map_or(Cell::Empty, |line| Cell::Words(line.to_string()));
                let cure = finding
                    .remedy
                    .as_ref()
                    .map_or(Cell::Empty, |remedy| Cell::Words(remedy.sentence.clone()));
                vec![
                    Cell::Words(group.heading.to_lowercase()),
                    Cell::Words(finding.id.to_owned()),
                    Cell::Words(finding.place.clone()),
                    line,
                    Cell::Words(finding.sentence.clone()),
                    cure,
                ]
            })
        })
        .collect();
    Table {
        name: "findings",
        title: "Findings",
        heads: ["weight", "finding", "place", "line", "what", "cure, tried"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    }
}

pub(super) fn soundings(station: &Station, proof: &Proof) -> Table {
    let length = Column::sized(station, Kind::Length, 1.0);
    let volume = Column::sized(station, Kind::Volume, 1.0);
    let rows = proof
        .levels
        .vessels
        .iter()
        .flat_map(|vessel| {
            vessel.soundings.iter().map(|sounding| {
                vec![
                    Cell::Words(shown(&vessel.name)),
                    length.exact(sounding.level_m),
                    volume.exact(sounding.volume_m3),
                    sounding.ends_m3.map_or(Cell::Empty, |[low, _]| volume.exact(low)),
                    sounding
                        .ends_m3
                        .map_or(Cell::Empty, |[_, high]| volume.exact(high)),
                ]
            })
        })
        .collect();
    Table {
        name: "soundings",
        title: "What each vessel holds up to a level",
        heads: vec![
            "vessel".to_owned(),
            length.head("above its floor"),
            volume.head("holds"),
            volume.head("at least, 95 %"),
            volume.head("at most, 95 %"),
        ],
        rows,
    }
}
