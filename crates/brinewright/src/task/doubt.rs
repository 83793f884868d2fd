//! Carries the doubt of the inputs to an answer, by stratified draws that are the same on every machine.

use physics::stats::{Placement, latin_hypercube, normal_quantile, quantile};
use station::quantity::{Amount, SpreadShape};

use super::Refused;

/// Draws for one answer: enough for a 95 % interval to two digits.
const DRAWS: u32 = 256;
const SEED: u64 = 1;
/// An interval at 95 % needs two draws beyond either end. House rule.
const FEWEST_ANSWERS: usize = 80;

/// An uncertain input of a mixture. The number keys its column of draws, so never change it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Input {
    Volume = 1,
    Target = 2,
    Temperature = 3,
    Strength = 4,
    LabelMass = 5,
    LabelVolume = 6,
    LabelSalinity = 7,
    LabelTemperature = 8,
    LabelFinishedShare = 9,
    RemainderSalinity = 10,
    FinishedVolume = 11,
    Measured = 12,
    DryMass = 13,
}

/// The inputs of one question, each with its doubt.
#[derive(Debug, Clone, Default)]
pub(crate) struct Inputs(Vec<(Input, Amount)>);

/// One value for every input.
#[derive(Debug, Clone)]
pub(crate) struct Case(Vec<(Input, f64)>);

/// A value and, where an input is in doubt, its 2.5 % and 97.5 % points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Figure {
    pub(crate) value: f64,
    pub(crate) between: Option<(f64, f64)>,
}

impl Inputs {
    pub(crate) fn with(mut self, input: Input, amount: Amount) -> Self {
        self.0.push((input, amount));
        self
    }

    /// Every input at its stated value.
    pub(crate) fn stated(&self) -> Case {
        Case(self.0.iter().map(|(input, amount)| (*input, amount.si)).collect())
    }

    /// One input without its doubt.
    pub(crate) fn without_doubt_of(&self, certain: Input) -> Self {
        let mut inputs = self.clone();
        for (input, amount) in &mut inputs.0 {
            if *input == certain {
                amount.spread = station::quantity::Spread::NONE;
            }
        }
        inputs
    }

    /// The answers over the doubt of the inputs; empty where there is none.
    ///
    /// A draw that has no answer is left out: it can't be the case in hand, such as a bag that would hold more
    /// than nothing but salt.
    ///
    /// # Errors
    /// [`Refused::TooDoubtful`] where too few draws have one.
    pub(crate) fn answers<A, E>(&self, answer: impl Fn(&Case) -> Result<A, E>) -> Result<Vec<A>, Refused> {
        let in_doubt = self.0.iter().any(|(_, amount)| !amount.spread.is_none());
        if !in_doubt {
            return Ok(Vec::new());
        }
        let columns: Vec<(Input, Vec<f64>)> = self
            .0
            .iter()
            .map(|(input, amount)| (*input, column(*input, *amount)))
            .collect();
        let answers: Vec<A> = (0..DRAWS as usize)
            .map(|draw| {
                Case(
                    columns
                        .iter()
                        .map(|(input, column)| (*input, column[draw]))
                        .collect(),
                )
            })
            .filter_map(|case| answer(&case).ok())
            .collect();
        if answers.len() < FEWEST_ANSWERS {
            return Err(Refused::TooDoubtful);
        }
        Ok(answers)
    }
}

impl Case {
    /// The value of an input, 0 where the question doesn't have it.
    pub(crate) fn get(&self, wanted: Input) -> f64 {
        self.0
            .iter()
            .find(|(input, _)| *input == wanted)
            .map_or(0.0, |(_, value)| *value)
    }
}

impl Figure {
    pub(crate) fn new<A>(value: f64, answers: &[A], pick: impl Fn(&A) -> f64) -> Self {
        let sample: Vec<f64> = answers.iter().map(pick).collect();
        let between = match (quantile(&sample, 0.025), quantile(&sample, 0.975)) {
            // What doesn't vary with any doubt has no interval; rounding alone is none.
            (Ok(low), Ok(high)) if high - low > 1e-9 * value.abs() => Some((low, high)),
            _ => None,
        };
        Self { value, between }
    }

    pub(crate) fn low(&self) -> Option<f64> {
        self.between.map(|(low, _)| low)
    }

    pub(crate) fn high(&self) -> Option<f64> {
        self.between.map(|(_, high)| high)
    }

    /// Half of the interval.
    pub(crate) fn half_width(&self) -> Option<f64> {
        self.between.map(|(low, high)| (high - low) / 2.0)
    }
}

fn column(input: Input, amount: Amount) -> Vec<f64> {
    let Amount { si, spread } = amount;
    latin_hypercube(SEED, input as u64, DRAWS, Placement::Jittered)
        .into_iter()
        .map(|share| match spread.shape {
            SpreadShape::Limits => si + spread.half_width * (2.0 * share - 1.0),
            SpreadShape::Normal => {
                let deviate = normal_quantile(share).expect("draws lie strictly between 0 and 1");
                si + spread.half_width / 2.0 * deviate
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use station::quantity::Spread;

    fn inputs(spread: Spread) -> Inputs {
        Inputs::default().with(Input::Volume, Amount { si: 10.0, spread })
    }

    #[test]
    fn the_interval_of_an_input_itself_is_its_spread() {
        // Normal: ±2 standard uncertainties are 1.96 at 95 %. Limits: 95 % of the width.
        for (spread, half_width) in [(Spread::normal(1.0), 0.98), (Spread::limits(1.0), 0.95)] {
            let answers = inputs(spread)
                .answers(|case| Ok::<_, ()>(case.get(Input::Volume)))
                .unwrap();
            let figure = Figure::new(10.0, &answers, |value| *value);
            assert!(
                (figure.half_width().unwrap() - half_width).abs() < 0.02,
                "{figure:?}"
            );
        }
    }

    #[test]
    fn without_doubt_there_is_no_interval() {
        let answers = inputs(Spread::NONE)
            .answers(|case| Ok::<_, ()>(case.get(Input::Volume)))
            .unwrap();
        assert!(Figure::new(10.0, &answers, |value| *value).between.is_none());
    }

    #[test]
    fn draws_without_an_answer_are_left_out_unless_few_are_left() {
        let inputs = inputs(Spread::normal(1.0));
        let below = |limit: f64| {
            inputs.answers(|case| {
                let value = case.get(Input::Volume);
                if value < limit { Ok(value) } else { Err(()) }
            })
        };
        assert!(below(11.0).unwrap().len() > 240);
        assert_eq!(below(9.0).unwrap_err(), Refused::TooDoubtful);
    }
}
