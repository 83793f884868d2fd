//! A set of outputs as bits: which of them a step switched.

/// Some outputs of a program, by their indices. Those from the 64th on share a bit, so that a set may hold more than was put
/// in, and never less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Outputs(pub(super) u64);

impl Outputs {
    /// All outputs.
    pub const ALL: Self = Self(u64::MAX);

    /// The set with one more.
    #[must_use]
    pub fn with(self, output: usize) -> Self {
        Self(self.0 | 1 << output.min(63))
    }

    /// Whether there is none.
    #[inline]
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether any is in both.
    #[inline]
    pub fn meets(self, others: Self) -> bool {
        self.0 & others.0 != 0
    }
}
