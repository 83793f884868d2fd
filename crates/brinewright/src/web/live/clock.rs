//! What time it is at the live station: it begins on a Friday, a long weekend before somebody comes on Monday.

use station::Station;
use station::register::WEEKDAYS;

const WEEK_S: f64 = 7.0 * 86_400.0;
/// A long weekend with nobody there, s: what the page skips at once (house rule, as of the absence that is told).
pub(super) const WEEKEND_S: f64 = 64.0 * 3600.0;

/// The station's clock.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    /// From Monday's midnight to the beginning, s.
    begins_s: f64,
}

impl Clock {
    /// Of a station, by when its people come: whoever skips the weekend is there as they are.
    pub(super) fn of(station: &Station) -> Self {
        let monday_s = WEEK_S + station.people.arrives.value.s_after_midnight();
        Self {
            begins_s: monday_s - WEEKEND_S,
        }
    }

    /// The day and the hour: `Saturday 2:10:00`.
    pub(super) fn at(self, t_s: f64) -> String {
        self.said(t_s, |day| day.to_owned())
    }

    /// The same in a list: `Sat 2:10:00`.
    pub(super) fn short(self, t_s: f64) -> String {
        self.said(t_s, |day| day.chars().take(3).collect())
    }

    fn said(self, t_s: f64, name: impl Fn(&str) -> String) -> String {
        // Times are bounded far below what an integer holds.
        let whole = (self.begins_s + t_s.max(0.0)) as u64;
        let days = whole / 86_400;
        let day = name(WEEKDAYS[(days % 7) as usize]);
        match days / 7 {
            0 => format!("{day} {}", hours(whole % 86_400)),
            week => format!("{day} of week {}, {}", week + 1, hours(whole % 86_400)),
        }
    }
}

/// How long it is since the beginning: days, hours, minutes, seconds.
pub(super) fn since(t_s: f64) -> String {
    let whole = t_s.max(0.0) as u64;
    let time = hours(whole % 86_400);
    match whole / 86_400 {
        0 => time,
        1 => format!("1 day {time}"),
        days => format!("{days} days {time}"),
    }
}

fn hours(s: u64) -> String {
    format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
}

#[cfg(test)]
mod tests {
    use super::{Clock, since};

    #[test]
    fn a_clock_knows_its_day() {
        // Friday, 11:30.
        let clock = Clock {
            begins_s: 4.0 * 86_400.0 + 41_400.0,
        };
        for (t_s, said, short) in [
            (0.0, "Friday 11:30:00", "Fri 11:30:00"),
            (-1.0, "Friday 11:30:00", "Fri 11:30:00"),
            (45_000.0, "Saturday 0:00:00", "Sat 0:00:00"),
            (230_400.0, "Monday of week 2, 3:30:00", "Mon of week 2, 3:30:00"),
        ] {
            assert_eq!((clock.at(t_s).as_str(), clock.short(t_s).as_str()), (said, short));
        }
    }

    #[test]
    fn days_are_counted() {
        assert_eq!(since(59.9), "0:00:59");
        assert_eq!(since(86_400.0 + 3_661.0), "1 day 1:01:01");
        assert_eq!(since(172_800.0), "2 days 0:00:00");
    }
}
