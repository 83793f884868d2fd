//! A line by itself.

use super::Case;

pub(super) const CASES: &[Case] = &[
    Case {
        name: "from itself to itself",
        edits: &[
            (r#"to = "spout" # spout"#, r#"to = "low" # spout"#),
            ("[draw_points.spout]\nheight = \"420 mm\"\n", ""),
            (
                "[lineups.bucket]\nfrom = \"north\" # bucket\nto = \"spout\"\nby = \"gravity\" # bucket\nopen = \"outlet, spout\"\n",
                "",
            ),
        ],
        what: "this line ends where it begins",
        underlined: r#""low""#,
        mend: "let it end somewhere else; what goes round in a vessel goes by a line to the pump and another back",
    },
    Case {
        name: "a line out of a draw point",
        edits: &[
            (
                "from = \"low\" # spout\nto = \"spout\" # spout",
                "from = \"spout\" # spout\nto = \"low\" # spout",
            ),
            (
                "[lineups.bucket]\nfrom = \"north\" # bucket\nto = \"spout\"\nby = \"gravity\" # bucket\nopen = \"outlet, spout\"\n",
                "",
            ),
        ],
        what: "a draw point gives no water to a line",
        underlined: r#""spout""#,
        mend: "a line ends at a draw point: exchange `from` and `to`",
    },
    Case {
        name: "a level at a tee",
        edits: &[(r#"to = "low" # out"#, "to = \"low\"\nto_level = \"40 mm\"")],
        what: "`to_level` is a level in a vessel, but the line ends at a tee",
        underlined: r#""40 mm""#,
        mend: "leave it out; a tee has its own height",
    },
    Case {
        name: "a level in a tank",
        edits: &[(r#"to = "pool""#, "to = \"pool\"\nto_level = \"40 mm\"")],
        what: "`to_level` is a level in a vessel, but the line ends in a tank",
        underlined: r#""40 mm""#,
        mend: "write tank_height, its height above the room's floor",
    },
    Case {
        name: "it begins above the rim",
        edits: &[(r#"to = "low" # out"#, "to = \"low\"\nfrom_level = \"950 mm\"")],
        what: "this line begins above the rim and can take no water",
        underlined: r#""950 mm""#,
        mend: "the vessel `north` is 900 mm high: give a level below that, from the vessel's own floor",
    },
    Case {
        name: "a height in a tank without a tank",
        edits: &[(r#"to = "low" # out"#, "to = \"low\"\ntank_height = \"950 mm\"")],
        what: "`tank_height` is the height of an end in a tank, but the line has none there",
        underlined: r#""950 mm""#,
        mend: "leave it out; in a vessel write from_level or to_level",
    },
    Case {
        name: "two tanks",
        edits: &[
            (
                "[vessels.north]",
                "[tanks.reef]\nvolume = \"200 L\"\nsalinity = 35\ntemperature = \"24 C\"\nevaporation = \"2 L/day\"\n[vessels.north]",
            ),
            (
                "[lines.hose]",
                "[lines.between]\nfrom = \"reef\"\nto = \"pool\"\ntube = \"vinyl hose\"\nsize = \"25 mm\"\nlength = \"3 m\"\n[lines.hose]",
            ),
        ],
        what: "this line joins two tanks, which the station serves but doesn't join",
        underlined: r#""pool""#,
        mend: "let one of its ends be a vessel, a pump, a tee or a draw point",
    },
    Case {
        name: "half an elbow",
        edits: &[(r#"length = "1.5 m" # out"#, "length = \"1.5 m\"\nelbows = 1.5")],
        what: "1.5 elbows can't be",
        underlined: "1.5",
        mend: "count them: a whole number, or leave it out for none",
    },
    Case {
        name: "a barb wider than its hose",
        edits: &[(
            r#"length = "1.5 m" # out"#,
            "length = \"1.5 m\"\nbarb_bore = \"26 mm\"",
        )],
        what: "a barb is narrower inside than the hose that is pushed over it",
        underlined: r#""26 mm""#,
        mend: "the hose has a bore of 25 mm: measure through the barb, or leave it out",
    },
    Case {
        name: "the bore of no barb",
        edits: &[("barbs = 2 # out", r#"barb_bore = "20 mm""#)],
        what: "the bore of a barb is given, but the line has no barb",
        underlined: r#""20 mm""#,
        mend: "add barbs = 1, or leave the bore out",
    },
    Case {
        name: "a drop without its flow",
        edits: &[(
            r#"length = "1.5 m" # out"#,
            "length = \"1.5 m\"\nmeasured_drop = \"40 mbar\"",
        )],
        what: "a measured drop says nothing without the flow at which it was measured",
        underlined: r#""40 mbar""#,
        mend: "add measured_flow, or leave both out and have the line computed",
    },
    Case {
        name: "a flow without its drop",
        edits: &[(
            r#"length = "1.5 m" # out"#,
            "length = \"1.5 m\"\nmeasured_flow = \"12 L/min\"",
        )],
        what: "a measured flow says nothing without the pressure that was lost at it",
        underlined: r#""12 L/min""#,
        mend: "add measured_drop, or leave both out and have the line computed",
    },
    Case {
        name: "a crest below an end",
        edits: &[(
            r#"length = "1.5 m" # out"#,
            "length = \"1.5 m\"\ncrest = \"400 mm\"",
        )],
        what: "the crest is lower than an end of the line",
        underlined: r#""400 mm""#,
        mend: "one of its ends is at 540 mm above the room's floor; leave the crest out where the line has none",
    },
    Case {
        name: "a crest below the end that is known",
        edits: &[
            ("tank_height = \"900 mm\"\n", ""),
            ("crest = \"2.1 m\"", "crest = \"1.1 m\""),
        ],
        what: "the crest is lower than an end of the line",
        underlined: r#""1.1 m""#,
        mend: "one of its ends is at 1 200 mm above the room's floor; leave the crest out where the line has none",
    },
    Case {
        name: "a hole above it all",
        edits: &[(
            r#"length = "1.5 m" # out"#,
            "length = \"1.5 m\"\nsiphon_break = \"700 mm\"",
        )],
        what: "this hole is above the whole line",
        underlined: r#""700 mm""#,
        mend: "the line's highest point is at 540 mm above the room's floor: put the hole there or lower, or give the crest",
    },
    Case {
        name: "a hole below it all",
        edits: &[(
            r#"length = "1.5 m" # out"#,
            "length = \"1.5 m\"\nsiphon_break = \"100 mm\"",
        )],
        what: "this hole is below both ends of the line, where it leaks and lets no air in",
        underlined: r#""100 mm""#,
        mend: "put it above the water, between 300 mm and 540 mm above the room's floor",
    },
];
