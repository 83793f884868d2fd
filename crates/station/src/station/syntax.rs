//! Slips of the notation: where they are, and what they are in plain words.

use core::ops::Range;

pub(super) fn first_line_end(text: &str) -> usize {
    text.find('\n').unwrap_or(text.len())
}

/// The first `{` that no `}` closes on its line.
pub(super) fn unclosed_brace(text: &str) -> Option<Range<usize>> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let mut open: Vec<usize> = Vec::new();
        let mut quoted = false;
        for (at, c) in line.char_indices() {
            match c {
                '"' => quoted = !quoted,
                '#' if !quoted => break,
                '{' if !quoted => open.push(at),
                '}' if !quoted => {
                    open.pop();
                }
                _ => {}
            }
        }
        if let Some(at) = open.first() {
            return Some(start + at..start + at + 1);
        }
        start += line.len();
    }
    None
}

/// The parser's words for the commonest slips, as somebody would say them who doesn't know the notation.
pub(super) fn in_plain_words(message: &str) -> String {
    let plain = [
        ("duplicate key", "this key or section stands here a second time"),
        ("basic string", "a text in quotes isn't closed on its line"),
        ("literal string", "a text in quotes isn't closed on its line"),
        (
            "string values must be quoted",
            "a quantity or word must stand in quotes",
        ),
        ("key with no value", "a key stands here without its value"),
        ("invalid boolean", "a quantity or word must stand in quotes"),
        ("unquoted", "a quantity or word must stand in quotes"),
    ];
    match plain.iter().find(|(part, _)| message.contains(part)) {
        Some((_, words)) => (*words).to_owned(),
        None => format!("this line can't be read: {message}"),
    }
}
