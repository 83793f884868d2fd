//! Trying cures: each recipe is applied to a copy of the file and the copy is assessed again.

use station::{Edit, Station, edit};

use crate::analysis::speak::{left, print_figures, shown, spoken};
use crate::assess::{Assessment, Scope, assess};
use crate::finding::{Finding, Remedy, RemedyEdit, Severity};
use crate::sheet::Intervals;

/// The most recipes tried for one finding.
const MOST_RECIPES: usize = 4;

/// A gap that grows by less is the same gap: moving a vessel changes the purifier's back pressure by a hair, and so
/// every figure behind it (house rule).
const SAME: f64 = 0.02;

/// What a lesser finding may grow by where a graver one is cured: less water in the drum brings the margin down a little
/// (house rule).
const LESSER: f64 = 0.10;

/// A finding as it was before any cure: what it is, how much it matters, how far it is from being right.
struct Before {
    id: &'static str,
    place: String,
    severity: Severity,
    gap: f64,
}

/// Gives each finding the first of its recipes that clears it, makes nothing new as bad, and makes nothing old
/// worse; one that brings nothing before one that brings what is less bad, and says so.
pub(crate) fn try_recipes(station: &Station, findings: &mut [Finding]) {
    let before: Vec<Before> = findings
        .iter()
        .map(|f| Before {
            id: f.id,
            place: f.place.clone(),
            severity: f.severity,
            gap: f.gap,
        })
        .collect();
    for finding in findings.iter_mut() {
        let mut clearing: Option<(&Vec<Edit>, Vec<String>)> = None;
        for edits in finding.recipes.iter().take(MOST_RECIPES) {
            let Some(brings) = cleared(station, finding, edits, &before) else {
                continue;
            };
            if brings.is_empty() || clearing.is_none() {
                let is_clean = brings.is_empty();
                clearing = Some((edits, brings));
                if is_clean {
                    break;
                }
            }
        }
        finding.remedy = clearing.map(|(edits, brings)| remedy(edits, &brings));
    }
}

/// What a recipe brings that is worth fixing, where it clears a finding and brings nothing as bad; nothing where it doesn't.
fn cleared(station: &Station, finding: &Finding, edits: &[Edit], before: &[Before]) -> Option<Vec<String>> {
    let text = edit::apply(&station.text, edits).ok()?;
    let mut mended = Station::read(&text).ok()?;
    // A state of the feed that is being proved stays.
    if let Some(state) = &station.feed_state {
        mended = mended.in_feed_state(state).ok()?;
    }
    // A cure of the plumbing touches it; another that doesn't leaves its findings as they are.
    let touched = edits
        .iter()
        .map(|edit| Scope::of(&edit.path))
        .chain([Scope::of(&finding.place)]);
    let scope = touched
        .into_iter()
        .find(|scope| *scope == Scope::Findings)
        .unwrap_or(Scope::WithoutPlumbing);
    let assessed = assess(&mended, scope);
    let allowed = assessed.findings.iter().all(|after| {
        let known = before
            .iter()
            .find(|old| (old.id, old.place.as_str()) == after.identity());
        match known {
            _ if after.identity() == finding.identity() => false,
            // What is merely worth knowing may come up or grow: a larger share of the gas is less salt.
            _ if after.severity == Severity::Note => true,
            None => after.severity < finding.severity,
            Some(old) => {
                let grows = match after.severity < finding.severity {
                    true => LESSER,
                    false => SAME,
                };
                after.severity <= old.severity && after.gap <= old.gap * (1.0 + grows) + 1e-12
            }
        }
    });
    let is_new = |after: &&Finding| {
        let is_known = |old: &Before| (old.id, old.place.as_str()) == after.identity();
        after.severity >= Severity::Should && !before.iter().any(is_known)
    };
    allowed.then(|| {
        let new: Vec<&Finding> = assessed.findings.iter().filter(is_new).collect();
        told_in_short(&mended, &assessed, &new)
    })
}

/// What findings of a copy say, each up to its reason, with the figures of the copy.
pub(crate) fn told_in_short(mended: &Station, assessed: &Assessment, findings: &[&Finding]) -> Vec<String> {
    if findings.is_empty() {
        return Vec::new();
    }
    let beyond = assessed.sheet.beyond(|beyond| left(mended, beyond));
    let figures = assessed.sheet.figures(&Intervals::none(), &beyond);
    findings
        .iter()
        .map(|own| {
            let sentence = print_figures(mended, &own.sentence, &figures);
            let ends = [": ", ". "].iter().filter_map(|mark| sentence.find(mark)).min();
            let short = ends.map_or(sentence.as_str(), |end| &sentence[..end]);
            short.trim_end_matches('.').to_owned()
        })
        .collect()
}

