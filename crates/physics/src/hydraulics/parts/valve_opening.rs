//! A valve that is partly open.

use super::{
    limits::{LAMINAR_LOSS, LOSS},
    loss::LossCoefficient,
    part_error::PartError,
    valve::{REDUCED_PORT_SHARE, ValveKind, area_share_squared},
};
use crate::{OutOfRange, Range};

const OPENING: Range = Range {
    quantity: "opening of the valve",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};
/// No valve is straighter than a thousandth of a velocity head.
const FULLY_OPEN: Range = Range {
    quantity: "loss coefficient of the open valve",
    min: 1e-3,
    ..LOSS
};

/// Loss added by turning a plug from open, by its angle in degrees. Shut from 82° on.
///
/// Source: `PERRY-GREEN-1997`: 5, 10, 20, 40 and 60° read in a public page, the others from memory.
const PLUG: [(f64, f64); 8] = [
    (5.0, 0.05),
    (10.0, 0.29),
    (20.0, 1.56),
    (30.0, 5.47),
    (40.0, 17.3),
    (50.0, 52.6),
    (60.0, 206.0),
    (65.0, 486.0),
];
const PLUG_SHUT_DEG: f64 = 82.0;
/// Loss added by turning a disc from open, by its angle in degrees. Shut at 90°.
///
/// Source: as [`PLUG`].
const DISC: [(f64, f64); 8] = [
    (5.0, 0.24),
    (10.0, 0.52),
    (20.0, 1.54),
    (30.0, 3.91),
    (40.0, 10.8),
    (50.0, 32.6),
    (60.0, 118.0),
    (70.0, 751.0),
];
const DISC_SHUT_DEG: f64 = 90.0;

/// Loss of a gate at a quarter, a half and three quarters, and open.
///
/// Source: `PERRY-GREEN-1997`, read in a public page.
const GATE: [f64; 4] = [24.0, 4.5, 0.9, 0.17];
/// Loss of a diaphragm valve, as [`GATE`].
const DIAPHRAGM: [f64; 4] = [21.0, 4.3, 2.6, 2.3];

/// What water meets in a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ValvePosition {
    /// Nothing passes.
    Closed,
    /// Water passes, at this cost on the bore of the line.
    Open(LossCoefficient),
}

impl ValveKind {
    /// What it costs at an opening, on the bore of its line, with the usual loss when open.
    ///
    /// # Arguments
    /// * `bore_m`: true inner diameter of the line, `1e-3..=0.3`.
    /// * `opening`: as in [`passage_of`](Self::passage_of).
    ///
    /// # Errors
    /// As [`fully_open`](Self::fully_open) and [`passage_of`](Self::passage_of).
    ///
    /// # Source
    /// As both.
    ///
    /// # Examples
    /// ```
    /// use physics::hydraulics::parts::{ValvePosition, ValveKind};
    ///
    /// let ValvePosition::Open(half) = ValveKind::BallFull.passage(0.0157988, 0.5)? else { panic!("it is half open") };
    /// assert!((half.turbulent - 30.3).abs() < 0.1);
    /// assert_eq!(ValveKind::BallFull.passage(0.0157988, 0.0)?, ValvePosition::Closed);
    /// # Ok::<(), physics::hydraulics::parts::PartError>(())
    /// ```
    pub fn passage(self, bore_m: f64, opening: f64) -> Result<ValvePosition, PartError> {
        self.passage_of(self.fully_open(bore_m)?, opening)
    }

