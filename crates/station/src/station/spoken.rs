//! Names as they are read: the owner's keys in plain words.
//!
//! A name of the file is a key: no blanks, so that paths and commands can hold it. Whoever reads a sentence isn't asked to
//! know that: there `touch-pool-change` is "touch pool change".

use super::Station;

/// The owner's name in the midst of a sentence: `touch-pool` is "touch pool".
pub fn spoken(name: &str) -> String {
    name.replace(JOINTS, " ")
}

/// The owner's name as a heading or a label shows it: `touch-pool` is "Touch pool".
pub fn shown(name: &str) -> String {
    let spaced = spoken(name);
    let mut chars = spaced.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// What joins the words of a name.
const JOINTS: [char; 2] = ['-', '_'];

impl Station {
    /// A sentence in which each of the owner's names stands in plain words. A path stays as the file has it, and so does what
    /// stands in backticks.
    pub fn in_words(&self, sentence: &str) -> String {
        self.names.in_words(sentence)
    }
}

/// The owner's names that are more than one word, in order.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Names(Vec<String>);

impl Names {
    pub(super) fn of(station: &Station) -> Self {
        fn of<F>(all: &[super::Named<F>]) -> impl Iterator<Item = &String> {
            all.iter().map(|own| &own.name)
        }
        let stages = station
            .purifier
            .iter()
            .flat_map(|own| of(&own.filters).chain(of(&own.membranes)).chain(of(&own.beds)));
        // Classes of parts that fail have names of the program's, and aren't among them.
        let mut names: Vec<String> = (station.tanks.iter().map(|own| &own.name))
            .chain(station.vessels.iter().map(|own| &own.name))
            .chain(station.instruments.iter().map(|(name, _)| name))
            .chain(stages)
            .chain(of(&station.holidays))
            .chain(of(&station.feed_states))
            .chain(of(&station.delivered))
            .chain(of(&station.pumps))
            .chain(of(&station.tees))
            .chain(of(&station.draw_points))
            .chain(of(&station.lines))
            .chain(of(&station.valves))
            .chain(of(&station.lineups))
            // A name of nothing but hyphens is no word: a dash in a sentence stays one.
            .filter(|name| name.contains(JOINTS) && name.contains(|c: char| c.is_ascii_alphanumeric()))
            .cloned()
            .collect();
        names.sort_unstable();
        names.dedup();
        Self(names)
    }

    fn in_words(&self, sentence: &str) -> String {
        let mut bytes = sentence.as_bytes().to_vec();
        if !self.0.is_empty() && sentence.contains(JOINTS) {
            self.put(sentence, &mut bytes);
        }
        // Only single bytes of ASCII were put in place of others.
        String::from_utf8(bytes).unwrap_or_else(|_| sentence.to_owned())
    }

    /// Puts a blank into the place of each hyphen of a name.
    fn put(&self, sentence: &str, bytes: &mut [u8]) {
        let mut is_quoted = false;
        let mut end = 0;
        for (at, c) in sentence.char_indices() {
            match c {
                '`' => is_quoted = !is_quoted,
                '-' | '_' if at >= end => {
                    let token = token_around(sentence, at);
                    end = token.end;
                    if !is_quoted && !is_of_path(sentence, &token) && self.holds(&sentence[token.clone()]) {
                        for byte in &mut bytes[token] {
                            if matches!(byte, b'-' | b'_') {
                                *byte = b' ';
                            }
                        }
                    }
                }
                _ => {}
            }
        }
    }

    /// Whether this is one of the names, or one with the capital of a sentence's beginning.
    fn holds(&self, word: &str) -> bool {
        let has = |word: &str| self.0.binary_search_by(|own| own.as_str().cmp(word)).is_ok();
        if has(word) {
            return true;
        }
        let mut chars = word.chars();
        match chars.next() {
            Some(first) if first.is_ascii_uppercase() => {
                has(&format!("{}{}", first.to_ascii_lowercase(), chars.as_str()))
            }
            _ => false,
        }
    }
}

/// Letters, digits and what joins them.
fn is_of_name(c: char) -> bool {
    c.is_alphanumeric() || JOINTS.contains(&c)
}

/// The whole token that a byte stands in.
fn token_around(sentence: &str, at: usize) -> core::ops::Range<usize> {
    let (before, behind) = sentence.split_at(at);
    let start = before.trim_end_matches(is_of_name).len();
    let end = sentence.len() - behind.trim_start_matches(is_of_name).len();
    start..end
}

/// Whether a dot joins it to another word, as in `vessels.fresh-north.volume`.
fn is_of_path(sentence: &str, token: &core::ops::Range<usize>) -> bool {
    let before = sentence[..token.start].strip_suffix('.');
    let behind = sentence[token.end..].strip_prefix('.');
    before.is_some_and(|text| text.ends_with(is_of_name))
        || behind.is_some_and(|text| text.starts_with(is_of_name))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn larkhaven() -> Station {
        Station::read(include_str!("../../../../stations/larkhaven.toml")).expect("an example")
    }

    /// Sentences of the owner's names, of what looks like them and isn't, of what stands between words.
    fn sentences() -> impl Strategy<Value = String> {
        let names = vec![
            "touch-pool",
            "touch-pool-change",
            "Fresh-outlet",
            "salt-spout",
            "main-repair",
            "fresh-out-let",
            "-touch-pool",
            "touch-pool_",
            "three-way",
            "fresh",
            "lines.salt-out",
            "salt-out.run",
        ];
        let between = vec![
            " ", ", ", ".", ". ", "`", "-", "_", "é", "\u{a0}", ": 2.5 L", "/", "(", "’s ",
        ];
        prop::collection::vec(
            (prop::sample::select(names), prop::sample::select(between)),
            0..12,
        )
        .prop_map(|parts| {
            let parts = parts.iter();
            parts.map(|(name, between)| format!("{name}{between}")).collect()
        })
    }

    proptest! {
        /// Only hyphens turn into blanks, those of names; said twice is said once; and where no name is, no byte changes.
        #[test]
        fn nothing_but_names_changes(sentence in sentences(), other in any::<String>()) {
            let station = larkhaven();
            let words = station.in_words(&sentence);
            prop_assert_eq!(station.in_words(&words), words.clone());
            prop_assert_eq!(words.chars().count(), sentence.chars().count());
            for (own, said) in sentence.chars().zip(words.chars()) {
                prop_assert!(own == said || JOINTS.contains(&own) && said == ' ');
            }
            prop_assert_eq!(Names::default().in_words(&sentence), sentence);
            prop_assert_eq!(station.in_words(&other), other);
        }
    }

    /// No token is a name by itself, so none changes.
    #[test]
    fn a_sentence_without_names_stays_to_the_byte() {
        let station = larkhaven();
        for text in [
            "a three-way valve, a shut-off, a cut-out; 2-3 days – fresh_water",
            "vessels.touch-pool.level: `touch-pool`, x-touch-pool, touch-pool2",
            "",
        ] {
            assert_eq!(station.in_words(text), text);
        }
        assert_eq!(
            station.in_words("touch-pool, winter-closing"),
            "touch pool, winter closing"
        );
    }

    fn names(names: &[&str]) -> Names {
        Names(names.iter().map(|name| (*name).to_owned()).collect())
    }

    #[test]
    fn whole_names_are_put_into_words_and_nothing_else() {
        let own = names(&["fresh-out", "salt_outlet", "touch-pool", "touch-pool-change"]);
        for (sentence, words) in [
            (
                "Valve salt_outlet opened during touch-pool-change.",
                "Valve salt outlet opened during touch pool change.",
            ),
            (
                "Touch-pool gains 2 L: touch-pool.",
                "Touch pool gains 2 L: touch pool.",
            ),
            (
                "a three-way valve at fresh-outlet",
                "a three-way valve at fresh-outlet",
            ),
            ("tanks.touch-pool.volume", "tanks.touch-pool.volume"),
            ("fresh-out.run", "fresh-out.run"),
            ("there is no `touch-pool` here", "there is no `touch-pool` here"),
            (
                "fresh-out, fresh-out–touch-pool",
                "fresh out, fresh out–touch pool",
            ),
            ("é-touch-pool (touch-pool)", "é-touch-pool (touch pool)"),
            ("Touch-Pool", "Touch-Pool"),
            ("- and _", "- and _"),
        ] {
            assert_eq!(own.in_words(sentence), words);
        }
    }

    #[test]
    fn a_label_begins_with_a_capital() {
        assert_eq!(shown("touch-pool_2"), "Touch pool 2");
        assert_eq!(spoken("touch-pool_2"), "touch pool 2");
        assert_eq!(shown(""), "");
    }
}
