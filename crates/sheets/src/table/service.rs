//! Taking parts out: what to close, what comes out, what goes on without each.

use proof::{Drain, HowInstead, PartKind, PartService, Service};
use station::quantity::{Kind, format_plain, format_tape};
use station::{Station, shown};

use super::{Cell, Column, Table};

/// Each part in short.
pub(super) fn parts(station: &Station, all: &Service) -> Table {
    let rows = all
        .parts
        .iter()
        .map(|part| {
            vec![
                Cell::Words(name(part)),
                Cell::Words(to_do(station, part)),
                comes_out(station, part.spilled_m3),
                Cell::Words(without(part)),
            ]
        })
        .collect();
    Table {
        name: NAME,
        title: "Taking parts out",
        heads: ["part", "before it", "comes out", "without it"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    }
}

const NAME: &str = "taking-parts-out";

/// The same as a file: one unit to a column, what is closed and what is drained apart.
pub(super) fn parts_in_full(station: &Station, all: &Service) -> Table {
    let most = all.parts.iter().map(|part| part.spilled_m3).fold(0.0, f64::max);
    let volume = Column::sized(station, Kind::Volume, most);
    let drained = |part: &PartService| {
        let each: Vec<String> = part
            .drain
            .iter()
            .map(|drain| drain_words(station, drain))
            .collect();
        each.join("; ")
    };
    let rows = all
        .parts
        .iter()
        .map(|part| {
            let still: Vec<&str> = part.still.iter().map(|still| still.lineup.as_str()).collect();
            let lost: Vec<String> = part
                .lost
                .iter()
                .map(|lost| format!("{}: {}", lost.lineup, lost.sentence))
                .collect();
            [
                part.part.clone(),
                part.kind.word().to_owned(),
                part.first.join(" "),
                drained(part),
                part.close.join(", "),
            ]
            .into_iter()
            .map(Cell::Words)
            .chain([volume.exact(part.spilled_m3), volume.exact(part.lines_m3)])
            .chain(
                [
                    still.join(", "),
                    lost.join("; "),
                    part.capped.join(", "),
                    part.without.join(" "),
                ]
                .map(Cell::Words),
            )
            .collect()
        })
        .collect();
    let heads = ["part", "kind", "first", "drain", "close"]
        .map(str::to_owned)
        .into_iter()
        .chain([volume.head("comes out"), volume.head("of that out of lines")])
        .chain(
            [
                "goes on",
                "lost, and what does instead",
                "goes on with ends capped",
                "without it",
            ]
            .map(str::to_owned),
        )
        .collect();
    Table {
        name: NAME,
        title: "Taking parts out",
        heads,
        rows,
    }
}

/// `Bracket, pump`.
fn name(part: &PartService) -> String {
    match part.kind {
        PartKind::Heater | PartKind::Chiller | PartKind::Purifier => shown(&part.part),
        PartKind::Lines if !part.part.contains(", ") => format!("{}, line", shown(&part.part)),
        PartKind::Lines => shown(&part.part),
        // One that is named by what it is.
        kind if kind.word().starts_with(&part.part) => shown(kind.word()),
        kind => format!("{}, {}", shown(&part.part), kind.word()),
    }
}

fn to_do(station: &Station, part: &PartService) -> String {
    let mut out: Vec<String> = Vec::new();
    if matches!(part.kind, PartKind::Pump | PartKind::Heater | PartKind::Chiller) {
        out.push("pull its plug".to_owned());
    }
    out.extend(part.drain.iter().map(|drain| drain_words(station, drain)));
    if !part.close.is_empty() {
        out.push(format!("close {}", part.close.join(", ")));
    }
    if part.kind.is_of_purifier() {
        out.push("let the pressure off".to_owned());
    }
    out.join("; ")
}

fn drain_words(station: &Station, drain: &Drain) -> String {
    if let Some(line) = &drain.lift_out {
        return format!("lift {line} out of {}", drain.from);
    }
    match drain.to_level_m {
        Some(level_m) if level_m > 0.0 => {
            format!(
                "drain {} to {}",
                drain.from,
                format_tape(level_m, station.units())
            )
        }
        _ => format!("drain {}", drain.from),
    }
}

fn comes_out(station: &Station, spilled_m3: f64) -> Cell {
    if spilled_m3 <= 0.0 {
        return Cell::Empty;
    }
    Cell::Tape {
        value: spilled_m3,
        shown: format_plain(Kind::Volume, spilled_m3, station.units(), &station.currency()),
    }
}

/// `mix by hand; salt-bucket and tall-bucket in buckets; the rest goes on`.
fn without(part: &PartService) -> String {
    if let (true, Some(first)) = (part.lost.is_empty(), part.without.last()) {
        // Of the purifier's parts what water there is; how long stores last is the same for all.
        let told = match part.kind {
            PartKind::ResinBed => first,
            _ => part.without.first().unwrap_or(first),
        };
        return told.trim_end_matches('.').to_owned();
    }
    let groups = [
        (Some(HowInstead::OtherVessel), "by another vessel"),
        (Some(HowInstead::Gravity), "by gravity"),
        (Some(HowInstead::OtherPump), "by another pump"),
        (Some(HowInstead::Bucket), "in buckets"),
        (Some(HowInstead::Dipping), "in dipped buckets"),
        (Some(HowInstead::Stirring), "by hand"),
        (None, "not at all"),
    ];
    let mut out: Vec<String> = groups
        .iter()
        .filter_map(|(how, words)| {
            let own: Vec<&str> = part
                .lost
                .iter()
                .filter(|lost| lost.instead.as_ref().map(|instead| instead.how) == *how)
                .map(|lost| lost.lineup.as_str())
                .collect();
            (!own.is_empty()).then(|| format!("{} {words}", own.join(", ")))
        })
        .collect();
    match (out.is_empty(), part.still.is_empty()) {
        (true, false) => out.push("all goes on".to_owned()),
        (false, false) => out.push("the rest goes on".to_owned()),
        _ => {}
    }
    out.join("; ")
}
