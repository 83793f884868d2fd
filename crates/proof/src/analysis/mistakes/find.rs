//! The wrong moves that matter most, as findings of the whole station.

use station::Station;

use super::kind::Kind;
use super::rank::Leading;
use super::types::{BEING_TRIED, Cause, Mistakes, TriedRemedy, WrongMove};
use crate::analysis::speak::say_price;
use crate::estimate::Estimate;
use crate::finding::{Finding, Remedy, Severity};

/// That there are more than are told.
const MORE: &str = "mistakes-more";

/// Whether a finding tells of wrong valves.
pub(crate) fn is_of_mistakes(finding: &Finding) -> bool {
    finding.id == MORE || Kind::ALL.iter().any(|kind| kind.id() == finding.id)
}

impl Mistakes {
    /// Every estimate, for its interval.
    pub(crate) fn each(&mut self, fill: &mut impl FnMut(&mut Estimate)) {
        for cause in &mut self.causes {
            for estimate in [&mut cause.flow, &mut cause.time].into_iter().flatten() {
                fill(estimate);
            }
        }
    }

    /// Causes that aren't among the mistakes that matter most, worst first.
    pub fn others(&self) -> impl Iterator<Item = &Cause> {
        let is_leading = |at: usize| self.leading.iter().any(|own| own.is_cause(at));
        let each = self.causes.iter().enumerate();
        each.filter(move |(at, _)| !is_leading(*at))
            .map(|(_, cause)| cause)
    }

    /// Tasks that nobody ends and that aren't among the mistakes that matter most, the soonest harm first.
    pub fn left_soonest(&self) -> Vec<&WrongMove> {
        let each = self.left_on.iter().enumerate();
        let mut left: Vec<&WrongMove> = each
            .filter(|(at, _)| !self.leading.iter().any(|own| own.is_left(*at)))
            .map(|(_, left)| left)
            .collect();
        left.sort_by(|a, b| a.seconds_to_harm.total_cmp(&b.seconds_to_harm));
        left
    }

    /// The gravest single wrong moves out of a task, one for each valve or pump: by kind, then soonest.
    pub fn gravest(&self, lineup: &str) -> Vec<&WrongMove> {
        let mut own: Vec<&WrongMove> = self
            .one_step
            .iter()
            .filter(|own| own.lineup == lineup && !own.moved.is_empty())
            .collect();
        own.sort_by(|a, b| {
            let soonest = || a.seconds_to_harm.total_cmp(&b.seconds_to_harm);
            a.kind.cmp(&b.kind).then_with(soonest)
        });
        let mut told: Vec<&WrongMove> = Vec::new();
        for wrong in own {
            let is_same = |other: &&WrongMove| other.moved == wrong.moved && other.turned == wrong.turned;
            if !told.iter().any(is_same) {
                told.push(wrong);
            }
        }
        told
    }

    /// Where a mistake among those that matter most has no cure, the number of an earlier one of its kind that has none either:
    /// what was tried against that one was tried here.
    pub fn no_cure_as(&self, leading: usize) -> Option<usize> {
        if self.being_tried {
            return None;
        }
        let without = |at: usize| match self.leading.get(at)? {
            Leading::Cause(cause) => Some(&self.causes[*cause]).filter(|own| own.remedy.is_none()),
            Leading::Left { .. } => None,
        };
        let own = without(leading)?;
        let earlier = (0..leading).find(|at| without(*at).is_some_and(|other| other.kind == own.kind));
        earlier.map(|at| at + 1)
    }

    /// That nothing clears a cause, with what was tried, or that it is being tried; `None` where something does.
    pub fn no_cure(&self, cause: &Cause) -> Option<String> {
        if self.being_tried {
            return Some(BEING_TRIED.to_owned());
        }
        match (cause.remedy, cause.tried.as_slice()) {
            (Some(_), _) => None,
            (None, []) => Some("No part or change is known against it.".to_owned()),
            (None, [one]) => Some(format!("This was tried and doesn't clear it: {one}.")),
            (None, all) => Some(format!("None of what was tried clears it: {}.", all.join("; "))),
        }
    }

    /// Those that matter most and those that must be fixed as findings, and one word on the others.
    pub(crate) fn findings(&self, station: &Station) -> Vec<Finding> {
        let mut all: Vec<Finding> = self.leading.iter().map(|own| self.first(station, own)).collect();
        // What must be fixed is told however much there is of it.
        let musts = self.others().filter(|cause| cause.severity == Severity::Must);
        all.extend(musts.map(|cause| self.found(station, cause)));
        let others = self.others().filter(|cause| cause.severity != Severity::Must);
        let places: Vec<&str> = others.map(|cause| cause.place.as_str()).collect();
        if let Some(last) = places.last() {
            let sentence = match places.len() {
                1 => "One more wrong move and what it does stands under mistakes.".to_owned(),
                n => format!("{n} more wrong moves and what each does stand under mistakes."),
            };
            all.push(Finding::new(MORE, Severity::Note, *last, sentence));
        }
        all
    }

    /// One of those that matter most.
    fn first(&self, station: &Station, own: &Leading) -> Finding {
        match own {
            Leading::Cause(at) => self.found(station, &self.causes[*at]),
            Leading::Left {
                at,
                severity,
                sentence,
                remedy: cure,
            } => {
                let left = &self.left_on[*at];
                let care = match cure {
                    None if !self.being_tried => " Stay until it is done.",
                    _ => "",
                };
                let place = format!("lineups.{}", left.lineup);
                let mut finding = Finding::new(left.kind.id(), *severity, place, format!("{sentence}{care}"))
                    .gap(left.flow_m3_per_s);
                finding.remedy = cure.as_ref().map(|own| remedy(station, own));
                finding.being_tried = self.being_tried;
                finding
            }
        }
    }

    fn found(&self, station: &Station, cause: &Cause) -> Finding {
        let none = self.no_cure(cause).filter(|_| !self.being_tried);
        let care = none.map_or_else(String::new, |none| {
            format!(" {none} Mark the valve, and stay until the task is done.")
        });
        let sentence = format!("{}{care}", cause.sentence);
        let mut finding = Finding::new(cause.kind.id(), cause.severity, cause.place.clone(), sentence)
            .gap(cause.flow_m3_per_s);
        finding.remedy = cause.remedy.map(|at| remedy(station, &self.remedies[at]));
        finding.being_tried = self.being_tried;
        finding
    }
}

fn remedy(station: &Station, tried: &TriedRemedy) -> Remedy {
    let price = tried.price.map_or_else(String::new, |price| {
        format!(", about {}", say_price(station, price))
    });
    Remedy {
        sentence: format!("{}{price}", tried.sentence),
        edits: tried.edits.clone(),
        tried: true,
    }
}
