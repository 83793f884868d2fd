//! Lines of a program text: comments and statements within its width.

/// Columns.
pub(super) const WIDTH: usize = 80;

/// A text that grows line by line.
#[derive(Debug, Default)]
pub(super) struct Lines {
    pub(super) text: String,
}

impl Lines {
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A comment, broken to lines of its own. What the owner wrote can't end it.
    pub(super) fn comment(&mut self, indent: &str, words: &str) {
        let words = harmless(words);
        let room = WIDTH - indent.len() - "(*  *)".len();
        for line in broken(&words, room, room) {
            self.line(&format!("{indent}(* {line} *)"));
        }
    }

    /// A statement, broken at blanks, the rest set in.
    pub(super) fn statement(&mut self, indent: &str, statement: &str) {
        let first = WIDTH - indent.len();
        for (at, line) in broken(statement, first, first - 4).iter().enumerate() {
            let more = if at == 0 { "" } else { "    " };
            self.line(&format!("{indent}{more}{line}"));
        }
    }
}

/// A text that can stand in a comment: no end and no beginning of one, and one line.
fn harmless(words: &str) -> String {
    let plain: String = words
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    plain.replace('*', "\u{d7}").replace(['{', '}'], "|")
}

/// Words filled into lines of so many characters; a word that is longer stands alone.
fn broken(text: &str, first: usize, rest: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut room = first;
    for word in text.split_whitespace() {
        let long = word.chars().count();
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + long <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => {
                room = if lines.is_empty() { first } else { rest };
                lines.push(word.to_owned());
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_cannot_end_its_comment() {
        let mut lines = Lines::default();
        lines.comment("", "Tank *) feed := TRUE; (* {x}\n2");
        assert_eq!(lines.text, "(* Tank \u{d7}) feed := TRUE; (\u{d7} |x| 2 *)\n");
    }

    #[test]
    fn long_lines_are_broken_at_blanks() {
        let mut lines = Lines::default();
        lines.statement("  ", &"word ".repeat(40));
        for line in lines.text.lines() {
            assert!(line.len() <= WIDTH, "{line}");
            assert!(line.starts_with("  "), "{line}");
        }
        assert_eq!(lines.text.split_whitespace().count(), 40);
    }
}
