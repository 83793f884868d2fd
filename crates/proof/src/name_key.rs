//! A key for a name, the same in every file, on every machine and in every version: what is drawn for a part of the station
//! hangs on what it is called, not on where it stands.

/// 64 bits of a name or a path (Fowler, Noll and Vo, variant 1a; from memory).
pub(crate) fn name_key(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The widely published keys of nothing, of "a" and of "foobar"; from memory.
    #[test]
    fn keys_are_those_of_the_published_function() {
        assert_eq!(name_key(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(name_key("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(name_key("foobar"), 0x8594_4171_f739_67e8);
    }
}
