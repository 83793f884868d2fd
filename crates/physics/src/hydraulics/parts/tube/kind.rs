//! The kinds of tube, and what all sizes of a kind share.

use super::{
    hose::{CORRUGATED, VINYL},
    pipe::{METRIC_10_BAR, METRIC_16_BAR, SCHEDULE_40, SCHEDULE_80},
    push_fit::POLYETHYLENE,
    size::Size,
};

/// Roughness of drawn and extruded plastics. Common practice, no source.
const SMOOTH_M: f64 = 1.5e-6;
/// Roughness of corrugated hose by its bore.
///
/// Common practice, no source: 0.02 to 0.05; the upper end makes a friction factor of 0.07, in the middle of the
/// 0.05 to 0.12 that are told.
const CORRUGATED_SHARE: f64 = 0.05;

/// The kinds of tube a small station is built from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TubeKind {
    /// Soft hose of vinyl or the like, by inner diameter.
    VinylHose,
    /// Hose with ribs that doesn't kink, by inner diameter.
    CorrugatedHose,
    /// Stiff tube of polyethylene for push-fit joints, by outer diameter.
    PushFit,
    /// PVC pipe of schedule 40, by a name in inches that is none of its diameters.
    PvcSchedule40,
    /// PVC pipe of schedule 80, as schedule 40 and with the same outer diameter.
    PvcSchedule80,
    /// Metric PVC pipe for 10 bar, by outer diameter.
    PvcMetric10Bar,
    /// Metric PVC pipe for 16 bar, by outer diameter.
    PvcMetric16Bar,
}

impl TubeKind {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::VinylHose,
        Self::CorrugatedHose,
        Self::PushFit,
        Self::PvcSchedule40,
        Self::PvcSchedule80,
        Self::PvcMetric10Bar,
        Self::PvcMetric16Bar,
    ];

    /// Its name, in the field's words.
    pub fn name(self) -> &'static str {
        match self {
            Self::VinylHose => "vinyl hose",
            Self::CorrugatedHose => "corrugated hose",
            Self::PushFit => "push-fit tube",
            Self::PvcSchedule40 => "PVC pipe of schedule 40",
            Self::PvcSchedule80 => "PVC pipe of schedule 80",
            Self::PvcMetric10Bar => "metric PVC pipe for 10 bar",
            Self::PvcMetric16Bar => "metric PVC pipe for 16 bar",
        }
    }

    /// Roughness of a bore of this kind, in m.
    ///
    /// # Source
    /// Common practice, no source: 1.5·10⁻⁶ m for smooth plastics, a twentieth of the bore for corrugated hose.
    pub fn roughness_m(self, inner_diameter_m: f64) -> f64 {
        match self {
            Self::CorrugatedHose => CORRUGATED_SHARE * inner_diameter_m,
            Self::VinylHose
            | Self::PushFit
            | Self::PvcSchedule40
            | Self::PvcSchedule80
            | Self::PvcMetric10Bar
            | Self::PvcMetric16Bar => SMOOTH_M,
        }
    }

    /// Whether suction can make it collapse.
    pub fn is_soft(self) -> bool {
        self == Self::VinylHose
    }

    pub(super) fn sizes(self) -> &'static [Size] {
        match self {
            Self::VinylHose => VINYL,
            Self::CorrugatedHose => CORRUGATED,
            Self::PushFit => POLYETHYLENE,
            Self::PvcSchedule40 => SCHEDULE_40,
            Self::PvcSchedule80 => SCHEDULE_80,
            Self::PvcMetric10Bar => METRIC_10_BAR,
            Self::PvcMetric16Bar => METRIC_16_BAR,
        }
    }
}
