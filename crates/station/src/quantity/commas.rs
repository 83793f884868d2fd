//! Commas in numbers: what may be meant by them.

/// Whether a comma stands between two digits.
pub(super) fn has_comma(text: &str) -> bool {
    let bytes = text.as_bytes();
    (1..bytes.len().saturating_sub(1))
        .any(|i| bytes[i] == b',' && bytes[i - 1].is_ascii_digit() && bytes[i + 1].is_ascii_digit())
}

/// A comma is a decimal mark here and a thousands mark there; alone before exactly three digits nobody can tell.
pub(super) fn comma_mend(text: &str) -> String {
    let (thousands, decimals) = (without_commas(text, false), without_commas(text, true));
    match thousands == decimals {
        false => format!("write \"{thousands}\" or \"{decimals}\", whichever you mean"),
        true => format!("write a point for decimals and nothing between thousands: \"{decimals}\""),
    }
}

/// A text whose numbers have a point for decimals and nothing between thousands. Of commas and points in one number the last
/// is for decimals, unless it comes more than once; a comma that may be either is as it is told.
fn without_commas(text: &str, is_decimal: bool) -> String {
    let is_of_number = |c: char| c.is_ascii_digit() || c == ',' || c == '.';
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(begins) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, number) = rest.split_at(begins);
        let ends = number.find(|c| !is_of_number(c)).unwrap_or(number.len());
        let (number, after) = number.split_at(ends);
        out.push_str(before);
        out.push_str(&plain_marks(number, is_decimal));
        rest = after;
    }
    out + rest
}

fn plain_marks(number: &str, is_decimal: bool) -> String {
    // A mark at the end belongs to the sentence.
    let own = number.trim_end_matches([',', '.']);
    let end = &number[own.len()..];
    let count = |mark: char| own.matches(mark).count();
    let (commas, points) = (count(','), count('.'));
    if commas == 0 {
        return number.to_owned();
    }
    let last = own.rfind([',', '.']);
    let comma_is_last = last == own.rfind(',');
    let behind = last.map_or(0, |at| own.len() - at - 1);
    let decimal = match (commas, points) {
        (1, 0) if behind == 3 => is_decimal.then_some(last),
        (1, 0) => Some(last),
        (_, 0) => None,
        // 1.000,5 and 1,000.5
        _ if own.matches(if comma_is_last { ',' } else { '.' }).count() == 1 => Some(last),
        _ => None,
    };
    let at = decimal.flatten();
    let told: String = own
        .char_indices()
        .filter_map(|(place, c)| match c {
            ',' | '.' if Some(place) == at => Some('.'),
            ',' | '.' => None,
            digit => Some(digit),
        })
        .collect();
    told + end
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every number that is offered reads as one, and as the one that was meant.
    #[test]
    fn what_is_offered_in_place_of_commas_is_a_number() {
        for (typed, offered) in [
            ("3,6 bar", &["3.6 bar"][..]),
            ("1,000 L", &["1000 L", "1.000 L"]),
            ("1,000.5 L", &["1000.5 L"]),
            ("1.000,5 L", &["1000.5 L"]),
            ("1,234,567 L", &["1234567 L"]),
            ("1.234.567,5 L", &["1234567.5 L"]),
            ("1,234,567.5 L", &["1234567.5 L"]),
            ("38,5 L ± 0,5 L", &["38.5 L ± 0.5 L"]),
        ] {
            assert!(has_comma(typed), "{typed}");
            let told = comma_mend(typed);
            let quoted: Vec<&str> = told.split('"').skip(1).step_by(2).collect();
            assert_eq!(quoted, offered, "{typed}");
        }
        assert!(!has_comma("3, 6"));
    }
}
