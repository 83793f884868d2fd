//! Names that nothing has, or that several have.

use super::Case;

pub(super) const CASES: &[Case] = &[
    Case {
        name: "a slip of the pen",
        edits: &[(r#"to = "pump""#, r#"to = "pmup""#)],
        what: "the line `in` leads nowhere: nothing is named `pmup`",
        underlined: r#""pmup""#,
        mend: "did you mean `pump`?",
    },
    Case {
        name: "nothing like it",
        edits: &[(r#"to = "pump""#, r#"to = "drain""#)],
        what: "the line `in` leads nowhere: nothing is named `drain`",
        underlined: r#""drain""#,
        mend: "known here: high, low, north, pool, pump, south, spout",
    },
    Case {
        name: "a line for an end",
        edits: &[(r#"to = "pump""#, r#"to = "up""#)],
        what: "`up` is a line, and lines meet in a tee",
        underlined: r#""up""#,
        mend: "add a tee with its height, [tees.NAME], and let both lines end or begin at it",
    },
    Case {
        name: "a valve for an end",
        edits: &[(r#"to = "pump""#, r#"to = "outlet""#)],
        what: "`outlet` is a valve, and a valve sits in a line",
        underlined: r#""outlet""#,
        mend: "name what the line goes on to; the valve is in the line `out`",
    },
    Case {
        name: "one name, two things",
        edits: &[
            (
                "[draw_points.spout]",
                "[tees.spout]\nheight = \"300 mm\"\n[draw_points.spout]",
            ),
            ("to = \"spout\"\nby", "to = \"draw point spout\"\nby"),
        ],
        what: "`spout` could be a tee or a draw point",
        underlined: r#""spout""#,
        mend: r#"write "tee spout" or "draw point spout""#,
    },
    Case {
        name: "told apart, but wrongly",
        edits: &[(r#"from = "low" # in"#, r#"from = "pump low" # in"#)],
        what: "the line `in` leads nowhere: nothing is named `pump low`",
        underlined: r#""pump low""#,
        mend: r#"`low` is a tee: write "low""#,
    },
    Case {
        name: "a lineup to nowhere",
        edits: &[(r#"from = "north" # bucket"#, r#"from = "noth" # bucket"#)],
        what: "the lineup `bucket` leads nowhere: nothing is named `noth`",
        underlined: r#""noth""#,
        mend: "did you mean `north`?",
    },
    Case {
        name: "a hose that isn't sold, metric",
        edits: &[(r#"size = "25 mm" # out"#, r#"size = "26 mm" # out"#)],
        what: "no vinyl hose is sold as 26 mm",
        underlined: r#""26 mm""#,
        mend: r#"take one of 4 mm, 6 mm, 8 mm, 9 mm, 10 mm, 12 mm, 16 mm, 19 mm, 25 mm, 32 mm; or add its bore as measured: bore = "26 mm""#,
    },
    Case {
        name: "a hose that isn't sold, inches",
        edits: &[(r#"size = "25 mm" # out"#, r#"size = "7/8 in" # out"#)],
        what: "no vinyl hose is sold as 7/8 in",
        underlined: r#""7/8 in""#,
        mend: r#"take one of 1/8 in, 3/16 in, 1/4 in, 3/8 in, 1/2 in, 5/8 in, 3/4 in, 1 in, 1-1/4 in, 1-1/2 in; or add its bore as measured: bore = "7/8 in""#,
    },
    Case {
        name: "a pipe named in inches, asked in millimetres",
        edits: &[(
            "tube = \"vinyl hose\"\nsize = \"25 mm\" # up",
            "tube = \"schedule 40 pipe\"\nsize = \"27 mm\" # up",
        )],
        what: "no PVC pipe of schedule 40 is sold as 27 mm",
        underlined: r#""27 mm""#,
        mend: r#"take one of 1/8 in, 1/4 in, 3/8 in, 1/2 in, 3/4 in, 1 in, 1-1/4 in, 1-1/2 in, 2 in; or add its bore as measured: bore = "27 mm""#,
    },
    Case {
        name: "a valve without a line",
        edits: &[(r#"line = "out""#, r#"line = "outt""#)],
        what: "the valve `outlet` is in no line: none is named `outt`",
        underlined: r#""outt""#,
        mend: "did you mean `out`?",
    },
    Case {
        name: "a pump for gravity",
        edits: &[(r#"by = "gravity" # bucket"#, r#"pump = "pump""#)],
        what: "a pump is named for a task that gravity does",
        underlined: r#""pump""#,
        mend: r#"add by = "pump", or leave the pump out"#,
    },
    Case {
        name: "a pump misspelt",
        edits: &[(r#"by = "pump" # fill"#, "by = \"pump\"\npump = \"pomp\"")],
        what: "no pump is named `pomp`",
        underlined: r#""pomp""#,
        mend: "did you mean `pump`?",
    },
    Case {
        name: "which pump",
        edits: &[
            (
                "[tees.low]",
                "[pumps.other]\ncurve = [[\"0 L/min\", \"2 m\"], [\"20 L/min\", \"0 m\"]]\nheight = \"200 mm\"\n[tees.low]",
            ),
            (r#"from = "high" # spare"#, r#"from = "other" # spare"#),
            (r#"to = "south" # over"#, r#"to = "other" # over"#),
        ],
        what: "which of the pumps moves it?",
        underlined: r#""pump""#,
        mend: r#"add pump = "pump" or pump = "other""#,
    },
    Case {
        name: "a valve misspelt",
        edits: &[(r#"open = "outlet, spout""#, r#"open = "outlet, sprout""#)],
        what: "no valve is named `sprout`",
        underlined: r#""outlet, sprout""#,
        mend: "did you mean `spout`?",
    },
    Case {
        name: "a line for a valve",
        edits: &[(r#"open = "outlet, spout""#, r#"open = "out, spout""#)],
        what: "`out` is a line, not a valve",
        underlined: r#""out, spout""#,
        mend: "the valve in it is `outlet`",
    },
    Case {
        name: "a check valve opened",
        edits: &[
            (r#"kind = "gate""#, r#"kind = "swing check""#),
            (r#"by = "pump" # fill"#, "by = \"pump\"\nopen = \"outlet, up\""),
        ],
        what: "`up` is a check valve, which nobody opens",
        underlined: r#""outlet, up""#,
        mend: "leave it out of the list: the flow opens it",
    },
    Case {
        name: "a float opened",
        edits: &[
            (r#"kind = "gate""#, r#"kind = "float""#),
            (r#"by = "pump" # fill"#, "by = \"pump\"\nopen = \"outlet, up\""),
        ],
        what: "`up` is a valve on a float, which nobody opens",
        underlined: r#""outlet, up""#,
        mend: "leave it out of the list: the level opens it",
    },
    Case {
        name: "opened twice",
        edits: &[(r#"open = "outlet, spout""#, r#"open = "outlet, spout, outlet""#)],
        what: "`outlet` stands in this list twice",
        underlined: r#""outlet, spout, outlet""#,
        mend: "name it once; all that isn't named is closed",
    },
    Case {
        name: "none and some",
        edits: &[(r#"open = "outlet, spout""#, r#"open = "none, spout""#)],
        what: "`none` stands in this list beside valves",
        underlined: r#""none, spout""#,
        mend: r#"write open = "none" where none is open, or name the valves alone"#,
    },
    Case {
        name: "a valve named none",
        edits: &[
            ("[valves.outlet]", "[valves.none]"),
            (r#"open = "outlet, spout""#, r#"open = "spout""#),
        ],
        what: "a valve can't be named none: in a lineup that means that no valve is open",
        underlined: "none",
        mend: "give it another name",
    },
    Case {
        name: "a pump in a station without",
        edits: &[
            (
                "[pumps.pump]\ncurve = [[\"0 L/min\", \"3 m\"], [\"20 L/min\", \"2.2 m\"], [\"40 L/min\", \"0 m\"]]\nheight = \"200 mm\" # pump\n",
                "",
            ),
            ("to = \"pump\"\n", "to = \"high\"\n"),
            (r#"from = "pump" # up"#, r#"from = "high""#),
        ],
        what: "there is no pump in this station",
        underlined: r#""pump""#,
        mend: r#"add [pumps.NAME] with its curve and height, or write by = "gravity""#,
    },
];
