//! The doubt of what is told of wrong moves: each is solved again for the draws of everything that the network is made of.

use std::sync::Arc;

use physics::hydraulics::network::Flows;
use station::plumbing::End;
use station::{Situation, Station};

use super::super::plumbing::{Listed, Pipework, Told as ToldNumbers, build, lines_rest_on};
use super::cause::Group;
use super::graph::Graph;
use super::ids::HarmIds;
use super::judge::Harm;
use super::kind::{Kind, Victim};
use super::situations;
use super::survey::{Ground, Starts, Survey};
use super::switches::{Position, Switches};
use super::types::Cause;
use crate::analysis::speak::figure;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{Sheet, Told, When};

/// What is solved again.
#[derive(Debug, Clone, Copy)]
struct Asked {
    position: Position,
    situation: usize,
    kind: Kind,
    victim: Victim,
    /// Lines whose patterns count: all that can touch the victim.
    lines: u128,
}

impl Asked {
    fn is(&self, harm: &Harm) -> bool {
        (harm.kind, harm.victim) == (self.kind, self.victim)
    }
}

/// Flow and time of each cause.
const VALUES: usize = 2;

/// What every draw shares: nothing of it hangs on the numbers of the network. What the purifier makes stays as it is.
struct Again {
    station: Arc<Station>,
    switches: Switches,
    ids: HarmIds,
    graph: Graph,
    permeate_m3_s: f64,
    situations: Vec<Situation>,
    asked: Vec<Asked>,
    /// By situation: the flows that each pattern comes to by the values of the file. A draw is not far from them.
    starts: Vec<Starts>,
}

