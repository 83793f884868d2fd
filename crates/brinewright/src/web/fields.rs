//! Fields of the file by their paths: what they are called, which unit they show, how what is typed in one stands in the file.

use serde::Deserialize;
use station::edit::{Written, is_name, lines_as_pairs, named};
use station::quantity::{
    Currency, Kind, SpreadShape, UnitSystem, as_written, format_amount, read_amount, unit_for, written_unit,
};
use station::register::{FieldSpec, Form, Need, SectionSpec, days_meant};
use station::sections::REGISTER;
use station::{Edit, shown};

use crate::failure::Fault;

/// A value as one writes it in the file, without quotes where it is text, or as one types it in a field.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Set {
    path: String,
    text: String,
}

impl Set {
    /// The edit of a file with this text.
    ///
    /// # Errors
    /// [`Fault`] where what was typed may mean two things.
    pub(super) fn edit(&self, file: &Written<'_>) -> Result<Edit, Fault> {
        let form = found(&self.path).map(|(_, field)| (field, field.form));
        if let Some((_, Form::LevelTable | Form::PumpTable)) = form {
            return Ok(Edit {
                path: self.path.clone(),
                text: lines_as_pairs(&self.text).map_err(|line| self.no_pair(line))?,
            });
        }
        if let Some((_, Form::Weekdays)) = form
            && let Some(days) = days_meant(&plain(self.text.trim()))
        {
            return Ok(Edit::quoted(self.path.clone(), &days));
        }
        if let Some((field, Form::Quantity(kind))) = form {
            let typed = plain(self.text.trim());
            let unit = unit(field, kind, file.value(&self.path), &Owner::of(file));
            let written = as_written(&typed, kind, unit.as_deref())
                .map_err(|fault| Fault::quantity(&self.path, fault).of(self.path.clone()))?;
            if written != typed.trim() {
                return Ok(Edit::quoted(self.path.clone(), &written));
            }
        }
        Ok(self.as_it_is(file))
    }

    fn no_pair(&self, line: &str) -> Fault {
        Fault::new(
            &self.path,
            format!("`{line}` is no pair"),
            "write two values with a comma between, and decimals with a point, such as 15 L/min, 3.9 m",
        )
        .of(self.path.clone())
    }

    /// Numbers, truths and lists as they are, all else in quotes; quotes that stand there already stay.
    fn as_it_is(&self, file: &Written<'_>) -> Edit {
        let text = self.text.trim();
        let old = file.value(&self.path);
        let was_text = old.is_some_and(|old| old.starts_with(['"', '\'']));
        let plain = text.parse::<f64>().is_ok() || matches!(text, "true" | "false");
        let listed = text.starts_with(['[', '{', '"', '\'']);
        if listed || plain && !was_text {
            Edit {
                path: self.path.clone(),
                text: text.to_owned(),
            }
        } else {
            Edit::quoted(self.path.clone(), text)
        }
    }
}

/// What the owner of a file reads.
pub(super) struct Owner {
    /// Gallons, or litres.
    pub(super) units: UnitSystem,
    /// The money of the file.
    pub(super) currency: Currency,
}

impl Owner {
    pub(super) fn of(file: &Written<'_>) -> Self {
        let said = |path: &str| file.value(path).map(plain);
        Self {
            units: match said("display.units").as_deref() {
                Some("US") => UnitSystem::Us,
                _ => UnitSystem::Si,
            },
            currency: said("display.currency")
                .and_then(|code| Currency::new(&code))
                .unwrap_or_default(),
        }
    }

