//! A fault in a station file, tied to the text that caused it.

use core::ops::Range;

/// Something in the file that must be mended before the station can be proved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Bytes of the file that it is about.
    pub span: Range<usize>,
    /// What is wrong, as a sentence without a full stop.
    pub what: String,
    /// Said at the underlined text; may be empty.
    pub why: String,
    /// How to mend it.
    pub mend: String,
}

/// Line and column, both from 1; the column counts characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    /// Line.
    pub line: usize,
    /// Column.
    pub column: usize,
}

impl Position {
    /// Where a byte of the text stands.
    pub fn of(text: &str, byte: usize) -> Self {
        let mut byte = byte.min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        let before = &text[..byte];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        Self {
            line: before.matches('\n').count() + 1,
            column: before[line_start..].chars().count() + 1,
        }
    }
}

/// Where the lines of a text begin: for one that many places are looked up in.
#[derive(Debug, Clone)]
pub struct Lines {
    /// Bytes behind which a line begins.
    breaks: Vec<usize>,
}

impl Lines {
    /// Of a text.
    pub fn of(text: &str) -> Self {
        Self {
            breaks: text.match_indices('\n').map(|(at, _)| at).collect(),
        }
    }

    /// The line that a byte stands in, from 1: that of [`Position::of`].
    pub fn of_byte(&self, byte: usize) -> usize {
        self.breaks.partition_point(|at| *at < byte) + 1
    }
}

#[cfg(test)]
mod tests {
    use super::{Lines, Position};

    #[test]
    fn a_line_looked_up_is_the_line_counted() {
        for text in ["", "a", "\n", "a\nbc\n\nd", "ä\r\nö\n"] {
            let lines = Lines::of(text);
            for byte in 0..=text.len() {
                if text.is_char_boundary(byte) {
                    assert_eq!(
                        lines.of_byte(byte),
                        Position::of(text, byte).line,
                        "{text:?} at {byte}"
                    );
                }
            }
        }
    }
}
