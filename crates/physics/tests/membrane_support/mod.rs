//! What the laws of a membrane share: random sets, the worked one, and the balances of a result.

use physics::membrane::{
    Element, Feed, MembraneError, Operating, Resistances, Restrictor, TemperatureResponse, operate,
};
use proptest::prelude::*;

pub(crate) const STANDARD: TemperatureResponse = TemperatureResponse::STANDARD;

/// A membrane with all that it works between.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Set {
    pub(crate) element: Element,
    pub(crate) restrictor: Restrictor,
    pub(crate) resistances: Resistances,
    pub(crate) feed: Feed,
}

impl Set {
    pub(crate) fn operate(&self) -> Result<Operating, MembraneError> {
        operate(
            &self.element,
            &self.restrictor,
            &self.resistances,
            &STANDARD,
            &self.feed,
        )
    }
}

/// Household sets and far beyond: half to four times a 3 l/(h bar) element, recoveries from a tenth to over a half.
pub(crate) fn set() -> impl Strategy<Value = Set> {
    let resistance = |most: f64| prop_oneof![Just(0.0), 0.0..most];
    (
        (4e-12..4e-11_f64, 1e-9..1e-6_f64, 2e-9..4e-8_f64),
        (resistance(2e9), resistance(2e9), resistance(2e10)),
        (0.0..1.5e6_f64, 0.0..45.0_f64, 0.0..3.0_f64, 0.0..3e5_f64),
    )
        .prop_map(
            |((water, salt, k), (feed, channel, permeate), (p, t, c, back))| Set {
                element: Element {
                    water_conductance_m3_s_pa: water,
                    salt_conductance_m3_s: salt,
                },
                restrictor: Restrictor {
                    conductance_m3_s_sqrt_pa: k,
                },
                resistances: Resistances {
                    feed_pa_s_m3: feed,
                    channel_pa_s_m3: channel,
                    permeate_pa_s_m3: permeate,
                },
                feed: Feed {
                    pressure_pa: p,
                    temperature_c: t,
                    dissolved_solids_kg_m3: c,
                    permeate_pressure_pa: back,
                },
            },
        )
}

/// The worked set, for single limits.
pub(crate) fn example() -> Set {
    Set {
        element: Element {
            water_conductance_m3_s_pa: 8.363e-12,
            salt_conductance_m3_s: 5.553e-8,
        },
        restrictor: Restrictor {
            conductance_m3_s_sqrt_pa: 2e-8,
        },
        resistances: Resistances {
            feed_pa_s_m3: 5e8,
            channel_pa_s_m3: 5e8,
            permeate_pa_s_m3: 3e9,
        },
        feed: Feed {
            pressure_pa: 4e5,
            temperature_c: 15.0,
            dissolved_solids_kg_m3: 0.3,
            permeate_pressure_pa: 8e3,
        },
    }
}

/// Leaves out the case when the restrictor is too tight, the membrane too leaky or the wall too salty: known refusals.
pub(crate) fn worked(result: Result<Operating, MembraneError>) -> Result<Operating, TestCaseError> {
    match result {
        Ok(at) => Ok(at),
        Err(
            MembraneError::RecoveryBeyond { .. }
            | MembraneError::TooLeaky { .. }
            | MembraneError::OutOfRange(_),
        ) => Err(TestCaseError::reject("refused")),
        Err(other) => Err(TestCaseError::fail(other.to_string())),
    }
}

/// Water and salt in against out.
pub(crate) fn check_balances(at: &Operating, feed: &Feed) -> Result<(), TestCaseError> {
    let all = at.permeate_m3_s + at.reject_m3_s;
    prop_assert!((at.recovery * all - at.permeate_m3_s).abs() <= 1e-12 * all);
    let salt_in = all * feed.dissolved_solids_kg_m3;
    let salt_out = at.permeate_m3_s * at.permeate_solids_kg_m3 + at.reject_m3_s * at.reject_solids_kg_m3;
    prop_assert!(
        (salt_in - salt_out).abs() <= 1e-12 * salt_in,
        "{salt_in} in, {salt_out} out"
    );
    Ok(())
}

/// By how much two numbers differ, as a share.
pub(crate) fn apart(a: f64, b: f64) -> f64 {
    if a == b {
        0.0
    } else {
        (a - b).abs() / a.abs().max(b.abs())
    }
}
