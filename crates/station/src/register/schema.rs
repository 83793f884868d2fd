//! The register as a JSON Schema (draft 2020-12), for editors that check and complete a station file.
//!
//! Owns: the schema's text. What only the whole file shows, such as a level above a rim, is left to the reader;
//! the schema refuses nothing that the reader takes.

use core::fmt::Write as _;

use super::{FieldSpec, Form, Need, SectionSpec, Variants, WEEKDAYS, Word};
use crate::quantity::Kind;
use crate::sections::{Month, REGISTER, VesselFields};

/// The JSON Schema of a station file.
///
/// # Examples
/// ```
/// let schema = station::register::json_schema();
/// assert!(schema.contains("\"$schema\": \"https://json-schema.org/draft/2020-12/schema\""));
/// ```
pub fn json_schema() -> String {
    let mut properties = Vec::new();
    let mut required = Vec::new();
    for section in REGISTER {
        let path = section.path;
        if path.is_empty() {
            properties.extend(
                section
                    .fields
                    .iter()
                    .map(|field| (field.key.to_owned(), value(field))),
            );
            required.extend(required_keys(section.fields));
        } else if let Some(name) = path.strip_suffix(".*") {
            let at_least_one = path == VesselFields::SPEC.path;
            if at_least_one {
                required.push(Json::text(name));
            }
            properties.push((name.to_owned(), named_sections(section, at_least_one)));
        } else {
            properties.push((path.to_owned(), table(section)));
        }
    }
    let schema = object([
        (
            "$schema",
            Json::text("https://json-schema.org/draft/2020-12/schema"),
        ),
        ("title", Json::text("Station file")),
        (
            "description",
            Json::text("A make-up water station. A quantity is text with a unit: \"200 L\"."),
        ),
        ("type", Json::text("object")),
        ("properties", Json::Object(properties)),
        ("required", Json::List(required)),
        ("additionalProperties", Json::Raw("false".to_owned())),
    ]);
    let mut text = String::new();
    schema.write(&mut text, 0);
    text.push('\n');
    text
}

/// A JSON value on its way to text.
enum Json {
    /// A string, not yet escaped.
    Text(String),
    /// A number, a word or a value that is JSON already.
    Raw(String),
    List(Vec<Self>),
    Object(Vec<(String, Self)>),
}

impl Json {
    fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    fn texts<'t>(texts: impl IntoIterator<Item = &'t str>) -> Self {
        Self::List(texts.into_iter().map(Self::text).collect())
    }

    /// Writes it, members on lines of their own, lists of plain values on one line.
    fn write(&self, out: &mut String, depth: usize) {
        let indent = |out: &mut String, depth: usize| {
            out.push('\n');
            out.push_str(&"  ".repeat(depth));
        };
        match self {
            Self::Text(text) => write_escaped(out, text),
            Self::Raw(text) => out.push_str(text),
            Self::List(items) => {
                let tall = items.iter().any(|item| matches!(item, Self::Object(_)));
                out.push('[');
                for (index, item) in items.iter().enumerate() {
                    out.push_str(match (index, tall) {
                        (0, _) => "",
                        (_, true) => ",",
                        (_, false) => ", ",
                    });
                    if tall {
                        indent(out, depth + 1);
                    }
                    item.write(out, depth + 1);
                }
                if tall {
                    indent(out, depth);
                }
                out.push(']');
            }
            Self::Object(members) if members.is_empty() => out.push_str("{}"),
            Self::Object(members) => {
                out.push('{');
                for (index, (key, value)) in members.iter().enumerate() {
                    if index > 0 {
                        out.push(',');
                    }
                    indent(out, depth + 1);
                    write_escaped(out, key);
                    out.push_str(": ");
                    value.write(out, depth + 1);
                }
                indent(out, depth);
                out.push('}');
            }
        }
    }
}

