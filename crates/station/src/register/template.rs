//! A new station file: every field of the register with its help, ready to be filled in.
//!
//! Owns: the layout of the new file, and the values in it that can't be a field's own example.

use super::{FieldSpec, Form, Need, SectionSpec, Word};
use crate::sections::{REGISTER, SaltFields, TankFields, Title, VesselFields};

/// Columns of a comment.
const WIDTH: usize = 100;

/// Names of the sections that the owner names, as the new file has them.
const NAMES: &[(&str, &[&str])] = &[
    (TankFields::SPEC.path, &["main"]),
    (VesselFields::SPEC.path, &["fresh", "salt"]),
    ("instruments.*", &["refractometer"]),
    ("feed_states.*", &["main-repair"]),
    ("filters.*", &["sediment", "carbon"]),
    ("resin_beds.*", &["canister"]),
    ("delivered.*", &["sea"]),
];

/// Sections that the new file only offers: few stations have them.
const OFFERED: &[&str] = &["feed_states.*", "delivered.*"];

/// Values that stand in the new file in place of the field's example: section, key, value.
const VALUES: &[(&str, &str, &str)] = &[
    (Title::SPEC.path, "title", "\"My station\""),
    ("vessels.salt", "holds", "\"salt\""),
    ("filters.sediment", "kind", "\"sediment\""),
    ("purifier", "shut_off", "\"sound\""),
    ("purifier", "check_valve", "true"),
    ("purifier", "feed_valve", "true"),
];

/// Fields that the new file sets though they may be left out: a batch can't be planned without them, nor a run.
const SET: &[(&str, &str)] = &[
    (SaltFields::SPEC.path, "label"),
    (SaltFields::SPEC.path, "bag"),
    ("vessels.salt", "batch_volume"),
    ("tanks.main", "evaporation"),
    ("vessels.fresh", "start_level"),
    ("vessels.fresh", "stop_level"),
    ("purifier", "shut_off"),
    ("purifier", "check_valve"),
    ("purifier", "feed_valve"),
    ("filters.carbon", "rated_volume"),
    ("filters.carbon", "rated_flow"),
    ("filters.carbon", "change_every"),
];

const HEADER: &str = "\
# A station file: what the station is, every value with its unit.
#
# The values are examples, not advice. Put your own in their place, then run
#
#   brinewright prove FILE
#
# A line without # counts. A line that begins with # and a key is an offer: take the # away to use it.
# A quantity is text with a unit: \"200 L\", \"55 gal\", \"740 mm\", \"29 1/4 in\", \"24 C\", \"75 F\".
# Its doubt may follow: \"38 L ± 0.5 L\" (two standard uncertainties), \"38 L within 1 L\" (anywhere between).
";

/// What `brinewright new` writes: it reads without a fault, and it proves.
///
/// # Examples
/// ```
/// let text = station::register::template();
/// assert!(station::Station::read(&text).is_ok());
/// ```
pub fn template() -> String {
    let mut out = HEADER.to_owned();
    for section in REGISTER {
        let Some(plural) = section.path.strip_suffix(".*") else {
            begin(&mut out, section, section.path);
            fields(&mut out, section, section.path, true);
            continue;
        };
        let names = NAMES
            .iter()
            .find(|(path, _)| *path == section.path)
            .map_or(&["first"][..], |(_, names)| names);
        let first = format!("{plural}.{}", names.first().unwrap_or(&"first"));
        for (index, name) in names.iter().enumerate() {
            let path = format!("{plural}.{name}");
            if OFFERED.contains(&section.path) {
                offer(&mut out, section, &path);
                continue;
            }
            if index == 0 {
                begin(&mut out, section, &path);
                comment(
                    &mut out,
                    "The name after the point is yours: letters, digits, hyphens. Copy the section for another.",
                );
            } else {
                out.push_str(&format!("\n[{path}]\n"));
                comment(&mut out, &format!("The keys are explained at [{first}]."));
            }
            fields(&mut out, section, &path, index == 0);
        }
    }
    out
}

fn begin(out: &mut String, section: &SectionSpec, path: &str) {
    if path.is_empty() {
        return;
    }
    let rule = "-".repeat(WIDTH.saturating_sub(path.chars().count() + 8));
    out.push_str(&format!("\n# ---- {path} {rule}\n\n[{path}]\n"));
    comment(out, &format!("{}.", section.help));
}

