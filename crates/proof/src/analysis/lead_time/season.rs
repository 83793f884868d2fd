//! The season that a schedule is for: how warm the room is, and with it the water that stands there or is made.
//!
//! Owns: the room's and the water's temperature in each season, and the permeate then. Doesn't own: which season is worse
//! (both are computed, and the longer schedule is told).

use serde::Serialize;
use station::Station;

use crate::analysis::Supply;
use crate::sheet::NodeId;

/// Half a year, as far as lead times go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Season {
    /// The room is at its coldest, and the purifier makes as little as it ever does.
    Winter,
    /// The room is at its warmest.
    Summer,
}

/// Water can't be colder than that, nor is its density known above, °C.
const COLDEST_C: f64 = 0.0;
const WARMEST_C: f64 = 38.0;

impl Season {
    pub(super) const BOTH: [Self; 2] = [Self::Winter, Self::Summer];

    /// `winter`, `summer`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Winter => "winter",
            Self::Summer => "summer",
        }
    }

    /// The air round the vessels, °C. A summer that nobody told is never colder than the winter that somebody did.
    pub(super) fn room_c(self, station: &Station) -> f64 {
        let winter_c = station.room.lowest_winter_temperature.value.c();
        match self {
            Self::Winter => winter_c,
            Self::Summer => station.room.highest_summer_temperature.value.c().max(winter_c),
        }
    }

    /// Water that has stood in the room, °C; what comes from the purifier counts the same, since it stands there first.
    pub(super) fn water_c(self, station: &Station) -> f64 {
        self.room_c(station).clamp(COLDEST_C, WARMEST_C)
    }
}

/// What the purifier makes in each season.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Permeate {
    winter: Option<NodeId>,
    summer: Option<NodeId>,
}

impl Permeate {
    /// In winter that of the leanest month, in summer that of the month with the warmest feed.
    pub(crate) fn of(supply: &Supply) -> Self {
        let Some(made) = &supply.purifier else {
            return Self::default();
        };
        let lean = made.months.iter().find(|month| month.month == made.leanest_month);
        let warm = made
            .months
            .iter()
            .max_by(|a, b| a.feed_temperature_c.value.total_cmp(&b.feed_temperature_c.value));
        // A feed that is as warm all year has no warm month.
        let differ = lean
            .zip(warm)
            .is_some_and(|(lean, warm)| warm.feed_temperature_c.value > lean.feed_temperature_c.value + 1e-9);
        let winter = lean.map(|month| month.permeate_m3_per_s.node);
        Self {
            winter,
            summer: if differ {
                warm.map(|month| month.permeate_m3_per_s.node)
            } else {
                winter
            },
        }
    }

    pub(super) fn in_season(self, season: Season) -> Option<NodeId> {
        match season {
            Season::Winter => self.winter,
            Season::Summer => self.summer,
        }
    }
}
