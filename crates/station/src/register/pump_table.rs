//! A pump's table in a file: pairs of flow and head.

use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};

use super::{Context, FieldValue, Form, Raw};
use crate::quantity::{Kind, QuantityFault, Spread, read_amount};

/// The points of a pump's curve; a falling curve runs through them.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpTable {
    /// The curve through the points.
    pub curve: PumpCurve,
}

const EXAMPLE: &str = "[[\"0 L/min\", \"2.6 m\"], [\"20 L/min\", \"2.0 m\"], [\"38 L/min\", \"0.4 m\"]]";

impl FieldValue for PumpTable {
    const FORM: Form = Form::PumpTable;

    fn read(raw: &Raw<'_>, context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let Raw::Pairs(pairs) = raw else {
            return Err(QuantityFault::new(
                "this is no list of pairs",
                format!("write flow and head in pairs: {EXAMPLE}"),
            ));
        };
        let mut points = Vec::with_capacity(pairs.len());
        for (row, (flow, head)) in pairs.iter().enumerate() {
            let read = |text: &str, kind| {
                let amount = read_amount(text, kind, &context.currency).map_err(|fault| {
                    QuantityFault::new(format!("pair {}: {}", row + 1, fault.what), fault.mend)
                })?;
                if amount.spread.is_none() {
                    Ok(amount.si)
                } else {
                    Err(QuantityFault::new(
                        format!("pair {} carries a doubt of its own", row + 1),
                        "give the doubt of the whole curve as `tolerance`",
                    ))
                }
            };
            points.push(PumpPoint {
                flow_m3_s: read(flow, Kind::Flow)?,
                head_m: read(head, Kind::Length)?,
            });
        }
        match PumpCurve::through(&points) {
            Ok(curve) => Ok((Self { curve }, Spread::NONE)),
            Err(error) => Err(QuantityFault::new(
                why_not(&points).unwrap_or_else(|| error.to_string()),
                error.mend().to_owned(),
            )),
        }
    }
}

/// The first pair of points between which the head doesn't fall or the flow doesn't rise, as the owner wrote them.
fn why_not(points: &[PumpPoint]) -> Option<String> {
    let at = points
        .windows(2)
        .position(|pair| !(pair[1].flow_m3_s > pair[0].flow_m3_s && pair[1].head_m < pair[0].head_m))?;
    let [flow_before, flow_after] = [points[at].flow_m3_s, points[at + 1].flow_m3_s];
    Some(if flow_after > flow_before {
        format!("the head doesn't fall from pair {} to pair {}", at + 1, at + 2)
    } else {
        format!("the flow doesn't rise from pair {} to pair {}", at + 1, at + 2)
    })
}
