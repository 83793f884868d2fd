//! How soon single wrong moves do harm, on a scale from seconds to days.

use proof::{Cause, Mistakes, Severity};
use station::quantity::{Currency, Kind, UnitSystem, format_interval, format_rough_time};
use station::{shown, spoken};

use super::rows::{Rows, told};
use crate::drawing::{Drawing, Ink, Shape, Stroke, at};

/// Where the scale begins: sooner is at once (house rule: nobody turns a valve back within a second).
const AT_ONCE_S: f64 = 1.0;
/// Rows that are still looked at (house rule).
const MOST: usize = 12;
const DOT_MM: f64 = 1.5;
/// Ticks of the scale.
const TICKS: [(f64, &str); 8] = [
    (1.0, "1 s"),
    (10.0, "10 s"),
    (60.0, "1 min"),
    (600.0, "10 min"),
    (3600.0, "1 h"),
    (36_000.0, "10 h"),
    (86_400.0, "1 day"),
    (864_000.0, "10 days"),
];

/// A row for each cause, soonest first, in the ink of its weight; `None` where no wrong move does harm.
pub fn soon_by_cause(all: &Mistakes, width_mm: f64) -> Option<Drawing> {
    let mut causes: Vec<&Cause> = all
        .causes
        .iter()
        .filter(|own| own.seconds_to_harm.is_finite())
        .collect();
    causes.sort_by(|a, b| a.seconds_to_harm.total_cmp(&b.seconds_to_harm));
    let in_all = causes.len();
    causes.truncate(MOST);
    let longest_s = causes.last()?.seconds_to_harm.max(60.0);
    let share = |seconds: f64| libm::log(seconds.max(AT_ONCE_S)) / libm::log(longest_s);
    let remark = match in_all > MOST {
        true => format!("the {MOST} soonest of {in_all}, by the flow that each begins with"),
        false => "by the flow that each begins with".to_owned(),
    };
    let title = "How soon a wrong move does harm";
    let named: Vec<(String, String)> = causes.iter().map(|cause| (named(cause), soon(cause))).collect();
    let mut rows = Rows::new(title, &remark, width_mm, &named, true);
    let ticks: Vec<(f64, String)> = TICKS
        .iter()
        .filter(|(seconds, _)| *seconds <= longest_s)
        .map(|(seconds, text)| (share(*seconds), (*text).to_owned()))
        .collect();
    rows.ticks(&ticks);
    for (row, cause) in causes.iter().enumerate() {
        let ink = match cause.severity {
            Severity::Must => Ink::Must,
            Severity::Should => Ink::Should,
            Severity::Note => Ink::Second,
        };
        let path = cause.place.as_str();
        rows.words(row, path);
        let [above, below] = rows.bar(row);
        let middle = 0.5 * (above + below);
        let end = rows.along(share(cause.seconds_to_harm));
        let line = vec![at(rows.left_mm, middle), at(end, middle)];
        rows.drawing.line(line, Stroke::Medium, Ink::Ink, path);
        let centre = at(end.clamp(rows.left_mm + DOT_MM, rows.right_mm - DOT_MM), middle);
        rows.drawing.push(
            Shape::Dot {
                centre,
                radius_mm: DOT_MM,
                ink,
            },
            path,
        );
    }
    rows.drawing.description = format!("Soonest first. {}", told(&named));
    Some(rows.drawing)
}

fn soon(cause: &Cause) -> String {
    match cause.seconds_to_harm {
        ..AT_ONCE_S => "at once".to_owned(),
        seconds => match &cause.time {
            // To the digits that its sentence has.
            Some(time) => {
                let (half, currency) = (time.half_width(), Currency::default());
                format_interval(Kind::Time, time.value, half, UnitSystem::Si, &currency).value_with_unit()
            }
            None => format_rough_time(seconds),
        },
    }
}

/// What is turned, and what it does: `Salt into fresh, by salt out`.
fn named(cause: &Cause) -> String {
    let kind = shown(cause.kind.word());
    match cause.moves.first() {
        Some(own) if !own.moved.is_empty() => format!("{kind}: {} {}", spoken(&own.moved), own.turned),
        Some(own) => format!("{kind}: {}", spoken(&own.lineup)),
        None => kind,
    }
}
