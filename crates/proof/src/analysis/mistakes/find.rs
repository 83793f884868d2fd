//! The wrong moves that matter most, as findings of the whole station.

use station::Station;

use super::rank::LEADING;
use super::types::{Cause, Mistakes, TriedRemedy, WrongMove};
use crate::analysis::speak::say_price;
use crate::estimate::Estimate;
use crate::finding::{Finding, Remedy, Severity};

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

    /// Those as findings, and one word on the others.
    pub(crate) fn findings(&self, station: &Station) -> Vec<Finding> {
        // What must be fixed is told however much there is of it.
        let told = |(at, cause): &(usize, &Cause)| *at < LEADING || cause.severity == Severity::Must;
        let mut all: Vec<Finding> = self
            .causes
            .iter()
            .enumerate()
            .filter(told)
            .map(|(_, cause)| {
                let care = cause.no_cure().map_or_else(String::new, |none| {
                    format!(" {none} Mark the valve, and stay until the task is done.")
                });
                let sentence = format!("{}{care}", cause.sentence);
                let mut finding =
                    Finding::new(cause.kind.id(), cause.severity, cause.place.clone(), sentence)
                        .gap(cause.flow_m3_per_s);
                finding.remedy = cause.remedy.map(|at| remedy(station, &self.remedies[at]));
                finding
            })
            .collect();
        let others = self.causes.len() - all.len();
        if others > 0 {
            let sentence = match others {
                1 => "One more wrong move and what it does stands under mistakes.".to_owned(),
                n => format!("{n} more wrong moves and what each does stand under mistakes."),
            };
            let place = self
                .causes
                .last()
                .map_or_else(String::new, |cause| cause.place.clone());
            all.push(Finding::new("mistakes-more", Severity::Note, place, sentence));
        }
        all
    }
}

impl Cause {
    /// That nothing clears it, with what was tried; `None` where something does.
    pub fn no_cure(&self) -> Option<String> {
        match (self.remedy, self.tried.as_slice()) {
            (Some(_), _) => None,
            (None, []) => Some("No part or change is known against it.".to_owned()),
            (None, [one]) => Some(format!("This was tried and doesn't clear it: {one}.")),
            (None, all) => Some(format!("None of what was tried clears it: {}.", all.join("; "))),
        }
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
