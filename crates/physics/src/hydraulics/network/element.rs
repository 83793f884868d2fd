//! What a link is made of.

use super::super::error::HydraulicsError;
use super::super::friction::RELATIVE_ROUGHNESS;
use super::super::parts::LossCoefficient;
use super::super::pump_curve::PumpCurve;
use crate::Range;

/// A capillary to a main.
const BORE: Range = Range {
    quantity: "bore",
    unit: "m",
    min: 1e-4,
    max: 2.0,
    source_key: "HOUSE-RULE",
};
const LENGTH: Range = Range {
    quantity: "length of a line",
    unit: "m",
    min: 0.0,
    max: 1e5,
    source_key: "HOUSE-RULE",
};
/// A solenoid valve on a wide line may come to 10⁶ on the line's own bore.
const LOSS: Range = Range {
    quantity: "loss coefficient",
    unit: "",
    min: 0.0,
    max: 1e12,
    source_key: "HOUSE-RULE",
};
const LAMINAR_LOSS: Range = Range {
    quantity: "laminar loss constant",
    max: 1e16,
    ..LOSS
};
const CRACKING: Range = Range {
    quantity: "cracking head of a check valve",
    unit: "m",
    min: 0.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};
const STANDING: Range = Range {
    quantity: "loss of a standing pump",
    unit: "s²/m⁵",
    min: 0.0,
    max: 1e15,
    source_key: "HOUSE-RULE",
};
const DISCHARGE: Range = Range {
    quantity: "discharge coefficient",
    unit: "",
    min: 0.3,
    max: 1.0,
    source_key: "ORIFICE",
};

/// A length of tube with its fittings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Inner diameter, D, `1e-4..=2`.
    pub bore_m: f64,
    /// Length, L, `0..=1e5`.
    pub length_m: f64,
    /// Height of its roughness, ε; ε/D is `0..=0.1`.
    pub roughness_m: f64,
    /// Its fittings, on its own bore, `0..=1e12`.
    pub loss: LossCoefficient,
}

/// A short passage that costs velocity head and has no friction of its own: a valve, a restrictor, a nozzle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// The bore that its loss counts on, `1e-4..=2`.
    pub bore_m: f64,
    /// What it costs, `0..=1e12`.
    pub loss: LossCoefficient,
}

impl Passage {
    /// A restrictor or nozzle: a hole of a bore, `1e-4..=2`, with a discharge coefficient C, `0.3..=1`.
    ///
    /// Q = C·A·√(2·g·h), so K = 1/C² on the hole's bore.
    ///
    /// # Errors
    /// [`HydraulicsError::OutOfRange`].
    ///
    /// # Source
    /// `ORIFICE`.
    pub fn orifice(bore_m: f64, discharge_coefficient: f64) -> Result<Self, HydraulicsError> {
        let c = DISCHARGE.require(discharge_coefficient)?;
        Ok(Self {
            bore_m: BORE.require(bore_m)?,
            loss: LossCoefficient {
                turbulent: 1.0 / (c * c),
                laminar: 0.0,
            },
        })
    }
}

/// A pump: it lifts from the link's first node to its second.
#[derive(Debug, Clone, PartialEq)]
pub struct Pump {
    /// What it lifts at full speed.
    pub curve: PumpCurve,
    /// Loss of head by the square of the flow while it stands still, s²/m⁵, `0..=1e15`; also what water that is
    /// driven back through it costs on top while it runs.
    pub standing_loss_s2_m5: f64,
}

/// What a link is made of.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Element {
    /// A tube.
    Line(Line),
    /// A valve; it can be closed.
    Valve(Passage),
    /// A restrictor, nozzle or union.
    Passage(Passage),
    /// A check valve: water goes from the first node to the second only, and only past its cracking head.
    Check {
        /// What it costs when open.
        passage: Passage,
        /// Head that opens it, `0..=100`.
        cracking_head_m: f64,
    },
    /// A pump.
    Pump(Pump),
}

impl Element {
    /// Refuses what no hardware is.
    pub(super) fn check(&self) -> Result<(), HydraulicsError> {
        let check_passage = |passage: &Passage| -> Result<(), HydraulicsError> {
            BORE.require(passage.bore_m)?;
            check_loss(&passage.loss)
        };
        match self {
            Self::Line(line) => {
                BORE.require(line.bore_m)?;
                LENGTH.require(line.length_m)?;
                RELATIVE_ROUGHNESS.require(line.roughness_m / line.bore_m)?;
                check_loss(&line.loss)
            }
            Self::Valve(passage) | Self::Passage(passage) => check_passage(passage),
            Self::Check {
                passage,
                cracking_head_m,
            } => {
                CRACKING.require(*cracking_head_m)?;
                check_passage(passage)
            }
            Self::Pump(pump) => {
                STANDING.require(pump.standing_loss_s2_m5)?;
                Ok(())
            }
        }
    }
}

pub(super) fn check_loss(loss: &LossCoefficient) -> Result<(), HydraulicsError> {
    LOSS.require(loss.turbulent)?;
    LAMINAR_LOSS.require(loss.laminar)?;
    Ok(())
}
