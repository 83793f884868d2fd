//! The register of fields: one declaration from which the reader, "did you mean", the defaults with their
//! origin, the JSON Schema, the comments of a new file and the reference page all come.
//!
//! Owns: what a field is. Must not know: which fields there are (see [`crate::sections`]), or how a file is
//! walked (see `crate::file`).

mod date;
mod day_of_year;
mod place;
mod pump_table;
mod reference;
mod schema;
mod template;
mod time_of_day;
mod value;
mod weekdays;

pub use date::Date;
pub use day_of_year::DayOfYear;
pub use place::Place;
pub use pump_table::PumpTable;
pub use reference::reference;
pub use schema::json_schema;
pub use template::template;
pub use time_of_day::TimeOfDay;
pub use value::{Context, FieldValue, Raw};
pub use weekdays::{WEEKDAYS, Weekdays, meant as days_meant};

use core::ops::Range;

use crate::quantity::{Kind, Spread};

/// One field of a section.
#[derive(Debug, Clone, Copy)]
pub struct FieldSpec {
    /// Its key in the file.
    pub key: &'static str,
    /// What stands behind the key.
    pub form: Form,
    /// Whether it may be left out.
    pub need: Need,
    /// Least and greatest value, as text with a unit.
    pub range: Option<(&'static str, &'static str)>,
    /// An example, as it stands in a file.
    pub example: &'static str,
    /// One line of help.
    pub help: &'static str,
}

/// What stands behind a key.
#[derive(Debug, Clone, Copy)]
pub enum Form {
    /// A quantity of a kind.
    Quantity(Kind),
    /// Free text.
    Text,
    /// One of a few words.
    Choice(&'static [Word]),
    /// `true` or `false`.
    YesNo,
    /// Pairs of level and volume.
    LevelTable,
    /// Pairs of flow and head.
    PumpTable,
    /// Column and row of the schematic.
    Place,
    /// Days of the week.
    Weekdays,
    /// Hours and minutes.
    TimeOfDay,
    /// Day and month.
    DayOfYear,
    /// Year, month and day.
    Date,
}

/// A word of a choice.
#[derive(Debug, Clone, Copy)]
pub struct Word {
    /// As it stands in the file.
    pub word: &'static str,
    /// What it means.
    pub help: &'static str,
}

/// Whether a field may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It must be there.
    Required,
    /// Nothing is assumed without it.
    Optional,
    /// Without it this value holds, for this reason.
    Default {
        /// The value, as it would stand in the file.
        text: &'static str,
        /// Where the value comes from.
        origin: &'static str,
    },
}

/// A default as it would stand in a file: in quotes, unless it is a bare number or word.
fn default_in_file(form: Form, text: &str) -> String {
    let bare = match form {
        Form::Quantity(kind) => kind.is_unitless() && text.parse::<f64>().is_ok_and(f64::is_finite),
        Form::YesNo | Form::LevelTable | Form::PumpTable => true,
        Form::Text
        | Form::Choice(_)
        | Form::Place
        | Form::Weekdays
        | Form::TimeOfDay
        | Form::DayOfYear
        | Form::Date => false,
    };
    if bare {
        text.to_owned()
    } else {
        format!("\"{text}\"")
    }
}

/// A section of the file.
#[derive(Debug, Clone, Copy)]
pub struct SectionSpec {
    /// Its path; `*` stands for the name that the owner gives.
    pub path: &'static str,
    /// The names that `*` may stand for; `None` where the owner is free.
    pub names: Option<&'static [Word]>,
    /// One line of help.
    pub help: &'static str,
    /// Its fields.
    pub fields: &'static [FieldSpec],
    /// Further fields that depend on the word behind one key.
    pub variants: Option<Variants>,
}

impl SectionSpec {
    /// The table that its sections stand in, `vessels` of `vessels.*`; nothing of one that there is one of.
    pub fn table(&self) -> Option<&'static str> {
        self.path.strip_suffix(".*")
    }
}

/// Fields that depend on a choice: the dimensions of a vessel on its shape.
#[derive(Debug, Clone, Copy)]
pub struct Variants {
    /// The key that decides.
    pub key: &'static str,
    /// The fields for each word.
    pub cases: &'static [(&'static str, &'static [FieldSpec])],
}

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// It stands in the file, at these bytes.
    Given(Range<usize>),
    /// Nobody gave it; it holds for this reason.
    Default(&'static str),
}

/// A value with its doubt, its origin and its path in the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Field<T> {
    /// The value.
    pub value: T,
    /// Its doubt.
    pub spread: Spread,
    /// Where it comes from.
    pub origin: Origin,
    /// Path in the file: `vessels.fresh.stop_level`.
    pub path: String,
}

