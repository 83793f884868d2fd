//! The reference page of the station file, in Markdown.
//!
//! Owns: the page's layout. Every row comes from the register.

use super::{FieldSpec, Form, Need, SectionSpec, Word};
use crate::sections::REGISTER;

const INTRODUCTION: &str = "\
# The station file

A station file is TOML text. Every fault of it is told with its line, its column and how to mend it. `brinewright new FILE` writes one to start from.

- A quantity is text with a unit: `\"200 L\"`, `\"55 gal\"`, `\"29 1/4 in\"`, `\"75 F\"`. Units may be mixed freely.
- A salinity, a share or a count may be a bare number: `35`, `0.4`, `2`.
- Its doubt may follow: `\"38 L ± 0.5 L\"` (two standard uncertainties) or `\"38 L within 1 L\"` (anywhere between).
- A time of the day is `\"17:30\"`, a day of every year `\"20 July\"`, one day `\"2026-09-14\"` (ISO 8601); days of the week are `\"every day\"`, `\"Monday to Friday\"` or `\"Monday, Wednesday, Saturday\"`.
- A key without a default that isn't required is left out when the value isn't known; what needs it then isn't computed.
- `NAME` is a name of your own: at most 80 letters, digits, hyphens and underscores; two that differ in capitals and hyphens only are refused. `CLASS` is one of the names that stand there. There may be many such sections; at least one vessel is needed, and `[salt]` where a vessel holds salt water.
- A short section may stand on one line: `spout = { height = \"420 mm\" }` under `[draw_points]`.
- The plumbing is `[pumps]`, `[tees]`, `[draw_points]`, `[lines]`, `[valves]` and `[lineups]`. A line joins two ends by their names; where two ends share a name, say which: `from = \"tee spout\"`. Without lines nothing of it is computed.

This page is generated from the register of fields; to change it, change the field.
";

/// The reference page: each section with a table of its keys.
///
/// # Examples
/// ```
/// assert!(station::register::reference().contains("## `[vessels.NAME]`"));
/// ```
pub fn reference() -> String {
    let mut out = INTRODUCTION.to_owned();
    for section in REGISTER {
        add_section(&mut out, section);
    }
    out
}

fn add_section(out: &mut String, section: &SectionSpec) {
    let heading = match section.path {
        "" => "At the top, before every section".to_owned(),
        path => format!(
            "`[{}]`",
            path.replace('*', section.names.map_or("NAME", |_| "CLASS"))
        ),
    };
    out.push_str(&format!("\n## {heading}\n\n{}.\n\n", section.help));
    if let Some(words) = section.names {
        for Word { word, help } in words {
            out.push_str(&format!("- {}: {}\n", code(word), escaped(help)));
        }
        out.push('\n');
    }
    table(out, section.fields);
    let Some(variants) = section.variants else { return };
    for (word, fields) in variants.cases {
        out.push_str(&format!("\n### `{} = \"{word}\"`\n\n", variants.key));
        table(out, fields);
    }
}

fn table(out: &mut String, fields: &[FieldSpec]) {
    out.push_str("| key | what | range | without it | example |\n| --- | --- | --- | --- | --- |\n");
    for field in fields {
        let range = field
            .range
            .map_or_else(String::new, |(least, greatest)| format!("{least} to {greatest}"));
        let without = match field.need {
            Need::Required => "required".to_owned(),
            Need::Optional => String::new(),
            Need::Default { text, origin } => {
                format!(
                    "{}: {}",
                    code(&super::default_in_file(field.form, text)),
                    escaped(origin)
                )
            }
        };
        out.push('|');
        for cell in [
            code(field.key),
            what(field),
            escaped(&range),
            without,
            code(field.example),
        ] {
            out.push_str(&if cell.is_empty() {
                " |".to_owned()
            } else {
                format!(" {cell} |")
            });
        }
        out.push('\n');
    }
}

fn what(field: &FieldSpec) -> String {
    let mut text = escaped(field.help);
    if let Form::Choice(words) = field.form {
        let words: Vec<String> = words
            .iter()
            .map(|Word { word, help }| format!("`\"{word}\"`: {}", escaped(help)))
            .collect();
        text.push_str(&format!(".<br>{}", words.join("<br>")));
    }
    text
}

fn code(text: &str) -> String {
    format!("`{}`", text.replace('|', "\\|"))
}

/// Text in a cell: what Markdown would read as markup is shown as it is.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '|' | '*' | '_' | '<' | '`' | '\\') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_has_its_row_of_five_cells() {
        let page = reference();
        let rows = page.lines().filter(|line| line.starts_with("| `")).count();
        let fields: usize = REGISTER
            .iter()
            .map(|section| {
                let cases = section.variants.map_or(&[][..], |variants| variants.cases);
                section.fields.len() + cases.iter().map(|(_, fields)| fields.len()).sum::<usize>()
            })
            .sum();
        assert_eq!(rows, fields);
        for row in page.lines().filter(|line| line.starts_with('|')) {
            assert_eq!(row.replace("\\|", "").matches('|').count(), 6, "{row}");
        }
    }

    #[test]
    fn markup_is_shown_as_it_is() {
        assert_eq!(escaped("a|b*c_d"), "a\\|b\\*c\\_d");
    }
}