/// What a change brings, behind what it is: "; that brings: One run of fresh makes 20 L, less than the 40 L wanted".
pub(crate) fn with_what_it_brings(sentence: String, brings: &[String]) -> String {
    match brings {
        [] => sentence,
        brings => format!("{sentence}; that brings: {}", brings.join("; ")),
    }
}

/// What edits come to, in words.
pub(crate) fn told_edits(edits: &[Edit]) -> String {
    let (opens, others): (Vec<&Edit>, Vec<&Edit>) = edits
        .iter()
        .partition(|edit| edit.path.starts_with("lineups.") && edit.path.ends_with(".open"));
    let mut told: Vec<String> = others.into_iter().map(sentence).collect();
    // What was added to the list of a task stands last in it.
    let added = opens
        .first()
        .and_then(|edit| edit.text.trim_matches('"').rsplit(", ").next());
    if let Some(added) = added {
        let tasks: Vec<String> = opens
            .iter()
            .filter_map(|edit| edit.path.strip_prefix("lineups.")?.strip_suffix(".open"))
            .map(spoken)
            .collect();
        let tasks: Vec<&str> = tasks.iter().map(String::as_str).collect();
        told.push(format!(
            "open {} too for {}",
            spoken(added),
            crate::analysis::speak::list(&tasks)
        ));
    }
    told.join(", ")
}

fn remedy(edits: &[Edit], brings: &[String]) -> Remedy {
    let sentence = with_what_it_brings(told_edits(edits), brings);
    let edits = edits.iter().map(RemedyEdit::of).collect();
    Remedy {
        sentence,
        edits,
        tried: true,
    }
}

/// A value of a part's table in the file.
fn value_of<'t>(table: &'t str, key: &str) -> Option<&'t str> {
    let (_, rest) = table.split_once(&format!("{key} = \""))?;
    rest.split_once('"').map(|(value, _)| value)
}

/// A vessel that is added, from its table in the file.
fn vessel(name: &str, table: &str) -> String {
    let what = match value_of(table, "holds") {
        Some("salt") => "salt water",
        _ => "purified water",
    };
    match value_of(table, "nominal_volume") {
        Some(volume) => format!("add a vessel of {volume} for {what}, {}", shown(name)),
        None => format!("add a vessel for {what}, {}", shown(name)),
    }
}

/// A valve that is added, from its table in the file.
fn part(name: &str, table: &str) -> String {
    let value = |key: &str| value_of(table, key);
    let line = spoken(value("line").unwrap_or(name));
    let (name, other) = (spoken(name), value("three_way_with").map(spoken));
    match (other, value("kind")) {
        (Some(other), _) => format!(
            "put one three-way valve where {line} joins, in place of {other}, and call its way to {line} {name}"
        ),
        (None, Some(kind)) => format!("put a {kind} valve into {line}"),
        (None, None) => format!("put a valve into {line}"),
    }
}

/// "set the stop level of fresh to 810 mm".
fn sentence(edit: &Edit) -> String {
    let value = edit.text.trim_matches('"');
    let mut names: Vec<&str> = edit.path.split('.').collect();
    let key = names.pop().unwrap_or_default();
    // As the trade writes it.
    let key = key.replace('_', " ").replace("cutout", "cut-out");
    if let [section, part @ ..] = names.as_slice()
        && let Some(told) = in_words(section, part.first().copied().unwrap_or_default(), &key, value)
    {
        return told;
    }
    // A switch is had or not; a part is changed every so often.
    match (names.as_slice(), value) {
        (["vessels"], table) if table.starts_with('{') => {
            let name = edit.path.rsplit('.').next().unwrap_or_default();
            return vessel(name, table);
        }
        (["valves"], table) if table.starts_with('{') => {
            let name = edit.path.rsplit('.').next().unwrap_or_default();
            return part(name, table);
        }
        (["valves", name], other) if key == "three way with" => {
            return format!(
                "use one three-way valve in place of {} and {}",
                spoken(name),
                spoken(other)
            );
        }
        (["valves", name], "true") if key == "self closing" => {
            return format!("take a valve that closes by itself for {}", spoken(name));
        }
        (["valves", name], line) if key == "line" => {
            return format!("move {} into {}", spoken(name), spoken(line));
        }
        (["pumps", name], "true") => return format!("have a {key} that stops {}", spoken(name)),
        (["pumps", name], valves) if key == "runs only with" => {
            return format!(
                "let {} run only with {} open (an interlock)",
                spoken(name),
                spoken(&valves.replace(", ", " or "))
            );
        }
        (["vessels" | "tanks", name], "true") if key == "high cut-out" => {
            return format!(
                "have a high-level switch in {} that stops the pumps",
                spoken(name)
            );
        }
        (["vessels", name], "true") => return format!("have a {key} in {}", spoken(name)),
        (["lines", name], height) if key == "siphon break" => {
            return format!(
                "drill a hole into {} at {height} over the floor, to let air in",
                spoken(name)
            );
        }
        (["lines", name], level) if key == "to level" => {
            return format!("end {} at {level}, in the air above the rim", spoken(name));
        }
        ([.., name], value) if key == "change every" => {
            return format!("change {} every {value}", shown(name));
        }
        ([_], "true") => return format!("have a {key}"),
        ([_], "false") => return format!("do without the {key}"),
        _ => {}
    }
    let value = match value {
        "true" => "yes",
        "false" => "no",
        other => other,
    };
    match names.as_slice() {
        [] => format!("set {key} to {value}"),
        [section] => format!("set {key} in [{section}] to {value}"),
        [.., name] => format!("set the {key} of {} to {value}", shown(name)),
    }
}

