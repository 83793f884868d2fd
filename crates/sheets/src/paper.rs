//! Sheets of paper.

/// A size of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm (ISO 216).
    A4,
    /// 8 1/2 in by 11 in (ANSI Y14.1, size A).
    Letter,
}

impl Paper {
    /// Its width, mm.
    pub const fn width_mm(self) -> f64 {
        match self {
            Self::A4 => 210.0,
            Self::Letter => 215.9,
        }
    }

    /// Its height, mm.
    pub const fn height_mm(self) -> f64 {
        match self {
            Self::A4 => 297.0,
            Self::Letter => 279.4,
        }
    }

    /// Between its side margins, mm.
    pub const fn inner_mm(self) -> f64 {
        self.width_mm() - 2.0 * SIDE_MM
    }
}

/// White at each side: a hole punch takes 12 mm (house rule).
pub(crate) const SIDE_MM: f64 = 16.0;
/// From the upper edge to the first line, with the running head between.
pub(crate) const HEAD_MM: f64 = 22.0;
/// From the last line to the lower edge, with the running foot between.
pub(crate) const FOOT_MM: f64 = 20.0;
