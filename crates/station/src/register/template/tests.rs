//! The new file reads, and each of its offers can be taken.

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

/// The path of a section that is offered, by the line that begins it: `lines.spout`.
fn path_of(line: &str) -> Option<&str> {
    line.strip_prefix("#[")?.strip_suffix(']')
}

fn in_plumbing(path: &str) -> bool {
    PLUMBING
        .iter()
        .any(|section| path.starts_with(section.trim_end_matches('*')))
}

/// The text with the plumbing taken: its sections with what they need, and the lines of `also`.
fn plumbed(text: &str, also: &[usize]) -> String {
    let mut section = "";
    let mut out = String::new();
    for (at, line) in text.lines().enumerate() {
        if line.trim_start_matches('#').starts_with('[') {
            section = path_of(line).unwrap_or("");
        }
        let needed = in_plumbing(section)
            && (path_of(line).is_some()
                || offered(line).is_some_and(|key| {
                    REGISTER
                        .iter()
                        .filter(|spec| section.starts_with(spec.path.trim_end_matches('*')))
                        .flat_map(|spec| spec.fields)
                        .any(|field| field.key == key && counts(section, field))
                }));
        out.push_str(if needed || also.contains(&at) {
            &line[1..]
        } else {
            line
        });
        out.push('\n');
    }
    out
}

/// Offers of the plumbing that say nothing alone.
const PAIRED: &[(&str, &str)] = &[
    ("measured_flow", "measured_drop"),
    ("measured_drop", "measured_flow"),
    ("dry_lift", "primes_itself"),
];

/// Offers that don't fit the line or valve at which they are explained, with what is said of them.
const MISFITS: &[(&str, &str)] = &[
    ("to_level", "`to_level` is a level in a vessel"),
    ("tank_height", "`tank_height` is the height of an end in a tank"),
    ("cracking", "only a check valve has a cracking pressure"),
];

/// Sections that name each other are taken together; each of their other offers is then taken in turn.
#[test]
fn the_plumbing_can_be_taken() {
    let text = template();
    let station = sound(&plumbed(&text, &[]), "what is needed");
    assert_eq!((station.lines.len(), station.lineups.len()), (6, 3));
    let lines: Vec<&str> = text.lines().collect();
    let begin = lines
        .iter()
        .position(|line| path_of(line).is_some_and(in_plumbing))
        .unwrap();
    let end = lines
        .iter()
        .rposition(|line| path_of(line).is_some_and(in_plumbing))
        .unwrap();
    let (mut count, mut all) = (0, Vec::new());
    for (at, line) in lines.iter().enumerate().take(end).skip(begin) {
        let Some(key) = offered(line) else { continue };
        count += 1;
        let needed = plumbed(&text, &[]).lines().nth(at) == Some(&line[1..]);
        let also: Vec<usize> = PAIRED
            .iter()
            .filter(|(one, _)| *one == key)
            .filter_map(|(_, other)| lines.iter().position(|line| offered(line) == Some(other)))
            .chain([at])
            .collect();
        match MISFITS.iter().find(|(misfit, _)| *misfit == key && !needed) {
            Some((_, what)) => {
                let faults = Station::read(&plumbed(&text, &also)).unwrap_err();
                assert!(faults[0].what.contains(what), "{faults:#?}");
            }
            None => {
                sound(&plumbed(&text, &also), line);
                all.extend(also.into_iter().filter(|_| key != "cv"));
            }
        }
    }
    assert!(count > 60, "{count}");
    sound(&plumbed(&text, &all), "all at once");
    // The stirring of what stands in a vessel has a lineup where salt water is mixed, and none elsewhere.
    let stirring: Vec<usize> = (0..lines.len())
        .filter(|at| offered(lines[*at]).is_some_and(|key| PLUMBED.contains(&key)))
        .collect();
    let [fresh @ .., every, long] = stirring.as_slice() else {
        panic!("{stirring:?}");
    };
    sound(&plumbed(&text, &[*every, *long]), "stirring");
    let faults = Station::read(&plumbed(&text, fresh)).expect_err("no lineup for fresh water");
    assert!(faults[0].what.contains("no lineup stirs"), "{faults:#?}");
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
            Some(begin)
                if (begin..end).contains(&at)
                    && (at == begin
                        || at == index
                        || offered(line).is_some_and(|key| !ELSE.contains(&key))) =>
            {
                &line[1..]
            }
            None if at == index => &line[1..],
            _ => line,
        })
        .map(str::to_owned)
        .collect()
}

/// Offers of which one stands in place of another.
const ELSE: &[&str] = &["anhydrous_fraction", "restrictor_bore", "waste_ratio", "in_month"];

/// Offers that name a lineup, so they are taken with the plumbing.
const PLUMBED: &[&str] = &["recirculate_every", "recirculate_for"];

/// The strength of the mix stands in place of its label, so it alone takes another line away.
#[test]
fn every_offer_can_be_taken() {
    let text = template();
    let (mut count, mut section) = (0, "");
    for (index, line) in text.lines().enumerate() {
        if line.trim_start_matches('#').starts_with('[') {
            section = path_of(line).unwrap_or("");
        }
        // Taken together elsewhere.
        let Some(key) = offered(line).filter(|key| !in_plumbing(section) && !PLUMBED.contains(key)) else {
            continue;
        };
        count += 1;
        let lines: Vec<String> = taken(&text, index)
            .into_iter()
            .filter(|line| key != "anhydrous_fraction" || !line.starts_with("label = "))
            .filter(|line| key != "in_month" || !line.starts_with("every = "))
            .collect();
        sound(&lines.join("\n"), line);
    }
    assert!(count > 100, "{count}");
    let mut section = "";
    let all: Vec<String> = text
        .lines()
        .map(|line| {
            if line.trim_start_matches('#').starts_with('[') {
                section = path_of(line).unwrap_or("");
            }
            match offered(line) {
                Some(key) if PLUMBED.contains(&key) => line.to_owned(),
                _ if in_plumbing(section) => line.to_owned(),
                Some(key) if !ELSE.contains(&key) => line[1..].to_owned(),
                _ if begins_offered(line) => line[1..].to_owned(),
                _ => line.to_owned(),
            }
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
