//! How often faults come together: by the rates of their parts, by when those are tested, by what people do in a year.
//!
//! A set's frequency is that of its parts coming down together, whichever comes last (`physics::reliability`). A part that
//! shows is down for a week, until somebody comes and mends it; one that hides is down for half the time between two
//! tests. Two level devices in one vessel fail together for one reason (slime, scale, a knock) in a share of the cases.

use physics::reliability::{
    Doubtful, LogNormal, Part, ReliabilityError, Spread, revealed, set_frequency_per_s, since_test, spread,
    tested_mean,
};
use station::Station;
use station::control::{Input, Program};
use station::register::Date;
use station::sections::{Control, FailureClass};

use super::class::{Belief, Comes, belief, class_of};
use super::minimal::Least;
use crate::alone::{Fault, FloatAt, Phase};
use crate::plant::YEAR_S;

/// How long a part that shows is down, s (house rule: a week until it is mended).
const MENDED_S: f64 = 7.0 * 86_400.0;
/// How long a part serves that nobody ever tests, s (house rule: ten years until it is replaced).
const UNTESTED_S: f64 = 10.0 * YEAR_S;
/// Share of failures that two level devices in one vessel have in common (IEC 61508-6 gives 1 to 10 % for β, from memory).
const COMMON: (f64, f64) = (0.01, 0.1);
/// Draws of the rates.
const DRAWS: u32 = 256;
const SEED: u64 = 61_508;

/// What people do in a year, and how long the purifier runs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Habits {
    /// By task: how often it is done in a year, and how long it takes, s.
    pub(crate) tasks: Vec<(f64, f64)>,
    /// Changes of filters in a year.
    pub(crate) services: f64,
    /// Share of the time that nobody is there.
    pub(crate) unattended: f64,
    /// Share of the time that the purifier runs.
    pub(crate) running: f64,
}

/// How often things fail, for one station.
pub(super) struct Rates<'a> {
    pub(super) station: &'a Station,
    pub(super) program: &'a Program,
    pub(super) faults: &'a [Fault],
    pub(super) habits: &'a Habits,
    /// The day on which everybody leaves, where it is known.
    pub(super) today: Option<Date>,
}

/// What is thought of the part of one fault.
#[derive(Debug, Clone, Copy)]
struct Known {
    class: FailureClass,
    salty: bool,
    /// Ways in which it fails: its rate is shared among them.
    ways: f64,
    belief: Belief,
    /// Time between tests, or since the last one, s.
    tested: Tested,
}

impl Known {
    /// What tells two beliefs apart: the class by its place in the register, and whether salt water wets the part.
    fn key(&self) -> (usize, bool) {
        let at = FailureClass::ALL.iter().position(|own| *own == self.class);
        (at.unwrap_or_default(), self.salty)
    }
}

#[derive(Debug, Clone, Copy)]
enum Tested {
    Every(f64),
    Ago(f64),
}

