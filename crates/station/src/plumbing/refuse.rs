//! Telling what is wrong with one section of the plumbing.

use core::ops::Range;

use crate::fault::Fault;
use crate::register::Field;
use crate::station::Named;

/// The faults of one section: each underlines a value of it, or its name.
pub(super) struct Refusals<'f> {
    whose: String,
    section: Range<usize>,
    faults: &'f mut Vec<Fault>,
}

impl<'f> Refusals<'f> {
    /// For a section of this kind: `line`, `draw point`.
    pub(super) fn of<F>(kind: &str, section: &Named<F>, faults: &'f mut Vec<Fault>) -> Self {
        Self {
            whose: format!("the {kind} `{}`", section.name),
            section: section.span.clone(),
            faults,
        }
    }

    /// How a sentence names the section.
    pub(super) fn whose(&self) -> &str {
        &self.whose
    }

    /// Refuses a value.
    pub(super) fn value<T>(&mut self, field: &Field<T>, what: impl Into<String>, mend: impl Into<String>) {
        self.at(field.span(), what, self.whose.clone(), mend);
    }

    /// Refuses a value, with a reason that teaches more than the section's name does.
    pub(super) fn because<T>(
        &mut self,
        field: &Field<T>,
        what: impl Into<String>,
        why: impl Into<String>,
        mend: impl Into<String>,
    ) {
        self.at(field.span(), what, why, mend);
    }

    /// Refuses the section as a whole.
    pub(super) fn whole(&mut self, what: impl Into<String>, mend: impl Into<String>) {
        self.at(None, what, self.whose.clone(), mend);
    }

    fn at(
        &mut self,
        span: Option<Range<usize>>,
        what: impl Into<String>,
        why: impl Into<String>,
        mend: impl Into<String>,
    ) {
        self.faults.push(Fault {
            span: span.unwrap_or(self.section.clone()),
            what: what.into(),
            why: why.into(),
            mend: mend.into(),
        });
    }
}
