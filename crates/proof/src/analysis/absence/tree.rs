//! The fault tree of a wet floor, made from the least sets: its own least sets are just those.
//!
//! Single faults stand together by where the water comes out. Pairs are drawn together where each of some faults does it
//! with each of some others: three things that start a flood and one float that holds all of them back are one gate, not
//! three. Events that several gates share are repeated, as in any fault tree.
//!
//! # Source
//! Gates and events as in `NUREG-0492`, chapter IV; from memory.

use physics::reliability::{ReliabilityError, return_period_years, round_outwards};
use serde::Serialize;

use super::chance::Rates;
use super::factor::{Product, factor};
use super::minimal::Least;
use super::survey::Survey;
use super::words::Words;
use super::{AbsenceFault, Looked, least_by, tell};
use crate::alone::{Harm, HarmKind};
use crate::method::Refusal;

/// What a branch needs to come about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Gate {
    /// Any of what leads to it.
    Or,
    /// All of what leads to it.
    And,
    /// Nothing else: a basic event.
    Basic,
}

/// An event of the fault tree, and what leads to it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Branch {
    /// What happens, in words.
    pub event: String,
    /// What it needs.
    pub gate: Gate,
    /// What leads to it, likeliest first; nothing for a basic event.
    pub inputs: Vec<Self>,
    /// Whether it does the harm by itself; a basic event below an "and" doesn't.
    pub alone: bool,
    /// Water on the floor at the most, m³; nothing for what does no harm by itself.
    pub spilled_m3: Option<f64>,
    /// Until the first harm at the soonest, h; nothing for what does no harm by itself.
    pub hours_to_harm: Option<f64>,
    /// About once in so many years at the soonest, and at the latest.
    pub years: Option<[f64; 2]>,
    /// Called on, it is found broken once in so many times at the most, and at the least: of what hides.
    pub broken_once_in: Option<[f64; 2]>,
}

/// A set and how often it is to be expected, 1/y.
type Expected<'s> = (&'s Least, f64);

/// The tree of a wet floor; nothing where no fault or pair wets it.
///
/// # Errors
/// [`AbsenceFault`] where a rate can't be computed.
pub(super) fn tree(looked: &Looked<'_>, rates: &Rates<'_>) -> Result<Option<Branch>, AbsenceFault> {
    let grower = Grower {
        words: looked.words(),
        survey: &looked.survey,
        rates,
    };
    let halves = least_by(&looked.survey);
    let mut inputs = Vec::new();
    let mut all: Vec<Expected<'_>> = Vec::new();
    for (sets, event) in halves.iter().zip([
        "parts fail",
        "something is left open or on, or a part fails amid a task",
    ]) {
        let each = tell::likely(rates, sets)?;
        if !each.is_empty() {
            inputs.push((grower.sum(&each), grower.half(event, &each)?));
        }
        all.extend(each);
    }
    if all.is_empty() {
        return Ok(None);
    }
    let inputs = grower.sorted(inputs);
    Ok(Some(grower.branch(
        "water on the floor",
        Gate::Or,
        inputs,
        &all,
    )?))
}

/// Makes branches.
struct Grower<'a> {
    words: Words<'a>,
    survey: &'a Survey,
    rates: &'a Rates<'a>,
}

