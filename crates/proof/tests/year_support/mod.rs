//! What the tests of a year share: the examples, and edits of a station's text.

#![allow(dead_code, reason = "not every test needs everything")]

pub(crate) const EXAMPLES: [(&str, &str); 3] = [
    ("larkhaven", include_str!("../../../../stations/larkhaven.toml")),
    (
        "juniper",
        include_str!("../../../../stations/juniper-street-school.toml"),
    ),
    (
        "skelder",
        include_str!("../../../../stations/skelder-hatchery.toml"),
    ),
];

/// A part of the long list is looked at by `scripts/test`; `SHARE=1` looks at all, as `scripts/test-long` does.
pub(crate) fn share(usual: usize) -> usize {
    let wanted = std::env::var("SHARE").ok().and_then(|share| share.parse().ok());
    wanted.unwrap_or(usual).max(1)
}

/// Where a section begins and ends; nothing where it isn't there.
fn section(lines: &[String], name: &str) -> Option<(usize, usize)> {
    let head = format!("[{name}]");
    let begins = lines.iter().position(|line| {
        let line = line.split('#').next().unwrap_or("").trim();
        line == head
    })?;
    let length = lines[begins + 1..]
        .iter()
        .take_while(|line| !line.starts_with('['))
        .count();
    Some((begins, begins + 1 + length))
}

/// Sets a key of a section, which is added where it isn't there.
pub(crate) fn set(text: &str, name: &str, key: &str, value: &str) -> String {
    let mut lines: Vec<String> = text.lines().map(String::from).collect();
    let (begins, ends) = section(&lines, name).unwrap_or_else(|| {
        lines.push(format!("[{name}]"));
        (lines.len() - 1, lines.len())
    });
    let own = |line: &String| {
        line.trim_start()
            .strip_prefix(key)
            .is_some_and(|rest| rest.trim_start().starts_with('='))
    };
    let written = format!("{key} = {value}");
    match lines[begins..ends].iter().position(own) {
        Some(at) => lines[begins + at] = written,
        None => lines.insert(begins + 1, written),
    }
    lines.join("\n")
}

/// Takes a key of a section away.
pub(crate) fn unset(text: &str, name: &str, key: &str) -> String {
    let mut lines: Vec<String> = text.lines().map(String::from).collect();
    if let Some((begins, ends)) = section(&lines, name) {
        let at = (begins..ends).find(|at| {
            lines[*at]
                .trim_start()
                .strip_prefix(key)
                .is_some_and(|rest| rest.trim_start().starts_with('='))
        });
        if let Some(at) = at {
            lines.remove(at);
        }
    }
    lines.join("\n")
}

/// Takes all sections away whose name begins so.
pub(crate) fn without(text: &str, prefix: &str) -> String {
    let mut kept = Vec::new();
    let mut drops = false;
    for line in text.lines() {
        if let Some(name) = line.strip_prefix('[') {
            let rest = name.strip_prefix(prefix);
            drops = rest.is_some_and(|rest| rest.starts_with(['.', ']']));
        }
        if !drops {
            kept.push(line);
        }
    }
    kept.join("\n")
}

/// Names of the sections of a kind: `tanks` gives `tanks.touch-pool` and the others.
pub(crate) fn named(text: &str, kind: &str) -> Vec<String> {
    text.lines()
        .filter_map(|line| line.strip_prefix('[')?.split(']').next())
        .filter(|name| name.strip_prefix(kind).is_some_and(|rest| rest.starts_with('.')))
        .map(String::from)
        .collect()
}
