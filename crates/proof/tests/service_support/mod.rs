//! What the tests of service share: one part of a proof, and numbers that are the same.

use proof::{PartKind, PartService, Proof, prove};
use station::Station;

pub(crate) fn proved(text: &str) -> Proof {
    prove(&Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}")))
}

pub(crate) fn part<'p>(proof: &'p Proof, kind: PartKind, name: &str) -> &'p PartService {
    let all = &proof.service.as_ref().expect("service").parts;
    all.iter()
        .find(|part| part.kind == kind && part.part == name)
        .unwrap_or_else(|| {
            panic!(
                "no {name} among {:?}",
                all.iter().map(|part| &part.part).collect::<Vec<_>>()
            )
        })
}

/// Names in any order.
pub(crate) fn names(list: &[String]) -> Vec<&str> {
    let mut names: Vec<&str> = list.iter().map(String::as_str).collect();
    names.sort_unstable();
    names
}

#[track_caller]
pub(crate) fn near(got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() < 1e-9 + 1e-6 * wanted.abs(),
        "{got}, not {wanted}"
    );
}
