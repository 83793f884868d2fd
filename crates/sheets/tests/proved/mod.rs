//! The examples, each proved once for all tests of this program.

use std::sync::{Arc, OnceLock};

use proof::Proof;
use station::Station;

pub(crate) const EXAMPLES: [(&str, &str); 3] = [
    ("larkhaven", include_str!("../../../../stations/larkhaven.toml")),
    (
        "juniper-street-school",
        include_str!("../../../../stations/juniper-street-school.toml"),
    ),
    (
        "skelder-hatchery",
        include_str!("../../../../stations/skelder-hatchery.toml"),
    ),
];

static PROVED: [OnceLock<Arc<(Station, Proof)>>; 3] = [const { OnceLock::new() }; 3];

/// A station and what its proof tells.
pub(crate) fn proved(text: &str) -> Arc<(Station, Proof)> {
    let prove = || {
        let station = read(text);
        let proof = proof::prove(&station);
        Arc::new((station, proof))
    };
    match EXAMPLES.iter().position(|(_, own)| *own == text) {
        Some(example) => Arc::clone(PROVED[example].get_or_init(prove)),
        None => prove(),
    }
}

/// Larkhaven without its lines: what isn't about them is proved ten times as fast.
pub(crate) fn unplumbed() -> &'static str {
    let (above, _) = EXAMPLES[0].1.split_once("# ---- plumbing").expect("its heading");
    above
}

pub(crate) fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| {
        let told: Vec<String> = faults
            .iter()
            .map(|fault| format!("{} ({})", fault.what, fault.why))
            .collect();
        panic!("{}\n{text}", told.join("\n"))
    })
}
