//! The schedule as it grows: steps that are waited for, and steps beside them.

use serde::Serialize;
use station::quantity::Kind;

use super::assumed;
use crate::sheet::{NodeId, Sheet};

/// One step of the schedule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeadStep {
    /// What is done, in words.
    pub what: String,
    /// When it begins.
    pub start_s: f64,
    /// When it ends.
    pub end_s: f64,
    /// Whether the next step waits for it, on the way to ready in an emergency.
    pub on_longest_way: bool,
}

/// What has been planned so far.
pub(super) struct Plan<'a> {
    pub(super) sheet: &'a mut Sheet,
    pub(super) tag: &'static str,
    pub(super) steps: Vec<LeadStep>,
    /// Steps that the readiness waits for, and what their times are called where the sum is told.
    pub(super) longest: Vec<NodeId>,
    pub(super) names: Vec<String>,
    pub(super) now_s: f64,
    batch: u32,
}

impl<'a> Plan<'a> {
    pub(super) fn new(sheet: &'a mut Sheet, tag: &'static str) -> Self {
        Self {
            sheet,
            tag,
            steps: Vec::new(),
            longest: Vec::new(),
            names: Vec::new(),
            now_s: 0.0,
            batch: 0,
        }
    }

    /// What follows belongs to the next batch.
    pub(super) fn next_batch(&mut self) {
        self.batch += 1;
    }

    /// Path of a value of this batch.
    pub(super) fn path(&self, what: &str) -> String {
        format!("{}.{what}-{}", self.tag, self.batch)
    }

    /// A time that no field holds, with its doubt as a share.
    pub(super) fn time(&mut self, what: &str, seconds: f64, doubt: f64, reason: &str) -> NodeId {
        let path = self.path(what);
        assumed(self.sheet, &path, seconds, Kind::Time, doubt * seconds, reason)
    }

    /// A step that the next waits for.
    pub(super) fn then(&mut self, name: &str, what: String, node: NodeId) {
        let seconds = self.sheet.value(node);
        self.beside(what, self.now_s, self.now_s + seconds, true);
        self.wait(name, node, self.now_s + seconds);
    }

    /// Waits for something until a time, with no step of its own.
    pub(super) fn wait(&mut self, name: &str, node: NodeId, until_s: f64) {
        self.longest.push(node);
        self.names.push(match self.batch {
            0 | 1 => name.to_owned(),
            batch => format!("{name} (batch {batch})"),
        });
        self.now_s = until_s;
    }

    /// A step with times of its own.
    pub(super) fn beside(&mut self, what: String, start_s: f64, end_s: f64, on_longest_way: bool) {
        self.steps.push(LeadStep {
            what,
            start_s,
            end_s,
            on_longest_way,
        });
    }
}
