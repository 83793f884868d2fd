//! Reading a number as people write it: `1 1/2`, `½`, `1 000`, `-3.5e2`.

/// Reads the number at the front, with fractions and spaced thousands, and gives what follows it.
pub(crate) fn number_and_rest(text: &str) -> Option<(f64, &str)> {
    let text = text.trim_start();
    let (negative, body) = match text.strip_prefix('-').or_else(|| text.strip_prefix('−')) {
        Some(body) => (true, body.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (mut number, mut rest) = plain_number(body)?;
    if let Some((denominator, after)) = rest.strip_prefix('/').and_then(plain_number) {
        if denominator == 0.0 {
            return None;
        }
        number /= denominator;
        rest = after;
    } else if let Some((fraction, after)) = spaced_fraction(rest) {
        number += fraction;
        rest = after;
    } else if let Some((fraction, after)) = vulgar_fraction(rest) {
        number += fraction;
        rest = after;
    }
    // A comma straight after a number is a decimal comma or a thousands mark: ask, don't guess.
    if rest.starts_with(',') {
        return None;
    }
    Some((if negative { -number } else { number }, rest.trim()))
}

fn plain_number(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let mut at = 0;
    let mut digits = 0;
    let mut grouped = false;
    loop {
        let start = at;
        while at < bytes.len() && bytes[at].is_ascii_digit() {
            at += 1;
        }
        digits += at - start;
        // "1 000 L": a blank and exactly three digits belong to the number.
        let group_follows = at > start
            && at - start <= 3
            && bytes.get(at) == Some(&b' ')
            && bytes
                .get(at + 1..at + 4)
                .is_some_and(|group| group.iter().all(u8::is_ascii_digit))
            && !bytes
                .get(at + 4)
                .is_some_and(|b| b.is_ascii_digit() || *b == b'/');
        if !group_follows {
            break;
        }
        grouped = true;
        at += 1;
    }
    if bytes.get(at) == Some(&b'.') {
        at += 1;
        let start = at;
        while at < bytes.len() && bytes[at].is_ascii_digit() {
            at += 1;
        }
        digits += at - start;
    }
    if digits == 0 {
        return None;
    }
    if let Some(b'e' | b'E') = bytes.get(at) {
        let mut end = at + 1;
        if let Some(b'+' | b'-') = bytes.get(end) {
            end += 1;
        }
        let exponent_starts = end;
        while end < bytes.len() && bytes[end].is_ascii_digit() {
            end += 1;
        }
        if end > exponent_starts {
            at = end;
        }
    }
    let written = &text[..at];
    let number: f64 = if grouped {
        written.replace(' ', "").parse().ok()?
    } else {
        written.parse().ok()?
    };
    number.is_finite().then_some((number, &text[at..]))
}

fn spaced_fraction(text: &str) -> Option<(f64, &str)> {
    let text = text.strip_prefix([' ', '-'])?.trim_start();
    let (numerator, rest) = plain_number(text)?;
    let (denominator, rest) = plain_number(rest.strip_prefix('/')?)?;
    (denominator > numerator).then(|| (numerator / denominator, rest))
}

fn vulgar_fraction(text: &str) -> Option<(f64, &str)> {
    let text = text.trim_start();
    let c = text.chars().next()?;
    let value = match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    };
    Some((value, &text[c.len_utf8()..]))
}
