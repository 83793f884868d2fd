//! A new station file: every field of the register with its help, ready to be filled in.
//!
//! Owns: the layout of the new file, and the values in it that can't be a field's own example.

use super::{FieldSpec, Form, Need, SectionSpec, Word};
use crate::sections::{REGISTER, SaltFields, TankFields, Title, VesselFields};

/// Columns of a comment.
const WIDTH: usize = 100;

/// Names of the sections that the owner names, as the new file has them.
const NAMES: &[(&str, &[&str])] = &[
    ("holidays.*", &["summer"]),
    (TankFields::SPEC.path, &["main"]),
    (VesselFields::SPEC.path, &["fresh", "salt"]),
    ("instruments.*", &["refractometer"]),
    ("feed_states.*", &["main-repair"]),
    ("filters.*", &["sediment", "carbon"]),
    ("resin_beds.*", &["canister"]),
    ("failures.*", &["backup-float"]),
    ("delivered.*", &["sea"]),
    ("pumps.*", &["pump"]),
    ("tees.*", &["low", "high"]),
    ("draw_points.*", &["spout"]),
    (
        "lines.*",
        &["fresh-out", "salt-out", "pump-in", "pump-out", "spout", "return"],
    ),
    ("valves.*", &["fresh-outlet", "salt-outlet", "spout", "return"]),
    ("lineups.*", &["fresh-bucket", "salt-bucket", "mix"]),
];

/// Sections that the new file only offers: few stations have them.
const OFFERED: &[&str] = &["holidays.*", "feed_states.*", "delivered.*", "failures.*"];

/// The plumbing, which the new file offers as a whole: its sections name each other.
const PLUMBING: &[&str] = &[
    "pumps.*",
    "tees.*",
    "draw_points.*",
    "lines.*",
    "valves.*",
    "lineups.*",
];

/// Values that stand in the new file in place of the field's example: section, key, value.
const VALUES: &[(&str, &str, &str)] = &[
    (Title::SPEC.path, "title", "\"My station\""),
    ("vessels.salt", "holds", "\"salt\""),
    ("filters.sediment", "kind", "\"sediment\""),
    ("purifier", "shut_off", "\"sound\""),
    ("purifier", "check_valve", "true"),
    ("purifier", "feed_valve", "true"),
    ("pumps.pump", "primes_itself", "true"),
    ("pumps.pump", "runs_only_with", "\"spout, return\""),
    ("valves.salt-outlet", "three_way_with", "\"fresh-outlet\""),
    ("valves.spout", "three_way_with", "\"return\""),
    ("valves.return", "three_way_with", "\"spout\""),
    ("tees.low", "branch", "\"salt-out\""),
    ("tees.high", "height", "\"900 mm\""),
    ("draw_points.spout", "height", "\"800 mm\""),
    ("lines.fresh-out", "to", "\"low\""),
    ("lines.salt-out", "from", "\"salt\""),
    ("lines.salt-out", "to", "\"low\""),
    ("lines.pump-in", "from", "\"low\""),
    ("lines.pump-out", "from", "\"pump\""),
    ("lines.pump-out", "to", "\"high\""),
    ("lines.fresh-out", "barbs", "2"),
    ("lines.salt-out", "barbs", "2"),
    ("lines.pump-in", "barbs", "2"),
    ("lines.pump-out", "barbs", "2"),
    ("lines.spout", "barbs", "2"),
    ("lines.return", "barbs", "2"),
    ("lines.fresh-out", "crest", "\"600 mm\""),
    ("lines.fresh-out", "siphon_break", "\"300 mm\""),
    ("lines.spout", "from", "\"high\""),
    ("lines.spout", "to", "\"spout\""),
    ("lines.return", "from", "\"high\""),
    ("lines.return", "to", "\"salt\""),
    ("lines.return", "to_level", "\"200 mm\""),
    ("valves.fresh-outlet", "line", "\"fresh-out\""),
    ("valves.salt-outlet", "line", "\"salt-out\""),
    ("valves.return", "line", "\"return\""),
    ("vessels.fresh", "place", "\"1, 1\""),
    ("vessels.salt", "place", "\"1, 2\""),
    ("tees.low", "place", "\"2, 2\""),
    ("pumps.pump", "place", "\"3, 2\""),
    ("tees.high", "place", "\"4, 2\""),
    ("draw_points.spout", "place", "\"5, 2\""),
    ("tanks.main", "place", "\"5, 1\""),
    ("lineups.fresh-bucket", "by", "\"pump\""),
    ("lineups.fresh-bucket", "open", "\"fresh-outlet, spout\""),
    ("lineups.salt-bucket", "from", "\"salt\""),
    ("lineups.salt-bucket", "by", "\"pump\""),
    ("lineups.mix", "from", "\"salt\""),
    ("lineups.mix", "to", "\"salt\""),
    ("lineups.mix", "by", "\"pump\""),
    ("lineups.mix", "open", "\"salt-outlet, return\""),
];

