//! Whatever isn't in the subset is refused, at its line and column.

use super::parser::parse;

fn refused(text: &str) -> (usize, usize, String) {
    let outside = parse(text).expect_err(text);
    (outside.at.line, outside.at.column, outside.what)
}

#[test]
fn what_is_outside_the_subset_is_refused_at_its_place() {
    let body = |body: &str| {
        format!(
            "PROGRAM P\nVAR_INPUT i : BOOL; t : TIME; x : REAL; END_VAR\nVAR b : BOOL; d : TON; END_VAR\n{body}\nEND_PROGRAM"
        )
    };
    let rows: [(String, usize, usize, &str); 24] = [
        (body("b := c;"), 4, 6, "`C` isn't declared"),
        (body("c := b;"), 4, 1, "`C` isn't declared"),
        (body("b := x;"), 4, 6, "Real stands where Bool must"),
        (body("b := i XOR b;"), 4, 8, "`;` is missing"),
        (body("b := i OR x;"), 4, 12, "AND and OR join BOOL"),
        (body("b := NOT x;"), 4, 11, "NOT of Real"),
        (body("b := x < t;"), 4, 11, "can't be compared"),
        (body("b := i < b;"), 4, 11, "can't be compared"),
        (body("b := x < 3;"), 4, 10, "`3` is no REAL"),
        (body("b := x + 3.0 > x;"), 4, 8, "`+` isn't in the subset"),
        (body("i := b;"), 4, 6, "is an input"),
        (body("b := t > T#5x;"), 4, 10, "no TIME"),
        (body("b := t > T#5s2m;"), 4, 10, "no TIME"),
        (body("FOR b"), 4, 1, "`FOR` isn't declared"),
        (body("IF i THEN b := i;"), 5, 1, "`END_PROGRAM` isn't declared"),
        (body("b(IN := i);"), 4, 3, "can't be called"),
        (body("d(CLK := i);"), 4, 3, "has no input CLK"),
        (body("d(Q := i);"), 4, 3, "has no input Q"),
        (body("b := d.M;"), 4, 6, "has no M"),
        (body("(* never ends"), 4, 1, "has no end"),
        (body("(* a (* b *) *)"), 4, 6, "comment in a comment"),
        (
            "PROGRAM P VAR n : INT; END_VAR END_PROGRAM".into(),
            1,
            19,
            "INT isn't in the subset",
        ),
        (
            "PROGRAM P VAR a__b : BOOL; END_VAR END_PROGRAM".into(),
            1,
            15,
            "no name",
        ),
        (
            "TYPE T : BOOL; END_TYPE".into(),
            1,
            1,
            "only FUNCTION_BLOCK and PROGRAM",
        ),
    ];
    for (text, line, column, part) in rows {
        let (at_line, at_column, what) = refused(&text);
        assert!(what.contains(part), "{text}: {what}");
        assert_eq!((at_line, at_column), (line, column), "{text}: {what}");
    }
}
