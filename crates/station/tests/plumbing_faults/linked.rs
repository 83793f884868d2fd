//! Parts that hold each other: three-way valves, interlocks, and tasks that they don't let be.

use station::Station;

use super::{Case, SOUND};

pub(super) const CASES: &[Case] = &[
    Case {
        name: "the other way misspelt",
        edits: &[(r#"kind = "gate""#, "kind = \"gate\"\nthree_way_with = \"outlte\"")],
        what: "no valve is named `outlte`",
        underlined: r#""outlte""#,
        mend: "did you mean `outlet`?",
    },
    Case {
        name: "its own other way",
        edits: &[(r#"kind = "gate""#, "kind = \"gate\"\nthree_way_with = \"up\"")],
        what: "a three-way valve joins two other lines, and this names the valve itself",
        underlined: r#""up""#,
        mend: "name the valve in the other line",
    },
    Case {
        name: "a check valve for a way",
        edits: &[(
            r#"kind = "gate""#,
            "kind = \"swing check\"\nthree_way_with = \"outlet\"",
        )],
        what: "only valves that somebody turns can be one three-way valve",
        underlined: r#""outlet""#,
        mend: "give both the kind of the three-way valve, such as \"ball\"",
    },
    Case {
        name: "a check valve for the other way",
        edits: &[
            (r#"kind = "gate""#, r#"kind = "swing check""#),
            (
                r#"kind = "ball" # out"#,
                "kind = \"ball\"\nthree_way_with = \"up\" # other",
            ),
        ],
        what: "only valves that somebody turns can be one three-way valve",
        underlined: r#""up""#,
        mend: "give both the kind of the three-way valve, such as \"ball\"",
    },
    Case {
        name: "three ways of one valve",
        edits: &[
            (
                r#"kind = "ball" # out"#,
                "kind = \"ball\"\nthree_way_with = \"up\"",
            ),
            (
                "line = \"spout\"\nkind = \"ball\"",
                "line = \"spout\"\nkind = \"ball\"\nthree_way_with = \"up\"",
            ),
        ],
        what: "`up` is a way of another three-way valve already",
        underlined: r#""up""#,
        mend: "a three-way valve has two ways that are never both open: pair each valve once",
    },
    Case {
        name: "an interlock misspelt",
        edits: &[(
            r#"height = "200 mm" # pump"#,
            "height = \"200 mm\"\nruns_only_with = \"up, spuot\"",
        )],
        what: "no valve is named `spuot`",
        underlined: r#""up, spuot""#,
        mend: "did you mean `spout`?",
    },
    Case {
        name: "an interlock with a check valve",
        edits: &[
            (r#"kind = "gate""#, r#"kind = "swing check""#),
            (
                r#"height = "200 mm" # pump"#,
                "height = \"200 mm\"\nruns_only_with = \"up\"",
            ),
        ],
        what: "`up` opens by itself, so nothing can wait for it",
        underlined: r#""up""#,
        mend: "name valves that somebody turns",
    },
    Case {
        name: "a task with both ways open",
        edits: &[(
            r#"kind = "ball" # out"#,
            "kind = \"ball\"\nthree_way_with = \"spout\"",
        )],
        what: "`outlet` and `spout` are the two ways of one three-way valve, never both open",
        underlined: r#""outlet, spout""#,
        mend: "leave one of them out",
    },
    Case {
        name: "a task with both ways open, told at the other",
        edits: &[(
            "line = \"spout\"\nkind = \"ball\"",
            "line = \"spout\"\nkind = \"ball\"\nthree_way_with = \"outlet\"",
        )],
        what: "`outlet` and `spout` are the two ways of one three-way valve, never both open",
        underlined: r#""outlet, spout""#,
        mend: "leave one of them out",
    },
    Case {
        name: "a task that its interlock stops",
        edits: &[
            (
                r#"height = "200 mm" # pump"#,
                "height = \"200 mm\"\nruns_only_with = \"spout\"",
            ),
            (r#"by = "pump" # fill"#, "by = \"pump\"\nopen = \"outlet, up\""),
        ],
        what: "`pump` doesn't run while spout is closed (runs_only_with)",
        underlined: r#""outlet, up""#,
        mend: "open spout, or take what this task opens into the interlock",
    },
    Case {
        name: "a task that an interlock of two stops",
        edits: &[
            (
                r#"height = "200 mm" # pump"#,
                "height = \"200 mm\"\nruns_only_with = \"spout, up\"",
            ),
            (r#"by = "pump" # fill"#, "by = \"pump\"\nopen = \"outlet\""),
        ],
        what: "`pump` doesn't run while spout and up are closed (runs_only_with)",
        underlined: r#""outlet""#,
        mend: "open spout or up, or take what this task opens into the interlock",
    },
];

/// The sound station with one line more behind another.
fn with(line: &str, more: &str) -> Station {
    assert_eq!(SOUND.matches(line).count(), 1, "{line}");
    let text = SOUND.replace(line, &format!("{line}\n{more}"));
    Station::read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// Told at one of the two or at both, it is the same pair.
#[test]
fn a_three_way_valve_is_told_at_either_way() {
    let outlet = "line = \"out\"\nkind = \"ball\" # out";
    let up = "line = \"up\"\nkind = \"gate\"";
    let one = with(outlet, "three_way_with = \"up\"");
    let other = with(up, "three_way_with = \"outlet\"");
    let text = one
        .text
        .replace(up, &format!("{up}\nthree_way_with = \"outlet\""));
    let both = Station::read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let place = |name: &str| one.valves.iter().position(|valve| valve.name == name);
    let (outlet, up) = (place("outlet").expect("outlet"), place("up").expect("up"));
    for station in [&one, &other, &both] {
        let ways = &station.plumbing.other_way;
        assert_eq!((ways[outlet], ways[up]), (Some(up), Some(outlet)));
        assert_eq!(ways.iter().flatten().count(), 2);
    }
}

/// A task that opens one of an interlock's valves runs.
#[test]
fn an_interlock_asks_for_one_of_its_valves() {
    let station = with("height = \"200 mm\" # pump", "runs_only_with = \"spout, up\"");
    let names: Vec<&str> = station.plumbing.runs_only_with[0]
        .iter()
        .map(|valve| station.valves[*valve].name.as_str())
        .collect();
    assert_eq!(names, ["spout", "up"]);
    let text = station
        .text
        .replace("by = \"pump\" # fill", "by = \"pump\"\nopen = \"outlet, up\"");
    assert!(Station::read(&text).is_ok());
}