/// A section that doesn't count until the `#` before its lines is taken away.
fn offer(out: &mut String, section: &SectionSpec, path: &str) {
    let mut whole = String::new();
    begin(&mut whole, section, path);
    fields(&mut whole, section, path, true);
    for line in whole.lines() {
        match line {
            "" => out.push('\n'),
            line if line.starts_with('#') => out.push_str(&format!("{line}\n")),
            line => out.push_str(&format!("#{line}\n")),
        }
    }
}

/// The fields of a section; `told` with their help.
fn fields(out: &mut String, section: &SectionSpec, path: &str, told: bool) {
    for field in section.fields {
        if told {
            help(out, field);
        }
        let line = format!("{} = {}\n", field.key, value(path, field));
        let counts = field.need == Need::Required || SET.contains(&(path, field.key));
        out.push_str(&if counts { line } else { format!("#{line}") });
        if let Some(variants) = section.variants.filter(|variants| variants.key == field.key) {
            let chosen = field.example.trim_matches('"');
            for (_, own) in variants.cases.iter().filter(|(word, _)| *word == chosen) {
                for dimension in own.iter() {
                    if told {
                        help(out, dimension);
                    }
                    out.push_str(&format!("{} = {}\n", dimension.key, dimension.example));
                }
            }
            if told {
                other_words(out, field.key, chosen, variants.cases);
            }
        }
    }
}

/// The fields of the words that aren't chosen, set in so that they aren't taken for offers.
fn other_words(out: &mut String, key: &str, chosen: &str, cases: &[(&str, &[FieldSpec])]) {
    out.push_str("#\n");
    comment(
        out,
        &format!("With another {key}, these lines in place of those of \"{chosen}\":"),
    );
    for (word, own) in cases.iter().filter(|(word, _)| *word != chosen) {
        out.push_str(&format!("#   {key} = \"{word}\"\n"));
        for field in own.iter() {
            let line = format!("#     {} = {}", field.key, field.example);
            let told = format!("{line}  # {}", field.help);
            if told.chars().count() <= WIDTH {
                out.push_str(&format!("{told}\n"));
            } else {
                comment(out, &format!("    {}:", field.help));
                out.push_str(&format!("{line}\n"));
            }
        }
    }
}

fn help(out: &mut String, field: &FieldSpec) {
    let mut text = format!("{}.", field.help);
    if let Some((least, greatest)) = field.range {
        text.push_str(&format!(" From {least} to {greatest}."));
    }
    if let Need::Default {
        text: default,
        origin,
    } = field.need
    {
        text.push_str(&format!(" Without it {default} ({origin})."));
    }
    out.push_str("#\n");
    comment(out, &text);
    if let Form::Choice(words) = field.form {
        for Word { word, help } in words {
            comment(out, &format!("  \"{word}\": {help}"));
        }
    }
}

/// As the new file has it: the value that holds anyway, or the example.
fn value(path: &str, field: &FieldSpec) -> String {
    let named = VALUES
        .iter()
        .find(|(section, key, _)| *section == path && *key == field.key);
    match (named, field.need) {
        (Some((_, _, value)), _) => (*value).to_owned(),
        (None, Need::Default { text, .. }) => super::default_in_file(field.form, text),
        (None, _) => field.example.to_owned(),
    }
}

/// A comment, broken between words; what is set in stays set in.
fn comment(out: &mut String, text: &str) {
    let words = text.trim_start();
    let indent = &text[..text.len() - words.len()];
    let mut line = format!("# {indent}");
    let start = line.len();
    for word in bound_words(words) {
        if line.len() > start && line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(&line);
            out.push('\n');
            line = format!("# {indent}");
        }
        if line.len() > start {
            line.push(' ');
        }
        line.push_str(&word);
    }
    out.push_str(&line);
    out.push('\n');
}