impl<T> Field<T> {
    /// The bytes of the file that hold the value; `None` for a default.
    pub fn span(&self) -> Option<Range<usize>> {
        match &self.origin {
            Origin::Given(span) => Some(span.clone()),
            Origin::Default(_) => None,
        }
    }

    /// Whether somebody gave it.
    pub fn is_given(&self) -> bool {
        matches!(self.origin, Origin::Given(_))
    }
}

/// Type of a field in a section's struct.
macro_rules! holder {
    ([required] $type:ident) => { $crate::register::Field<$type> };
    ([optional] $type:ident) => { Option<$crate::register::Field<$type>> };
    ([default $text:literal, $origin:literal] $type:ident) => { $crate::register::Field<$type> };
}

/// The [`Need`] of a field.
macro_rules! need {
    ([required]) => {
        $crate::register::Need::Required
    };
    ([optional]) => {
        $crate::register::Need::Optional
    };
    ([default $text:literal, $origin:literal]) => {
        $crate::register::Need::Default {
            text: $text,
            origin: $origin,
        }
    };
}

/// How a field is read.
macro_rules! read_field {
    ([required] $reader:ident, $spec:expr, $declared:expr) => {
        $reader.required($spec, $declared)
    };
    ([optional] $reader:ident, $spec:expr, $declared:expr) => {
        $reader.optional($spec, $declared)
    };
    ([default $text:literal, $origin:literal] $reader:ident, $spec:expr, $declared:expr) => {
        $reader.default($spec, $declared)
    };
}

macro_rules! range {
    () => {
        None
    };
    ($min:literal, $max:literal) => {
        Some(($min, $max))
    };
}

/// Declares a section: its struct, its place in the register, its reader.
///
/// A field is `/// help`, then `[need] key: Type, "least" to "greatest", like "example";`.
macro_rules! section {
    (
        #[doc = $section_help:literal]
        $name:ident at $path:literal $(, named $names:expr)? $(, with $variants:expr)? ;
        $(
            #[doc = $help:literal]
            [$($need:tt)+] $key:ident : $type:ident $(, $min:literal to $max:literal)? , like $example:literal ;
        )*
    ) => {
        #[doc = $section_help]
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $(#[doc = $help] pub $key: $crate::register::holder!([$($need)+] $type),)*
        }

        impl $name {
            /// The section's entry in the register of fields.
            pub const SPEC: $crate::register::SectionSpec = $crate::register::SectionSpec {
                path: $path,
                names: $crate::register::section!(@given $($names)?),
                help: $section_help,
                fields: &[$($crate::register::FieldSpec {
                    key: stringify!($key),
                    form: <$type as $crate::register::FieldValue>::FORM,
                    need: $crate::register::need!([$($need)+]),
                    range: $crate::register::range!($($min, $max)?),
                    example: $example,
                    help: $help,
                },)*],
                variants: $crate::register::section!(@given $($variants)?),
            };

            /// Reads all fields; every fault goes to the reader. `None` where one of them was at fault.
            #[allow(unused_assignments, reason = "the last index isn't read")]
            pub(crate) fn read(reader: &mut $crate::file::SectionReader<'_, '_>) -> Option<Self> {
                let mut index = 0;
                $(
                    let $key: Option<$crate::register::holder!([$($need)+] $type)> = {
                        static DECLARED: $crate::file::Declared<$type> = $crate::file::Declared::new();
                        $crate::register::read_field!([$($need)+] reader, &Self::SPEC.fields[index], &DECLARED)
                    };
                    index += 1;
                )*
                Some(Self { $($key: $key?,)* })
            }
        }
    };
    (@given) => { None };
    (@given $value:expr) => { Some($value) };
}

/// Declares a choice: its enum and its words.
macro_rules! choice {
    (
        #[doc = $choice_help:literal]
        $name:ident { $(#[doc = $help:literal] $variant:ident = $word:literal,)* }
    ) => {
        #[doc = $choice_help]
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name { $(#[doc = $help] $variant,)* }

        impl $name {
            /// The words, in order.
            pub const WORDS: &'static [$crate::register::Word] =
                &[$($crate::register::Word { word: $word, help: $help },)*];

            /// As it stands in a file.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// The variant of a word.
            pub fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some(Self::$variant),)* _ => None }
            }
        }

        impl $crate::register::FieldValue for $name {
            const FORM: $crate::register::Form = $crate::register::Form::Choice(Self::WORDS);
            fn read(
                raw: &$crate::register::Raw<'_>,
                _context: &$crate::register::Context,
            ) -> Result<(Self, $crate::quantity::Spread), $crate::quantity::QuantityFault> {
                $crate::register::Raw::choice(raw, Self::WORDS)
                    .map(|word| (Self::from_word(word).expect("a word of the list"), $crate::quantity::Spread::NONE))
            }
        }
    };
}

pub(crate) use {choice, holder, need, range, read_field, section};
