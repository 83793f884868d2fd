//! Valves and tasks.

use super::Case;

pub(super) const CASES: &[Case] = &[
    Case {
        name: "kv and cv",
        edits: &[(r#"kind = "gate""#, "kind = \"gate\"\nkv = 6\ncv = 7")],
        what: "kv and cv say the same in different units, and both are given",
        underlined: "7",
        mend: "keep one of them",
    },
    Case {
        name: "a kv that no valve has",
        edits: &[(r#"kind = "gate""#, "kind = \"gate\"\nkv = 900")],
        what: "no valve of this line's bore passes so much, or so little",
        underlined: "900",
        mend: "check the unit, m³/h for kv and US gal/min for cv; a ball valve as wide as this line has about kv = 112",
    },
    Case {
        name: "a ball that cracks",
        edits: &[(r#"kind = "gate""#, "kind = \"gate\"\ncracking = \"30 mbar\"")],
        what: "only a check valve has a cracking pressure",
        underlined: r#""30 mbar""#,
        mend: r#"leave it out, or write kind = "spring check""#,
    },
    Case {
        name: "a solenoid half open",
        edits: &[(r#"kind = "gate""#, "kind = \"solenoid\"\nopening = \"50 %\"")],
        what: "a solenoid valve is open or closed, nothing between",
        underlined: r#""50 %""#,
        mend: "leave the opening out",
    },
    Case {
        name: "a ball that is still shut",
        edits: &[(
            "line = \"out\"\nkind = \"ball\"",
            "line = \"out\"\nkind = \"ball\"\nopening = \"5 %\"",
        )],
        what: "a ball valve is still shut at 5 %, so it would never be open",
        underlined: r#""5 %""#,
        mend: r#"give how far it is turned when water is to pass: half open is "50 %""#,
    },
    Case {
        name: "a lineup from a tee",
        edits: &[(r#"from = "north" # bucket"#, r#"from = "low" # bucket"#)],
        what: "a task takes its water from a vessel or a tank, not from a tee",
        underlined: r#""low""#,
        mend: "name the vessel or tank that grows emptier",
    },
    Case {
        name: "a lineup to a pump",
        edits: &[(r#"to = "south" # fill"#, r#"to = "pump" # fill"#)],
        what: "a task brings its water to a draw point, a vessel or a tank, not to a pump",
        underlined: r#""pump""#,
        mend: "name where the water ends up",
    },
    Case {
        name: "round by gravity",
        edits: &[("to = \"south\" # fill\nby = \"pump\" # fill", r#"to = "north""#)],
        what: "water doesn't go round by gravity",
        underlined: r#""north""#,
        mend: r#"write by = "pump", or name another end"#,
    },
    Case {
        name: "no way to the pump",
        edits: &[
            (r#"from = "north" # fill"#, r#"from = "south""#),
            (r#"to = "south" # fill"#, r#"to = "pool""#),
        ],
        what: "no lines lead from `south` to the inlet of the pump `pump`",
        underlined: r#""south""#,
        mend: "from `south` lines lead to pool, high only: join what is missing",
    },
    Case {
        name: "no way behind the pump",
        edits: &[(r#"to = "south" # fill"#, r#"to = "north""#)],
        what: "no lines lead from the outlet of the pump `pump` to `north`",
        underlined: r#""north""#,
        mend: "from `pump` lines lead to south, pool, high only: join what is missing",
    },
    Case {
        name: "no way by gravity",
        edits: &[(r#"from = "north" # bucket"#, r#"from = "pool""#)],
        what: "no lines lead from `pool` to `spout`",
        underlined: r#""spout""#,
        mend: "from `pool` lines lead to south, high only: join what is missing",
    },
    Case {
        name: "no line at all from there",
        edits: &[
            (
                "from = \"high\" # over\nto = \"south\" # over",
                "from = \"high\"\nto = \"pool\"\ntank_height = \"1 m\"",
            ),
            (
                "to = \"south\"\nto_level = \"200 mm\"",
                "to = \"pool\"\ntank_height = \"1 m\"",
            ),
            (
                "from = \"north\" # fill\nto = \"south\"",
                "from = \"south\"\nto = \"pool\"",
            ),
        ],
        what: "no lines lead from `south` to the inlet of the pump `pump`",
        underlined: r#""south""#,
        mend: "no line takes water from `south`: add one",
    },
    Case {
        name: "a check valve in the way",
        edits: &[
            (r#"kind = "ball" # out"#, r#"kind = "swing check""#),
            (
                "from = \"north\" # out\nto = \"low\" # out",
                "from = \"low\"\nto = \"north\"",
            ),
            (r#"open = "outlet, spout""#, r#"open = "spout""#),
            (
                "[lineups.fill]\nfrom = \"north\" # fill\nto = \"south\" # fill\nby = \"pump\" # fill\n",
                "",
            ),
        ],
        what: "no lines lead from `north` to `spout`",
        underlined: r#""spout""#,
        mend: "the line `out` is reversed, its check valve lets water pass the other way only: exchange its `from` and `to`",
    },
    Case {
        name: "gravity lifts no water",
        edits: &[
            (r#"height = "420 mm""#, r#"height = "1.6 m""#),
            (r#"length = "1 m" # spout"#, r#"length = "2 m""#),
        ],
        what: "`spout` is 1 600 mm above the floor, higher than the rim of `north`, and gravity lifts no water",
        underlined: r#""spout""#,
        mend: r#"write by = "pump", or let the draw point hang lower"#,
    },
];
