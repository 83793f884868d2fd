//! Whole texts: those to go back to, those to go forward to, and those that somebody may still be looking at.

use std::collections::VecDeque;
use std::sync::Arc;

/// Texts that are kept to go back to, and revisions that somebody may still be looking at (house rule: ten kilobytes each).
const MOST: usize = 500;

/// Who made a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// A page of the workbench.
    Page,
    /// Another program.
    Editor,
}

/// A change, by the text before it.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub(super) before: Arc<str>,
    pub(super) by: By,
}

#[derive(Debug)]
pub(super) struct History {
    back: VecDeque<Step>,
    forward: Vec<Arc<str>>,
    revisions: VecDeque<(u64, Arc<str>)>,
}

impl History {
    pub(super) fn new(revision: u64, text: &Arc<str>) -> Self {
        Self {
            back: VecDeque::new(),
            forward: Vec::new(),
            revisions: VecDeque::from([(revision, text.clone())]),
        }
    }

    /// A change from one text to the next.
    pub(super) fn done(&mut self, revision: u64, before: &Arc<str>, after: &Arc<str>, by: By) {
        self.forward.clear();
        self.push(Step {
            before: before.clone(),
            by,
        });
        self.seen(revision, after);
    }

    /// The last change, where there is one.
    pub(super) fn last(&self) -> Option<&Step> {
        self.back.back()
    }

    /// What was taken back last.
    pub(super) fn next(&self) -> Option<Arc<str>> {
        self.forward.last().cloned()
    }

    /// The last change was taken back; `after` is the text that it had made.
    pub(super) fn undone(&mut self, revision: u64, after: &Arc<str>) {
        if let Some(step) = self.back.pop_back() {
            self.forward.push(after.clone());
            self.seen(revision, &step.before);
        }
    }

    /// It was brought back; `before` is the text without it.
    pub(super) fn redone(&mut self, revision: u64, before: &Arc<str>) {
        if let Some(after) = self.forward.pop() {
            self.push(Step {
                before: before.clone(),
                by: By::Page,
            });
            self.seen(revision, &after);
        }
    }

    /// Whether there is a change to take back, wherever it was made: of one that was made elsewhere whoever wants it back is
    /// told why not.
    pub(super) fn can_undo(&self) -> bool {
        self.last().is_some()
    }

    pub(super) fn can_redo(&self) -> bool {
        !self.forward.is_empty()
    }

    /// The text of a revision, as long as it is kept.
    pub(super) fn at(&self, revision: u64) -> Option<Arc<str>> {
        let mut kept = self.revisions.iter().rev();
        kept.find(|(own, _)| *own == revision)
            .map(|(_, text)| text.clone())
    }

    fn push(&mut self, step: Step) {
        self.back.push_back(step);
        if self.back.len() > MOST {
            self.back.pop_front();
        }
    }

    fn seen(&mut self, revision: u64, text: &Arc<str>) {
        self.revisions.push_back((revision, text.clone()));
        if self.revisions.len() > MOST {
            self.revisions.pop_front();
        }
    }
}
