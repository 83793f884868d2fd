//! The colours: one for each meaning, on light paper, on dark, in print.
//!
//! Owns: the tokens, and the contrast between them. Shapes name meanings, never colours.

use crate::drawing::Ink;

/// A colour, red, green and blue.
pub type Rgb = [u8; 3];

/// Colours by meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    paper: Rgb,
    ink: Rgb,
    second: Rgb,
    hair: Rgb,
    fresh: Rgb,
    sea: Rgb,
    must: Rgb,
    should: Rgb,
}

/// A screen by day, and pictures that stand alone.
pub const LIGHT: Palette = Palette {
    paper: [0xfb, 0xfa, 0xf6],
    ink: [0x1a, 0x1e, 0x21],
    second: [0x5a, 0x63, 0x6a],
    hair: [0xb9, 0xb8, 0xb0],
    fresh: [0xe4, 0xef, 0xef],
    sea: [0x8f, 0xbc, 0xc6],
    must: [0xb2, 0x3a, 0x12],
    should: [0x96, 0x69, 0x0a],
};

/// A screen by night.
pub const DARK: Palette = Palette {
    paper: [0x14, 0x18, 0x1b],
    ink: [0xec, 0xe9, 0xe1],
    second: [0xa3, 0xab, 0xb0],
    hair: [0x4d, 0x55, 0x5b],
    fresh: [0x1d, 0x2e, 0x33],
    sea: [0x2f, 0x66, 0x74],
    must: [0xf0, 0x8a, 0x5d],
    should: [0xe0, 0xb0, 0x50],
};

/// White paper, which most printers have, and ink that a grey one shows.
pub const PRINT: Palette = Palette {
    paper: [0xff, 0xff, 0xff],
    ink: [0x00, 0x00, 0x00],
    second: [0x44, 0x44, 0x44],
    hair: [0x99, 0x99, 0x99],
    fresh: [0xe4, 0xef, 0xef],
    sea: [0xa0, 0xc6, 0xcf],
    must: [0x9c, 0x30, 0x0c],
    should: [0x7a, 0x54, 0x05],
};

impl Palette {
    /// The colour of an ink.
    pub const fn of(&self, ink: Ink) -> Rgb {
        match ink {
            Ink::Ink => self.ink,
            Ink::Second => self.second,
            Ink::Hair => self.hair,
            Ink::Paper => self.paper,
            Ink::Fresh => self.fresh,
            Ink::Sea => self.sea,
            Ink::Must => self.must,
            Ink::Should => self.should,
        }
    }

    /// All of them as CSS custom properties.
    pub(crate) fn tokens(&self) -> String {
        Ink::ALL
            .iter()
            .map(|ink| format!("--{}:{};", ink.word(), hex(self.of(*ink))))
            .collect()
    }
}

/// `#1a1e21`.
pub(crate) fn hex([red, green, blue]: Rgb) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Contrast of two colours, 1 to 21.
///
/// # Source
/// Relative luminance and contrast ratio: W3C, Web Content Accessibility Guidelines 2.2, definitions (from memory).
pub fn contrast(one: Rgb, other: Rgb) -> f64 {
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn luminance(colour: Rgb) -> f64 {
    let linear = |byte: u8| {
        let share = f64::from(byte) / 255.0;
        if share <= 0.040_45 {
            share / 12.92
        } else {
            libm::pow((share + 0.055) / 1.055, 2.4)
        }
    };
    0.2126 * linear(colour[0]) + 0.7152 * linear(colour[1]) + 0.0722 * linear(colour[2])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ends of the scale, and a grey that is known to pass just (from memory: #767676 on white, 4.54).
    #[test]
    fn contrast_meets_its_definition() {
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
        assert!((contrast([7, 80, 200], [7, 80, 200]) - 1.0).abs() < 1e-12);
        assert!((contrast([0x76; 3], [255; 3]) - 4.54).abs() < 0.005);
    }

    /// Text is legible on paper and on water, by day, by night and in print: 4.5 to 1 at the least.
    #[test]
    fn every_text_is_legible() {
        for (name, palette) in [("light", LIGHT), ("dark", DARK), ("print", PRINT)] {
            for ink in [Ink::Ink, Ink::Second, Ink::Must, Ink::Should] {
                let ratio = contrast(palette.of(ink), palette.of(Ink::Paper));
                assert!(ratio >= 4.5, "{name}: {ink:?} on paper {ratio:.2}");
            }
            let on_water = contrast(palette.of(Ink::Ink), palette.of(Ink::Fresh));
            assert!(on_water >= 4.5, "{name}: ink on fresh water {on_water:.2}");
        }
    }

    /// The two waters differ in grey as well, and from the paper: one sees which is salt without colour.
    #[test]
    fn waters_differ_in_grey() {
        for palette in [LIGHT, DARK, PRINT] {
            let grey = |ink| luminance(palette.of(ink));
            let (paper, fresh, sea) = (grey(Ink::Paper), grey(Ink::Fresh), grey(Ink::Sea));
            let rising = paper > fresh && fresh > sea;
            let falling = paper < fresh && fresh < sea;
            assert!(rising || falling, "{paper} {fresh} {sea}");
        }
    }
}