fn write_escaped(out: &mut String, text: &str) {
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => {
                // Writing to a string can't fail.
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
}

fn object<const N: usize>(members: [(&str, Json); N]) -> Json {
    Json::Object(
        members
            .into_iter()
            .map(|(key, value)| (key.to_owned(), value))
            .collect(),
    )
}

/// Sections whose names the owner gives.
fn named_sections(section: &SectionSpec, at_least_one: bool) -> Json {
    object([
        ("type", Json::text("object")),
        ("propertyNames", names(section)),
        ("minProperties", Json::Raw(u8::from(at_least_one).to_string())),
        ("additionalProperties", table(section)),
    ])
}

/// What may stand for the name of a section.
fn names(section: &SectionSpec) -> Json {
    match section.names {
        Some(words) => object([("enum", Json::texts(words.iter().map(|word| word.word)))]),
        None => object([("pattern", Json::text("^[A-Za-z0-9_-]+$"))]),
    }
}

fn table(section: &SectionSpec) -> Json {
    let mut properties: Vec<(String, Json)> = section
        .fields
        .iter()
        .map(|field| (field.key.to_owned(), value(field)))
        .collect();
    if let Some(variants) = section.variants {
        properties.extend(
            variant_keys(&variants)
                .into_iter()
                .map(|key| (key.to_owned(), Json::Raw("true".to_owned()))),
        );
    }
    let mut members = vec![
        ("description".to_owned(), Json::text(section.help)),
        ("type".to_owned(), Json::text("object")),
        ("properties".to_owned(), Json::Object(properties)),
    ];
    let required: Vec<Json> = required_keys(section.fields).collect();
    if !required.is_empty() {
        members.push(("required".to_owned(), Json::List(required)));
    }
    members.push(("additionalProperties".to_owned(), Json::Raw("false".to_owned())));
    if let Some(variants) = section.variants {
        let cases = variants
            .cases
            .iter()
            .map(|(word, fields)| case(&variants, word, fields))
            .collect();
        members.push(("allOf".to_owned(), Json::List(cases)));
    }
    Json::Object(members)
}

/// With this word, these fields and none of the other words'.
fn case(variants: &Variants, word: &str, fields: &[FieldSpec]) -> Json {
    let decides = object([(variants.key, object([("const", Json::text(word))]))]);
    let own = variant_keys(variants)
        .into_iter()
        .map(|key| {
            let schema = fields
                .iter()
                .find(|field| field.key == key)
                .map_or(Json::Raw("false".to_owned()), value);
            (key.to_owned(), schema)
        })
        .collect();
    object([
        (
            "if",
            object([("properties", decides), ("required", Json::texts([variants.key]))]),
        ),
        (
            "then",
            object([
                ("properties", Json::Object(own)),
                ("required", Json::List(required_keys(fields).collect())),
            ]),
        ),
    ])
}

/// Every key of every word, once.
fn variant_keys(variants: &Variants) -> Vec<&'static str> {
    let mut keys = Vec::new();
    for field in variants.cases.iter().flat_map(|(_, fields)| fields.iter()) {
        if !keys.contains(&field.key) {
            keys.push(field.key);
        }
    }
    keys
}

fn required_keys(fields: &[FieldSpec]) -> impl Iterator<Item = Json> {
    fields
        .iter()
        .filter(|field| field.need == Need::Required)
        .map(|field| Json::text(field.key))
}

