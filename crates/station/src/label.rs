//! The promise of a bag of dry mix, as its label puts it: `"20 kg makes 540 L at 35 and 25 C finished"`.
//!
//! Owns: the grammar, `MASS makes VOLUME [at SALINITY] [and TEMPERATURE] [fresh|finished]`. Must not know: what an
//! unsaid part is taken for, how strong the mix is then.

use crate::quantity::{Amount, Currency, Kind, QuantityFault, read_amount, read_salinity};

/// Which water a label's volume counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LabelVolume {
    /// Fresh water before the salt.
    Fresh,
    /// Salt water once the salt is in.
    Finished,
}

/// What a label says; `None` where it says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelText {
    /// Mass of dry mix, kg.
    pub mass: Amount,
    /// Volume it makes, m³.
    pub volume: Amount,
    /// Practical salinity of the water made.
    pub salinity: Option<Amount>,
    /// Temperature for which that is said, °C.
    pub temperature: Option<Amount>,
    /// Which water the volume counts.
    pub counts: Option<LabelVolume>,
}

/// Reads the words of a label.
///
/// # Errors
/// [`QuantityFault`] where a part is no quantity of its kind, where mass or volume isn't above zero, and where
/// there is no `makes` between the two.
///
/// # Examples
/// ```
/// use station::label::{LabelVolume, read_label};
///
/// let label = read_label("20 kg makes 540 L at 35 and 25 C finished")?;
/// assert_eq!(label.mass.si, 20.0);
/// assert_eq!(label.counts, Some(LabelVolume::Finished));
/// assert_eq!(read_label("20 kg makes 540 L")?.salinity, None);
/// # Ok::<(), station::quantity::QuantityFault>(())
/// ```
pub fn read_label(text: &str) -> Result<LabelText, QuantityFault> {
    // "at 35, 25 C, finished": a comma before a blank parts words, as a blank does.
    let text = &text.replace(", ", " ");
    let (mass, rest) = split_word(text.trim(), &["makes", "make"]).ok_or_else(|| no_makes(text))?;
    let (rest, counts) = split_counts(rest);
    let (volume, condition) = match split_word(rest, &["at"]) {
        Some((volume, condition)) => (volume, Some(condition)),
        None => (rest, None),
    };
    let (salinity, temperature) = match condition {
        None => (None, None),
        Some(condition) => read_condition(condition)?,
    };
    Ok(LabelText {
        mass: above_zero(mass, Kind::Mass)?,
        volume: above_zero(volume, Kind::Volume)?,
        salinity,
        temperature,
        counts,
    })
}

/// `35`, `25 C`, or `35 and 25 C`.
fn read_condition(text: &str) -> Result<(Option<Amount>, Option<Amount>), QuantityFault> {
    let temperature = |text: &str| read_amount(text, Kind::Temperature, &Currency::default());
    if let Some((salinity, warmth)) = split_word(text, &["and"]) {
        let warmth = temperature(warmth)?;
        return Ok((Some(salt(salinity, Some(warmth.si))?), Some(warmth)));
    }
    match temperature(text) {
        Ok(warmth) => Ok((None, Some(warmth))),
        Err(_) => Ok((Some(salt(text, None)?), None)),
    }
}

fn salt(text: &str, temperature_c: Option<f64>) -> Result<Amount, QuantityFault> {
    let salinity = read_salinity(text, temperature_c)?;
    if salinity.si > 0.0 {
        Ok(salinity)
    } else {
        Err(QuantityFault::new(
            "a label that makes fresh water says nothing about the mix",
            "give the salinity it makes, such as \"at 35\"",
        ))
    }
}

fn above_zero(text: &str, kind: Kind) -> Result<Amount, QuantityFault> {
    let amount = read_amount(text, kind, &Currency::default())?;
    if amount.si > 0.0 {
        Ok(amount)
    } else {
        Err(QuantityFault::new(
            format!("`{text}` on the label isn't above zero"),
            EXAMPLE,
        ))
    }
}

fn split_counts(text: &str) -> (&str, Option<LabelVolume>) {
    let text = strip_last_word(text, "water").map_or(text, |before| {
        strip_last_word(before, "fresh")
            .or_else(|| strip_last_word(before, "finished"))
            .map_or(text, |_| before)
    });
    for (word, counts) in [("fresh", LabelVolume::Fresh), ("finished", LabelVolume::Finished)] {
        if let Some(before) = strip_last_word(text, word) {
            return (strip_last_word(before, "of").unwrap_or(before), Some(counts));
        }
    }
    (text, None)
}

