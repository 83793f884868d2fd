//! A pump's table in a file: pairs of flow and head.

use physics::hydraulics::HydraulicsError;
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};

use super::{Context, FieldValue, Form, Raw};
use crate::quantity::{Amount, Kind, QuantityFault, Spread, UnitSystem, read_amount};

/// The points of a pump's curve; a falling curve runs through them.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpTable {
    /// The curve through the points.
    pub curve: PumpCurve,
}

const EXAMPLE: &str = "[[\"0 L/min\", \"2.6 m\"], [\"20 L/min\", \"2.0 m\"], [\"38 L/min\", \"0.4 m\"]]";

/// Beyond these a slip of the unit is likelier than such a pump. House rule.
const MOST_FLOW_M3_S: f64 = 0.05;
const MOST_FLOW: &str = "3000 L/min";
const MOST_HEAD_M: f64 = 100.0;
const MOST_HEAD: &str = "100 m";

impl FieldValue for PumpTable {
    const FORM: Form = Form::PumpTable;

    fn read(raw: &Raw<'_>, context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let Raw::Pairs(pairs) = raw else {
            return Err(QuantityFault::new(
                "a pump's curve is a list of pairs",
                format!("write flow and head in pairs: {EXAMPLE}"),
            ));
        };
        let points = pairs
            .iter()
            .enumerate()
            .map(|(at, (flow, head))| point(at + 1, flow, head, context))
            .collect::<Result<Vec<PumpPoint>, QuantityFault>>()?;
        if let Some(fault) = not_falling(&points) {
            return Err(fault);
        }
        match PumpCurve::through(&points) {
            Ok(curve) => Ok((Self { curve }, Spread::NONE)),
            Err(_) if points.len() < 2 => Err(QuantityFault::new(
                format!("a curve needs two pairs or more, and this has {}", points.len()),
                format!("give the head at no flow and the flow at no head at least: {EXAMPLE}"),
            )),
            Err(HydraulicsError::OutOfRange(_)) => Err(QuantityFault::new(
                "this pump lifts nothing even with its outlet closed",
                "begin with the head that it makes at 0 L/min",
            )),
            Err(error) => Err(QuantityFault::new(error.to_string(), error.mend())),
        }
    }
}

/// One pair, counted from 1.
fn point(row: usize, flow: &str, head: &str, context: &Context) -> Result<PumpPoint, QuantityFault> {
    let flow_read = read_amount(flow, Kind::Flow, &context.currency);
    let head_read = read_amount(head, Kind::Length, &context.currency);
    if (flow_read.is_err() || head_read.is_err())
        && let Some(fault) = mixed_up(row, flow, head, context)
    {
        return Err(fault);
    }
    let sharp = |read: Result<Amount, QuantityFault>, mend: &str| {
        let amount = read.map_err(|fault| QuantityFault::new(format!("pair {row}: {}", fault.what), mend))?;
        if amount.spread.is_none() {
            Ok(amount.si)
        } else {
            Err(QuantityFault::new(
                format!("pair {row} carries a doubt of its own"),
                "give the doubt of the whole curve as `tolerance`",
            ))
        }
    };
    let flow_m3_s = sharp(flow_read, "write it as \"20 L/min\" or \"5 gal/min\"")?;
    let head_m = sharp(head_read, "write it as \"2.6 m\" or \"8 ft\"")?;
    if !(0.0..=MOST_FLOW_M3_S).contains(&flow_m3_s) {
        return Err(QuantityFault::new(
            format!("pair {row}: a flow of {flow} can't be"),
            format!("it lies between 0 and {}", context.says(MOST_FLOW, Kind::Flow)),
        ));
    }
    if !(-MOST_HEAD_M..=MOST_HEAD_M).contains(&head_m) {
        return Err(QuantityFault::new(
            format!("pair {row}: a head of {head} can't be"),
            match context.units {
                UnitSystem::Si => format!("it lies between 0 and {MOST_HEAD}; 1 bar lifts water about 10 m"),
                UnitSystem::Us => format!(
                    "it lies between 0 and {}; 1 psi lifts water about 2.3 ft",
                    context.says(MOST_HEAD, Kind::Length)
                ),
            },
        ));
    }
    Ok(PumpPoint { flow_m3_s, head_m })
}

/// A pair with its head first, or with a pressure for a head.
fn mixed_up(row: usize, flow: &str, head: &str, context: &Context) -> Option<QuantityFault> {
    let is = |text: &str, kind| read_amount(text, kind, &context.currency).is_ok();
    if is(flow, Kind::Length) && is(head, Kind::Flow) {
        return Some(QuantityFault::new(
            format!("pair {row} has its head before its flow"),
            format!("write the flow first: [\"{head}\", \"{flow}\"]"),
        ));
    }
    is(head, Kind::Pressure).then(|| {
        QuantityFault::new(
            format!("pair {row}: {head} is a pressure, and a curve takes the height that the pump lifts to"),
            "write it as a height of water: 1 bar lifts about 10 m, 1 psi about 0.7 m",
        )
    })
}

/// The first two pairs between which the flow doesn't rise or the head doesn't fall.
fn not_falling(points: &[PumpPoint]) -> Option<QuantityFault> {
    points.windows(2).enumerate().find_map(|(at, pair)| {
        let [before, after] = pair else { return None };
        let rows = || format!("from pair {} to pair {}", at + 1, at + 2);
        if after.flow_m3_s <= before.flow_m3_s {
            Some(QuantityFault::new(
                format!("the flow doesn't rise {}", rows()),
                "give the pairs by rising flow, each flow once",
            ))
        } else if after.head_m >= before.head_m {
            Some(QuantityFault::new(
                format!("the head doesn't fall {}", rows()),
                "a pump lifts less the more it moves: measure these two again, or leave one of them out",
            ))
        } else {
            None
        }
    })
}