    /// What it costs at an opening, when one's own loss of the open valve is known.
    ///
    /// # Arguments
    /// * `fully_open`: loss of the open valve on the bore of the line, such as by
    ///   [`loss_from_kv`](super::loss_from_kv); at full turbulence `1e-3..=1e12`.
    /// * `opening`: share of the stem's travel, or of the quarter turn, `0..=1`.
    ///
    /// A valve at 0 is closed; so is a ball from 82° on, an opening of 0.089, and a passage whose loss would be
    /// beyond 10¹².
    ///
    /// # Errors
    /// [`PartError::NotThrottled`] for a check or a solenoid valve between 0 and 1; [`PartError::OutOfRange`].
    ///
    /// # Source
    /// Ball and butterfly: what turning a plug or a disc adds, `PERRY-GREEN-1997`, on the port; from node to node its
    /// logarithm runs straight; before the first it goes with the square of the angle, and beyond the last the flow
    /// falls straight to nothing where the valve is shut (house rule). Gate and diaphragm: by the ratios of
    /// `PERRY-GREEN-1997`, between which the flow coefficient runs straight. Globe, needle and float: flow coefficient
    /// in proportion to the opening, the linear characteristic (`IEC-60534`, from memory); that theirs is linear is a
    /// house rule.
    ///
    /// The laminar constant grows with the power 3/4 of the loss, as if the bore had shrunk: house rule.
    pub fn passage_of(self, fully_open: LossCoefficient, opening: f64) -> Result<ValvePosition, PartError> {
        FULLY_OPEN.require(fully_open.turbulent)?;
        let open = fully_open.checked()?;
        let opening = OPENING.require(opening)?;
        if opening == 0.0 {
            return Ok(ValvePosition::Closed);
        }
        if opening == 1.0 {
            return Ok(ValvePosition::Open(open));
        }
        let turned_deg = 90.0 * (1.0 - opening);
        let turbulent = match self {
            Self::BallFull => added(open, added_by_turning(&PLUG, PLUG_SHUT_DEG, turned_deg)),
            Self::BallReduced => added(
                open,
                added_by_turning(&PLUG, PLUG_SHUT_DEG, turned_deg)
                    .map(|on_port| on_port / area_share_squared(REDUCED_PORT_SHARE)),
            ),
            Self::Butterfly => added(open, added_by_turning(&DISC, DISC_SHUT_DEG, turned_deg)),
            Self::Gate => narrowed(open, flow_share(&GATE, opening)),
            Self::Diaphragm => narrowed(open, flow_share(&DIAPHRAGM, opening)),
            Self::Globe | Self::Needle | Self::Float => narrowed(open, opening),
            Self::SwingCheck | Self::SpringCheck | Self::Solenoid => {
                return Err(PartError::NotThrottled { valve: self, opening });
            }
        };
        Ok(match turbulent {
            Some(turbulent) if LOSS.contains(turbulent) => ValvePosition::Open(LossCoefficient {
                turbulent,
                laminar: shrunk(open, turbulent)?,
            }),
            _ => ValvePosition::Closed,
        })
    }
}

/// Loss with what turning adds; none when shut.
fn added(open: LossCoefficient, by_turning: Option<f64>) -> Option<f64> {
    by_turning.map(|by_turning| open.turbulent + by_turning)
}

/// Loss when the flow coefficient is a share of that of the open valve.
fn narrowed(open: LossCoefficient, flow_share: f64) -> Option<f64> {
    Some(open.turbulent / flow_share / flow_share)
}

/// Loss added by turning from open; none when shut.
fn added_by_turning(nodes: &[(f64, f64)], shut_deg: f64, turned_deg: f64) -> Option<f64> {
    if turned_deg >= shut_deg {
        return None;
    }
    let (&(first_deg, first), &(last_deg, last)) = (nodes.first()?, nodes.last()?);
    if turned_deg <= first_deg {
        let share = turned_deg / first_deg;
        return Some(first * share * share);
    }
    for (before, after) in nodes.iter().zip(nodes.iter().skip(1)) {
        if turned_deg <= after.0 {
            let along = (turned_deg - before.0) / (after.0 - before.0);
            return Some(before.1 * libm::pow(after.1 / before.1, along));
        }
    }
    let flow_share = (shut_deg - turned_deg) / (shut_deg - last_deg);
    Some(last / flow_share / flow_share)
}

/// Share of the open valve's flow coefficient, from losses at a quarter, a half, three quarters and open.
fn flow_share(losses: &[f64; 4], opening: f64) -> f64 {
    let [quarter, half, three_quarters, open] = losses.map(|loss| (losses[3] / loss).sqrt());
    let (from, to, along) = if opening <= 0.25 {
        (0.0, quarter, opening)
    } else if opening <= 0.5 {
        (quarter, half, opening - 0.25)
    } else if opening <= 0.75 {
        (half, three_quarters, opening - 0.5)
    } else {
        (three_quarters, open, opening - 0.75)
    };
    from + (to - from) * (along / 0.25)
}

/// Laminar constant of a valve whose loss has grown, as if its bore had shrunk.
fn shrunk(open: LossCoefficient, turbulent: f64) -> Result<f64, OutOfRange> {
    LAMINAR_LOSS.require(open.laminar * libm::pow(turbulent / open.turbulent, 0.75))
}
