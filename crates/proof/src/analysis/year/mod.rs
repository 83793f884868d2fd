//! A year of the station, many times over: what it takes, what it costs, whether the reserve is there.
//!
//! Owns: the plants of a station's years (`prepare`), the years themselves (`run`), what they come to together. Doesn't own:
//! what happens in a year (`plant`).

mod prepare;
mod run;

use station::Station;

use crate::method::Refusal;
pub use run::Progress;

/// Why a station has no year.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum YearFault {
    /// There is nothing to simulate.
    #[error("the station has no vessels: give it one to store water in")]
    NoVessels,
    /// Its control is larger than a program can be.
    #[error("its control can't be built: {reason}")]
    Control {
        /// Why.
        reason: String,
    },
    /// The plant can't be driven.
    #[error("its year can't be computed: {0}")]
    Refused(#[from] Refusal),
}

/// For trials only.
pub fn try_years(station: &Station, years: u32) -> Result<String, YearFault> {
    let started = std::time::Instant::now();
    let prepared = prepare::prepare(station, true)?;
    let took = started.elapsed();
    let started = std::time::Instant::now();
    let all = run::many_years(&prepared, years, 1, 1, &Progress::default())?;
    let each = started.elapsed() / years;
    let mut out = format!(
        "prepare {took:?}, a year {each:?}, draws {}\n",
        prepared.drawn.len()
    );
    for year in all.iter().take(2) {
        out += &format!("{:#?}\n", year.tally);
        out += &format!("residuals {} {}\n", year.residual_water, year.residual_salt);
    }
    Ok(out)
}
