//! Service on the terminal: for each part what to close, what comes out, what goes on without it.

use proof::{Drain, Lost, PartKind, PartService, Service, Still};
use station::quantity::{Kind, format_tape};

use super::page::fill;
use super::read;
use super::speaker::Speaker;

/// Every part, and what it rests on.
pub(super) fn service(speaker: &Speaker<'_>, all: &Service) -> String {
    let mut out = "\nTaking parts out\n".to_owned();
    let mut begun = false;
    for (at, part) in all.parts.iter().enumerate() {
        if at > 0 {
            out += "\n";
        }
        if part.kind.is_of_purifier() && !begun {
            begun = true;
            for sentence in &part.first {
                out += &(fill(&format!("The purifier: {}", lower(sentence)), "  ", "    ") + "\n");
            }
            out += "\n";
        }
        out += &block(speaker, part);
    }
    out += "\n";
    let mut told: Vec<&str> = Vec::new();
    for caution in all.parts.iter().flat_map(|part| &part.cautions) {
        if !told.contains(&caution.as_str()) {
            told.push(caution);
        }
    }
    told.extend(all.remarks.iter().map(String::as_str));
    for sentence in told {
        out += &(fill(sentence, "  ", "    ") + "\n");
    }
    out
}

fn lower(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

fn block(speaker: &Speaker<'_>, part: &PartService) -> String {
    let mut out = fill(&heading(part), "  ", "    ") + "\n";
    let mut say = |sentence: &str| out += &(fill(sentence, "    ", "    ") + "\n");
    if !part.kind.is_of_purifier() {
        for first in &part.first {
            say(first);
        }
    }
    for drain in &part.drain {
        say(&drained(speaker, part, drain));
    }
    if !part.kind.is_of_purifier() {
        match part.close.as_slice() {
            [] if matches!(part.kind, PartKind::Heater | PartKind::Chiller) => {}
            [] if part.lines_m3 > 0.0 => say("No valve to close: only what stands in the lines comes."),
            [] => say("No valve to close: no water comes to it."),
            close => say(&format!("Close {}.", read::list(&closers(close), "and"))),
        }
    }
    if part.lines_m3 > 0.0 {
        let what = if part.kind.is_of_purifier() {
            "Its housing lets out about"
        } else {
            "Out of the lines come at most"
        };
        say(&format!("{what} {}.", speaker.exact(Kind::Volume, part.lines_m3)));
    }
    let [usual, other]: [Vec<&Still>; 2] = {
        let (usual, other) = part
            .still
            .iter()
            .partition(|still| still.by_other_valves.is_none());
        [usual, other]
    };
    if !usual.is_empty() && !part.lost.is_empty() || !other.is_empty() {
        let usual: Vec<&str> = usual.iter().map(|still| still.lineup.as_str()).collect();
        if !usual.is_empty() {
            say(&format!("Goes on as usual: {}.", read::list(&usual, "and")));
        }
    }
    for still in other {
        say(&format!(
            "{}: with {} open.",
            still.lineup,
            read::list(
                &names(still.by_other_valves.as_deref().unwrap_or_default()),
                "and"
            )
        ));
    }
    for lost in &part.lost {
        say(&instead(lost));
    }
    if !part.capped.is_empty() {
        say(&format!(
            "With the open ends capped: {} again.",
            read::list(&names(&part.capped), "and")
        ));
    }
    if part.lost.is_empty() && !part.kind.is_of_purifier() && !part.still.is_empty() {
        say("Every task goes on.");
    }
    for sentence in &part.without {
        say(sentence);
    }
    out
}

/// `pump bracket`; a heater is named by its kind already.
fn heading(part: &PartService) -> String {
    match part.kind {
        PartKind::Heater | PartKind::Chiller | PartKind::Purifier => part.part.clone(),
        PartKind::Lines if !part.part.contains(", ") => format!("line {}", part.part),
        // One that is named by what it is.
        kind if kind.word().starts_with(&part.part) => kind.word().to_owned(),
        kind => format!("{} {}", kind.word(), part.part),
    }
}

/// Valves by name, and the tap before the purifier.
fn closers(close: &[String]) -> Vec<&str> {
    let word = |name: &'static str, own| if own == "feed" { name } else { own };
    close.iter().map(|own| word("the feed", own.as_str())).collect()
}

fn names(names: &[String]) -> Vec<&str> {
    names.iter().map(String::as_str).collect()
}

fn instead(lost: &Lost) -> String {
    format!("{}: {}.", lost.lineup, lost.sentence)
}

fn drained(speaker: &Speaker<'_>, part: &PartService, drain: &Drain) -> String {
    let volume = speaker.exact(Kind::Volume, drain.volume_m3);
    let bucket = speaker.exact(Kind::Volume, drain.bucket_m3);
    if let Some(line) = &drain.lift_out {
        return format!(
            "Lift the end of {line} out of {} first: else up to {volume} come by siphon.",
            drain.from
        );
    }
    let to = match drain.to_level_m {
        Some(level_m) if level_m > 0.0 => {
            format!(" to a level of {}", format_tape(level_m, speaker.station.units()))
        }
        _ => String::new(),
    };
    let why = match drain.from == part.part {
        true => "",
        false => ", as no valve holds it",
    };
    let by = drain
        .by
        .as_ref()
        .map_or_else(String::new, |by| format!(" at {by}"));
    let buckets = match drain.buckets {
        1 => "a bucket".to_owned(),
        count => format!("{count} buckets of {bucket}"),
    };
    let left = match drain.by_hand_m3 {
        left_m3 if left_m3 > 0.0 => {
            format!(", the last {} baled out", speaker.exact(Kind::Volume, left_m3))
        }
        _ => String::new(),
    };
    format!(
        "Drain {}{to}{by} first{why}: {volume}, {buckets}{left}.",
        drain.from
    )
}