/// Tells flow and time of every cause, and puts both as figures into its sentence.
pub(super) fn doubt(
    ground: &Ground<'_>,
    sheet: &mut Sheet,
    surveys: &mut [Survey<'_>],
    groups: &[Group],
    causes: &mut [Cause],
) {
    let station = ground.station;
    // Where nothing flows there is no doubt worth telling.
    let told_of = |group: &&Group| group.worst().harm.flow_m3_s > 0.0;
    let asked: Vec<Asked> = groups
        .iter()
        .filter(told_of)
        .map(|group| {
            let worst = group.worst();
            Asked {
                position: worst.position,
                situation: worst.situation,
                kind: group.kind,
                victim: group.victim,
                lines: touching(ground, worst.position, group.victim),
            }
        })
        .collect();
    let mut told = ToldNumbers::new(sheet);
    // Told once more, so that the draws of every number stand in the order in which a network asks for them.
    if build(station, &mut told).is_err() {
        return;
    }
    let (inputs, names) = (told.nodes, told.names);
    let again = Again {
        station: Arc::new(station.clone()),
        switches: ground.switches.clone(),
        ids: ground.ids.clone(),
        graph: ground.graph.clone(),
        permeate_m3_s: ground.permeate_m3_s,
        situations: situations(station),
        starts: starts(ground, surveys, &asked),
        asked: asked.clone(),
    };
    let solve = Arc::new(move |values: &[f64]| again.solve(values));
    let solution = sheet.solution(inputs, names.clone(), (When::Later, solve));
    let both = groups.iter().zip(causes).filter(|(group, _)| told_of(group));
    for (at, (group, cause)) in both.enumerate() {
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

/// The lines of the patterns that can touch a victim in a position, wherever water flows in them.
fn touching(ground: &Ground<'_>, position: Position, victim: Victim) -> u128 {
    // What becomes of a pump hangs on all that draws from the vessel before it.
    if matches!(victim, End::Pump(_)) {
        return u128::MAX;
    }
    let lines = ground.station.plumbing.lines.iter().enumerate();
    let ends_there = lines
        .filter(|(_, line)| [line.from, line.to].contains(&victim))
        .fold(0, |lines, (at, _)| lines | 1 << at);
    let mut patterns = Vec::new();
    ground.graph.patterns(position, &mut patterns);
    let touching = patterns.iter().filter(|pattern| pattern.lines & ends_there != 0);
    touching.fold(0, |lines, pattern| lines | pattern.lines)
}

/// The flows that each pattern comes to that is asked about, by the values of the file.
fn starts(ground: &Ground<'_>, surveys: &mut [Survey<'_>], asked: &[Asked]) -> Vec<Starts> {
    let mut starts = vec![Starts::new(); surveys.len()];
    let mut patterns = Vec::new();
    for own in asked {
        ground.graph.patterns(own.position, &mut patterns);
        let bench = &mut surveys[own.situation].bench;
        for pattern in patterns.iter().filter(|pattern| pattern.lines & own.lines != 0) {
            let known = &mut starts[own.situation];
            // What can't be solved has no flows to start from.
            if !known.contains_key(pattern) && bench.outcome(*pattern).is_ok() {
                let mut flows = Flows::default();
                bench.state.keep(&mut flows);
                known.insert(*pattern, flows);
            }
        }
    }
    starts
}

impl Again {
    /// Flow and time of every cause, for one draw of the numbers.
    fn solve(&self, values: &[f64]) -> Vec<f64> {
        let mut out = vec![f64::NAN; VALUES * self.asked.len()];
        if let Ok(pipework) = build(&self.station, &mut Listed::of(values)) {
            // A network that isn't one tells nothing.
            let _ = self.fill(&pipework, &mut out);
        }
        out
    }

    fn fill(&self, pipework: &Pipework, out: &mut [f64]) -> Result<(), Refusal> {
        let ground = Ground {
            station: &self.station,
            pipework,
            switches: &self.switches,
            graph: &self.graph,
            ids: &self.ids,
            permeate_m3_s: self.permeate_m3_s,
        };
        let mut survey: Option<Survey<'_>> = None;
        for (number, situation) in self.situations.iter().enumerate() {
            if self.asked.iter().all(|own| own.situation != number) {
                continue;
            }
            let survey = match &mut survey {
                Some(survey) => {
                    survey.begin(situation)?;
                    survey
                }
                none => none.insert(Survey::new(&ground, situation)?),
            };
            survey.start_from(&self.starts[number]);
            for (own, out) in self.asked.iter().zip(out.chunks_exact_mut(VALUES)) {
                if own.situation != number {
                    continue;
                }
                // What can't be solved in this draw stays untold in it.
                let Ok(harms) = survey.harms_among(own.position, own.lines) else {
                    continue;
                };
                if let Some(harm) = harms.iter().find(|harm| own.is(harm)) {
                    (out[0], out[1]) = (harm.flow_m3_s, harm.seconds);
                }
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Base, surveys};
    use super::*;

    const EXAMPLES: [&str; 3] = [
        include_str!("../../../../../stations/larkhaven.toml"),
        include_str!("../../../../../stations/juniper-street-school.toml"),
        include_str!("../../../../../stations/skelder-hatchery.toml"),
    ];

    /// What a victim comes to hangs on the patterns that can touch it and on no other: in positions all over the station,
    /// each harm is the same to the last bit without the others.
    #[test]
    fn what_cannot_touch_a_victim_does_not_count() {
        let (mut compared, mut fewer) = (0, 0);
        for text in EXAMPLES {
            let station = Station::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
            let base = Base::of(&station).unwrap_or_else(|refusal| panic!("{refusal}"));
            let ground = base.ground(&station, 1e-6);
            let (_, mut surveys) = surveys(&ground).unwrap_or_else(|refusal| panic!("{refusal}"));
            let count = base.switches.count();
            let mut position: Position = 1;
            for _ in 0..120 {
                // Knuth's numbers, so that the positions lie all over.
                position = position
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                let own = position >> (64 - count);
                if !base.switches.can_be(own) {
                    continue;
                }
                for survey in &mut surveys {
                    let all = survey.harms(own).map(<[Harm]>::to_vec);
                    for harm in all.unwrap_or_else(|refusal| panic!("{refusal}")) {
                        let lines = touching(&ground, own, harm.victim);
                        let among = survey.harms_among(own, lines).map(<[Harm]>::to_vec);
                        let among = among.unwrap_or_else(|refusal| panic!("{refusal}"));
                        let same = among
                            .iter()
                            .find(|other| (other.kind, other.victim) == (harm.kind, harm.victim));
                        assert_eq!(same, Some(&harm), "position {own:b}");
                        compared += 1;
                        fewer += usize::from(lines != u128::MAX);
                    }
                }
            }
        }
        assert!(compared > 500 && fewer > 300, "{compared}, {fewer}");
    }
}
