//! The button that makes a cure: whose it is, its place there, and its words, so that a press means the cure that it stood
//! beside, whatever was computed meanwhile.

use maud::{Markup, html};

/// What a cure belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CureOf {
    /// A finding of the proof.
    Proof,
    /// Wrong moves: a change that was tried against them.
    Mistakes,
    /// A time with nobody there: a guard that was tried.
    Away,
    /// A finding of the years.
    Year,
    /// The years: a change that was tried in them.
    Changes,
}

impl CureOf {
    const ALL: [Self; 5] = [Self::Proof, Self::Mistakes, Self::Away, Self::Year, Self::Changes];

    /// What scripts call it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proof => "proof",
            Self::Mistakes => "mistakes",
            Self::Away => "away",
            Self::Year => "year",
            Self::Changes => "changes",
        }
    }

    /// What a script called.
    pub fn called(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|own| own.word() == word)
    }
}

/// The button.
pub fn press(of: CureOf, at: usize, sentence: &str) -> Markup {
    html! {
        button type="button" class="press" data-cure=(of.word()) data-at=(at) data-says=(sentence)
            aria-label={ "Apply: " (sentence) } { "Apply" }
    }
}
