//! Where the water of a line comes from: usually, and when it flows.

use station::Station;
use station::plumbing::End;

use super::super::plumbing::STILL_M3_S;

/// What a junction is brought; `None` while a line that brings water isn't known, and with `all_known` not asked while
/// none is.
pub(super) fn mixed(
    lines: &[station::plumbing::JoinedLine],
    junction: End,
    flowing: &[(usize, f64)],
    waters: &[Option<(f64, f64)>],
    all_known: bool,
) -> Option<(f64, f64)> {
    let (mut sum, mut salinity, mut temperature) = (0.0, 0.0, 0.0);
    for (line, flow) in flowing {
        let joined = &lines[*line];
        let brings = if joined.to == junction {
            *flow
        } else if joined.from == junction {
            -flow
        } else {
            continue;
        };
        if brings > STILL_M3_S {
            match waters[*line] {
                Some(water) => {
                    sum += brings;
                    salinity += brings * water.0;
                    temperature += brings * water.1;
                }
                None if all_known => return None,
                None => {}
            }
        }
    }
    (sum > 0.0).then(|| (salinity / sum, temperature / sum))
}

/// The vessel that each line is fewest lines away from, the first of several: whose water usually stands in it.
pub(super) fn usual_sources(station: &Station) -> Vec<Option<End>> {
    let lines = &station.plumbing.lines;
    let mut sources: Vec<Option<End>> = lines
        .iter()
        .map(|line| {
            [line.from, line.to]
                .into_iter()
                .find(|end| matches!(end, End::Vessel(_)))
        })
        .collect();
    for _ in 0..lines.len() {
        let before = sources.clone();
        for (line, source) in sources
            .iter_mut()
            .enumerate()
            .filter(|(_, source)| source.is_none())
        {
            let ends = [lines[line].from, lines[line].to];
            let beside = lines.iter().zip(&before).filter(|(other, _)| {
                [other.from, other.to]
                    .iter()
                    .any(|end| ends.contains(end) && matches!(end, End::Tee(_) | End::Pump(_)))
            });
            *source = beside.filter_map(|(_, source)| *source).min();
        }
        if before == sources {
            break;
        }
    }
    sources
}
