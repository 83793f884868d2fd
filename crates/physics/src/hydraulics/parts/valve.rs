//! Valves: what each costs when open, and what it takes to open a check valve.

use super::{
    bore_change::{sudden_contraction, sudden_expansion},
    fitting_friction::fitting_friction,
    loss::LossCoefficient,
    part_error::PartError,
};

/// Port of a ball valve with reduced bore, by the bore of its line. Common practice, no source: one size less.
pub(super) const REDUCED_PORT_SHARE: f64 = 0.80;
/// What passes a sharp seat. `ORIFICE`, in the middle of its range.
const SEAT_DISCHARGE: f64 = 0.62;

/// The valves of a small station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ValveKind {
    /// Ball valve whose bore is that of the line.
    BallFull,
    /// Ball valve with a port of 0.80 of the line's bore.
    BallReduced,
    /// Gate valve.
    Gate,
    /// Globe valve with a flat seat.
    Globe,
    /// Needle valve.
    Needle,
    /// Diaphragm valve, over a dam.
    Diaphragm,
    /// Butterfly valve.
    Butterfly,
    /// Check valve with a hinged flap.
    SwingCheck,
    /// Check valve with a spring.
    SpringCheck,
    /// Solenoid valve.
    Solenoid,
    /// Float valve.
    Float,
}

/// The pressure that opens a check valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cracking {
    /// Of an easy one.
    pub least_pa: f64,
    /// To be reckoned with where nobody measured.
    pub usual_pa: f64,
    /// Of a stiff one.
    pub most_pa: f64,
}

impl ValveKind {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::BallFull,
        Self::BallReduced,
        Self::Gate,
        Self::Globe,
        Self::Needle,
        Self::Diaphragm,
        Self::Butterfly,
        Self::SwingCheck,
        Self::SpringCheck,
        Self::Solenoid,
        Self::Float,
    ];

    /// Its name, in the field's words.
    pub fn name(self) -> &'static str {
        match self {
            Self::BallFull => "ball valve",
            Self::BallReduced => "ball valve with reduced bore",
            Self::Gate => "gate valve",
            Self::Globe => "globe valve",
            Self::Needle => "needle valve",
            Self::Diaphragm => "diaphragm valve",
            Self::Butterfly => "butterfly valve",
            Self::SwingCheck => "swing check valve",
            Self::SpringCheck => "spring check valve",
            Self::Solenoid => "solenoid valve",
            Self::Float => "float valve",
        }
    }

    /// Whether valves of this kind differ so much that [`fully_open`](Self::fully_open) is good for an order of
    /// magnitude only, and the owner should give the Kv.
    pub fn needs_own_kv(self) -> bool {
        matches!(
            self,
            Self::Needle | Self::SpringCheck | Self::Solenoid | Self::Float
        )
    }

    /// What it costs when fully open, on the bore of its line.
    ///
    /// # Arguments
    /// * `bore_m`: true inner diameter of the line, `1e-3..=0.3`.
    ///
    /// # Errors
    /// [`PartError::OutOfRange`], also where the port of a reduced ball valve is narrower than a millimetre.
    ///
    /// # Source
    /// At full turbulence `TP-410`: ball 3, gate 8, butterfly 45, globe 340, swing check 100 times
    /// [`fitting_friction`], the swing check from memory, the others read in a public page. Diaphragm 2.3:
    /// `PERRY-GREEN-1997`. Reduced ball: a ball on its port with a sudden contraction and expansion, house rule.
    ///
    /// Spring check 10: common practice, no source, 5 to 20. Solenoid, needle and float valve: a sharp seat
    /// (`ORIFICE`) of 0.6, 0.5 and 0.5 of the bore, house rule. In a bore of 4.3 mm that makes a Cv of 0.13 to
    /// 0.19, where small ones have 0.1 to 0.5 (common practice, no source).
    ///
    /// Laminar constants: `HOOPER-1981`, read in public code: gate and ball 300, reduced ball 1000, globe 1500,
    /// diaphragm 1000, butterfly 800, lift check 2000, swing check 1500. Those with a seat as the globe: house rule.
    pub fn fully_open(self, bore_m: f64) -> Result<LossCoefficient, PartError> {
        let friction = fitting_friction(bore_m)?;
        let (turbulent, laminar) = match self {
            Self::BallFull => (3.0 * friction, 300.0),
            Self::BallReduced => (reduced_ball(bore_m)?, 1000.0),
            Self::Gate => (8.0 * friction, 300.0),
            Self::Globe => (340.0 * friction, 1500.0),
            Self::Diaphragm => (2.3, 1000.0),
            Self::Butterfly => (45.0 * friction, 800.0),
            Self::SwingCheck => (100.0 * friction, 1500.0),
            Self::SpringCheck => (10.0, 2000.0),
            Self::Solenoid => (sharp_seat(0.6), 1500.0),
            Self::Needle | Self::Float => (sharp_seat(0.5), 1500.0),
        };
        Ok(LossCoefficient { turbulent, laminar })
    }

    /// What it takes to open it; none for a valve that isn't a check valve.
    ///
    /// A head of water of 0.2 to 0.7 m for one with a spring: enough to stop a slow flow by gravity altogether.
    ///
    /// # Source
    /// Common practice, no source: 0.02 to 0.07 bar with a spring, next to nothing for a hinged flap. The usual one
    /// is the middle: house rule.
    pub fn cracking(self) -> Option<Cracking> {
        match self {
            Self::SpringCheck => Some(Cracking {
                least_pa: 2000.0,
                usual_pa: 4500.0,
                most_pa: 7000.0,
            }),
            Self::SwingCheck => Some(Cracking {
                least_pa: 0.0,
                usual_pa: 0.0,
                most_pa: 0.0,
            }),
            Self::BallFull
            | Self::BallReduced
            | Self::Gate
            | Self::Globe
            | Self::Needle
            | Self::Diaphragm
            | Self::Butterfly
            | Self::Solenoid
            | Self::Float => None,
        }
    }
}

/// A ball on its port, with the steps into it and out of it, on the bore of the line.
fn reduced_ball(bore_m: f64) -> Result<f64, PartError> {
    let port_m = bore_m * REDUCED_PORT_SHARE;
    let on_port = 3.0 * fitting_friction(port_m)?
        + sudden_contraction(port_m, bore_m)?
        + sudden_expansion(port_m, bore_m)?;
    Ok(on_port / area_share_squared(REDUCED_PORT_SHARE))
}

/// A seat as a sharp orifice, on the bore of the line: `1/(C·b²)²`.
fn sharp_seat(share: f64) -> f64 {
    1.0 / (SEAT_DISCHARGE * SEAT_DISCHARGE * area_share_squared(share))
}

pub(super) fn area_share_squared(share: f64) -> f64 {
    share * share * share * share
}
