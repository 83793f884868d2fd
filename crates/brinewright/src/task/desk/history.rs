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

/// A change that was made here.
#[derive(Debug)]
pub(super) struct Own {
    pub(super) before: Arc<str>,
    /// What it made, where that was changed since; nothing where it is what stands there now.
    pub(super) after: Option<Arc<str>>,
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

    /// The last change that was made here, and the text that it made, where an editor changed that since.
    pub(super) fn last_own(&self) -> Option<Own> {
        let at = self.last_own_at()?;
        Some(Own {
            before: self.back[at].before.clone(),
            after: self.back.get(at + 1).map(|step| step.before.clone()),
        })
    }

    fn last_own_at(&self) -> Option<usize> {
        self.back.iter().rposition(|step| step.by == By::Page)
    }

    /// What was taken back last.
    pub(super) fn next(&self) -> Option<Arc<str>> {
        self.forward.last().cloned()
    }

    /// The last change that was made here was taken back: `before` is the text with it, `after` the one without. What an editor
    /// did since is one step from now on.
    pub(super) fn undone(&mut self, revision: u64, before: &Arc<str>, after: &Arc<str>) {
        let Some(at) = self.last_own_at() else { return };
        let own = self.back.split_off(at);
        if let (Some(first), true) = (own.front(), own.len() > 1) {
            self.back.push_back(Step {
                before: first.before.clone(),
                by: By::Editor,
            });
        }
        self.forward.push(before.clone());
        self.seen(revision, after);
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

    /// Whether a change was made here that can be taken back, or that whoever wants it back is told why not.
    pub(super) fn can_undo(&self) -> bool {
        self.last_own_at().is_some()
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
