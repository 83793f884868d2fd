//! Faults that coincide: which of them together do the harm, how often, and which part matters.
//!
//! Owns: sets of basic events, trees of gates and their minimal sets, the exact probability of independent events
//! with its bounds, measures of importance, how long a part is down unnoticed by the way its fault is found, how
//! often a set comes together, and the doubt of rates that are known within a factor.
//!
//! Must not know: what an event is, where a rate comes from, which harm is tolerable, how a figure is told.
//!
//! Events are numbered from 0, at most [`MOST_EVENTS`] of them. They are independent of one another unless a
//! function says otherwise; what fails together for one reason is an event of its own. Rates are constant: a part
//! is as good as new after a test or a repair, and doesn't age between.

mod at_once;
mod bounds;
mod common_cause;
mod diagram;
mod doubt;
mod error;
mod event_set;
mod exact;
mod frequency;
mod importance;
mod limits;
mod minimal_sets;
mod plain;
mod quadrature;
mod tree;
mod unavailability;

pub use at_once::{staggered_pair_mean, tested_together_frequency_per_s, tested_together_mean};
pub use bounds::{lower_bound, min_cut_upper_bound, rare_event_sum, set_probability};
pub use common_cause::{CommonCause, Twins};
pub use diagram::Diagram;
pub use doubt::{Doubtful, LogNormal, Product, Spread, spread, sum_of_products};
pub use error::ReliabilityError;
pub use event_set::{EventSet, Events, MOST_EVENTS};
pub use exact::{probability_of_sets, probability_of_tree};
pub use frequency::{
    Part, frequency_shares, initiated_frequency_per_s, set_frequency_per_s, sets_frequency_per_s,
    system_frequency_per_s,
};
pub use importance::{Importance, importances};
pub use limits::{MOST_SETS, MOST_STEPS, MOST_TESTS, MOST_TOGETHER};
pub use minimal_sets::{minimal_cut_sets, minimise};
pub use plain::{return_period_years, round_outwards};
pub use tree::{Gate, Input, Kind, Tree};
pub use unavailability::{
    Finding, partly_tested_mean, revealed, since_test, tested_mean, tested_mean_handbook,
};
