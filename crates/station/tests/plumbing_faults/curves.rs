//! What a pump lifts.

use super::Case;

pub(super) const CASES: &[Case] = &[
    Case {
        name: "a curve that isn't one",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#""2.6 m at 20 L/min""#,
        )],
        what: "a pump's curve is a list of pairs",
        underlined: r#""2.6 m at 20 L/min""#,
        mend: r#"write flow and head in pairs: [["0 L/min", "2.6 m"], ["20 L/min", "2.0 m"], ["38 L/min", "0.4 m"]]"#,
    },
    Case {
        name: "a curve of one pair",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0 L/min", "2.6 m"]]"#,
        )],
        what: "a curve needs two pairs or more, and this has 1",
        underlined: r#"[["0 L/min", "2.6 m"]]"#,
        mend: r#"give the head at no flow and the flow at no head at least: [["0 L/min", "2.6 m"], ["20 L/min", "2.0 m"], ["38 L/min", "0.4 m"]]"#,
    },
    Case {
        name: "a head that rises",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0 L/min", "2.6 m"], ["10 L/min", "2.8 m"], ["30 L/min", "0 m"]]"#,
        )],
        what: "the head doesn't fall from pair 1 to pair 2",
        underlined: r#"[["0 L/min", "2.6 m"], ["10 L/min", "2.8 m"], ["30 L/min", "0 m"]]"#,
        mend: "a pump lifts less the more it moves: measure these two again, or leave one of them out",
    },
    Case {
        name: "a flow that falls",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["30 L/min", "2.6 m"], ["10 L/min", "1 m"]]"#,
        )],
        what: "the flow doesn't rise from pair 1 to pair 2",
        underlined: r#"[["30 L/min", "2.6 m"], ["10 L/min", "1 m"]]"#,
        mend: "give the pairs by rising flow, each flow once",
    },
    Case {
        name: "head before flow",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["2.6 m", "0 L/min"], ["0 m", "30 L/min"]]"#,
        )],
        what: "pair 1 has its head before its flow",
        underlined: r#"[["2.6 m", "0 L/min"], ["0 m", "30 L/min"]]"#,
        mend: r#"write the flow first: ["0 L/min", "2.6 m"]"#,
    },
    Case {
        name: "a pressure for a head",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0 L/min", "0.3 bar"], ["30 L/min", "0 bar"]]"#,
        )],
        what: "pair 1: 0.3 bar is a pressure, and a curve takes the height that the pump lifts to",
        underlined: r#"[["0 L/min", "0.3 bar"], ["30 L/min", "0 bar"]]"#,
        mend: "write it as a height of water: 1 bar lifts about 10 m, 1 psi about 0.7 m",
    },
    Case {
        name: "a flow without a unit",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0", "2.6 m"], ["30 L/min", "0 m"]]"#,
        )],
        what: "pair 1: `0` has no unit, where a flow is wanted",
        underlined: r#"[["0", "2.6 m"], ["30 L/min", "0 m"]]"#,
        mend: r#"write it as "20 L/min" or "5 gal/min""#,
    },
    Case {
        name: "a doubt in a pair",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0 L/min", "2.6 m ± 0.2 m"], ["30 L/min", "0 m"]]"#,
        )],
        what: "pair 1 carries a doubt of its own",
        underlined: r#"[["0 L/min", "2.6 m ± 0.2 m"], ["30 L/min", "0 m"]]"#,
        mend: "give the doubt of the whole curve as `tolerance`",
    },
    Case {
        name: "a flow below nothing",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["-5 L/min", "2.6 m"], ["30 L/min", "0 m"]]"#,
        )],
        what: "pair 1: a flow of -5 L/min can't be",
        underlined: r#"[["-5 L/min", "2.6 m"], ["30 L/min", "0 m"]]"#,
        mend: "it lies between 0 and 3000 L/min",
    },
    Case {
        name: "a head beyond pumps",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0 L/min", "260 m"], ["30 L/min", "0 m"]]"#,
        )],
        what: "pair 1: a head of 260 m can't be",
        underlined: r#"[["0 L/min", "260 m"], ["30 L/min", "0 m"]]"#,
        mend: "it lies between 0 and 100 m; 1 bar lifts water about 10 m",
    },
    Case {
        name: "it lifts nothing",
        edits: &[(
            r#"[["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]"#,
            r#"[["0 L/min", "0 m"], ["30 L/min", "-1 m"]]"#,
        )],
        what: "this pump lifts nothing even with its outlet closed",
        underlined: r#"[["0 L/min", "0 m"], ["30 L/min", "-1 m"]]"#,
        mend: "begin with the head that it makes at 0 L/min",
    },
];
