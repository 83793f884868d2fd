//! How one value of a file becomes a typed value.

use super::{Form, Word};
use crate::quantity::{
    self, Amount, Currency, Kind, Quantity, QuantityFault, Spread, UnitSystem, format_plain, read_amount,
};

/// A value as it stands in the file.
#[derive(Debug, Clone, PartialEq)]
pub enum Raw<'t> {
    /// A text in quotes.
    Text(&'t str),
    /// A bare number, as written.
    Number(String),
    /// `true` or `false`.
    YesNo(bool),
    /// Pairs of texts, for a table of levels and volumes.
    Pairs(Vec<(String, String)>),
    /// A list of texts.
    Texts(Vec<String>),
    /// A date or a time without quotes, as written.
    Date(String),
    /// Anything else, by its name.
    Other(&'static str),
}

/// What reading a value may depend on.
#[derive(Debug, Clone, Default)]
pub struct Context {
    /// The station's currency.
    pub currency: Currency,
    /// The units that its owner reads.
    pub units: UnitSystem,
}

impl Context {
    /// A quantity of the register, as its owner would write it.
    pub(crate) fn says(&self, text: &str, kind: Kind) -> String {
        if self.units == UnitSystem::Si || kind.is_unitless() {
            return text.to_owned();
        }
        read_amount(text, kind, &self.currency).map_or_else(
            |_| text.to_owned(),
            |own| format_plain(kind, own.si, self.units, &self.currency),
        )
    }
}

/// A type that can stand behind a key.
pub trait FieldValue: Sized + Clone {
    /// Its form in the register.
    const FORM: Form;

    /// Reads it.
    ///
    /// # Errors
    /// [`QuantityFault`] with the reason and the mend.
    fn read(raw: &Raw<'_>, context: &Context) -> Result<(Self, Spread), QuantityFault>;

    /// The value in its stored unit, where it is a quantity: for the test of its range.
    fn si(&self) -> Option<f64> {
        None
    }
}

impl Raw<'_> {
    fn quantity_text(&self) -> Result<&str, QuantityFault> {
        match self {
            Self::Text(text) => Ok(text),
            Self::Number(text) => Ok(text),
            other => Err(QuantityFault::new(
                format!("{} stands where a quantity is wanted", other.name()),
                "write it in quotes, as \"200 L\"",
            )),
        }
    }

    fn name(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Number(_) => "a number",
            Self::YesNo(_) => "true or false",
            Self::Pairs(_) | Self::Texts(_) => "a list",
            Self::Date(_) => "a date",
            Self::Other(name) => name,
        }
    }

    /// Reads one of a few words.
    ///
    /// # Errors
    /// [`QuantityFault`] that names the words, and the nearest.
    pub fn choice(&self, words: &'static [Word]) -> Result<&'static str, QuantityFault> {
        let list = || {
            let quoted = words.iter().map(|word| format!("\"{}\"", word.word));
            quoted.collect::<Vec<_>>().join(", ")
        };
        let Self::Text(text) = self else {
            return Err(QuantityFault::new(
                format!("{} stands where a word is wanted", self.name()),
                format!("write one of {}", list()),
            ));
        };
        if let Some(word) = words.iter().find(|word| word.word == *text) {
            return Ok(word.word);
        }
        let nearest = words
            .iter()
            .map(|word| {
                (
                    strsim::damerau_levenshtein(word.word, &text.to_lowercase()),
                    word.word,
                )
            })
            .filter(|(distance, word)| *distance <= 2.max(word.len() / 3))
            .min();
        let mend = match nearest {
            Some((_, word)) => format!("did you mean \"{word}\"? The words are {}", list()),
            None => format!("write one of {}", list()),
        };
        Err(QuantityFault::new(
            format!("`{text}` is none of the words for this"),
            mend,
        ))
    }
}

macro_rules! quantities {
    ($($name:ident)*) => {$(
        impl FieldValue for quantity::$name {
            const FORM: Form = Form::Quantity(<quantity::$name as Quantity>::KIND);
            fn read(raw: &Raw<'_>, context: &Context) -> Result<(Self, Spread), QuantityFault> {
                let Amount { si, spread } = read_amount(raw.quantity_text()?, Self::KIND, &context.currency)?;
                Ok((Self::from_si(si), spread))
            }
            fn si(&self) -> Option<f64> {
                Some(Quantity::si(*self))
            }
        }
    )*};
}

quantities! {
    Volume Flow Length Mass Pressure Temperature TemperatureDifference Concentration ConcentrationRate Alkalinity
    Conductivity Density Time Power Energy FloorLoad Money PricePerVolume PricePerEnergy PricePerMass PricePerTime Fraction
    FractionPerKelvin Area Speed ExchangeCapacity Number
}

impl FieldValue for quantity::Salinity {
    const FORM: Form = Form::Quantity(Kind::Salinity);
    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let Amount { si, spread } = quantity::read_salinity(raw.quantity_text()?, None)?;
        Ok((Self::from_si(si), spread))
    }
    fn si(&self) -> Option<f64> {
        Some(Quantity::si(*self))
    }
}

impl FieldValue for String {
    const FORM: Form = Form::Text;
    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        match raw {
            Raw::Text(text) if text.trim().is_empty() => Err(QuantityFault::new(
                "this text is empty",
                "write it, or leave the line out",
            )),
            Raw::Text(text) if text.len() > 500 => Err(QuantityFault::new(
                "this text is longer than 500 characters",
                "shorten it",
            )),
            Raw::Text(text) => Ok(((*text).to_owned(), Spread::NONE)),
            Raw::Texts(texts) => Err(QuantityFault::new(
                "a list stands where a text is wanted",
                format!("write it in one text: \"{}\"", texts.join(", ")),
            )),
            other => Err(QuantityFault::new(
                format!("{} stands where a text is wanted", other.name()),
                "write it in quotes",
            )),
        }
    }
}

impl FieldValue for bool {
    const FORM: Form = Form::YesNo;
    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        match raw {
            Raw::YesNo(value) => Ok((*value, Spread::NONE)),
            // In quotes it can't mean anything else.
            Raw::Text("true") => Ok((true, Spread::NONE)),
            Raw::Text("false") => Ok((false, Spread::NONE)),
            other => Err(QuantityFault::new(
                format!("{} stands where true or false is wanted", other.name()),
                "write true or false, without quotes",
            )),
        }
    }
}