/// Fields that the new file sets though they may be left out: a batch can't be planned without them, nor a run,
/// nor does water come to a draw point.
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
    ("lines.fresh-out", "barbs"),
    ("lines.salt-out", "barbs"),
    ("lines.pump-in", "barbs"),
    ("lines.pump-out", "barbs"),
    ("lines.spout", "barbs"),
    ("lines.return", "barbs"),
    ("lines.return", "to_level"),
    ("lineups.fresh-bucket", "by"),
    ("lineups.salt-bucket", "by"),
    ("lineups.mix", "by"),
    ("lineups.mix", "open"),
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
        let Some(plural) = section.table() else {
            begin(&mut out, section, section.path);
            fields(&mut out, section, section.path, Told::All);
            continue;
        };
        let names = NAMES
            .iter()
            .find(|(path, _)| *path == section.path)
            .map_or(&["first"][..], |(_, names)| names);
        let first = format!("{plural}.{}", names.first().unwrap_or(&"first"));
        for (index, name) in names.iter().enumerate() {
            let path = format!("{plural}.{name}");
            if OFFERED.contains(&section.path) || PLUMBING.contains(&section.path) {
                let told = if index == 0 { Told::All } else { Told::Needed };
                offer(&mut out, section, &path, told);
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
            let told = if index == 0 { Told::All } else { Told::Keys };
            fields(&mut out, section, &path, told);
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

/// How much of a section the new file tells.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Told {
    /// Every key with its help.
    All,
    /// Every key.
    Keys,
    /// The keys without which it is nothing.
    Needed,
}

/// Whether the new file sets a field, where its section counts.
fn counts(path: &str, field: &FieldSpec) -> bool {
    field.need == Need::Required || SET.contains(&(path, field.key))
}

/// A section that doesn't count until the `#` before its lines is taken away.
fn offer(out: &mut String, section: &SectionSpec, path: &str, told: Told) {
    let mut whole = String::new();
    if told == Told::All {
        begin(&mut whole, section, path);
        if let Some(words) = section.names {
            let words: Vec<&str> = words.iter().map(|word| word.word).collect();
            comment(
                &mut whole,
                &format!("The name after the point is one of: {}.", words.join(", ")),
            );
        }
        if PLUMBING.first() == Some(&section.path) {
            comment(
                &mut whole,
                "The sections from pumps to lineups name each other, so take them together: the # away before each [section], before its keys that are needed, and before others as you like.",
            );
        }
    } else {
        whole.push_str(&format!("\n[{path}]\n"));
    }
    fields(&mut whole, section, path, told);
    for line in whole.lines() {
        match line {
            "" => out.push('\n'),
            line if line.starts_with('#') => out.push_str(&format!("{line}\n")),
            line => out.push_str(&format!("#{line}\n")),
        }
    }
}

/// The fields of a section.
fn fields(out: &mut String, section: &SectionSpec, path: &str, told: Told) {
    let whole = OFFERED.contains(&section.path) || PLUMBING.contains(&section.path);
    for field in section.fields {
        let counts = counts(path, field);
        match told {
            Told::All => help(out, field, whole && counts),
            Told::Needed if !counts => continue,
            Told::Keys | Told::Needed => {}
        }
        let told = told == Told::All;
        let line = format!("{} = {}\n", field.key, value(path, field));
        out.push_str(&if counts { line } else { format!("#{line}") });
        if let Some(variants) = section.variants.filter(|variants| variants.key == field.key) {
            let chosen = field.example.trim_matches('"');
            for (_, own) in variants.cases.iter().filter(|(word, _)| *word == chosen) {
                for dimension in own.iter() {
                    if told {
                        help(out, dimension, false);
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

/// A field's help; `needed` where that isn't seen from the missing `#`.
fn help(out: &mut String, field: &FieldSpec, needed: bool) {
    let mut text = format!("{}.", field.help);
    if needed {
        text.push_str(" Needed.");
    }
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
mod tests;
