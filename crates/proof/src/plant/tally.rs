//! What a time of the plant's life comes to: counted as it happens, read when it is over.

use super::{DAY_S, YEAR_DAYS};

/// Why something that was asked for wasn't there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Reason {
    /// No purified water that could be drawn.
    NoFresh,
    /// Salt water was still mixing, or not yet measured.
    Mixing,
    /// No salt water, and none was being mixed.
    NoSalt,
    /// Those who were there had no time left.
    NoTime,
}

impl Reason {
    pub(crate) const ALL: [Self; 4] = [Self::NoFresh, Self::Mixing, Self::NoSalt, Self::NoTime];
}

impl Reason {
    /// Stable name.
    pub(crate) fn key(self) -> &'static str {
        match self {
            Self::NoFresh => "no-fresh-water",
            Self::Mixing => "still-mixing",
            Self::NoSalt => "no-salt-water",
            Self::NoTime => "no-time",
        }
    }

    /// In words, after "because".
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::NoFresh => "no purified water was there",
            Self::Mixing => "the salt water was still mixing",
            Self::NoSalt => "no salt water was there and none was being mixed",
            Self::NoTime => "no time was left",
        }
    }
}

/// What people's time goes into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Work {
    TopOff,
    Change,
    Batch,
    Measuring,
    Emergency,
}

impl Work {
    pub(crate) const ALL: [Self; 5] = [
        Self::TopOff,
        Self::Change,
        Self::Batch,
        Self::Measuring,
        Self::Emergency,
    ];
}

impl Work {
    /// In a word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::TopOff => "top-off",
            Self::Change => "changes",
            Self::Batch => "batches",
            Self::Measuring => "measuring",
            Self::Emergency => "emergencies",
        }
    }
}

/// Weeks that the reserve is followed in; the last has a day or two only.
pub(crate) const WEEKS: usize = YEAR_DAYS.div_ceil(7) as usize;

/// Everything that is counted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tally {
    /// When it began, s.
    pub(crate) from_s: f64,
    /// Runs that ended, and the water of each, m³.
    pub(crate) runs_m3: Vec<f64>,
    pub(crate) permeate_m3: f64,
    pub(crate) flushed_m3: f64,
    pub(crate) reject_m3: f64,
    /// Of running, s.
    pub(crate) running_s: f64,
    /// Charge that reached the resin, mol.
    pub(crate) load_mol: f64,
    /// Batches, and what they hold when finished, m³.
    pub(crate) batches: u32,
    pub(crate) batch_m3: f64,
    /// Dry mix, kg.
    pub(crate) mix_kg: f64,
    /// Fresh and salt water to the tanks, m³.
    pub(crate) to_tanks_m3: [f64; 2],
    /// People's time by what it went into, s.
    pub(crate) work_s: [f64; 5],
    /// Buckets and cans carried.
    pub(crate) carries: f64,
    /// Visits.
    pub(crate) visits: u32,
    /// Energy of heaters, pumps, booster, J.
    pub(crate) energy_j: [f64; 3],
    /// Time that something asked for had to wait, by reason, s.
    pub(crate) waited_s: [f64; 4],
    /// Time that less than the reserve was ready, fresh and salt, s.
    pub(crate) under_reserve_s: [f64; 2],
    /// Emergencies; those met at once; the time until each was met, s.
    pub(crate) emergencies: u32,
    pub(crate) met_at_once: u32,
    pub(crate) met_after_s: Vec<f64>,
    /// Those that somebody knew of and that weren't met when it was over.
    pub(crate) unmet: u32,
    /// The least that was at hand at any midnight of each week, fresh and salt, m³.
    pub(crate) least_m3: [[f64; WEEKS]; 2],
    /// The week that the last midnight belonged to, and until when midnights do, s.
    week: usize,
    week_until_s: f64,
    /// The least at any time, m³.
    pub(crate) lowest_m3: [f64; 2],
    /// The oldest water that was drawn, fresh and salt, s; and what of it was drawn beyond the time of its use, m³.
    pub(crate) oldest_s: [f64; 2],
    pub(crate) stale_m3: f64,
    /// Volume by age, m³·s, and volume drawn, m³: what the mean age is made of.
    pub(crate) age_m3_s: [f64; 2],
    pub(crate) drawn_m3: [f64; 2],
    /// Farthest that salt water in use was from its target, above and below.
    pub(crate) too_salty: f64,
    pub(crate) too_fresh: f64,
    /// Delivered water, fresh and salt, m³.
    pub(crate) delivered_m3: [f64; 2],
    /// Events that were walked through.
    pub(crate) events: u64,
    /// Alarms that were found and reset.
    pub(crate) alarms: u32,
    /// What the script drew, and what it couldn't, m³.
    pub(crate) scripted_m3: f64,
    pub(crate) script_short_m3: f64,
}

