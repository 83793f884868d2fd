//! Numerical tools the rest of the crate leans on.
//!
//! Owns: finding a root inside a bracket, following a state through time; with a bounded effort that is reported
//! beside the answer.
//!
//! Must not know: what its functions mean. It sees numbers without units; tolerances come from the caller,
//! who knows the unit and says why.

mod newton;
pub mod ode;
mod root;

pub use newton::bracketed_newton;
pub use root::{Root, RootError, bracketed_root, try_bracketed_root};
