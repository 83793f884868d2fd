//! The doubt that a quantity carries.

/// How the values behind a `±` are spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpreadShape {
    /// `±`: normal, the half-width being two standard uncertainties.
    #[default]
    Normal,
    /// `within`: anywhere between the limits, each value as likely as the next (JCGM 100, 4.3.7).
    Limits,
}

/// The doubt of a quantity, in its stored unit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    /// Half of the width; 0 for a quantity without stated doubt.
    pub half_width: f64,
    /// How the values are spread over it.
    pub shape: SpreadShape,
}

impl Spread {
    /// No stated doubt.
    pub const NONE: Self = Self {
        half_width: 0.0,
        shape: SpreadShape::Normal,
    };

    /// A normal spread, `half_width` being two standard uncertainties.
    pub const fn normal(half_width: f64) -> Self {
        Self {
            half_width,
            shape: SpreadShape::Normal,
        }
    }

    /// Anything between the limits.
    pub const fn limits(half_width: f64) -> Self {
        Self {
            half_width,
            shape: SpreadShape::Limits,
        }
    }

    /// The standard uncertainty: half of a `±`, or the half-width of limits over √3 (JCGM 100, 4.3.7).
    pub fn standard_uncertainty(self) -> f64 {
        match self.shape {
            SpreadShape::Normal => self.half_width / 2.0,
            SpreadShape::Limits => self.half_width / 3.0_f64.sqrt(),
        }
    }

    /// Whether no doubt is stated.
    pub fn is_none(self) -> bool {
        self.half_width == 0.0
    }
}
