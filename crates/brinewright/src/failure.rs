//! Everything that can go wrong at the door, in one shape: where, what, and how to mend it.
//!
//! Owns: the list of faults, the exit code, both spellings of a failure. Must not know: which command failed.

use physics::OutOfRange;
use physics::mixing::MixingError;
use serde::Serialize;
use station::quantity::QuantityFault;

/// The place of a fault that no single option has.
pub(crate) const COMMAND_LINE: &str = "command line";

/// One fault, tied to what caused it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Fault {
    /// An option, a file and line, or the part of the machine.
    #[serde(rename = "where")]
    pub(crate) place: String,
    /// What is wrong, a sentence without a full stop.
    pub(crate) what: String,
    /// How to mend it.
    pub(crate) mend: String,
    /// The path of the station's value or section that it is about, where a page has to find it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) path: Option<String>,
}

impl Fault {
    pub(crate) fn new(place: &str, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self {
            place: place.to_owned(),
            what: what.into(),
            mend: mend.into(),
            path: None,
        }
    }

    /// A name that a section can't have.
    pub(crate) fn no_name(name: &str) -> Self {
        let what = match name {
            "" => "it has no name".to_owned(),
            name => format!("`{name}` can't be its name"),
        };
        Self::new("name", what, "use letters, digits and hyphens")
    }

    /// The same, of a value or a section of the station.
    pub(crate) fn of(mut self, path: impl Into<Option<String>>) -> Self {
        self.path = path.into();
        self
    }

    pub(crate) fn quantity(place: &str, fault: QuantityFault) -> Self {
        Self::new(place, fault.what, fault.mend)
    }

    /// A value outside the range of a correlation, in as many digits as a person needs.
    pub(crate) fn out_of_range(place: &str, error: &OutOfRange) -> Self {
        let range = &error.range;
        let unit = match range.unit {
            "" => String::new(),
            unit => format!(" {unit}"),
        };
        Self::new(
            place,
            format!(
                "{} of {}{unit} is outside the valid {} to {}{unit}",
                range.quantity,
                short(error.value),
                short(range.min),
                short(range.max)
            ),
            "check the value and its unit",
        )
    }

    /// Inputs whose doubt leaves no answer.
    pub(crate) fn too_doubtful() -> Self {
        Self::new(
            COMMAND_LINE,
            "the doubt of the inputs reaches so far that most of it can't be",
            "give a smaller ±, or say what the label leaves open",
        )
    }

    /// A mixture that was refused; `places` tells which option gave the quantity of that name.
    pub(crate) fn mixing(error: &MixingError, places: &[(&str, &str)], otherwise: &str) -> Self {
        let place_of = |quantity: &str| {
            places
                .iter()
                .find(|(name, _)| *name == quantity)
                .map_or(otherwise, |(_, place)| place)
        };
        let litres = |volume_m3: f64| format!("{} L", short(volume_m3 * 1000.0));
        let what = match *error {
            MixingError::OutOfRange(ref error) => {
                return Self::out_of_range(place_of(error.range.quantity), error);
            }
            MixingError::LabelImpossible {
                dry_mass_kg,
                least_dry_mass_kg,
                ..
            } => format!(
                "the label promises more salt than the bag holds: that water takes {} kg of salt even without any \
                 water in it, and the bag has {} kg, {} % of it",
                short(least_dry_mass_kg),
                short(dry_mass_kg),
                (1000.0 * dry_mass_kg / least_dry_mass_kg).floor() / 10.0
            ),
            MixingError::LabelTooWeak {
                strength,
                least_strength,
                ..
            } => format!(
                "by the label only {} % of the mix would be salt; less than {} % is not believed",
                short(strength * 100.0),
                short(least_strength * 100.0)
            ),
            MixingError::RemainderTooStrong {
                water_only_practical_salinity,
                least_finished_volume_m3,
            } => format!(
                "the remainder is too strong: fresh water alone brings it to a salinity of {:.1}, and the wanted \
                 one is met from {} on",
                water_only_practical_salinity,
                litres(least_finished_volume_m3)
            ),
            MixingError::FinishedVolumeTooSmall {
                least_finished_volume_m3,
            } => format!(
                "the remainder and the salt it needs fill {} already",
                litres(least_finished_volume_m3)
            ),
            MixingError::WrongDirection { measured, target } => format!(
                "no amount of that brings the water from a salinity of {} to {}",
                short(measured),
                short(target)
            ),
            MixingError::TargetBeyondReplacement {
                measured,
                target,
                replacement,
            } => format!(
                "replacing water of salinity {} by water of {} never reaches {}",
                short(measured),
                short(replacement),
                short(target)
            ),
            ref other => other.to_string(),
        };
        Self::new(otherwise, what, error.mend())
    }
}

/// Why nothing was done: all faults that were found, and whose they are.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Failure {
    pub(crate) faults: Vec<Fault>,
    /// The same for a person, where it was drawn already: text of a file underlined.
    drawn: Option<String>,
    exit_code: u8,
}

