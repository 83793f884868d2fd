//! Which lines are joined in a position, found line by line.

use std::collections::BTreeSet;

use station::Station;
use station::plumbing::End;

use super::mouth::Position;

/// Lines that are joined through tees and pumps.
pub(super) fn parts(station: &Station, position: &Position) -> Vec<BTreeSet<usize>> {
    let lines = &station.plumbing.lines;
    let mut left: BTreeSet<usize> = (0..lines.len())
        .filter(|line| position.is_open(station, *line))
        .collect();
    let mut parts = Vec::new();
    while let Some(first) = left.pop_first() {
        let mut part = BTreeSet::from([first]);
        loop {
            let near: Vec<usize> = left
                .iter()
                .copied()
                .filter(|line| {
                    [lines[*line].from, lines[*line].to].into_iter().any(|end| {
                        matches!(end, End::Tee(_) | End::Pump(_))
                            && part
                                .iter()
                                .any(|own| [lines[*own].from, lines[*own].to].contains(&end))
                    })
                })
                .collect();
            if near.is_empty() {
                break;
            }
            for line in near {
                left.remove(&line);
                part.insert(line);
            }
        }
        parts.push(part);
    }
    parts
}

/// The open lines from which a port of a pump can be reached without going through it.
pub(super) fn reached(station: &Station, position: &Position, pump: usize, inlet: bool) -> BTreeSet<usize> {
    let lines = &station.plumbing.lines;
    let port = |line: usize| if inlet { lines[line].to } else { lines[line].from };
    let open: Vec<usize> = (0..lines.len())
        .filter(|line| position.is_open(station, *line))
        .collect();
    let mut found: BTreeSet<usize> = open
        .iter()
        .copied()
        .filter(|line| port(*line) == End::Pump(pump))
        .collect();
    loop {
        let before = found.len();
        for line in &open {
            let joins = [lines[*line].from, lines[*line].to].into_iter().any(|end| {
                let through = match end {
                    End::Tee(_) => true,
                    // Through another pump.
                    End::Pump(other) => other != pump,
                    End::Vessel(_) | End::Tank(_) | End::Draw(_) => false,
                };
                through
                    && found
                        .iter()
                        .any(|own| [lines[*own].from, lines[*own].to].contains(&end))
            });
            if joins {
                found.insert(*line);
            }
        }
        if found.len() == before {
            return found;
        }
    }
}