impl Grower<'_> {
    fn sum(&self, each: &[Expected<'_>]) -> f64 {
        each.iter().map(|(_, mean)| mean).sum()
    }

    fn sorted(&self, mut inputs: Vec<(f64, Branch)>) -> Vec<Branch> {
        inputs.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.event.cmp(&b.1.event)));
        inputs.into_iter().map(|(_, own)| own).collect()
    }

    /// A branch of sets.
    fn branch(
        &self,
        event: &str,
        gate: Gate,
        inputs: Vec<Branch>,
        sets: &[Expected<'_>],
    ) -> Result<Branch, AbsenceFault> {
        let refs: Vec<&Least> = sets.iter().map(|(own, _)| *own).collect();
        Ok(Branch {
            event: event.to_owned(),
            gate,
            inputs,
            alone: true,
            spilled_m3: Some(refs.iter().map(|own| own.floor_m3).fold(0.0, f64::max)),
            hours_to_harm: Some(refs.iter().map(|own| own.first_s).fold(f64::INFINITY, f64::min) / 3600.0),
            years: self.years(&refs)?,
            broken_once_in: None,
        })
    }

    fn years(&self, sets: &[&Least]) -> Result<Option<[f64; 2]>, AbsenceFault> {
        let chance = self.rates.of(sets).map_err(Refusal::from)?;
        Ok(chance
            .filter(|own| own.low > 0.0)
            .and_then(|own| return_period_years(own.low, own.high).ok())
            .map(|(soonest, latest)| [soonest, latest]))
    }

    /// All that parts do, or all that people do.
    fn half(&self, event: &str, each: &[Expected<'_>]) -> Result<Branch, AbsenceFault> {
        let (singles, pairs): (Vec<_>, Vec<_>) =
            each.iter().copied().partition(|(own, _)| own.faults.len() == 1);
        let mut inputs = Vec::new();
        for (place, own) in self.by_place(&singles) {
            inputs.push((self.sum(&own), self.at_a_place(&place, &own)?));
        }
        let sides: Vec<[usize; 2]> = pairs
            .iter()
            .filter_map(|(own, _)| own.faults.as_slice().try_into().ok())
            .collect();
        for product in factor(&sides) {
            let own: Vec<Expected<'_>> = pairs
                .iter()
                .copied()
                .filter(|(own, _)| product.holds(&own.faults))
                .collect();
            inputs.push((self.sum(&own), self.together(&product, &own)?));
        }
        self.branch(event, Gate::Or, self.sorted(inputs), each)
    }

    /// Sets by where the water comes out, in the order in which they come.
    fn by_place<'s>(&self, sets: &[Expected<'s>]) -> Vec<(String, Vec<Expected<'s>>)> {
        let mut all: Vec<(String, Vec<Expected<'s>>)> = Vec::new();
        for own in sets {
            let place = self.place(own.0);
            match all.iter_mut().find(|(known, _)| *known == place) {
                Some((_, sets)) => sets.push(*own),
                None => all.push((place, vec![*own])),
            }
        }
        all
    }

    /// Where most of the water comes out when a set is at its worst.
    fn place(&self, own: &Least) -> String {
        let wet = |harm: &&Harm| matches!(harm.kind, HarmKind::Floor(_) | HarmKind::TankOver(_));
        let outcomes = self.survey.of(own);
        outcomes
            .max_by(|a, b| a.floor_m3.total_cmp(&b.floor_m3))
            .and_then(|outcome| {
                let wet = outcome.harms.iter().filter(wet);
                wet.max_by(|a, b| a.amount.total_cmp(&b.amount))
            })
            .map_or_else(String::new, |harm| self.words.wet(harm.kind))
    }

    fn at_a_place(&self, place: &str, sets: &[Expected<'_>]) -> Result<Branch, AbsenceFault> {
        if let [only] = sets {
            return self.single(*only);
        }
        let mut inputs = Vec::with_capacity(sets.len());
        for own in sets {
            inputs.push(self.single(*own)?);
        }
        self.branch(place, Gate::Or, inputs, sets)
    }

    /// A fault that does it alone.
    fn single(&self, own: Expected<'_>) -> Result<Branch, AbsenceFault> {
        let faults = &self.survey.faults;
        let event = own.0.faults.first().map(|fault| self.words.fault(faults[*fault]));
        self.branch(&event.unwrap_or_default(), Gate::Basic, Vec::new(), &[own])
    }

    /// Each of some faults with each of some others.
    fn together(&self, product: &Product, sets: &[Expected<'_>]) -> Result<Branch, AbsenceFault> {
        let mut places: Vec<String> = Vec::new();
        for (place, _) in self.by_place(sets) {
            places.push(place);
        }
        let event = match places.as_slice() {
            [first, second] => format!("{first} or {second}, by two faults"),
            [first] => format!("{first}, by two faults"),
            [first, rest @ ..] => format!("{first} or at {} other places, by two faults", rest.len()),
            [] => String::new(),
        };
        let mut inputs = Vec::with_capacity(2);
        for (side, other) in [(&product.left, &product.right), (&product.right, &product.left)] {
            inputs.push(self.side(side, other, sets)?);
        }
        // What begins it stands before what should hold it back.
        inputs.sort_by_key(|own| own.broken_once_in.is_some() || own.event == HELD);
        self.branch(&event, Gate::And, inputs, sets)
    }

    /// One side of a product.
    fn side(&self, side: &[usize], other: &[usize], sets: &[Expected<'_>]) -> Result<Branch, AbsenceFault> {
        let mut inputs = Vec::with_capacity(side.len());
        for fault in side {
            inputs.push(self.half_of_a_pair(*fault, sets)?);
        }
        if inputs.len() == 1 {
            return Ok(inputs.swap_remove(0));
        }
        let hides = |side: &[usize]| side.iter().all(|fault| self.rates.hides(*fault));
        let event = match (hides(side), hides(other)) {
            (true, false) => HELD,
            (false, true) => "one of these begins",
            _ => "one of these",
        };
        Ok(Branch {
            event: event.to_owned(),
            gate: Gate::Or,
            inputs,
            alone: false,
            spilled_m3: None,
            hours_to_harm: None,
            years: None,
            broken_once_in: None,
        })
    }

    /// A fault that does nothing without another: how often it comes, or how often it is found broken where it hides.
    fn half_of_a_pair(&self, fault: usize, sets: &[Expected<'_>]) -> Result<Branch, AbsenceFault> {
        let of_pair = sets.iter().find(|(own, _)| own.faults.contains(&fault));
        let by_itself = Least {
            faults: vec![fault],
            phases: of_pair.map_or_else(Vec::new, |(own, _)| own.phases.clone()),
            floor_m3: 0.0,
            first_s: 0.0,
        };
        let hides = self.rates.hides(fault);
        let broken_once_in = match hides {
            true => self.broken_once_in(&by_itself).map_err(Refusal::from)?,
            false => None,
        };
        Ok(Branch {
            event: self.words.fault(self.survey.faults[fault]),
            gate: Gate::Basic,
            inputs: Vec::new(),
            alone: false,
            spilled_m3: None,
            hours_to_harm: None,
            years: match hides {
                true => None,
                false => self.years(&[&by_itself])?,
            },
            broken_once_in,
        })
    }

    fn broken_once_in(&self, own: &Least) -> Result<Option<[f64; 2]>, ReliabilityError> {
        let down = self.rates.down(own)?;
        if down.low <= 0.0 {
            return Ok(None);
        }
        let (least, most) = round_outwards(1.0 / down.high, 1.0 / down.low)?;
        Ok(Some([least, most]))
    }
}

const HELD: &str = "nothing holds it back: one of these has failed";