/// What is done where a key and its value would say little to whoever doesn't read the file; `part` is the owner's name of
/// what it stands in, empty for a section without names.
fn in_words(section: &str, part: &str, key: &str, value: &str) -> Option<String> {
    let name = shown(part);
    Some(match (section, key, value) {
        ("purifier", "shut off", "sound") => {
            "see to it that the purifier's shut-off valve stops the reject".to_owned()
        }
        ("purifier", "control", "attended") => "have somebody start each run of the purifier".to_owned(),
        ("purifier", "control", what) => format!("let {what} start and stop the purifier"),
        ("purifier", "restrictor flow", flow) => {
            format!("take a restrictor that lets {flow} of reject through")
        }
        ("purifier", "waste ratio", times) => {
            format!("take a restrictor that lets {times} times as much reject through as is made")
        }
        ("purifier", "feed limiter", flow) => {
            format!("have a limiter that lets {flow} through where the feed leaves the tap")
        }
        ("purifier", "reducer", pressure) => format!("set the pressure reducer of the feed to {pressure}"),
        ("purifier", "hours a day", time) => format!("let the purifier run {time} a day"),
        ("purifier", "longest run", time) => format!("let the control shut the feed after a run of {time}"),
        ("purifier", "shut when away", "true") => "keep the feed shut while nobody is there".to_owned(),
        ("purifier", "degassing", share) => format!(
            "have a vented vessel with air in it between membranes and resin, which lets go a share of {share} of the carbon dioxide"
        ),
        ("people", "stays", time) => format!("stay {time} at each visit"),
        ("room", "tray", volume) => format!("have a tray of {volume} under the station"),
        ("room", "tray drained", "true") => "let that tray run to the drain by itself".to_owned(),
        ("room", "drain height", _) => "have a drain laid in the floor".to_owned(),
        ("holidays", "looks in", time) => format!("look in every {time} during {name}"),
        ("vessels", "keeps warm", "false") => format!("heat {name} only while a batch is mixed in it"),
        ("vessels", "lid", "tight") => format!("put a tight lid on {name}"),
        ("vessels", "fill", "by hand") => format!("fill {name} by hand"),
        ("tanks", "top off", "fresh") => format!("top off {name} with purified water"),
        ("tanks", "change", volume) => format!("change {volume} of {name} at a time"),
        ("tanks", "change every", time) => format!("change water of {name} every {time}"),
        ("failures", "tested every", time) => format!("test {name} every {time}"),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(path: &str, text: &str) -> String {
        told_edits(&[Edit::quoted(path, text)])
    }

    #[test]
    fn edits_are_told_in_words_and_not_in_keys() {
        for (path, text, words) in [
            (
                "purifier.shut_off",
                "sound",
                "see to it that the purifier's shut-off valve stops the reject",
            ),
            (
                "purifier.control",
                "level switches",
                "let level switches start and stop the purifier",
            ),
            (
                "purifier.longest_run",
                "20 h",
                "let the control shut the feed after a run of 20 h",
            ),
            ("vessels.big-drum.lid", "tight", "put a tight lid on Big drum"),
            (
                "holidays.summer.looks_in",
                "3 days",
                "look in every 3 days during Summer",
            ),
            (
                "vessels.fresh.start_level",
                "570 mm",
                "set the start level of Fresh to 570 mm",
            ),
        ] {
            assert_eq!(told(path, text), words);
        }
        let both = [
            Edit::quoted("tanks.reef.change", "20 L"),
            Edit::quoted("tanks.reef.change_every", "4 days"),
        ];
        assert_eq!(
            told_edits(&both),
            "change 20 L of Reef at a time, change water of Reef every 4 days"
        );
        let warm = Edit {
            path: "vessels.salt.keeps_warm".to_owned(),
            text: "false".to_owned(),
        };
        assert_eq!(told_edits(&[warm]), "heat Salt only while a batch is mixed in it");
    }
}
