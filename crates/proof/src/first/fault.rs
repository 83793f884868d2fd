//! Why no station comes of the answers, in plain words, with the question that would mend it.

/// A question of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// The tanks.
    Tanks,
    /// The tap water.
    Tap,
    /// The space.
    Space,
    /// The door on the way in.
    Door,
    /// The ceiling.
    Ceiling,
    /// The money.
    Money,
    /// The days away.
    DaysAway,
}

/// Why no station comes of the answers.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FirstFault {
    /// What was answered doesn't go together.
    #[error("{what}")]
    NotPossible {
        /// The answer to change.
        question: Question,
        /// What is in the way.
        what: String,
        /// How to mend it.
        mend: String,
    },
    /// Something must be fixed that the program found no way to fix.
    #[error("{what}")]
    NotSound {
        /// The answer that most likely has to do with it.
        question: Question,
        /// What the proof says, without its full stop.
        what: String,
        /// How to mend it.
        mend: String,
    },
    /// The program wrote a file that it can't read: a fault of the program.
    #[error("the file that was planned can't be read: {what}")]
    Unreadable {
        /// What is wrong with it.
        what: String,
    },
}

impl FirstFault {
    pub(super) fn impossible(question: Question, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::NotPossible {
            question,
            what: what.into(),
            mend: mend.into(),
        }
    }

    /// The question whose answer to change.
    pub fn question(&self) -> Question {
        match self {
            Self::NotPossible { question, .. } | Self::NotSound { question, .. } => *question,
            Self::Unreadable { .. } => Question::Tanks,
        }
    }

    /// How to mend it.
    pub fn mend(&self) -> &str {
        match self {
            Self::NotPossible { mend, .. } | Self::NotSound { mend, .. } => mend,
            Self::Unreadable { .. } => "change an answer a little, and report it",
        }
    }
}
