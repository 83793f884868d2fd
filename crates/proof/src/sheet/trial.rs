//! Trying something out on the sheet, and taking it off again.

use super::Sheet;

impl Sheet {
    /// Tries something out: what it puts onto the sheet is taken off again.
    pub(crate) fn trial<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> T {
        let (nodes, solutions) = (self.nodes.len(), self.solutions.len());
        let made = make(self);
        self.nodes.truncate(nodes);
        self.solutions.truncate(solutions);
        self.leaves.retain(|_, id| id.0 < nodes);
        self.keys.retain(|_, id| id.0 < nodes);
        made
    }
}
