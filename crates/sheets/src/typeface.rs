//! The typeface as a style sheet carries it: whole, so that a page or a picture reads the same on any machine.

use crate::font::{FAMILY, Face, REGULAR, SEMIBOLD};

/// The rule of a weight.
pub(crate) fn rule(face: Face) -> String {
    let (bytes, weight) = match face {
        Face::Regular => (REGULAR, 400),
        Face::Semibold => (SEMIBOLD, 600),
    };
    format!(
        "@font-face{{font-family:\"{FAMILY}\";font-weight:{weight};font-display:swap;src:url(data:font/ttf;base64,{}) format(\"truetype\")}}",
        base64(bytes)
    )
}

/// Standard base 64 (RFC 4648).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let of = |at: usize| u32::from(chunk.get(at).copied().unwrap_or(0));
        let group = of(0) << 16 | of(1) << 8 | of(2);
        for at in 0..4 {
            let letter = LETTERS[(group >> (18 - 6 * at) & 63) as usize];
            out.push(if at <= chunk.len() {
                char::from(letter)
            } else {
                '='
            });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_meets_its_standard() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(super::base64(plain.as_bytes()), coded);
        }
    }
}
