//! What was ready week by week, and the week in which it is least sure.

use station::register::DayOfYear;
use station::sections::Month;

use super::run::OneYear;
use super::types::{Band, Leanest, Week};
use crate::plant::WEEKS;

/// The bands of all weeks.
pub(crate) fn weeks(all: &[OneYear]) -> Vec<Week> {
    (0..WEEKS)
        .map(|week| {
            let band = |at: usize| {
                let values: Vec<f64> = all
                    .iter()
                    .map(|year| year.tally.least_m3[at][week])
                    .filter(|least| least.is_finite())
                    .collect();
                Band::of(&values)
            };
            Week {
                week: week as u32 + 1,
                fresh: band(0),
                salt: band(1),
            }
        })
        .collect()
}

/// The week whose lower end is lowest, by its median where several are alike; `None` without a reserve.
pub(crate) fn leanest(weeks: &[Week], of: fn(&Week) -> Band, reserve_m3: f64) -> Option<Leanest> {
    let own = weeks.iter().min_by(|a, b| {
        let (a, b) = (of(a), of(b));
        a.p05.total_cmp(&b.p05).then(a.median.total_cmp(&b.median))
    })?;
    (reserve_m3 > 0.0).then(|| Leanest {
        week: own.week,
        month: month_of(own.week),
        reserve_m3,
        p05_m3: of(own).p05,
        weeks_under: weeks.iter().filter(|week| of(week).p05 < reserve_m3).count() as u32,
    })
}

/// The month in which the middle day of a week lies.
fn month_of(week: u32) -> &'static str {
    let day = (7 * week.saturating_sub(1) + 3).min(364);
    Month::ALL
        .into_iter()
        .rev()
        .find(|month| u32::from(DayOfYear::first_of(*month).index()) <= day)
        .unwrap_or(Month::January)
        .word()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Weeks counted from 1 January: the 5th is 29 January to 4 February, whose middle is 1 February; the 53rd is the 31st
    /// of December alone. By hand.
    #[test]
    fn weeks_lie_in_the_month_of_their_middle_day() {
        for (week, month) in [
            (1, "January"),
            (4, "January"),
            (5, "February"),
            (27, "July"),
            (53, "December"),
        ] {
            assert_eq!(month_of(week), month, "{week}");
        }
    }

    #[test]
    fn the_leanest_week_is_the_lowest_and_counts_those_under_the_reserve() {
        let week = |week: u32, p05: f64, median: f64| {
            let band = Band {
                p05,
                median,
                p95: 1.0,
            };
            Week {
                week,
                fresh: band,
                salt: band,
            }
        };
        let weeks = [
            week(1, 0.3, 0.5),
            week(2, 0.1, 0.5),
            week(3, 0.1, 0.4),
            week(4, 0.2, 0.2),
        ];
        let own = leanest(&weeks, |week| week.fresh, 0.25).expect("a reserve");
        assert_eq!((own.week, own.p05_m3, own.weeks_under), (3, 0.1, 3));
        assert_eq!(leanest(&weeks, |week| week.fresh, 0.0), None);
    }
}
