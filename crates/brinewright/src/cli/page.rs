//! Text for the terminal: paragraphs, tables, lists, all within 80 columns.

use crate::task::doubt::Figure;
use station::quantity::{
    Amount, Currency, Kind, UnitSystem, format_amount, format_interval, format_plain, is_lopsided,
};

/// Columns of a page.
pub(crate) const WIDTH: usize = 80;

/// A page that grows downwards; parts stand a blank line apart.
#[derive(Debug)]
pub(crate) struct Page {
    text: String,
    system: UnitSystem,
    /// Whether the next part follows without a blank line.
    joined: bool,
}

impl Page {
    pub(crate) fn new(system: UnitSystem) -> Self {
        Self {
            text: String::new(),
            system,
            joined: false,
        }
    }

    pub(crate) fn paragraph(&mut self, text: &str) {
        self.part(&wrapped(text, ""));
    }

    /// A line that the next table belongs to.
    pub(crate) fn heading(&mut self, text: &str) {
        self.part(text);
        self.joined = true;
    }

    /// A heading with sentences below it, each set in.
    pub(crate) fn list(&mut self, heading: &str, sentences: &[impl AsRef<str>]) {
        let lines: Vec<String> = sentences
            .iter()
            .map(|sentence| hanging(sentence.as_ref(), "  "))
            .collect();
        self.part(&format!("{heading}\n{}", lines.join("\n")));
    }

    /// Names to the left, figures with their points below each other, units after them.
    pub(crate) fn table(&mut self, rows: &[Row]) {
        let widest = |width: fn(&Row) -> usize| rows.iter().map(width).max().unwrap_or(0);
        let names = widest(|row| row.name.chars().count());
        let wholes = widest(|row| row.whole_and_rest().0.chars().count());
        let rests = widest(|row| row.whole_and_rest().1.chars().count());
        let lines: Vec<String> = rows
            .iter()
            .map(|row| {
                let (whole, rest) = row.whole_and_rest();
                let line = format!(
                    "  {:<names$}   {whole:>wholes$}{rest:<rests$} {}",
                    row.name, row.unit
                );
                line.trim_end().to_owned()
            })
            .collect();
        self.part(&lines.join("\n"));
    }

    /// `200 L`, in the owner's units.
    pub(crate) fn plain(&self, kind: Kind, si: f64) -> String {
        format_plain(kind, si, self.system, &Currency::default())
    }

    /// `200 L ± 2 L`.
    pub(crate) fn amount(&self, kind: Kind, amount: Amount) -> String {
        format_amount(kind, amount, self.system, &Currency::default())
    }

    /// `7.86 kg ± 0.20 kg`, or without its doubt where it has none.
    pub(crate) fn figure(&self, kind: Kind, figure: &Figure) -> String {
        let Some((low, high)) = figure.between else {
            return self.plain(kind, figure.value);
        };
        let half_width = (high - low) / 2.0;
        // A lopsided interval is told by its ends.
        if is_lopsided(figure.value, low, high) {
            // Where the stated value itself is an extreme, the interval reaches to it.
            let (low, high) = (low.min(figure.value), high.max(figure.value));
            let end = |si| format_interval(kind, si, Some(half_width), self.system, &Currency::default());
            let (own, low, high) = (end(figure.value), end(low), end(high));
            // Ends of one unit name it once.
            let low = match low.unit == high.unit {
                true => low.value,
                false => low.value_with_unit(),
            };
            return format!("{} ({low} to {})", own.value_with_unit(), high.value_with_unit());
        }
        format_interval(
            kind,
            figure.value,
            Some(half_width),
            self.system,
            &Currency::default(),
        )
        .to_string()
    }

    pub(crate) fn into_text(self) -> String {
        self.text
    }

    fn part(&mut self, text: &str) {
        if !self.text.is_empty() && !self.joined {
            self.text.push('\n');
        }
        self.joined = false;
        self.text.push_str(text);
        self.text.push('\n');
    }
}

/// A line of a table.
#[derive(Debug)]
pub(crate) struct Row {
    name: String,
    figure: String,
    unit: String,
}

impl Row {
    pub(crate) fn new(name: &str, figure: impl Into<String>, unit: &str) -> Self {
        Self {
            name: name.to_owned(),
            figure: figure.into(),
            unit: unit.to_owned(),
        }
    }

    /// The figure before its decimal point, and from it on.
    fn whole_and_rest(&self) -> (&str, &str) {
        self.figure
            .split_at(self.figure.find('.').unwrap_or(self.figure.len()))
    }
}

/// One JSON object on one line.
pub(crate) fn json(answer: &impl serde::Serialize) -> String {
    serde_json::to_string(answer).expect("numbers and texts always serialize") + "\n"
}

/// A blank that doesn't break: keeps a figure with its unit.
const BOUND: char = '\u{a0}';

/// Breaks a paragraph, never between a number and what follows it.
fn wrapped(text: &str, indent: &str) -> String {
    fill(text, indent, indent)
}

fn hanging(text: &str, indent: &str) -> String {
    fill(text, indent, &format!("{indent}  "))
}

pub(crate) fn fill(text: &str, first: &str, rest: &str) -> String {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(rest)
        .break_words(false)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::fill(&bind(text), options).replace(BOUND, " ")
}

fn bind(text: &str) -> String {
    let mut bound = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    let mut before = ' ';
    while let Some(c) = chars.next() {
        let next = chars.peek().copied().unwrap_or(' ');
        let after_number = before.is_ascii_digit();
        let spread = before == '±' || next == '±';
        let to_unit = next == '%' || !next.is_ascii_punctuation();
        let binds = c == ' ' && (after_number && to_unit || spread);
        bound.push(if binds { BOUND } else { c });
        before = c;
    }
    bound
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_stays_with_its_unit() {
        let text = format!("{} 200 L ± 2 L of water", "x".repeat(72));
        let wrapped = wrapped(&text, "");
        assert_eq!(wrapped.lines().nth(1), Some("200 L ± 2 L of water"), "{wrapped}");
    }

    #[test]
    fn the_points_of_a_table_stand_below_each_other() {
        let mut page = Page::new(UnitSystem::Si);
        page.table(&[Row::new("a", "1.5", "kg"), Row::new("long", "10.25", "")]);
        assert_eq!(page.into_text(), "  a       1.5  kg\n  long   10.25\n");
    }
}
