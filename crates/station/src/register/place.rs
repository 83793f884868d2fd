//! A place in the schematic: a cell by its column and its row.

use super::{Context, FieldValue, Form, Raw};
use crate::quantity::{QuantityFault, Spread};

/// A cell of the schematic, counted from 1 at the upper left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// To the right.
    pub column: u32,
    /// Downwards.
    pub row: u32,
}

/// More columns or rows than that no sheet holds. House rule.
const MOST: u32 = 40;
const MEND: &str = "write column and row, counted from 1 at the upper left: \"3, 1\"";

impl FieldValue for Place {
    const FORM: Form = Form::Place;

    fn read(raw: &Raw<'_>, _context: &Context) -> Result<(Self, Spread), QuantityFault> {
        let Raw::Text(text) = raw else {
            return Err(QuantityFault::new("a place is a text of two numbers", MEND));
        };
        let numbers: Vec<&str> = text.split(',').map(str::trim).collect();
        let [column, row] = numbers.as_slice() else {
            return Err(QuantityFault::new(
                "a place is two numbers with a comma between",
                MEND,
            ));
        };
        let read = |number: &str, what: &str| {
            let digits = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
            match number.parse::<u32>() {
                Ok(value) if digits && (1..=MOST).contains(&value) => Ok(value),
                Ok(_) | Err(_) if digits => Err(QuantityFault::new(
                    format!("a {what} {number} can't be"),
                    format!("columns and rows go from 1 to {MOST}"),
                )),
                Ok(_) | Err(_) => Err(QuantityFault::new(
                    format!("the {what} of a place is a whole number"),
                    MEND,
                )),
            }
        };
        let place = Self {
            column: read(column, "column")?,
            row: read(row, "row")?,
        };
        Ok((place, Spread::NONE))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_column_and_row() {
        let read = |text: &str| Place::read(&Raw::Text(text), &Context::default()).map(|(place, _)| place);
        for (text, column, row) in [("3, 1", 3, 1), ("1,40", 1, 40), (" 12 , 2 ", 12, 2)] {
            assert_eq!(read(text), Ok(Place { column, row }), "{text}");
        }
        for (text, what) in [
            ("3", "a place is two numbers with a comma between"),
            ("3, 1, 2", "a place is two numbers with a comma between"),
            ("0, 1", "a column 0 can't be"),
            ("2, 41", "a row 41 can't be"),
            ("99999999999, 1", "a column 99999999999 can't be"),
            ("a, 1", "the column of a place is a whole number"),
            ("1, -2", "the row of a place is a whole number"),
            ("1, +2", "the row of a place is a whole number"),
            ("1, 2.5", "the row of a place is a whole number"),
        ] {
            assert_eq!(
                read(text).map_err(|fault| fault.what),
                Err(what.to_owned()),
                "{text}"
            );
        }
        let number = Place::read(&Raw::Number("3".to_owned()), &Context::default());
        assert!(number.is_err_and(|fault| fault.mend.contains("\"3, 1\"")));
    }
}
