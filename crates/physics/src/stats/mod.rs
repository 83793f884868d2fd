//! Uncertainty: draws that are the same everywhere, figures of a sample, and propagation to first order.
//!
//! Owns: stratified draws from a seed, the normal distribution's quantile, mean, spread, quantiles and
//! correlation of a sample, combined standard uncertainty.
//!
//! Must not know: what the numbers mean, where a seed comes from, how a result is shown. Nothing here is random:
//! the same arguments give the same bytes on every machine.

mod counter;
mod gum;
mod latin_hypercube;
mod normal;
mod sample;

pub use counter::Counter;
pub use gum::{
    Contribution, Correlation, Estimate, GumError, Propagation, combined_standard_uncertainty,
    effective_degrees_of_freedom, propagate, rectangular_standard_uncertainty,
    triangular_standard_uncertainty,
};
pub use latin_hypercube::{Placement, latin_hypercube};
pub use normal::{normal_cumulative, normal_quantile};
pub use sample::{
    SampleError, correlation, mean, quantile, quantile_of_sorted, standard_deviation,
    standard_deviation_of_mean,
};
