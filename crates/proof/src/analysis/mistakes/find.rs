//! The wrong moves that matter most, as findings of the whole station.

use station::Station;
use station::quantity::Kind as QuantityKind;

use super::types::{Cause, Mistakes, TriedRemedy, WrongMove};
use crate::analysis::speak::say;
use crate::estimate::Estimate;
use crate::finding::{Finding, Remedy, Severity};

/// How many of them are told among the station's findings; the others stand on their own page.
const LEADING: usize = 3;

impl Mistakes {
    /// Every estimate, for its interval.
    pub(crate) fn each(&mut self, fill: &mut impl FnMut(&mut Estimate)) {
        for cause in &mut self.causes {
            for estimate in [&mut cause.flow, &mut cause.time].into_iter().flatten() {
                fill(estimate);
            }
        }
    }

    /// The wrong moves that matter most, worst first.
    pub fn leading(&self) -> &[Cause] {
        &self.causes[..self.causes.len().min(LEADING)]
    }

    /// Tasks that nobody ends, the soonest harm first.
    pub fn left_soonest(&self) -> Vec<&WrongMove> {
        let mut left: Vec<&WrongMove> = self.left_on.iter().collect();
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
                let care = match cause.remedy {
                    Some(_) => "",
                    None => {
                        " No part that was tried clears it: mark the valve, and stay until the task is done."
                    }
                };
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

fn remedy(station: &Station, tried: &TriedRemedy) -> Remedy {
    let price = tried.price.map_or_else(String::new, |price| {
        format!(", about {}", say(station, QuantityKind::Money, price))
    });
    Remedy {
        sentence: format!("{}{price}", tried.sentence),
        edits: tried.edits.clone(),
        tried: true,
    }
}