    /// What the register gives, an example or what holds without a value, as the owner would write it, where the file may say
    /// it so.
    pub(super) fn says(&self, text: &str, kind: Kind) -> String {
        // The register's own money is the default's.
        let text = match kind.is_of_money() {
            true => text.replace(Currency::default().code(), self.currency.code()),
            false => text.to_owned(),
        };
        if self.units == UnitSystem::Si || kind.is_unitless() {
            return text;
        }
        let said = read_amount(&text, kind, &self.currency)
            .ok()
            // Limits are told in words of their own.
            .filter(|own| own.spread.is_none() || own.spread.shape == SpreadShape::Normal)
            .map(|own| format_amount(kind, own, self.units, &self.currency))
            .filter(|said| read_amount(said, kind, &self.currency).is_ok());
        said.unwrap_or(text)
    }
}

/// The unit that a field shows, which a bare number is taken in: that of its value, of what holds without one, or of its
/// example; nothing where it has none, or more than one.
pub(super) fn unit(field: &FieldSpec, kind: Kind, value: Option<&str>, owner: &Owner) -> Option<String> {
    let own = |text: &str| written_unit(text).map(str::to_owned);
    if let Some(value) = value {
        return own(&plain(value));
    }
    let example = plain(field.example);
    let text = match field.need {
        Need::Default { text, .. } => text,
        Need::Required | Need::Optional => &example,
    };
    in_units(text, kind, owner).or_else(|| own(&owner.says(text, kind)))
}

/// The unit of what the register gives as a reader of gallons has it, where the file may say it so.
fn in_units(text: &str, kind: Kind, owner: &Owner) -> Option<String> {
    if owner.units == UnitSystem::Si || kind.is_unitless() {
        return None;
    }
    let own = read_amount(&owner.says(text, kind), kind, &owner.currency).ok()?;
    let unit = unit_for(kind, own.si, owner.units, &owner.currency).name;
    read_amount(&format!("1 {unit}"), kind, &owner.currency)
        .is_ok()
        .then_some(unit)
}

/// The section and the field of a path.
fn found(path: &str) -> Option<(String, &'static FieldSpec)> {
    let (of, key) = path.rsplit_once('.').unwrap_or(("", path));
    REGISTER.iter().find_map(|section| {
        let named = section.table().and_then(|table| {
            let name = of.strip_prefix(table)?.strip_prefix('.')?;
            (!name.contains('.')).then(|| format!("{} {}", kind(section.path), shown(name)))
        });
        let head = match (section.path == of, of) {
            (true, "") => Some("The station".to_owned()),
            (true, of) => Some(capital(&of.replace(['.', '_'], " "))),
            (false, _) => named,
        };
        Some((head?, field(section, key)?))
    })
}

fn field(section: &SectionSpec, key: &str) -> Option<&'static FieldSpec> {
    let cases = section.variants.iter().flat_map(|variants| variants.cases);
    let mut all = section
        .fields
        .iter()
        .chain(cases.flat_map(|(_, fields)| fields.iter()));
    all.find(|field| field.key == key)
}

/// A path as one says it: the section with its name, and what the field is.
pub(super) fn place(path: &str) -> String {
    if let Some((table, name)) = named(path) {
        return format!("{} {}", kind(table), shown(name));
    }
    match found(path) {
        Some((head, field)) => format!("{head}: {}", field.help),
        None => capital(&path.replace(['.', '_', '-'], " ")),
    }
}

/// `vessels.*` as one: `Vessel`.
pub(super) fn kind(path: &str) -> String {
    let table = path.trim_end_matches(".*");
    let last = table.rsplit('.').next().unwrap_or(table).replace('_', " ");
    let single = match last.as_str() {
        "failures" => "How often fails:".to_owned(),
        other => other.strip_suffix('s').unwrap_or(other).to_owned(),
    };
    capital(&single)
}

/// `vessels.*` as one more: `a vessel`.
pub(super) fn a_kind(path: &str) -> String {
    let own = match path {
        "failures.*" => "class of parts that fail".to_owned(),
        "delivered.*" => return "water that is delivered".to_owned(),
        path => kind(path).to_lowercase(),
    };
    match own.starts_with(['a', 'e', 'i', 'o', 'u']) {
        true => format!("an {own}"),
        false => format!("a {own}"),
    }
}

pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase());
    first.into_iter().flatten().chain(letters).collect()
}

/// A value without the quotes of the file.
pub(super) fn plain(text: &str) -> String {
    let quote = text.chars().next().filter(|own| matches!(own, '"' | '\''));
    let Some(quote) = quote else {
        return text.to_owned();
    };
    let inner = text.trim_start_matches(quote).trim_end_matches(quote);
    match quote {
        '"' => inner.replace("\\\"", "\"").replace("\\\\", "\\"),
        _ => inner.to_owned(),
    }
}

/// A section that somebody adds: the table, its name there, and what was typed for its keys.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Added {
    of: String,
    name: String,
    values: Vec<Typed>,
}

/// What was typed for a key.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Typed {
    key: String,
    text: String,
}

impl Added {
    /// The edit that puts it into the file.
    ///
    /// # Errors
    /// Every [`Fault`] of what was typed.
    pub(super) fn edit(&self, file: &Written<'_>) -> Result<Edit, Vec<Fault>> {
        let path = format!("{}.{}", self.of, self.name);
        let (mut values, mut faults) = (Vec::new(), Vec::new());
        if !is_name(&self.name) {
            faults.push(Fault::no_name(&self.name).of(path.clone()));
        }
        for own in &self.values {
            let set = Set {
                path: format!("{path}.{}", own.key),
                text: own.text.clone(),
            };
            match set.edit(file) {
                Ok(edit) => values.push(format!("{} = {}", own.key, edit.text)),
                Err(fault) => faults.push(fault),
            }
        }
        match faults.is_empty() {
            true => Ok(Edit {
                path,
                text: format!("{{ {} }}", values.join(", ")),
            }),
            false => Err(faults),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "[display]\nunits = \"US\"\n[vessels.fresh]\nstop_level = \"29 1/4 in\"\n[tanks.reef]\nvolume = \"900 L ± 5 %\"\nsalinity = 34.5\n";

    #[track_caller]
    fn set(path: &str, text: &str) -> String {
        let own = Set {
            path: path.to_owned(),
            text: text.to_owned(),
        };
        own.edit(&Written::of(FILE)).expect("an edit").text
    }

    #[test]
    fn what_is_typed_stands_in_the_file_with_the_unit_that_was_shown() {
        assert_eq!(set("tanks.reef.volume", "\"850\""), "\"850 L\"");
        assert_eq!(set("vessels.fresh.stop_level", "30"), "\"30 in\"");
        assert_eq!(set("tanks.reef.change_every", "weekly"), "\"1 week\"");
        assert_eq!(set("tanks.reef.change_every", "\"two weeks\""), "\"2 weeks\"");
        assert_eq!(set("people.days", "\"Mon-Fri\""), "\"Monday to Friday\"");
        // Without a value: of what holds without it, and of the example as a reader of gallons has it.
        assert_eq!(set("tanks.reef.emergency_change", "\"50\""), "\"50 %\"");
        assert_eq!(set("tanks.reef.change", "\"20\""), "\"20 gal\"");
        // As it is: no unit, a unit of its own, words, what nobody knows.
        assert_eq!(set("tanks.reef.salinity", "35"), "35");
        assert_eq!(set("tanks.reef.volume", "\"200 gal\""), "\"200 gal\"");
        assert_eq!(set("title", "12"), "12");
        assert_eq!(set("attic.rope", "a rope"), "\"a rope\"");
    }

    #[test]
    fn what_may_mean_two_things_is_refused_at_its_field() {
        let own = Set {
            path: "tanks.reef.emergency_change".to_owned(),
            text: "0.4".to_owned(),
        };
        let fault = own
            .edit(&Written::of(FILE))
            .expect_err("a share or a per cent of one");
        assert_eq!(fault.place, "tanks.reef.emergency_change");
        assert!(fault.mend.contains("\"40 %\""), "{}", fault.mend);
    }
}
