//! The two marks that end a fill: the stop, and the backup that holds when the stop fails.

use station::sections::Control;
use station::{Edit, Station, Vessel};

use crate::analysis::speak::{set_length, tape};
use crate::finding::{Finding, Severity};

/// A switch turns within so much, m (house rule: its float's own height).
pub(super) const TRAVEL_M: f64 = 0.015;

/// How far over the stop a backup is put, beside the doubt of both, m (house rule: two floats in turbulent water).
const APART_M: f64 = 0.03;

/// Stop and backup of a vessel that has both.
pub(super) struct Pair<'s> {
    station: &'s Station,
    vessel: &'s Vessel,
    stop_m: f64,
    backup_m: f64,
    /// What the marks are no better than, m.
    doubt_m: f64,
    /// The highest that keeps the freeboard, m.
    highest_m: f64,
}

impl<'s> Pair<'s> {
    pub(super) fn of(station: &'s Station, vessel: &'s Vessel) -> Option<Self> {
        let fields = &vessel.fields;
        let (stop, backup) = (fields.stop_level.as_ref()?, fields.backup_level.as_ref()?);
        Some(Self {
            station,
            vessel,
            stop_m: stop.value.m(),
            backup_m: backup.value.m(),
            doubt_m: libm::hypot(stop.spread.half_width, backup.spread.half_width),
            highest_m: vessel.height_m() - fields.freeboard.value.m(),
        })
    }

    /// A backup that acts before the stop, or may.
    pub(super) fn too_near(&self, name: &str) -> Option<Finding> {
        let (gap_m, wanted_m) = (self.backup_m - self.stop_m, TRAVEL_M + self.doubt_m);
        if gap_m >= wanted_m {
            return None;
        }
        let finding = match gap_m > 0.0 {
            true => Finding::new(
                "backup-too-near",
                Severity::Should,
                self.path("backup_level"),
                format!(
                    "The backup of {name} lies only {} above the stop level, too near for the doubt of the marks: it begins to close before the fill stops, so each run ends slowly and with worse water.",
                    tape(self.station, gap_m)
                ),
            ),
            false => self.under(name, -gap_m),
        };
        let finding = finding
            .gap(wanted_m - gap_m)
            .figure(format!("{}.stop", self.vessel.name))
            .figure(format!("{}.backup", self.vessel.name));
        Some(self.apart().into_iter().fold(finding, Finding::recipe))
    }

    /// A backup that acts first, each time. No water runs over by it: the stop now stands behind the backup. What it does
    /// depends on who stops the purifier.
    fn under(&self, name: &str, by_m: f64) -> Finding {
        let lies = match by_m > 0.0 {
            true => format!("{} under the stop level", tape(self.station, by_m)),
            false => "at the stop level".to_owned(),
        };
        let (severity, comes_of_it) = match self.is_switched() {
            true => (
                Severity::Must,
                "The control takes that for a stop that failed: it tells of an overfull vessel, and the feed stays shut until somebody resets it.",
            ),
            false => (
                Severity::Should,
                "The stop behind it is never used, so nobody sees when it fails.",
            ),
        };
        Finding::new(
            "backup-under-stop",
            severity,
            self.path("backup_level"),
            format!(
                "The backup of {name} lies {lies}: it acts first, and no fill ends by the stop. {comes_of_it} Nothing runs over by that as long as one of the two works."
            ),
        )
    }

    /// Whether an electric control ends the fill of this vessel, and hears the backup's contact.
    fn is_switched(&self) -> bool {
        let purifier = self.station.purifier.as_ref();
        let filled = self.station.filled();
        purifier.is_some_and(|own| own.fields.control.value != Control::Float)
            && filled
                .iter()
                .any(|at| self.station.vessels[*at].name == self.vessel.name)
    }

    /// What puts the two apart, best first: the backup higher, the stop lower, both where the freeboard is.
    fn apart(&self) -> Vec<Vec<Edit>> {
        let between_m = APART_M + self.doubt_m;
        let mut all = Vec::new();
        if self.stop_m + between_m <= self.highest_m {
            all.push(vec![self.set("backup_level", self.stop_m + between_m, true)]);
        }
        if self.backup_m <= self.highest_m {
            all.push(vec![self.set("stop_level", self.backup_m - between_m, false)]);
        }
        all.push(self.both());
        all
    }

    /// Both as high as the freeboard lets them.
    fn both(&self) -> Vec<Edit> {
        let backup = self.set("backup_level", self.highest_m, false);
        // A mark is set on a step: the stop keeps its distance from where the backup comes to stand.
        let step_m = crate::analysis::mark_step_m(self.station);
        let stop_m = self.highest_m - step_m - APART_M - self.doubt_m;
        vec![self.set("stop_level", stop_m, false), backup]
    }

    /// What brings one of the two, "stop" or "backup", down to where the freeboard begins, and keeps the backup above the
    /// stop, best first.
    pub(super) fn lowered(&self, level: &str) -> Vec<Vec<Edit>> {
        let between_m = APART_M + self.doubt_m;
        let room_m = between_m + crate::analysis::mark_step_m(self.station);
        let mut all = Vec::new();
        if level == "stop" && self.backup_m <= self.highest_m {
            all.push(vec![self.set("stop_level", self.backup_m - between_m, false)]);
        }
        if level == "backup" && self.stop_m + room_m <= self.highest_m {
            all.push(vec![self.set("backup_level", self.highest_m, false)]);
        }
        all.push(self.both());
        all
    }

    fn set(&self, key: &str, level_m: f64, up: bool) -> Edit {
        set_length(self.station, self.path(key), level_m, up)
    }

    fn path(&self, key: &str) -> String {
        format!("vessels.{}.{key}", self.vessel.name)
    }
}
