//! The doubt of what is told of wrong moves: each is solved again for the draws of everything that the network is made of.

use std::sync::Arc;

use station::Station;
use station::plumbing::End;

use super::super::plumbing::{Listed, Pipework, Told as ToldNumbers, build, lines_rest_on};
use super::cause::Group;
use super::kind::{Kind, Victim};
use super::survey::{Ground, Survey};
use super::switches::Position;
use super::types::Cause;
use super::{Base, situations};
use crate::analysis::speak::figure;
use crate::methods as m;
use crate::sheet::{Sheet, Told};

/// What is solved again.
#[derive(Debug, Clone, Copy)]
struct Asked {
    position: Position,
    situation: usize,
    kind: Kind,
    victim: Victim,
}

/// Flow and time of each cause.
const VALUES: usize = 2;

/// Tells flow and time of every cause, and puts both as figures into its sentence.
pub(super) fn doubt(
    ground: &Ground<'_>,
    sheet: &mut Sheet,
    surveys: &mut [Survey<'_>],
    groups: &[Group],
    causes: &mut [Cause],
) {
    let (station, permeate_m3_s) = (ground.station, ground.permeate_m3_s);
    let asked: Vec<Asked> = groups
        .iter()
        .map(|group| {
            let worst = group.worst();
            Asked {
                position: worst.position,
                situation: worst.situation,
                kind: group.kind,
                victim: group.victim,
            }
        })
        .collect();
    let mut told = ToldNumbers::new(sheet);
    // Told once more, so that the draws of every number stand in the order in which a network asks for them.
    if build(station, &mut told).is_err() {
        return;
    }
    let (inputs, names) = (told.nodes, told.names);
    let owned = Arc::new(station.clone());
    let again = asked.clone();
    let solution = sheet.solution(
        inputs,
        names.clone(),
        Arc::new(move |values| solve_all(&owned, permeate_m3_s, &again, values)),
    );
    for (at, (group, cause)) in groups.iter().zip(causes).enumerate() {
        if group.worst().harm.flow_m3_s <= 0.0 {
            continue;
        }
        let lines = lines_of(station, &mut surveys[asked[at].situation], &asked[at]);
        let shown = lines_rest_on(station, &lines, &names);
        let key = group.key(ground);
        let mut tell = |offset: usize, value: f64, what: &str, title: &str, method| {
            let told = Told {
                key: format!("{key}.{what}"),
                title: format!(
                    "{title}: {} at {}",
                    group.kind.word(),
                    station.name_of(group.victim)
                ),
                method,
                shown: shown.clone(),
            };
            let node = sheet.output(solution, VALUES * at + offset, value, told);
            sheet.estimate(node)
        };
        let harm = group.worst().harm;
        cause.flow = Some(tell(
            0,
            harm.flow_m3_s,
            "flow",
            "flow of a wrong move",
            &m::MISTAKE_FLOW,
        ));
        // What is done at once has no doubt worth telling.
        if harm.seconds > 0.0 {
            cause.time = Some(tell(
                1,
                harm.seconds,
                "time",
                "time to harm of a wrong move",
                &m::MISTAKE_TIME,
            ));
        }
    }
}

/// In a sentence: the flow and the time of a group.
pub(super) fn places(ground: &Ground<'_>, group: &Group) -> (String, String) {
    let key = group.key(ground);
    (figure(&format!("{key}.flow")), figure(&format!("{key}.time")))
}

/// The lines of the patterns that touch the victim.
fn lines_of(station: &Station, survey: &mut Survey<'_>, asked: &Asked) -> Vec<usize> {
    let Ok(numbers) = survey.outcomes_in(asked.position, u128::MAX, Position::MAX) else {
        return Vec::new();
    };
    let mut lines = 0_u128;
    for number in numbers {
        if let Some((pattern, outcome)) = survey.pattern_of(number) {
            let touches = match asked.victim {
                End::Pump(pump) => outcome.pumps.iter().any(|(own, _)| *own == pump),
                end => outcome.exchanges.iter().any(|exchange| exchange.end == end),
            };
            if touches {
                lines |= pattern.lines;
            }
        }
    }
    (0..station.lines.len())
        .filter(|line| lines >> line & 1 == 1)
        .collect()
}

/// Flow and time of every cause, for one draw of the numbers.
fn solve_all(station: &Station, permeate_m3_s: f64, asked: &[Asked], values: &[f64]) -> Vec<f64> {
    let mut out = vec![f64::NAN; VALUES * asked.len()];
    let Ok(pipework) = build(station, &mut Listed::of(values)) else {
        return out;
    };
    // What can't be solved in this draw stays untold in it.
    let _ = fill(station, permeate_m3_s, asked, pipework, &mut out);
    out
}

fn fill(
    station: &Station,
    permeate_m3_s: f64,
    asked: &[Asked],
    pipework: Pipework,
    out: &mut [f64],
) -> Option<()> {
    let base = Base::with(station, pipework).ok()?;
    let ground = base.ground(station, permeate_m3_s);
    for (number, situation) in situations(station).iter().enumerate() {
        if asked.iter().all(|own| own.situation != number) {
            continue;
        }
        let mut survey = Survey::new(&ground, situation).ok()?;
        for (own, out) in asked.iter().zip(out.chunks_exact_mut(VALUES)) {
            if own.situation != number {
                continue;
            }
            let harms = survey.harms(own.position).ok()?;
            if let Some(harm) = harms
                .iter()
                .find(|harm| (harm.kind, harm.victim) == (own.kind, own.victim))
            {
                (out[0], out[1]) = (harm.flow_m3_s, harm.seconds);
            }
        }
    }
    Some(())
}
