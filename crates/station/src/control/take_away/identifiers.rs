//! Identifiers of a program text, made of the station's names.

use std::collections::BTreeSet;

/// Longest identifier (house rule: every controller takes 32 characters).
pub(super) const MOST_CHARS: usize = 32;

/// Identifiers that are given out: none twice, whatever its case, and none that is a word of the language.
#[derive(Debug, Clone, Default)]
pub(super) struct Identifiers {
    taken: BTreeSet<String>,
}

/// Words of IEC 61131-3 (from memory) and of what controllers add: keywords, types, standard functions and blocks. More
/// than are in use, since a name that is no word anywhere costs nothing.
const WORDS: &str = " abs abstract acos action add and any array asin at atan atan2 begin bool by byte cal case char class concat \
    configuration constant continue cos ct ctd ctu ctud date date_and_time delete div do dt dword else elsif en end eno eq et exit exp \
    expt extends f_edge f_trig false final find for from function function_block ge goto gt if implements in initial_step insert int \
    interface internal interval jmp le left len limit ln log lreal lt ltime lword max method mid min mod move mul mux namespace ne \
    non_retain not of on or overlap override pointer priority private program protected public q r r1 r_edge r_trig read_only \
    read_write real ref ref_to repeat replace resource ret retain return right rol ror rs rtc s s1 sel sema shl shr sin single sint \
    sqrt sr st step string struct sub super tan task then this time time_of_day tod tof ton tp transition true trunc type udint uint \
    ulint union until using usint var var_access var_config var_external var_global var_in_out var_input var_output var_temp while \
    with word wstring xor ";

/// Words that a name can do without.
const FILLERS: [&str; 4] = ["a", "an", "the", "of"];

impl Identifiers {
    /// An identifier for what these words say, and a last part that is never cut.
    pub(super) fn give(&mut self, words: &str, last: &str) -> String {
        let mut stem = stem(words);
        if !stem.starts_with(|first: char| first.is_ascii_lowercase()) {
            stem.insert_str(0, "n_");
        }
        let mut count = 1_u32;
        loop {
            let tail = match count {
                1 => last.to_owned(),
                count => format!("{last}_{count}"),
            };
            let room = MOST_CHARS.saturating_sub(tail.len());
            let cut: String = stem.chars().take(room).collect();
            let own = format!("{}{tail}", cut.trim_end_matches('_'));
            let is_word = WORDS.split_whitespace().any(|word| word == own);
            if !is_word && self.taken.insert(own.clone()) {
                return own;
            }
            count += 1;
        }
    }

    /// Tags keep their capitals: `LSH_1`.
    pub(super) fn give_tag(&mut self, tag: &str) -> String {
        let mut own = tag.replace('-', "_");
        let mut count = 1_u32;
        while !self.taken.insert(own.to_ascii_lowercase()) {
            count += 1;
            own = format!("{}_{count}", tag.replace('-', "_"));
        }
        own
    }
}

/// Small letters, digits and single underscores.
fn stem(words: &str) -> String {
    let plain: String = words
        .to_ascii_lowercase()
        .chars()
        // "hasn't" becomes "hasnt".
        .filter(|c| *c != '\'')
        .map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' })
        .collect();
    let kept: Vec<&str> = plain
        .split_whitespace()
        .filter(|word| !FILLERS.contains(word))
        .collect();
    match kept.is_empty() {
        true => plain.split_whitespace().collect::<Vec<_>>().join("_"),
        false => kept.join("_"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_is_given_twice_and_none_is_a_word() {
        let mut own = Identifiers::default();
        let long = "a very long name of something that is low, and was full within a minute";
        let rows = [
            ("the feed is open", "", "feed_is_open"),
            ("the feed is open", "", "feed_is_open_2"),
            ("Feed-is_open", "", "feed_is_open_3"),
            ("if", "", "if_2"),
            ("time of day", "", "time_day"),
            ("2nd", "", "n_2nd"),
            ("-", "", "n"),
            ("-", "", "n_2"),
            ("_a_", "", "a"),
            ("hasn't been full", "", "hasnt_been_full"),
            (long, "_t", "very_long_name_something_that_t"),
            (long, "_t", "very_long_name_something_tha_t_2"),
        ];
        for (words, last, expected) in rows {
            let given = own.give(words, last);
            assert_eq!(given, expected);
            assert!(given.len() <= MOST_CHARS, "{given}");
        }
        assert_eq!(own.give_tag("LSH-1"), "LSH_1");
        assert_eq!(own.give("lsh 1", ""), "lsh_1_2", "capitals make no difference");
    }
}