/// The words of a text; a number keeps the word after it, which is mostly its unit.
fn bound_words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match words.last_mut() {
            Some(before) if before.ends_with(|c: char| c.is_ascii_digit()) => {
                before.push(' ');
                before.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Station;

    #[track_caller]
    fn sound(text: &str, what: &str) -> Station {
        Station::read(text).unwrap_or_else(|faults| panic!("{what}: {faults:#?}\n{text}"))
    }

    /// The key of a line that is offered: `#key = value`.
    fn offered(line: &str) -> Option<&str> {
        let line = line
            .strip_prefix('#')
            .filter(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase()))?;
        line.split_once(" = ").map(|(key, _)| key)
    }

    #[test]
    fn the_new_file_reads_without_a_fault() {
        let station = sound(&template(), "as written");
        assert_eq!(station.vessels.len(), 2);
        assert_eq!(station.tanks.len(), 1);
        assert!(station.salt.is_some());
    }

    /// Whether a line begins a section that is offered as a whole.
    fn begins_offered(line: &str) -> bool {
        line.starts_with("#[")
    }

    /// The lines of the text with one offer taken; with its whole section, where that is offered.
    fn taken(text: &str, index: usize) -> Vec<String> {
        let lines: Vec<&str> = text.lines().collect();
        let section = lines[..index]
            .iter()
            .rposition(|line| line.trim_start_matches('#').starts_with('['));
        let whole = section.filter(|at| begins_offered(lines[*at]));
        let end = lines[index..]
            .iter()
            .position(|line| line.starts_with("# ----"))
            .map_or(lines.len(), |more| index + more);
        lines
            .iter()
            .enumerate()
            .map(|(at, line)| match whole {
                Some(begin) if (begin..end).contains(&at) && (at == begin || offered(line).is_some()) => {
                    &line[1..]
                }
                None if at == index => &line[1..],
                _ => line,
            })
            .map(str::to_owned)
            .collect()
    }

    /// Offers of which one stands in place of another.
    const ELSE: &[&str] = &["anhydrous_fraction", "restrictor_bore", "waste_ratio"];

    /// The strength of the mix stands in place of its label, so it alone takes another line away.
    #[test]
    fn every_offer_can_be_taken() {
        let text = template();
        let mut count = 0;
        for (index, line) in text.lines().enumerate() {
            let Some(key) = offered(line) else { continue };
            count += 1;
            let lines: Vec<String> = taken(&text, index)
                .into_iter()
                .filter(|line| key != "anhydrous_fraction" || !line.starts_with("label = "))
                .collect();
            sound(&lines.join("\n"), line);
        }
        assert!(count > 100, "{count}");
        let all: Vec<String> = text
            .lines()
            .map(|line| match offered(line) {
                Some(key) if !ELSE.contains(&key) => line[1..].to_owned(),
                _ if begins_offered(line) => line[1..].to_owned(),
                _ => line.to_owned(),
            })
            .collect();
        sound(&all.join("\n"), "all at once");
    }

    /// Each other shape can take the place of the first, by the lines that the file shows for it.
    #[test]
    fn every_other_shape_can_be_taken() {
        let text = template();
        let cases = VesselFields::SPEC.variants.unwrap().cases;
        for (word, own) in cases.iter().filter(|(word, _)| *word != "cylinder") {
            let shown: Vec<&str> = text
                .lines()
                .skip_while(|line| *line != format!("#   shape = \"{word}\""))
                .filter(|line| line.contains(" = "))
                .take(1 + own.len())
                .map(|line| line.trim_start_matches('#').trim_start())
                .collect();
            assert_eq!(shown.len(), 1 + own.len(), "{word}");
            let file = format!(
                "title = \"x\"\n[vessels.a]\nholds = \"fresh\"\n{}\n",
                shown.join("\n")
            );
            sound(&file, word);
        }
    }

    #[test]
    fn every_field_of_the_register_appears() {
        let text = template();
        for section in REGISTER {
            let cases = section.variants.map_or(&[][..], |variants| variants.cases);
            for field in section
                .fields
                .iter()
                .chain(cases.iter().flat_map(|(_, fields)| fields.iter()))
            {
                let line = format!("{} = ", field.key);
                assert!(
                    text.lines()
                        .any(|l| l.trim_start_matches(['#', ' ']).starts_with(&line)),
                    "{}",
                    field.key
                );
                assert!(text.replace("\n# ", " ").contains(field.help), "{}", field.key);
            }
        }
        for line in text.lines() {
            assert_eq!(line, line.trim_end());
            assert!(line.chars().count() <= 110, "{line}");
        }
    }
}
