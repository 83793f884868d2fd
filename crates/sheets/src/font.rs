//! The typeface: embedded, in two weights, measured without kerning so that every exporter agrees.
//!
//! Owns: widths and heights of text in millimetres. The files are the Latin subset of a typeface made for legibility
//! (SIL Open Font License, `fonts/OFL.txt`).

use std::sync::OnceLock;

use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// The regular weight.
pub const REGULAR: &[u8] = include_bytes!("../fonts/regular.ttf");
/// The semibold weight.
pub const SEMIBOLD: &[u8] = include_bytes!("../fonts/semibold.ttf");

/// Name of the family, as the files have it.
pub const FAMILY: &str = "Atkinson Hyperlegible Next";

/// A weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Face {
    /// For running text and labels.
    #[default]
    Regular,
    /// For what leads.
    Semibold,
}

/// Widths of the characters of Latin 1 in ems, by code; the rest is looked up.
struct Metrics {
    latin: [f64; 256],
    font: FontRef<'static>,
    cap_height: f64,
    descent: f64,
}

/// Advance of a character that the font doesn't have, in ems; [`printable`] leaves none.
const MISSING_EM: f64 = 0.6;

fn metrics(face: Face) -> Option<&'static Metrics> {
    static REGULAR_METRICS: OnceLock<Option<Metrics>> = OnceLock::new();
    static SEMIBOLD_METRICS: OnceLock<Option<Metrics>> = OnceLock::new();
    match face {
        Face::Regular => REGULAR_METRICS.get_or_init(|| read(REGULAR)).as_ref(),
        Face::Semibold => SEMIBOLD_METRICS.get_or_init(|| read(SEMIBOLD)).as_ref(),
    }
}

fn read(bytes: &'static [u8]) -> Option<Metrics> {
    let font = FontRef::new(bytes).ok()?;
    let of_font = font.metrics(Size::new(1.0), LocationRef::default());
    let mut latin = [MISSING_EM; 256];
    for (code, width) in latin.iter_mut().enumerate() {
        if let Some(advance) = char::from_u32(code as u32).and_then(|c| advance(&font, c)) {
            *width = advance;
        }
    }
    Some(Metrics {
        latin,
        cap_height: of_font.cap_height.map_or(0.7, f64::from),
        descent: -f64::from(of_font.descent),
        font,
    })
}

fn advance(font: &FontRef<'_>, c: char) -> Option<f64> {
    let glyph = font.charmap().map(c)?;
    font.glyph_metrics(Size::new(1.0), LocationRef::default())
        .advance_width(glyph)
        .map(f64::from)
}

/// The glyph of a character; that for none where the typeface lacks it.
pub(crate) fn glyph(c: char, face: Face) -> u32 {
    metrics(face)
        .and_then(|metrics| metrics.font.charmap().map(c))
        .map_or(0, |glyph| glyph.to_u32())
}

/// Width of a line of text, mm; `size_mm` is that of an em.
pub fn width_mm(text: &str, size_mm: f64, face: Face) -> f64 {
    let Some(metrics) = metrics(face) else {
        return MISSING_EM * size_mm * text.chars().count() as f64;
    };
    let ems: f64 = text
        .chars()
        .map(|c| match metrics.latin.get(c as usize) {
            Some(width) => *width,
            None => advance(&metrics.font, c).unwrap_or(MISSING_EM),
        })
        .sum();
    ems * size_mm
}

/// Height of capitals and figures, mm.
pub fn cap_height_mm(size_mm: f64, face: Face) -> f64 {
    metrics(face).map_or(0.7, |metrics| metrics.cap_height) * size_mm
}

/// How far letters reach below the line, mm.
pub fn descent_mm(size_mm: f64, face: Face) -> f64 {
    metrics(face).map_or(0.25, |metrics| metrics.descent) * size_mm
}

/// Whether the typeface has a character.
pub fn covers(c: char) -> bool {
    // Most of every text; a test asks the typeface for them.
    matches!(c, ' '..='~') || is_in_typeface(c)
}

fn is_in_typeface(c: char) -> bool {
    metrics(Face::Regular).is_some_and(|metrics| metrics.font.charmap().map(c).is_some())
}