impl Rates<'_> {
    fn known(&self, fault: Fault) -> Known {
        let (class, salty, ways) = class_of(self.station, self.program, fault);
        let own = self.station.failure(class);
        let mut belief = belief(class, salty);
        if let Some((soonest, latest)) =
            own.and_then(|own| Some((own.soonest.as_ref()?, own.latest.as_ref()?)))
        {
            belief.soonest = soonest.value.s() / YEAR_S;
            belief.latest = latest.value.s() / YEAR_S;
        }
        // A float that stops every fill shows when it doesn't.
        let alone = self
            .station
            .purifier
            .as_ref()
            .is_some_and(|own| own.fields.control.value == Control::Float);
        let stops_fills = matches!(
            fault,
            Fault::Float {
                at: FloatAt::First,
                ..
            }
        );
        if stops_fills && alone {
            belief.comes = Comes::Shows;
        }
        let every_s = own
            .and_then(|own| own.tested_every.as_ref())
            .map(|every| every.value.s());
        let last = own
            .and_then(|own| own.tested_last.as_ref())
            .map(|last| last.value);
        let ago_s = last
            .zip(self.today)
            .map(|(last, today)| last.days_until(today) as f64 * 86_400.0)
            .filter(|ago_s| *ago_s >= 0.0);
        Known {
            class,
            salty,
            ways,
            belief,
            tested: ago_s.map_or(Tested::Every(every_s.unwrap_or(UNTESTED_S)), Tested::Ago),
        }
    }

    /// How often a fault's part comes to it in a year, of its rate: acts count by how often they are done.
    fn times_a_year(&self, fault: Fault, phase: Phase) -> f64 {
        let tasks: f64 = self.habits.tasks.iter().map(|(times, _)| times).sum();
        match (fault, phase) {
            (Fault::HousingWeeps, _) => self.habits.services,
            (Fault::NobodyEndsIt, Phase::Transfer(task)) => {
                self.habits.tasks.get(task).map_or(0.0, |own| own.0)
            }
            (Fault::NobodyEndsIt, _) => self.habits.services.max(12.0),
            (Fault::PumpLeftOn { .. }, _) => tasks,
            // One valve of all that are turned.
            (Fault::Valve { .. }, _) => tasks / self.station.valves.len().max(1) as f64,
            _ => 1.0,
        }
    }

    /// The part of a set, for one draw of its class's rate, 1/y.
    fn part(&self, fault: Fault, phase: Phase, known: &Known, rate: f64) -> Result<Part, ReliabilityError> {
        let rate_per_s = rate / known.ways * self.times_a_year(fault, phase) / YEAR_S;
        let unavailability = match (known.belief.comes, known.tested) {
            (Comes::Shows | Comes::Act, _) => revealed(rate_per_s, MENDED_S)?,
            (Comes::Hidden, Tested::Every(every_s)) => tested_mean(rate_per_s, every_s)?,
            (Comes::Hidden, Tested::Ago(ago_s)) => since_test(rate_per_s, ago_s)?,
        };
        Ok(Part {
            rate_per_s,
            unavailability,
        })
    }

    /// Share of the time in which a set can do its harm.
    fn exposure(&self, own: &Least) -> f64 {
        let habits = self.habits;
        if own.phases.contains(&Phase::Idle) {
            return habits.unattended;
        }
        let passes = |fault: &usize| {
            matches!(
                self.faults[*fault],
                Fault::PowerOut { .. } | Fault::Feed(_) | Fault::ControllerHung
            )
        };
        if own.phases.contains(&Phase::Filling) {
            // What is broken stays so until the next fill; what passes by must come in the midst of one.
            let share = if own.faults.iter().any(passes) {
                habits.running
            } else {
                1.0
            };
            return share * habits.unattended;
        }
        let left_on = own
            .faults
            .iter()
            .any(|fault| self.faults[*fault] == Fault::NobodyEndsIt);
        if left_on {
            return 1.0;
        }
        // A fault in the midst of a task: for as long as tasks last.
        let in_tasks: f64 = own
            .phases
            .iter()
            .filter_map(|phase| match phase {
                Phase::Transfer(task) => habits.tasks.get(*task),
                _ => None,
            })
            .map(|(times, seconds)| times * seconds / YEAR_S)
            .sum();
        in_tasks.min(1.0)
    }

    /// Whether two faults are of level devices in one vessel.
    fn in_common(&self, own: &Least) -> bool {
        let vessel = |fault: &usize| match self.faults[*fault] {
            Fault::Switch { input, .. } | Fault::SwitchFallen { input } => {
                match self.program.inputs().get(input) {
                    Some(Input::LevelAtOrAbove { vessel, .. }) => Some(*vessel),
                    _ => None,
                }
            }
            Fault::Float { vessel, .. } => Some(vessel),
            _ => None,
        };
        match own.faults.as_slice() {
            [a, b] => vessel(a).is_some() && vessel(a) == vessel(b),
            _ => false,
        }
    }

    /// How often some sets come together, 1/y, with the doubt of the rates: the sum of all. Nothing where there are none.
    pub(super) fn of(&self, sets: &[&Least]) -> Result<Option<Spread>, ReliabilityError> {
        if sets.is_empty() {
            return Ok(None);
        }
        let known: Vec<Vec<Known>> = sets
            .iter()
            .map(|own| {
                own.faults
                    .iter()
                    .map(|fault| self.known(self.faults[*fault]))
                    .collect()
            })
            .collect();
        let mut classes: Vec<(usize, bool)> = known.iter().flatten().map(Known::key).collect();
        classes.sort_unstable();
        classes.dedup();
        let mut inputs = vec![Doubtful {
            belief: LogNormal::of_range(COMMON.0, COMMON.1)?,
            doubt_key: 0,
        }];
        for class in &classes {
            let own = known
                .iter()
                .flatten()
                .find(|known| known.key() == *class)
                .map(|known| known.belief);
            let Some(own) = own else { continue };
            inputs.push(Doubtful {
                belief: LogNormal::of_range(1.0 / own.latest, 1.0 / own.soonest)?,
                doubt_key: 1 + 2 * class.0 as u64 + u64::from(class.1),
            });
        }
        let at = |known: &Known| classes.binary_search(&known.key()).map_or(0, |at| at + 1);
        spread(&inputs, SEED, DRAWS, |values| {
            let mut sum = 0.0;
            for (own, known) in sets.iter().zip(&known) {
                sum += self.frequency(own, known, values, &at)?;
            }
            Ok(sum)
        })
        .map(Some)
    }

    /// How much of the time the part of a single fault is down, with the doubt of its rate.
    pub(super) fn down(&self, own: &Least) -> Result<Spread, ReliabilityError> {
        let fault = own
            .faults
            .first()
            .map_or(Fault::NobodyEndsIt, |fault| self.faults[*fault]);
        let known = self.known(fault);
        let phase = own.phases.first().copied().unwrap_or(Phase::Idle);
        let rate = Doubtful {
            belief: LogNormal::of_range(1.0 / known.belief.latest, 1.0 / known.belief.soonest)?,
            doubt_key: 1,
        };
        spread(&[rate], SEED, DRAWS, |values| {
            Ok(self.part(fault, phase, &known, values[0])?.unavailability)
        })
    }

    fn frequency(
        &self,
        own: &Least,
        known: &[Known],
        values: &[f64],
        at: &impl Fn(&Known) -> usize,
    ) -> Result<f64, ReliabilityError> {
        // A set that comes from several tasks comes with each of them.
        let phases: &[Phase] = match own
            .phases
            .iter()
            .find(|phase| !matches!(phase, Phase::Transfer(_)))
        {
            Some(_) => &own.phases[..1],
            None => &own.phases,
        };
        let mut sum = 0.0;
        for phase in phases {
            let parts = own
                .faults
                .iter()
                .zip(known)
                .map(|(fault, known)| self.part(self.faults[*fault], *phase, known, values[at(known)]))
                .collect::<Result<Vec<_>, _>>()?;
            let mut per_s = set_frequency_per_s(&parts)?;
            if self.in_common(own) {
                let least = parts
                    .iter()
                    .map(|part| part.rate_per_s)
                    .fold(f64::INFINITY, f64::min);
                per_s += values[0] * least;
            }
            sum += per_s;
            // A fault amid any of several tasks is one fault; how long they last stands in the exposure.
            if !own
                .faults
                .iter()
                .any(|fault| self.faults[*fault] == Fault::NobodyEndsIt)
            {
                break;
            }
        }
        Ok(sum * YEAR_S * self.exposure(own))
    }

    /// Whether one of a set's parts protects: it only matters when another fails.
    pub(super) fn protects(&self, own: &Least) -> bool {
        own.faults.len() > 1
            && own
                .faults
                .iter()
                .any(|fault| self.known(self.faults[*fault]).belief.comes == Comes::Hidden)
    }

    /// Whether a fault hides until its part is tested.
    pub(super) fn hides(&self, fault: usize) -> bool {
        self.known(self.faults[fault]).belief.comes == Comes::Hidden
    }

    /// What is assumed of each class that the station has, and how it is tested.
    pub(super) fn assumed(&self) -> Vec<super::types::Assumption> {
        let mut all: Vec<super::types::Assumption> = Vec::new();
        for fault in self.faults {
            let known = self.known(*fault);
            let name = known.class.name();
            if all.iter().any(|own| own.class == name) {
                continue;
            }
            let given = self
                .station
                .failure(known.class)
                .is_some_and(|own| own.soonest.is_some());
            all.push(super::types::Assumption {
                class: name,
                once_in: [known.belief.soonest, known.belief.latest],
                by: if known.belief.comes == Comes::Act {
                    "acts"
                } else {
                    "years"
                },
                source: match (given, known.belief.published) {
                    (true, _) => "the station file",
                    (false, true) => "published order of magnitude, from memory",
                    (false, false) => "house rule, to be edited",
                },
                tested_every_years: match (known.belief.comes, known.tested) {
                    (Comes::Hidden, Tested::Every(every_s)) if every_s < UNTESTED_S => Some(every_s / YEAR_S),
                    _ => None,
                },
            });
        }
        all.sort_by_key(|own| own.class);
        all
    }
}

