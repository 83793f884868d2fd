//! What things are called on a schematic: by the owner's names, or by tags as ISA-5.1 builds them (`station::tags`).

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
        Tags::Isa => station::tags::tag(letters, at),
    }
}