/// What stands for a character that the typeface lacks.
const PLAIN: [(char, &str); 43] = [
    ('\u{a0}', " "),
    ('\u{202f}', " "),
    ('\u{2009}', " "),
    ('µ', "u"),
    ('μ', "u"),
    ('→', "->"),
    ('≤', "at most "),
    ('≥', "at least "),
    ('≈', "about "),
    ('−', "-"),
    ('‐', "-"),
    ('‑', "-"),
    ('″', "\""),
    ('′', "'"),
    ('⁻', "-"),
    ('⁺', "+"),
    ('⁰', "0"),
    ('⁴', "4"),
    ('⁵', "5"),
    ('⁶', "6"),
    ('⁷', "7"),
    ('⁸', "8"),
    ('⁹', "9"),
    ('₀', "0"),
    ('₁', "1"),
    ('₂', "2"),
    ('₃', "3"),
    ('₄', "4"),
    ('√', "sqrt "),
    ('∞', "infinite"),
    ('·', " x "),
    ('⋅', " x "),
    ('α', "alpha"),
    ('β', "beta"),
    ('γ', "gamma"),
    ('δ', "delta"),
    ('Δ', "delta "),
    ('θ', "theta"),
    ('π', "pi"),
    ('ρ', "rho"),
    ('σ', "sigma"),
    ('τ', "tau"),
    ('ν', "nu"),
];

/// The text with every character that the typeface lacks put into ones that it has.
pub fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        // On paper every blank is one: none can break any more.
        if c != '\u{a0}' && covers(c) {
            out.push(c);
            continue;
        }
        match PLAIN.iter().find(|(odd, _)| *odd == c) {
            Some((_, plain)) => out.push_str(plain),
            // A name in another script by its sound.
            None => out.push_str(deunicode::deunicode_char(c).unwrap_or("?")),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_taken_for_granted_is_in_the_typeface() {
        for c in ' '..='~' {
            assert!(covers(c) && is_in_typeface(c), "{c:?}");
        }
        assert!(!covers('\u{4e00}') && !covers('\n'));
    }

    /// Against the tables of the font itself, read by another program (fontTools): advance of "H" and of a figure
    /// in units of 1000 an em, and that all figures are as wide.
    #[test]
    fn figures_stand_in_columns() {
        let one = width_mm("1", 10.0, Face::Regular);
        for figure in "023456789".chars() {
            let width = width_mm(&figure.to_string(), 10.0, Face::Regular);
            assert!((width - one).abs() < 1e-9, "{figure}: {width} for {one}");
        }
    }

    #[test]
    fn width_is_additive_and_grows_with_the_size() {
        let (a, b) = ("Fresh 400 L ", "± 2 L");
        let whole = width_mm(&format!("{a}{b}"), 3.5, Face::Semibold);
        let parts = width_mm(a, 3.5, Face::Semibold) + width_mm(b, 3.5, Face::Semibold);
        assert!((whole - parts).abs() < 1e-9);
        assert!((width_mm(a, 7.0, Face::Regular) / width_mm(a, 3.5, Face::Regular) - 2.0).abs() < 1e-9);
    }

    /// No method and no work says something that can't be printed.
    #[test]
    fn nothing_that_is_told_is_lost() {
        for method in proof::METHODS {
            for text in [method.title, method.formula, method.range] {
                assert_eq!(
                    printable(text).matches('?').count(),
                    text.matches('?').count(),
                    "{text}"
                );
            }
            for source in method.sources.iter().filter_map(|key| proof::source(key)) {
                let text = format!("{} {}", source.reference, source.checked);
                assert_eq!(
                    printable(&text).matches('?').count(),
                    text.matches('?').count(),
                    "{text}"
                );
            }
        }
    }

    /// Names of Europe stay as they are; those of other scripts are told by their sound.
    #[test]
    fn names_are_never_question_marks() {
        assert_eq!(printable("Łódź, Žižkov, Ærøskøbing"), "Łódź, Žižkov, Ærøskøbing");
        let sound = printable("日本 морской");
        assert!(!sound.contains('?') && sound.contains("morsk"), "{sound}");
    }

    #[test]
    fn everything_printable_is_covered() {
        for c in printable("4.3 µS/cm → ≤ 5 ″ ± ° ² ³ · – — ’ ×").chars() {
            assert!(covers(c), "{c}");
        }
    }
}