/// What may stand behind a key.
fn value(field: &FieldSpec) -> Json {
    let mut members = vec![("description".to_owned(), Json::text(description(field)))];
    let mut push = |key: &str, value: Json| members.push((key.to_owned(), value));
    match field.form {
        Form::Quantity(kind) if kind.is_unitless() => {
            push("type", Json::texts(["number", "string"]));
            if let Some((least, greatest)) = field.range
                && is_number(least)
                && is_number(greatest)
            {
                push("minimum", Json::Raw(least.to_owned()));
                push("maximum", Json::Raw(greatest.to_owned()));
            }
        }
        Form::Quantity(_) => {
            push("type", Json::text("string"));
            push("minLength", Json::Raw("1".to_owned()));
        }
        Form::Text => {
            push("type", Json::text("string"));
            push("minLength", Json::Raw("1".to_owned()));
            push("maxLength", Json::Raw("500".to_owned()));
        }
        Form::Place => {
            push("type", Json::text("string"));
            push("pattern", Json::text(r"^\s*[0-9]+\s*,\s*[0-9]+\s*$"));
        }
        Form::Weekdays => {
            push("type", Json::text("string"));
            let day = format!("({})", WEEKDAYS.join("|"));
            let days = format!(r"{day}(\s+to\s+{day})?");
            let apart = r"(\s*,\s*(and\s+)?|\s+and\s+)";
            push(
                "pattern",
                Json::text(format!(r"^\s*(every\s+day|{days}({apart}{days})*)\s*$")),
            );
        }
        Form::TimeOfDay => {
            push("type", Json::text("string"));
            push("pattern", Json::text(r"^\s*([01]?[0-9]|2[0-3]):[0-5][0-9]\s*$"));
        }
        Form::DayOfYear => {
            push("type", Json::text("string"));
            let months: Vec<&str> = Month::ALL.into_iter().map(Month::word).collect();
            let months = format!("({})", months.join("|"));
            let day = "[0-3]?[0-9]";
            push(
                "pattern",
                Json::text(format!(r"^\s*({day}\s+{months}|{months}\s+{day})\s*$")),
            );
        }
        Form::Date => {
            push("type", Json::text("string"));
            let (month, day) = ("(0[1-9]|1[0-2])", "(0[1-9]|[12][0-9]|3[01])");
            push(
                "pattern",
                Json::text(format!(r"^\s*(20[0-9]{{2}}|2100)-{month}-{day}\s*$")),
            );
        }
        Form::Choice(words) => push("enum", Json::texts(words.iter().map(|word| word.word))),
        Form::YesNo => push("type", Json::text("boolean")),
        Form::LevelTable | Form::PumpTable => {
            push("type", Json::text("array"));
            push("minItems", Json::Raw("1".to_owned()));
            let pair = object([
                ("type", Json::text("array")),
                ("minItems", Json::Raw("2".to_owned())),
                ("maxItems", Json::Raw("2".to_owned())),
                ("items", object([("type", Json::text("string"))])),
            ]);
            push("items", pair);
        }
    }
    if let Need::Default { text, .. } = field.need {
        push("default", Json::Raw(super::default_in_file(field.form, text)));
    }
    // An example stands as in a TOML file; the forms that examples take are the same in JSON.
    push("examples", Json::List(vec![Json::Raw(field.example.to_owned())]));
    Json::Object(members)
}

fn is_number(text: &str) -> bool {
    text.parse::<f64>().is_ok_and(f64::is_finite)
}

fn description(field: &FieldSpec) -> String {
    let mut text = format!("{}.", field.help);
    if let Form::Quantity(kind) = field.form
        && kind != Kind::Number
    {
        let _ = write!(text, " It is {}.", kind.with_article());
    }
    if let Form::Choice(words) = field.form {
        let words: Vec<String> = words
            .iter()
            .map(|Word { word, help }| format!("\"{word}\": {help}"))
            .collect();
        let _ = write!(text, " {}.", words.join("; "));
    }
    if let Some((least, greatest)) = field.range {
        let _ = write!(text, " From {least} to {greatest}.");
    }
    if let Need::Default {
        text: default,
        origin,
    } = field.need
    {
        let _ = write!(text, " Without it {default} ({origin}).");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_escaped() {
        let mut out = String::new();
        Json::Object(vec![(
            "a\"b".into(),
            Json::List(vec![Json::text("\\\n±"), Json::Raw("1".into())]),
        )])
        .write(&mut out, 0);
        assert_eq!(out, "{\n  \"a\\\"b\": [\"\\\\\\u000a±\", 1]\n}");
    }

    #[test]
    fn every_key_of_the_register_is_in_the_schema() {
        let schema = json_schema();
        for section in REGISTER {
            let cases = section.variants.map_or(&[][..], |variants| variants.cases);
            for field in section
                .fields
                .iter()
                .chain(cases.iter().flat_map(|(_, fields)| fields.iter()))
            {
                assert!(schema.contains(&format!("\"{}\": ", field.key)), "{}", field.key);
            }
        }
    }
}