impl Failure {
    /// The input or the command line is wrong.
    pub(crate) fn input(faults: Vec<Fault>) -> Self {
        Self {
            faults,
            drawn: None,
            exit_code: 2,
        }
    }

    /// Anything else.
    pub(crate) fn other(fault: Fault) -> Self {
        Self {
            faults: vec![fault],
            drawn: None,
            exit_code: 1,
        }
    }

    /// Faults of a file, drawn at their places.
    pub(crate) fn drawn(faults: Vec<Fault>, drawn: String) -> Self {
        Self {
            faults,
            drawn: Some(drawn),
            exit_code: 2,
        }
    }

    pub(crate) fn exit_code(&self) -> u8 {
        self.exit_code
    }

    /// For standard error.
    pub(crate) fn text(&self) -> String {
        if let Some(drawn) = &self.drawn {
            return drawn.clone();
        }
        let width = crate::cli::page::WIDTH;
        let mut lines = Vec::new();
        for Fault {
            place, what, mend, ..
        } in &self.faults
        {
            let what = if place == COMMAND_LINE || what.starts_with(place.as_str()) {
                what.clone()
            } else {
                format!("{place}: {what}")
            };
            for (head, text) in [("error: ", &what), (" mend: ", mend)] {
                let options = textwrap::Options::new(width)
                    .initial_indent(head)
                    .subsequent_indent("       ")
                    .break_words(false)
                    .word_splitter(textwrap::WordSplitter::NoHyphenation);
                if !text.is_empty() {
                    lines.extend(textwrap::wrap(text, options).into_iter().map(String::from));
                }
            }
        }
        lines.join("\n") + "\n"
    }

    /// For standard output, with `--json`.
    pub(crate) fn json(&self) -> String {
        #[derive(Serialize)]
        struct Errors<'f> {
            format: u32,
            errors: &'f [Fault],
        }
        let errors = Errors {
            format: 1,
            errors: &self.faults,
        };
        serde_json::to_string(&errors).expect("texts always serialize") + "\n"
    }
}

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Self {
        Self::input(vec![fault])
    }
}

/// Gathers faults, so that a person sees all of them at once.
#[derive(Debug, Default)]
pub(crate) struct Gathered(Vec<Fault>);

impl Gathered {
    /// The value, or nothing and one fault more.
    pub(crate) fn take<T>(&mut self, read: Result<T, Fault>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(fault) => {
                self.0.push(fault);
                None
            }
        }
    }

    pub(crate) fn push(&mut self, fault: Fault) {
        self.0.push(fault);
    }

    /// What was read, if no fault was found on the way.
    pub(crate) fn settle<T>(self, read: Option<T>) -> Result<T, Failure> {
        match read {
            Some(read) if self.0.is_empty() => Ok(read),
            _ => Err(Failure::input(self.0)),
        }
    }
}

/// Broken into lines of so many columns, never inside a word.
fn narrowed(text: &str, columns: usize) -> String {
    let options = textwrap::Options::new(columns)
        .break_words(false)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::wrap(text, options).join("\n")
}

/// A fault of a station file, with the text underlined.
pub(crate) fn snippet(name: &str, text: &str, fault: &station::Fault) -> String {
    use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
    let start = fault.span.start.min(text.len());
    let end = fault.span.end.clamp(start, text.len());
    // One line is enough to see the place; a value that runs on is cut where its line ends.
    let end = text[start..end].find('\n').map_or(end, |at| start + at);
    let underlined = AnnotationKind::Primary.span(start..end);
    let underlined = if fault.why.is_empty() {
        underlined
    } else {
        underlined.label(&fault.why)
    };
    let (what, mend) = (narrowed(&fault.what, 73), narrowed(&fault.mend, 68));
    let group = Level::ERROR
        .primary_title(&what)
        .element(Snippet::source(text).path(name).annotation(underlined));
    let group = if mend.is_empty() {
        group
    } else {
        group.element(Level::HELP.with_name("mend").message(&mend))
    };
    Renderer::plain().render(&[group]) + "\n"
}

/// Five significant digits, without the zeros at the end.
fn short(value: f64) -> String {
    if !value.is_finite() || value.abs() <= 0.0 {
        return format!("{value}");
    }
    if !(1e-4..1e6).contains(&value.abs()) {
        return format!("{value:e}");
    }
    let exponent = exponent_of(value.abs());
    let decimals = usize::try_from(4 - exponent).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Power of ten of the first digit, from the scientific spelling.
fn exponent_of(value: f64) -> i32 {
    format!("{value:e}")
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse().ok())
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn numbers_in_messages_are_short() {
        for (value, text) in [
            (0.0, "0"),
            (35.0, "35"),
            (-2.0, "-2"),
            (997.047_576, "997.05"),
            (1.333_001_2, "1.333"),
            (1e6, "1e6"),
            (1e-9, "1e-9"),
            (217_950.4, "217950"),
            (19.441_7, "19.442"),
            (f64::NAN, "NaN"),
        ] {
            assert_eq!(short(value), text);
        }
    }
}
