//! Who is here when: weekdays, holidays, the hour, and how late.

use physics::stats::Counter;

use super::body::Plant;
use super::chance::{Chance, Stream, triangular};
use super::season::day_of;
use super::state::{sooner, within};
use super::{DAY_S, YEAR_DAYS};

/// When people come.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Calendar {
    /// Monday first.
    pub(crate) weekdays: [bool; 7],
    /// After midnight, s.
    pub(crate) arrives_s: f64,
    /// Time at hand, s.
    pub(crate) stays_s: f64,
    /// Standard deviation of the arrival, s.
    pub(crate) late_by_s: f64,
    pub(crate) holidays: Vec<Holiday>,
}

/// Days on which the usual people don't come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Holiday {
    /// Its first day and the day on which somebody is back, from 0; that may come before the first, over the end of the
    /// year.
    pub(crate) from: u32,
    pub(crate) to: u32,
    /// Whether the purifier is laid up.
    pub(crate) laid_up: bool,
    /// Days between two looks.
    pub(crate) looks_in_days: Option<u32>,
}

/// Somebody comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Visit {
    pub(crate) at_s: f64,
    pub(crate) stays_s: f64,
    /// Only for top-off and emergencies.
    pub(crate) looks_in: bool,
}

impl Holiday {
    /// Days since its first, where the day is one of it.
    #[inline]
    fn day(&self, day_of_year: u32) -> Option<u32> {
        let is_past_new_year = day_of_year < self.from;
        let within = if self.from <= self.to {
            !is_past_new_year && day_of_year < self.to
        } else {
            !is_past_new_year || day_of_year < self.to
        };
        let turn = if is_past_new_year { YEAR_DAYS } else { 0 };
        within.then(|| day_of_year + turn - self.from)
    }
}

/// Day of the year, from 0. The year begins on a Monday (house rule).
fn day_of_year(day: i64) -> u32 {
    day.rem_euclid(i64::from(YEAR_DAYS)) as u32
}

impl Calendar {
    /// The visit on a day, counted from the first of the year.
    pub(crate) fn visit(&self, day: i64, arrivals: &Counter) -> Option<Visit> {
        let of_year = day_of_year(day);
        let holiday = self
            .holidays
            .iter()
            .find_map(|holiday| Some((holiday, holiday.day(of_year)?)));
        let looks_in = match holiday {
            None if !self.weekdays[day.rem_euclid(7) as usize] => return None,
            None => false,
            Some((holiday, since)) => {
                let every = holiday.looks_in_days?;
                if (since + 1) % every != 0 {
                    return None;
                }
                true
            }
        };
        let late_s = if self.late_by_s > 0.0 {
            let at = 2 * u64::from(of_year);
            self.late_by_s * triangular(arrivals.open_unit(at), arrivals.open_unit(at + 1))
        } else {
            0.0
        };
        let after_midnight_s = within(self.arrives_s + late_s, 0.0, DAY_S - 3600.0);
        Some(Visit {
            at_s: day as f64 * DAY_S + after_midnight_s,
            // Nobody stays beyond midnight (house rule).
            stays_s: sooner(self.stays_s, DAY_S - after_midnight_s - 60.0),
            looks_in,
        })
    }

    /// The next visit on a day or after it; none within a year where nobody ever comes.
    pub(crate) fn next(&self, from_day: i64, arrivals: &Counter) -> Option<Visit> {
        (from_day..from_day + i64::from(YEAR_DAYS)).find_map(|day| self.visit(day, arrivals))
    }

    /// Whether the purifier is laid up at a time, s.
    pub(crate) fn laid_up(&self, t_s: f64) -> bool {
        // Where it never is, nobody asks for the day.
        self.holidays.iter().any(|holiday| holiday.laid_up) && self.lays_up_at(t_s)
    }

    #[inline(never)]
    fn lays_up_at(&self, t_s: f64) -> bool {
        let of_year = day_of_year(day_of(t_s));
        let mut laying_up = self.holidays.iter().filter(|holiday| holiday.laid_up);
        laying_up.any(|holiday| holiday.day(of_year).is_some())
    }
}

/// Who comes to a plant on a day, by the chance of a year.
pub(crate) fn visit_on(plant: &Plant, chance: Chance, day: i64) -> Option<Visit> {
    plant.people.calendar.visit(day, &chance.stream(Stream::Arrival))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weekdays() -> Calendar {
        Calendar {
            weekdays: [true, true, true, true, true, false, false],
            arrives_s: 9.0 * 3600.0,
            stays_s: 7200.0,
            late_by_s: 0.0,
            holidays: vec![Holiday {
                from: 355,
                to: 4,
                laid_up: true,
                looks_in_days: Some(3),
            }],
        }
    }

    #[test]
    fn weekdays_holidays_and_looks() {
        let calendar = weekdays();
        let arrivals = Counter::new(0, 0);
        // Day 0 to 3 and 355 to 364 are the holiday; looks on its third, sixth … day: 357, 360, 363, 1.
        let looks: Vec<i64> = (0..365)
            .filter(|day| {
                calendar
                    .visit(*day, &arrivals)
                    .is_some_and(|visit| visit.looks_in)
            })
            .collect();
        assert_eq!(looks, [1, 357, 360, 363]);
        let laid_up = |day: f64| calendar.laid_up(day * DAY_S + 1.0);
        assert!(laid_up(2.0) && laid_up(360.0) && !laid_up(4.0));
        // Day 4 is the first Friday, 5 and 6 the weekend, 7 a Monday.
        let ordinary: Vec<i64> = (4..12)
            .filter(|day| calendar.visit(*day, &arrivals).is_some())
            .collect();
        assert_eq!(ordinary, [4, 7, 8, 9, 10, 11]);
        assert_eq!(
            calendar.next(5, &arrivals).map(|visit| visit.at_s),
            Some(7.0 * DAY_S + 32_400.0)
        );
    }

    #[test]
    fn nobody_comes_where_no_day_is_anybody_s() {
        let mut calendar = weekdays();
        calendar.weekdays = [false; 7];
        calendar.holidays.clear();
        assert_eq!(calendar.next(0, &Counter::new(0, 0)), None);
    }
}
