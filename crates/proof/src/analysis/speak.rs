//! Quantities in sentences, and round values for remedies, in the owner's units.

use station::quantity::{
    Kind, UnitSystem, format_about, format_interval, format_plain, format_tape, unit_for,
};
use station::{Edit, Station};

pub(crate) use station::{shown, spoken};

use crate::figure::Figure;
use crate::method::Beyond;

/// A quantity in a sentence.
pub(crate) fn say(station: &Station, kind: Kind, si: f64) -> String {
    format_plain(kind, si, station.units(), &station.currency())
}

/// A price in a sentence that says "about": whole from ten up.
pub(crate) fn say_price(station: &Station, price: f64) -> String {
    format_about(price, &station.currency())
}

/// That a range was left, in the owner's units.
pub(crate) fn left(station: &Station, beyond: &Beyond) -> String {
    let unit = unit_for(beyond.kind, beyond.ends[1], station.units(), &station.currency());
    let [least, most] = beyond.ends.map(|si| {
        let number = (si - unit.offset) / unit.factor;
        format_plain(Kind::Number, number, UnitSystem::Si, &station.currency())
    });
    format!(
        "{} is beyond {least} to {most} {}, for which the model was made: it extrapolates",
        beyond.quantity, unit.name
    )
}

/// A place in a sentence for a figure, which is printed there once its interval is known: to no more digits
/// than its doubt supports.
pub(crate) fn figure(key: &str) -> String {
    format!("{OPEN}{key}{CLOSE}")
}

const OPEN: char = '\u{2045}';
const CLOSE: char = '\u{2046}';

/// Prints the figures of a sentence into their places, and puts the owner's names in it into plain words.
pub(crate) fn print_figures(station: &Station, sentence: &str, figures: &[Figure]) -> String {
    let mut out = String::with_capacity(sentence.len());
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once(OPEN) {
        let Some((key, behind)) = after.split_once(CLOSE) else {
            break;
        };
        out.push_str(before);
        if let Some(figure) = figures.iter().find(|figure| figure.key == key) {
            let shown = format_interval(
                figure.kind,
                figure.value,
                figure.half_width(),
                station.units(),
                &station.currency(),
            );
            out.push_str(&shown.value_with_unit());
        }
        rest = behind;
    }
    out.push_str(rest);
    station.in_words(&out)
}

/// A length as a tape reads it.
pub(crate) fn tape(station: &Station, length_m: f64) -> String {
    format_tape(length_m, station.units())
}

/// An edit that sets a length, rounded up or down to what one can mark: 5 mm, or a quarter of an inch.
pub(crate) fn set_length(station: &Station, path: String, length_m: f64, up: bool) -> Edit {
    let step = mark_step_m(station);
    let steps = length_m / step;
    let steps = if up {
        (steps - 1e-6).ceil()
    } else {
        (steps + 1e-6).floor()
    };
    let text = tape(station, steps.max(0.0) * step);
    let kept = kept_spread(station, &path);
    Edit::quoted(path, &format!("{text}{kept}"))
}

/// An edit that puts a mark at a level: where a hand left it, on the nearest 5 mm or quarter of an inch. The ± of the old
/// value stays.
pub fn mark_edit(station: &Station, path: &str, level_m: f64) -> Edit {
    // The next step above half a step below is the nearest.
    let from_m = level_m - 0.5 * mark_step_m(station);
    set_length(station, path.to_owned(), from_m.max(0.0), true)
}

/// From one place of a mark to the next, m: 5 mm, or a quarter of an inch.
pub fn mark_step_m(station: &Station) -> f64 {
    match station.units() {
        UnitSystem::Si => 0.005,
        UnitSystem::Us => 0.0254 / 4.0,
    }
}

/// The ± that the old value carries: a remedy moves a mark, it doesn't make it surer.
fn kept_spread(station: &Station, path: &str) -> String {
    let old = station
        .span_of(path)
        .and_then(|span| station.text.get(span))
        .unwrap_or_default();
    let old = old.trim_matches(['"', '\'']);
    ["±", "+/-", " within "]
        .iter()
        .find_map(|sign| {
            old.split_once(sign)
                .map(|(_, spread)| format!(" {} {}", sign.trim(), spread.trim()))
        })
        .unwrap_or_default()
}

/// An edit that sets a volume, rounded up or down to whole litres or gallons.
pub(crate) fn set_volume(station: &Station, path: String, volume_m3: f64, up: bool) -> Edit {
    let (step, unit) = match station.units() {
        UnitSystem::Si => (1e-3, "L"),
        UnitSystem::Us => (3.785_411_784e-3, "gal"),
    };
    let count = volume_m3 / step;
    let count = if up {
        (count - 1e-6).ceil()
    } else {
        (count + 1e-6).floor()
    };
    let kept = kept_spread(station, &path);
    Edit::quoted(path, &format!("{} {unit}{kept}", count.max(0.0)))
}

/// A quantity as an edit writes it: few digits, a plain unit.
pub(crate) fn set_round(station: &Station, path: &str, kind: Kind, si: f64) -> Edit {
    let (unit, factor) = match (kind, station.units()) {
        (Kind::Flow, UnitSystem::Si) => ("mL/min", 1e-6 / 60.0),
        (Kind::Flow, UnitSystem::Us) => ("gal/day", 3.785_411_784e-3 / 86_400.0),
        (Kind::Volume, UnitSystem::Si) => ("L", 1e-3),
        (Kind::Volume, UnitSystem::Us) => ("gal", 3.785_411_784e-3),
        _ => ("", 1.0),
    };
    let value = si / factor;
    let step = libm::pow(10.0, libm::floor(libm::log10(value.abs().max(1e-9))) - 1.0);
    // Volumes reach what they must, flows come as near as they can.
    let rounded = match kind {
        Kind::Flow => libm::round(value / step) * step,
        _ => libm::ceil(value / step - 1e-9) * step,
    };
    // As many decimals as the step has.
    let decimals = (-libm::floor(libm::log10(step))).max(0.0) as usize;
    let text = format!("{rounded:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    Edit::quoted(path, format!("{text} {unit}").trim_end())
}

/// `north`, `south` and `west`.
pub(crate) fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
