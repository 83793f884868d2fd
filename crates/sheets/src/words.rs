//! Text in lines: numbers that keep their units, and greedy line breaks by measured width.

use station::quantity::is_unit;

use crate::drawing::TextStyle;

/// A blank at which no line ends.
const GLUE: char = '\u{a0}';

/// The same text with every number held to its unit, to its `±` and to its own thousands.
pub(crate) fn glued(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out = String::with_capacity(text.len());
    for (at, word) in words.iter().enumerate() {
        if at > 0 {
            out.push(if hold(words[at - 1], word) { GLUE } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

/// The same text with a capital.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase());
    first.into_iter().flatten().chain(letters).collect()
}

/// Whether two words must stay on one line.
fn hold(before: &str, word: &str) -> bool {
    let number = before.ends_with(|c: char| c.is_ascii_digit());
    let thousands = word.len() >= 3 && word.bytes().take(3).all(|byte| byte.is_ascii_digit());
    let own = before.trim_start_matches(['(', '-', '−', '+']);
    let leads = !own.is_empty() && own.len() <= 3 && own.bytes().all(|byte| byte.is_ascii_digit());
    before == "±" || word == "±" || (number && is_unit(word)) || (leads && thousands)
}

/// Lines no wider than that, broken at blanks; a word wider than a line is broken where it must.
pub(crate) fn lines(text: &str, width_mm: f64, style: TextStyle) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in glued(text).split(' ') {
        let joined = match line.is_empty() {
            true => word.to_owned(),
            false => format!("{line} {word}"),
        };
        if style.width_mm(&joined) <= width_mm {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(core::mem::take(&mut line));
        }
        // A word wider than a line breaks behind a hyphen, a point or a slash where it has one, else where it must.
        let mut rest = word;
        while style.width_mm(rest) > width_mm {
            let fits = rest
                .char_indices()
                .map(|(at, c)| at + c.len_utf8())
                .take_while(|end| style.width_mm(&rest[..*end]) <= width_mm)
                .last()
                .or_else(|| rest.chars().next().map(char::len_utf8))
                .unwrap_or(rest.len());
            let cut = rest[..fits].rfind(['-', '.', '/']).map_or(fits, |at| at + 1);
            let (head, tail) = rest.split_at(cut);
            lines.push(head.to_owned());
            if tail.is_empty() {
                break;
            }
            rest = tail;
        }
        line = rest.to_owned();
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::drawing::Ink;
    use crate::font::Face;

    const STYLE: TextStyle = TextStyle::new(3.6, Face::Regular, Ink::Ink);

    #[test]
    fn numbers_keep_their_units() {
        for (plain, held) in [
            ("makes 148 L in 9 h 40 min", "makes 148~L in 9~h 40~min"),
            (
                "costs 1 150 L, or 6.1 ct/L ± 0.8 ct/L.",
                "costs 1~150~L, or 6.1~ct/L~±~0.8~ct/L.",
            ),
            ("In 2026 400 were sold", "In 2026 400 were sold"),
            ("page 3 of 4", "page 3 of 4"),
            ("−3 324 USD, +12 400 L", "−3~324~USD, +12~400~L"),
        ] {
            assert_eq!(glued(plain).replace(GLUE, "~"), held);
        }
    }

    proptest! {
        /// Nothing is lost, nothing is too wide, and no line could have taken the next word.
        #[test]
        fn lines_are_full_and_whole(words in proptest::collection::vec("[a-z]{1,14}", 1..40), width in 20.0..180.0_f64) {
            let text = words.join(" ");
            let broken = lines(&text, width, STYLE);
            for line in &broken {
                prop_assert!(STYLE.width_mm(line) <= width || line.chars().count() == 1);
            }
            prop_assert_eq!(broken.concat().replace(' ', ""), text.replace(' ', ""));
            let narrow = words.iter().any(|word| STYLE.width_mm(word) > width);
            if !narrow {
                prop_assert_eq!(broken.join(" "), text);
                for pair in broken.windows(2) {
                    let next = pair[1].split(' ').next().unwrap_or_default();
                    let tried = format!("{} {next}", pair[0]);
                    prop_assert!(STYLE.width_mm(&tried) > width);
                }
            }
        }
    }
}
