//! Flows that are kept, to start other solutions from.

use super::super::error::HydraulicsError;
use super::super::friction::FrictionLaw;
use super::solver::Solver;

/// The flows of a solution, branch by branch: for any network of the same nodes and links.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Flows(Vec<f64>);

impl Flows {
    /// Whether none were kept yet.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<F: FrictionLaw> Solver<F> {
    /// Keeps the flows of the last solution.
    pub fn keep(&self, flows: &mut Flows) {
        flows.0.clear();
        flows.0.extend(self.arcs.iter().map(|arc| arc.flow));
    }

    /// Starts the next solution from flows that were kept.
    ///
    /// # Errors
    /// [`HydraulicsError::NotThat`] where they are another network's.
    pub fn start_from_kept(&mut self, flows: &Flows) -> Result<(), HydraulicsError> {
        if flows.0.len() != self.arcs.len() {
            return Err(HydraulicsError::NotThat {
                node: flows.0.len(),
                wanted: "list of one flow for each branch",
            });
        }
        for (arc, flow) in self.arcs.iter_mut().zip(&flows.0) {
            arc.flow = *flow;
        }
        self.starts_anew();
        Ok(())
    }
}
