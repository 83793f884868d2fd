//! What was ready through the year, week by week, against the reserve that the owner wants.

use proof::{Band, Leanest, Week, Year};
use station::Station;
use station::quantity::{Kind, unit_for};
use station::sections::{Month, Water};

use super::{Axis, LABEL_MM, Plot, QUIET, Valued};
use crate::drawing::{Anchor, Drawing, Ink, Shape, Stroke, at};

/// Days from the first of January to the middle of a week's seven.
const MIDDLE_DAYS: f64 = 3.5;

/// Weeks of seven days; the day that is left at the end of the year is no week.
const WHOLE_WEEKS: usize = 52;

/// Room for the unit of the axis, left of what the lines mean, mm.
const UNIT_MM: f64 = 8.0;

/// Half of the years as a line, nine in ten as a band, the reserve dashed, the leanest week marked; `None` where neither a
/// reserve is wanted nor water was ever at hand. What the lines mean stands above the plot.
pub fn reserve_by_week(station: &Station, year: &Year, water: Water, width_mm: f64) -> Option<Drawing> {
    let (of, leanest, name, ink): (fn(&Week) -> Band, _, _, _) = match water {
        Water::Fresh => (|week| week.fresh, year.fresh_leanest, "Fresh", Ink::Fresh),
        Water::Salt => (|week| week.salt, year.salt_leanest, "Salt", Ink::Sea),
    };
    let most_m3 = year
        .reserve
        .iter()
        .map(|week| of(week).p95)
        .chain(leanest.map(|leanest| leanest.reserve_m3))
        .fold(0.0, f64::max);
    if most_m3 <= 0.0 || year.reserve.len() < 2 {
        return None;
    }
    let unit = unit_for(Kind::Volume, most_m3, station.units(), &station.currency());
    let points: Vec<Valued> = year
        .reserve
        .iter()
        .take(WHOLE_WEEKS)
        .map(|week| {
            let band = of(week);
            Valued {
                x: day(week.week),
                value: band.median / unit.factor,
                low: band.p05 / unit.factor,
                high: band.p95 / unit.factor,
            }
        })
        .collect();
    let mut plot = Plot::new(
        &format!("{name} water at midnight, the least of each week"),
        width_mm,
        Axis::months(),
        Axis::from_zero(unit.name.clone(), most_m3 / unit.factor),
    );
    plot.fill(ink, &points, "reserve");
    let wanted = leanest
        .map(|leanest| leanest.reserve_m3 / unit.factor)
        .map(|reserve| {
            [plot.x.from, plot.x.to].map(|x| Valued {
                x,
                value: reserve,
                low: reserve,
                high: reserve,
            })
        });
    // Named above the plot: on a flat year a label would lie across the lines.
    let ways: &[&str] = match wanted {
        Some(_) => &[
            "line: the median; band: nine years in ten; dashed: your reserve; dot: the leanest week",
            "line: median; band: nine in ten; dashed: reserve; dot: leanest week",
            "band: nine years in ten; dashed: reserve; dot: leanest week",
            "line: median; band: nine in ten; dashed: reserve",
            "band: nine years in ten; dashed: reserve",
            "dashed: your reserve",
        ],
        None => &["line: median; band: nine years in ten", "band: nine years in ten"],
    };
    let room_mm = plot.right_mm - plot.left_mm - UNIT_MM;
    let fits = ways.iter().find(|words| QUIET.width_mm(words) <= room_mm);
    let remark = crate::elevation::fitted(fits.unwrap_or(&ways[ways.len() - 1]), room_mm, QUIET);
    let place = at(plot.right_mm, plot.top_mm - 0.5 * LABEL_MM);
    plot.drawing.text(place, Anchor::End, &remark, QUIET, "");
    plot.edges(&points, "reserve");
    line(&mut plot, &points, false);
    if let Some(wanted) = &wanted {
        line(&mut plot, wanted, true);
    }
    if let Some(leanest) = &leanest {
        lean(&mut plot, leanest, unit.factor);
    }
    plot.drawing.description = described(&points, leanest.as_ref(), unit.factor, &unit.name);
    Some(plot.drawing)
}

fn day(week: u32) -> f64 {
    (7.0 * f64::from(week.saturating_sub(1)) + MIDDLE_DAYS).min(364.5)
}

fn line(plot: &mut Plot, points: &[Valued], dashed: bool) {
    let points = points
        .iter()
        .map(|point| plot.place(point.x, point.value))
        .collect();
    plot.drawing.push(
        Shape::Line {
            points,
            stroke: Stroke::Medium,
            ink: Ink::Ink,
            dashed,
        },
        "reserve",
    );
}

/// The week in which it is least sure, in the ink of what must be fixed where the reserve isn't there.
fn lean(plot: &mut Plot, leanest: &Leanest, factor: f64) {
    let place = plot.place(day(leanest.week), leanest.p05_m3 / factor);
    let ink = match leanest.weeks_under {
        0 => Ink::Ink,
        _ => Ink::Must,
    };
    plot.dot(place, ink, "");
}

fn described(points: &[Valued], leanest: Option<&Leanest>, factor: f64, unit: &str) -> String {
    let low = points
        .iter()
        .map(|point| point.value)
        .fold(f64::INFINITY, f64::min);
    let high = points.iter().map(|point| point.value).fold(0.0, f64::max);
    let lean = leanest.map_or_else(String::new, |leanest| {
        format!(
            " The reserve is {:.0} {unit}; one year in twenty has {:.0} {unit} or less in week {}, in {}, the leanest.",
            leanest.reserve_m3 / factor,
            leanest.p05_m3 / factor,
            leanest.week,
            leanest.month
        )
    });
    format!(
        "The least at any midnight of a week: in half of the years {low:.0} {unit} to {high:.0} {unit} through the year.{lean}"
    )
}

impl Axis {
    /// The days of a year, with each month named at its middle.
    fn months() -> Self {
        let ends = Month::ALL.map(|month| f64::from(station::register::DayOfYear::first_of(month).index()));
        let middles = Month::ALL.iter().enumerate().map(|(at, month)| {
            let to = ends.get(at + 1).copied().unwrap_or(365.0);
            let name: String = month.word().chars().take(3).collect();
            (0.5 * (ends[at] + to), name)
        });
        Self::placed(0.0, 365.0, middles)
    }
}