impl Tally {
    pub(crate) fn begin(from_s: f64) -> Self {
        Self {
            from_s,
            runs_m3: Vec::new(),
            permeate_m3: 0.0,
            flushed_m3: 0.0,
            reject_m3: 0.0,
            running_s: 0.0,
            load_mol: 0.0,
            batches: 0,
            batch_m3: 0.0,
            mix_kg: 0.0,
            to_tanks_m3: [0.0; 2],
            work_s: [0.0; 5],
            carries: 0.0,
            visits: 0,
            energy_j: [0.0; 3],
            waited_s: [0.0; 4],
            under_reserve_s: [0.0; 2],
            emergencies: 0,
            met_at_once: 0,
            met_after_s: Vec::new(),
            unmet: 0,
            least_m3: [[f64::INFINITY; WEEKS]; 2],
            week: 0,
            week_until_s: f64::NEG_INFINITY,
            lowest_m3: [f64::INFINITY; 2],
            oldest_s: [0.0; 2],
            stale_m3: 0.0,
            age_m3_s: [0.0; 2],
            drawn_m3: [0.0; 2],
            too_salty: 0.0,
            too_fresh: 0.0,
            delivered_m3: [0.0; 2],
            events: 0,
            alarms: 0,
            scripted_m3: 0.0,
            script_short_m3: 0.0,
        }
    }

    /// Notes what is at hand now.
    #[inline]
    pub(crate) fn at_hand(&mut self, ready_m3: [f64; 2]) {
        for (lowest, ready) in self.lowest_m3.iter_mut().zip(&ready_m3) {
            if ready < lowest {
                *lowest = *ready;
            }
        }
    }

    /// Notes what is at hand at a midnight, which ends a day of its week.
    #[inline]
    pub(crate) fn midnight(&mut self, t_s: f64, ready_m3: [f64; 2]) {
        if t_s > self.week_until_s {
            self.find_week(t_s);
        }
        for (least, ready) in self.least_m3.iter_mut().zip(ready_m3) {
            if ready < least[self.week] {
                least[self.week] = ready;
            }
        }
    }

    /// Which week a midnight ends a day of, and until when that is so. From half a day to half a day, so that it doesn't hang
    /// on rounding.
    #[inline(never)]
    fn find_week(&mut self, t_s: f64) {
        let days = (t_s - self.from_s) * (1.0 / DAY_S) - 0.5;
        let weeks = if days > 0.0 { days * (1.0 / 7.0) } else { 0.0 };
        // The cast rounds down.
        let week = weeks as u32;
        self.week = week as usize % WEEKS;
        self.week_until_s = self.from_s + (7.0 * (f64::from(week) + 1.0) + 0.5) * DAY_S;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_midnight_belongs_to_the_day_that_it_ends() {
        let mut tally = Tally::begin(-28.0 * DAY_S);
        tally.midnight(0.0, [3.0, 4.0]);
        assert_eq!(tally.least_m3[0][3], 3.0);
        // Whatever came before, a year begins with its first week.
        let mut tally = Tally::begin(0.0);
        for (day, week) in [(1, 0), (7, 0), (8, 1), (364, 51), (365, 52)] {
            let ready = f64::from(400 - day);
            tally.midnight(f64::from(day) * DAY_S, [ready, ready]);
            assert_eq!(tally.least_m3[1][week], ready, "day {day}");
        }
    }
}
