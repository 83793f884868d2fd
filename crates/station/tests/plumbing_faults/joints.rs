//! Pumps, tees and draw points.

use super::Case;

pub(super) const CASES: &[Case] = &[
    Case {
        name: "two things at one place of the schematic",
        edits: &[
            (
                r#"height = "200 mm" # pump"#,
                "height = \"200 mm\"\nplace = \"2, 1\"",
            ),
            (
                r#"height = "300 mm" # low"#,
                "height = \"300 mm\"\nplace = \"2,1\" # low",
            ),
        ],
        what: "the tee `low` stands where the pump `pump` does",
        underlined: "\"2,1\"",
        mend: r#"write another, as "2, 2", or leave one of them out"#,
    },
    Case {
        name: "the pump's inlet the wrong way round",
        edits: &[(
            "from = \"low\" # in\nto = \"pump\"",
            "from = \"pump\"\nto = \"low\"",
        )],
        what: "two lines take water on from this pump and none brings it: one of them is the wrong way round",
        underlined: "pump",
        mend: r#"let the line at its inlet end there: to = "pump""#,
    },
    Case {
        name: "the pump's outlet the wrong way round",
        edits: &[(
            "from = \"pump\" # up\nto = \"high\"",
            "from = \"high\"\nto = \"pump\"",
        )],
        what: "two lines bring water to this pump and none takes it on: one of them is the wrong way round",
        underlined: "pump",
        mend: r#"let the line at its outlet begin there: from = "pump""#,
    },
    Case {
        name: "nothing to the pump",
        edits: &[
            (
                "from = \"low\" # in\nto = \"pump\"",
                "from = \"low\"\nto = \"high\"",
            ),
            (r#"length = "400 mm""#, r#"length = "1 m""#),
        ],
        what: "no line brings water to this pump",
        underlined: "pump",
        mend: r#"add a line with to = "pump""#,
    },
    Case {
        name: "nothing from the pump",
        edits: &[(r#"from = "pump" # up"#, r#"from = "low" # up"#)],
        what: "no line takes water on from this pump",
        underlined: "pump",
        mend: r#"add a line with from = "pump""#,
    },
    Case {
        name: "two inlets",
        edits: &[(r#"to = "low" # out"#, r#"to = "pump""#)],
        what: "a pump has one inlet, and several lines bring water to it",
        underlined: "pump",
        mend: "join them in a tee before the pump",
    },
    Case {
        name: "two outlets",
        edits: &[(r#"from = "high" # over"#, r#"from = "pump" # over"#)],
        what: "a pump has one outlet, and several lines take water on from it",
        underlined: "pump",
        mend: "let them begin at a tee behind the pump",
    },
    Case {
        name: "a pump by itself",
        edits: &[
            (
                "from = \"low\" # in\nto = \"pump\"",
                "from = \"low\"\nto = \"high\"",
            ),
            (r#"length = "400 mm""#, r#"length = "1 m""#),
            (r#"from = "pump" # up"#, r#"from = "low" # up"#),
        ],
        what: "no line leads to this pump",
        underlined: "pump",
        mend: r#"add a line with to = "pump" and one with from = "pump""#,
    },
    Case {
        name: "a best flow beyond the curve",
        edits: &[(
            r#"height = "200 mm" # pump"#,
            "height = \"200 mm\"\nbest_flow = \"50 L/min\"",
        )],
        what: "the pump is said to work best at a flow that is beyond its curve",
        underlined: r#""50 L/min""#,
        mend: "give the curve up to the most it moves, or leave best_flow out",
    },
    Case {
        name: "a lift of a pump that doesn't",
        edits: &[(
            r#"height = "200 mm" # pump"#,
            "height = \"200 mm\"\ndry_lift = \"1 m\"",
        )],
        what: "a dry lift is given, but the pump doesn't draw water up by itself",
        underlined: r#""1 m""#,
        mend: "add primes_itself = true, or leave the lift out",
    },
    Case {
        name: "no barb at the pump",
        edits: &[("barbs = 2 # in", "unions = 1")],
        what: "a hose is pushed over a barb where it joins a pump, and this one has none",
        underlined: r#""corrugated hose""#,
        mend: "add barbs = 1, or 2 where its other end has one too",
    },
    Case {
        name: "a tee by itself",
        edits: &[("[tees.low]", "[tees.idle]\nheight = \"1 m\"\n[tees.low]")],
        what: "no line leads to this tee",
        underlined: "idle",
        mend: "let lines end or begin at it, or take it out",
    },
    Case {
        name: "a tee that ends",
        edits: &[
            ("[tees.low]", "[tees.idle]\nheight = \"500 mm\"\n[tees.low]"),
            (r#"to = "spout" # spout"#, r#"to = "idle""#),
            ("[draw_points.spout]\nheight = \"420 mm\"\n", ""),
            (
                "[lineups.bucket]\nfrom = \"north\" # bucket\nto = \"spout\"\nby = \"gravity\" # bucket\nopen = \"outlet, spout\"\n",
                "",
            ),
        ],
        what: "a line leads to this tee and nothing goes on from it",
        underlined: "idle",
        mend: "join another line to it, or let the line end elsewhere",
    },
    Case {
        name: "a branch that is elsewhere",
        edits: &[(
            r#"height = "300 mm" # low"#,
            "height = \"300 mm\"\nbranch = \"over\"",
        )],
        what: "the branch of a tee is one of the lines that meet there",
        underlined: r#""over""#,
        mend: "name one of out, in, spout",
    },
    Case {
        name: "bores that can't join",
        edits: &[(r#"size = "32 mm" # over"#, r#"size = "25 mm" # over"#)],
        what: "`over` and `spare` can't join: 25 mm metric pipe 16 bar meets 32 mm metric pipe 10 bar",
        underlined: r#""32 mm""#,
        mend: "add couplings = 1 to the line with the adapter, or barbs = 1 to a hose",
    },
    Case {
        name: "a draw point without a line",
        edits: &[
            (r#"to = "spout" # spout"#, r#"to = "high" # spout"#),
            (
                "[lineups.bucket]\nfrom = \"north\" # bucket\nto = \"spout\"\nby = \"gravity\" # bucket\nopen = \"outlet, spout\"\n",
                "",
            ),
        ],
        what: "no line leads to this draw point",
        underlined: "spout",
        mend: r#"add a line with to = "spout""#,
    },
    Case {
        name: "two lines over one bucket",
        edits: &[
            (r#"to = "south" # over"#, r#"to = "spout""#),
            (r#"to = "south" # fill"#, r#"to = "spout""#),
        ],
        what: "more than one line ends at this draw point",
        underlined: "spout",
        mend: "join them in a tee before it",
    },
    Case {
        name: "a nozzle wider than its line",
        edits: &[(r#"height = "420 mm""#, "height = \"420 mm\"\nnozzle = \"40 mm\"")],
        what: "a nozzle is narrower than the line that ends in it",
        underlined: r#""40 mm""#,
        mend: "the line has a bore of 25 mm; leave the nozzle out where the line's end is open",
    },
];
