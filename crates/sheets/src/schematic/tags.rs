//! What things are called on a schematic: by the owner's names, or by tags as ISA-5.1 builds them.

use station::sections::Valve;

/// Which of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tags {
    /// The owner's own names: `fresh tap`.
    #[default]
    Owner,
    /// Letters and a number: `HV-1`. The number is its place in the file among its kind, so that it stays.
    Isa,
}

/// A name or a tag; numbers count from 1.
pub(super) fn tag(tags: Tags, name: &str, letters: &str, at: usize) -> String {
    match tags {
        Tags::Owner => name.to_owned(),
        Tags::Isa => format!("{letters}-{}", at + 1),
    }
}

/// Letters of a valve (ISA-5.1, from memory: H hand, X unclassified, L level, V valve, CV one that regulates itself;
/// CK for a check valve is common practice, no source).
pub(super) fn letters(kind: Valve) -> &'static str {
    match kind {
        Valve::Solenoid => "XV",
        Valve::Float => "LCV",
        kind if kind.is_check() => "CK",
        _ => "HV",
    }
}