fn strip_last_word<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let (before, last) = text.trim_end().rsplit_once(' ')?;
    last.eq_ignore_ascii_case(word).then(|| before.trim_end())
}

/// Splits at the first of these words that stands alone.
fn split_word<'t>(text: &'t str, words: &[&str]) -> Option<(&'t str, &'t str)> {
    text.match_indices(' ').find_map(|(blank, _)| {
        let after = &text[blank + 1..];
        let word = after.split(' ').next()?;
        let hit = words.iter().any(|known| known.eq_ignore_ascii_case(word));
        hit.then(|| (text[..blank].trim(), after[word.len()..].trim()))
    })
}

const EXAMPLE: &str =
    "write the label as \"20 kg makes 540 L at 35 and 25 C finished\"; what it doesn't say may be left out";

fn no_makes(text: &str) -> QuantityFault {
    QuantityFault::new(
        format!("`{}` doesn't say which mass makes which volume", text.trim()),
        EXAMPLE,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(
        text: &str,
        mass_kg: f64,
        volume_l: f64,
        salinity: Option<f64>,
        temperature_c: Option<f64>,
        counts: Option<LabelVolume>,
    ) {
        let label = read_label(text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
        assert!(close(label.mass.si, mass_kg), "{text}: {:?}", label.mass);
        assert!(
            close(label.volume.si, volume_l / 1000.0),
            "{text}: {:?}",
            label.volume
        );
        assert_eq!(label.salinity.map(|amount| amount.si), salinity, "{text}");
        assert_eq!(label.temperature.map(|amount| amount.si), temperature_c, "{text}");
        assert_eq!(label.counts, counts, "{text}");
    }

    #[test]
    fn a_label_says_as_much_as_it_says() {
        use LabelVolume::{Finished, Fresh};
        check("20 kg makes 540 L at 35", 20.0, 540.0, Some(35.0), None, None);
        check("20 kg makes 540 L", 20.0, 540.0, None, None, None);
        check(
            "20 kg makes 540 L finished",
            20.0,
            540.0,
            None,
            None,
            Some(Finished),
        );
        check(
            "20 kg makes 540 L of fresh water",
            20.0,
            540.0,
            None,
            None,
            Some(Fresh),
        );
        check(
            "20 kg  makes 540 L at 35 ppt and 25 C fresh",
            20.0,
            540.0,
            Some(35.0),
            Some(25.0),
            Some(Fresh),
        );
        check("20 kg Makes 540 L at 25 C", 20.0, 540.0, None, Some(25.0), None);
        check(
            "4 kg make 100 L at 35 and 20 C Finished water",
            4.0,
            100.0,
            Some(35.0),
            Some(20.0),
            Some(Finished),
        );
        check("2 lb makes 3 gal", 0.907_184_74, 11.356_235_352, None, None, None);
    }

    #[track_caller]
    fn refuse(text: &str, what: &str) {
        let fault = read_label(text).expect_err(text);
        assert!(fault.what.contains(what), "{text}: {}", fault.what);
        assert!(!fault.mend.is_empty());
    }

    #[test]
    fn a_label_that_makes_no_sense_is_refused() {
        refuse("", "which mass makes which volume");
        refuse("20 kg for 540 L", "which mass makes which volume");
        refuse("20 makes 540 L", "`20` has no unit");
        refuse("20 L makes 540 L", "`L` measures a volume");
        refuse("20 kg makes 540", "`540` has no unit");
        refuse("20 kg makes 540 kg", "`kg` measures a mass");
        refuse("20 kg makes -540 L", "isn't above zero");
        refuse("0 kg makes 540 L", "isn't above zero");
        refuse("20 kg makes 540 L at 1.025", "specific gravity?");
        refuse("20 kg makes 540 L at 350", "0 to 42");
        refuse("20 kg makes 540 L at 0", "fresh water");
        refuse("20 kg makes 540 L at 35 and 25", "`25` has no unit");
        refuse("20 kg makes 540 L at 35 salty", "`salty` is no unit");
        refuse("20 kg makes nan L", "doesn't begin with a number");
    }
}
