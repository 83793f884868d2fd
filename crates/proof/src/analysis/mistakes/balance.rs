//! Where the flow between two joined vessels turns round.

use station::Station;
use station::plumbing::End;
use station::sections::Water;

use super::judge::Harm;
use super::kind::Kind;
use super::outcome::Outcome;
use super::survey::Survey;
use super::switches::Position;
use super::types::Balance;
use crate::method::Refusal;

/// Halvings of the range of levels: to a hundredth of a millimetre.
const HALVINGS: usize = 17;

/// The level of the purified water at which nothing flows between it and a batch, the batch standing as it does.
///
/// `None` where a pump moves the water, where no two vessels are joined, and where it runs one way at every level.
pub(super) fn balance(
    station: &Station,
    survey: &mut Survey<'_>,
    position: Position,
    harm: &Harm,
) -> Result<Option<Balance>, Refusal> {
    let End::Vessel(victim) = harm.victim else {
        return Ok(None);
    };
    if !matches!(harm.kind, Kind::FreshIntoSalt | Kind::SaltIntoFresh) {
        return Ok(None);
    }
    let numbers = survey.outcomes_in(position, u128::MAX, Position::MAX)?;
    let joined = numbers.into_iter().find_map(|number| {
        let (pattern, outcome) = survey.pattern_of(number)?;
        let arrives = gains(outcome, End::Vessel(victim)) > 0.0;
        let other = outcome.exchanges.iter().find_map(|exchange| match exchange.end {
            End::Vessel(other) if other != victim && exchange.flow_m3_s < 0.0 => Some(other),
            _ => None,
        })?;
        (arrives && pattern.pumps == 0).then_some((pattern, other))
    });
    let Some((pattern, other)) = joined else {
        return Ok(None);
    };
    let is_fresh = |vessel: usize| station.vessels[vessel].fields.holds.value == Water::Fresh;
    let (varied, fixed) = if is_fresh(victim) {
        (victim, other)
    } else {
        (other, victim)
    };
    let own_m = survey.bench.state.level_m(varied);
    let mut at_level = |level_m: f64| -> Result<f64, Refusal> {
        survey.bench.state.set_level(varied, level_m)?;
        let outcome = survey.bench.outcome(pattern)?;
        Ok(gains(&outcome, End::Vessel(fixed)))
    };
    let (mut low, mut high) = (0.0, station.vessels[varied].height_m());
    let turns = at_level(low)? < 0.0 && at_level(high)? > 0.0;
    for _ in 0..if turns { HALVINGS } else { 0 } {
        let middle = 0.5 * (low + high);
        if at_level(middle)? > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    survey.bench.state.set_level(varied, own_m)?;
    Ok(turns.then(|| Balance {
        vessel: station.vessels[varied].name.clone(),
        level_m: 0.5 * (low + high),
        other: station.vessels[fixed].name.clone(),
        other_level_m: survey.bench.state.level_m(fixed),
    }))
}

/// What an end gains.
fn gains(outcome: &Outcome, end: End) -> f64 {
    let own = outcome.exchanges.iter().filter(|exchange| exchange.end == end);
    own.map(|exchange| exchange.flow_m3_s).sum()
}
