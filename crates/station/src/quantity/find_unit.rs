//! Finding the unit of a number: of the right kind, in any of its spellings, or as a price.

use super::read::{Currency, QuantityFault, example};
use super::{Kind, Unit, unit};

/// A unit as it was found: a table entry, or a price made of the currency and a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct UnitUsed {
    pub(super) factor: f64,
    pub(super) offset: f64,
}

impl UnitUsed {
    pub(super) const NONE: Self = Self {
        factor: 1.0,
        offset: 0.0,
    };

    pub(super) fn to_si(self, value: f64) -> f64 {
        value * self.factor + self.offset
    }

    pub(super) fn difference_to_si(self, value: f64) -> f64 {
        value * self.factor
    }
}

impl From<&Unit> for UnitUsed {
    fn from(unit: &Unit) -> Self {
        Self {
            factor: unit.factor,
            offset: unit.offset,
        }
    }
}

pub(super) fn find_unit(text: &str, kind: Kind, currency: &Currency) -> Result<UnitUsed, QuantityFault> {
    match kind {
        Kind::Money => {
            return find_money_unit(text, currency).ok_or_else(|| unknown_money(text, kind, currency));
        }
        Kind::PricePerVolume => return find_price_unit(text, Kind::Volume, kind, currency),
        Kind::PricePerEnergy => return find_price_unit(text, Kind::Energy, kind, currency),
        Kind::PricePerMass => return find_price_unit(text, Kind::Mass, kind, currency),
        Kind::PricePerTime => return find_price_unit(text, Kind::Time, kind, currency),
        Kind::Salinity if matches!(text.to_ascii_lowercase().as_str(), "ppt" | "psu" | "‰" | "sp") => {
            return Ok(UnitUsed::NONE);
        }
        _ => {}
    }
    if let Some(unit) = unit::find(kind, text) {
        return Ok(unit.into());
    }
    // Milligrams of what? A factor of 1.2 lies between the two usual answers.
    if kind == Kind::Alkalinity && matches!(text.to_ascii_lowercase().as_str(), "mg/l" | "ppm") {
        return Err(QuantityFault::new(
            format!("`{text}` doesn't say of what: hardness and alkalinity are counted as CaCO3 or as HCO3"),
            format!(
                "write \"{text} CaCO3\", as most reports and strips have it, or \"{text} HCO3\", or use dKH"
            ),
        ));
    }
    let other_kinds: Vec<Kind> = unit::kinds_with(text).collect();
    if let Some(other) = other_kinds.first() {
        return Err(QuantityFault::new(
            format!(
                "`{text}` measures {}, where {} is wanted",
                other.with_article(),
                kind.with_article()
            ),
            example(kind, currency),
        ));
    }
    let mend = match nearest_unit(text, kind) {
        Some(name) => format!("did you mean `{name}`?"),
        None => example(kind, currency),
    };
    let what = if text.is_empty() {
        "a number has no unit".to_owned()
    } else {
        format!("`{text}` is no unit known here for {}", kind.with_article())
    };
    Err(QuantityFault::new(what, mend))
}

fn nearest_unit(text: &str, kind: Kind) -> Option<&'static str> {
    unit::units_of(kind)
        .flat_map(|unit| {
            core::iter::once(unit.name)
                .chain(unit.also.iter().copied())
                .map(move |spelling| (spelling, unit.name))
        })
        .map(|(spelling, name)| (strsim::damerau_levenshtein(spelling, text), name))
        .filter(|(distance, name)| *distance <= 1 || (*distance <= 2 && name.len() > 4))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

fn find_money_unit(text: &str, currency: &Currency) -> Option<UnitUsed> {
    let is_sign = currency.sign().is_some_and(|sign| text == sign.to_string());
    match text {
        "sign" => Some(UnitUsed::NONE),
        "ct" | "cent" | "cents" | "p" => Some(UnitUsed {
            factor: 0.01,
            offset: 0.0,
        }),
        _ if is_sign || text.eq_ignore_ascii_case(currency.code()) => Some(UnitUsed::NONE),
        _ => None,
    }
}

fn find_price_unit(
    text: &str,
    per: Kind,
    kind: Kind,
    currency: &Currency,
) -> Result<UnitUsed, QuantityFault> {
    let parts = text.split_once('/').or_else(|| text.split_once(" per "));
    let parts = parts.or_else(|| Some((text.strip_suffix(" per")?, "")));
    let Some((money, unit_text)) = parts else {
        return Err(unknown_money(text, kind, currency));
    };
    let (money, unit_text) = (money.trim(), unit_text.trim());
    let money = if money.is_empty() { "sign" } else { money };
    let money = find_money_unit(money, currency).ok_or_else(|| unknown_money(money, kind, currency))?;
    if unit_text.is_empty() {
        return Err(QuantityFault::new(
            format!("`{text}` doesn't say for how much"),
            example(kind, currency),
        ));
    }
    let unit = find_unit(unit_text, per, currency)?;
    Ok(UnitUsed {
        factor: money.factor / unit.factor,
        offset: 0.0,
    })
}

fn unknown_money(text: &str, kind: Kind, currency: &Currency) -> QuantityFault {
    let what = if text.is_empty() {
        "a number has no unit".to_owned()
    } else {
        format!(
            "`{text}` is no {}; this station's currency is {}",
            if kind == Kind::Money { "money" } else { "price" },
            currency.code()
        )
    };
    QuantityFault::new(
        what,
        format!(
            "{}; another currency goes into [display]",
            example(kind, currency)
        ),
    )
}
