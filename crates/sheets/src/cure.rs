//! The button that makes a cure: whose it is, its place there, and its words, so that a press means the cure that it stood
//! beside, whatever was computed meanwhile.

use maud::{Markup, html};
use proof::{BEING_TRIED, Finding};

use crate::words::glued;

/// What a cure belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CureOf {
    /// A finding of the proof.
    Proof,
    /// Wrong moves: a change that was tried against them.
    Mistakes,
    /// A task that nobody ends, among the mistakes that matter most.
    Leading,
    /// A time with nobody there: a guard that was tried.
    Away,
    /// A finding of the years.
    Year,
    /// The years: a change that was tried in them.
    Changes,
}

impl CureOf {
    const ALL: [Self; 6] = [
        Self::Proof,
        Self::Mistakes,
        Self::Leading,
        Self::Away,
        Self::Year,
        Self::Changes,
    ];

    /// What scripts call it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proof => "proof",
            Self::Mistakes => "mistakes",
            Self::Leading => "leading",
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

/// A sentence of a cure that was tried.
pub(crate) fn tried(remedy: &str) -> String {
    format!("Cure, tried: {remedy}.")
}

/// What is said of a finding's cure, where it stands in a row of findings: what cures several that follow one another is told
/// at the last of them, with its button where somebody says whose it is.
pub(crate) fn cure_of(row: &[(usize, &Finding)], place: usize, of: Option<CureOf>) -> Markup {
    let Some((at, finding)) = row.get(place) else {
        return html! {};
    };
    let Some(remedy) = &finding.remedy else {
        return html! {
            @if finding.being_tried { p class="remedy" { (BEING_TRIED) } }
        };
    };
    let same = |other: &(usize, &Finding)| {
        other
            .1
            .remedy
            .as_ref()
            .is_some_and(|own| own.sentence == remedy.sentence)
    };
    if row.get(place + 1).is_some_and(same) {
        return html! {};
    }
    let before = row.iter().take(place).rev().take_while(|own| same(own)).count();
    let says = match before {
        0 => tried(&remedy.sentence),
        1 => format!("Cure of both, tried: {}.", remedy.sentence),
        more => format!("Cure of these {}, tried: {}.", more + 1, remedy.sentence),
    };
    html! {
        p class="remedy" {
            span { (glued(&says)) }
            @if let Some(of) = of && !remedy.edits.is_empty() { (press(of, *at, &remedy.sentence)) }
        }
    }
}
