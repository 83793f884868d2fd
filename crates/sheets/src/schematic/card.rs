//! The card of a valve setting: the schematic with its way inked, and in words its path, its valves, its order of moves,
//! its flow and its time.

use proof::Lineup;
use station::Station;
use station::plumbing::End;

/// The way of a setting from end to end: `Salt, salt-leg, suction, bracket, riser`.
pub(super) fn way(station: &Station, lineup: &Lineup) -> String {
    let found = station.lineups.iter().position(|own| own.name == lineup.name);
    let Some(task) = found.and_then(|at| station.plumbing.tasks.get(at)) else {
        return String::new();
    };
    let mut here = task.from;
    let name = |end: End| station.name_of(end).to_owned();
    let mut ends = vec![name(here)];
    for own in &lineup.lines {
        let Some(line) = station.lines.iter().position(|line| line.name == *own) else { continue };
        let joined = &station.plumbing.lines[line];
        here = if here == joined.from { joined.to } else { joined.from };
        ends.push(name(here));
    }
    format!("{}.", ends.join(", "))
}