#[cfg(test)]
mod tests {
    use station::control::Mark;

    use super::*;
    use crate::alone::FloatFault;

    const STATION: &str = r#"
title = "Two stops"

[vessels.fresh]
holds = "fresh"
shape = "cylinder"
diameter = "600 mm"
height = "1000 mm"
fill = "automatic"
start_level = "300 mm"
stop_level = "900 mm"
backup_level = "930 mm"

[feed]
pressure = "4 bar"
coldest = "10 C"
warmest = "10 C"
conductivity = "400 uS/cm"

[purifier]
control = "level switches"
feed_valve = true
waste_ratio = 3

[membranes.one]
rated_flow = "100 gal/day"
rated_pressure = "60 psi"
rated_solids = "250 mg/L"
rejection = "97 %"

[failures.level-switch]
soonest = "100 years"
latest = "100 years"

[failures.backup-float]
soonest = "10 years"
latest = "10 years"
"#;

    /// A stop switch stuck dry and a float jammed open, by hand. Of each a third of its rate: λ₁ = 1/300, λ₂ = 1/30 a year.
    /// The switch shows within a week: q₁ = λ₁τ/(1 + λ₁τ); the float is never tested in ten years:
    /// q₂ = 1 − (1 − e^(−1/3))·3. They come together λ₁(1 − q₁)q₂ + λ₂(1 − q₂)q₁ times a year, and for one reason β·λ₁ times
    /// more, with the mean of a log-normal β between 0.01 and 0.1: √(0.01·0.1)·e^(σ²/2), σ = ln 10/(2·1.645). Within 0.5 %:
    /// 256 draws of β.
    #[test]
    fn two_stops_fail_together_for_one_reason_too() {
        let station = Station::read(STATION).expect("a station");
        let program = Program::of(&station).expect("a program");
        let mark = Mark::Stop;
        let input = program
            .input(Input::LevelAtOrAbove { vessel: 0, mark })
            .expect("a stop switch");
        let float = Fault::Float {
            vessel: 0,
            at: FloatAt::First,
            how: FloatFault::Open,
        };
        let faults = [Fault::Switch { input, on: false }, float];
        let habits = Habits {
            tasks: Vec::new(),
            services: 0.0,
            unattended: 1.0,
            running: 0.5,
        };
        let rates = Rates {
            station: &station,
            program: &program,
            faults: &faults,
            habits: &habits,
            today: None,
        };
        let pair = Least {
            faults: vec![0, 1],
            phases: vec![Phase::Filling],
            floor_m3: 0.0,
            first_s: 0.0,
        };
        let found = rates.of(&[&pair]).expect("a rate").expect("a set").mean;
        let (first, second, week) = (1.0 / 300.0, 1.0 / 30.0, 7.0 / 365.0);
        let q1 = first * week / (1.0 + first * week);
        let q2 = 1.0 - 3.0 * (1.0 - libm::exp(-1.0 / 3.0));
        let sigma = libm::log(10.0) / (2.0 * 1.644_854);
        let beta = f64::sqrt(0.01 * 0.1) * libm::exp(0.5 * sigma * sigma);
        let by_hand = first * (1.0 - q1) * q2 + second * (1.0 - q2) * q1 + beta * first;
        assert!((found / by_hand - 1.0).abs() < 0.005, "{found} by hand {by_hand}");
    }
}
