//! Reading what stands behind an option.

use crate::failure::{COMMAND_LINE, Fault, Gathered};
use crate::task::dry_mix::DryMix;
use physics::mixing::STRENGTH_RANGE;
use physics::seawater::DENSITY_TEMPERATURE;
use station::label::read_label;
use station::quantity::{Amount, Currency, Kind, read_amount, read_salinity};

/// A quantity of this kind.
pub(crate) fn amount(option: &str, text: &str, kind: Kind) -> Result<Amount, Fault> {
    read_amount(text, kind, &Currency::default()).map_err(|fault| Fault::quantity(option, fault))
}

/// A volume or mass above nothing, also at the low end of its doubt.
pub(crate) fn above_zero(option: &str, text: &str, kind: Kind) -> Result<Amount, Fault> {
    let read = amount(option, text, kind)?;
    if read.si <= 0.0 {
        return Err(Fault::new(
            option,
            format!("`{text}` isn't above zero"),
            "check the number",
        ));
    }
    if read.spread.half_width >= read.si {
        return Err(Fault::new(
            option,
            format!("the doubt of `{text}` reaches down to nothing"),
            "check the ±; it is two standard uncertainties",
        ));
    }
    Ok(read)
}

/// A temperature of liquid water that the formulas know.
pub(crate) fn temperature(option: &str, text: &str) -> Result<Amount, Fault> {
    let read = amount(option, text, Kind::Temperature)?;
    match DENSITY_TEMPERATURE.require(read.si) {
        Ok(_) => Ok(read),
        Err(error) => Err(Fault::out_of_range(option, &error)),
    }
}

/// A salinity on any scale; `temperature` is that of the sample.
pub(crate) fn salinity(option: &str, text: &str, temperature: Option<Amount>) -> Result<Amount, Fault> {
    read_salinity(text, temperature.map(|amount| amount.si)).map_err(|fault| Fault::quantity(option, fault))
}

/// A required option, or the fault that it is lacking.
pub(crate) fn required<'t>(option: &str, text: Option<&'t String>, example: &str) -> Result<&'t str, Fault> {
    text.map(String::as_str).ok_or_else(|| {
        Fault::new(
            option,
            format!("{option} is needed"),
            format!("add {option} {example}"),
        )
    })
}

/// Exactly one of several options.
pub(crate) fn one_of<'o, T>(options: &[(&'o str, Option<T>)], example: &str) -> Result<&'o str, Fault> {
    let given: Vec<&str> = options
        .iter()
        .filter(|(_, value)| value.is_some())
        .map(|(name, _)| *name)
        .collect();
    let all: Vec<&str> = options.iter().map(|(name, _)| *name).collect();
    match given[..] {
        [name] => Ok(name),
        [] => Err(Fault::new(
            COMMAND_LINE,
            format!("one of {} is needed", list(&all, "or")),
            format!("such as {example}"),
        )),
        _ => Err(Fault::new(
            COMMAND_LINE,
            format!("{} say the same thing; which one holds?", list(&given, "and")),
            "give one of them",
        )),
    }
}

/// The mix in hand, where anything is said of it.
pub(crate) fn dry_mix(
    strength: Option<&String>,
    label: Option<&String>,
    faults: &mut Gathered,
) -> Option<DryMix> {
    match (strength, label) {
        (None, None) => None,
        (Some(_), Some(_)) => {
            faults.push(Fault::new(
                COMMAND_LINE,
                "--anhydrous-fraction and --label both say how strong the mix is; which one holds?",
                "give one of them",
            ));
            None
        }
        (Some(text), None) => faults
            .take(strength_of("--anhydrous-fraction", text))
            .map(DryMix::Strength),
        (None, Some(text)) => faults
            .take(read_label(text).map_err(|fault| Fault::quantity("--label", fault)))
            .map(DryMix::Label),
    }
}

/// That nothing is known of the mix.
pub(crate) fn no_mix() -> Fault {
    Fault::new(
        COMMAND_LINE,
        "nothing tells how strong the mix is",
        "add --label \"20 kg makes 540 L at 35\" from its bag, or --anhydrous-fraction 0.93",
    )
}

fn strength_of(option: &str, text: &str) -> Result<Amount, Fault> {
    let read = amount(option, text, Kind::Fraction)?;
    match STRENGTH_RANGE.require(read.si) {
        Ok(_) => Ok(read),
        Err(error) => Err(Fault::new(
            option,
            format!(
                "`{text}` is outside the {} to {} of mixes that are believed",
                error.range.min, error.range.max
            ),
            "it is the share of the mix that is salt, the rest being water of crystallisation",
        )),
    }
}

pub(crate) fn list(words: &[&str], joint: &str) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [before @ .., last] => format!("{} {joint} {last}", before.join(", ")),
    }
}
