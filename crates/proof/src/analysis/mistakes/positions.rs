//! A set of positions, a bit for each: what holds for all that have one switch more is a shift of the bits.

use super::switches::Position;

/// Switches whose positions one word tells.
const OF_WORD: usize = 6;
/// How many positions that are.
pub(super) const WORD: usize = 1 << OF_WORD;
/// By switch of a word, the positions in which it is on.
const ON: [u64; OF_WORD] = [
    0xaaaa_aaaa_aaaa_aaaa,
    0xcccc_cccc_cccc_cccc,
    0xf0f0_f0f0_f0f0_f0f0,
    0xff00_ff00_ff00_ff00,
    0xffff_0000_ffff_0000,
    0xffff_ffff_0000_0000,
];

/// Some of the positions of a count of switches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Positions {
    words: Vec<u64>,
    count: usize,
}

impl Positions {
    /// None of the positions of so many switches.
    pub(super) fn none_of(count: usize) -> Self {
        Self {
            words: vec![0; 1 << count.saturating_sub(OF_WORD)],
            count,
        }
    }

    /// Of the positions of a word those with a bit.
    pub(super) fn set_word(&mut self, word: usize, bits: u64) {
        self.words[word] = bits;
    }

    /// Others of as many switches as well.
    pub(super) fn add(&mut self, others: &Self) {
        join(&mut self.words, &others.words);
    }

    /// Those that aren't among others of as many switches.
    pub(super) fn without(&self, others: &Self) -> Self {
        let words = self.words.iter().zip(&others.words);
        Self {
            words: words.map(|(own, other)| own & !other).collect(),
            count: self.count,
        }
    }

    /// These and all that have any more switches on.
    pub(super) fn and_all_beyond(&self) -> Self {
        let mut all = self.clone();
        let of_word = self.count.min(OF_WORD);
        for word in &mut all.words {
            *word = (0..of_word).fold(*word, |all, switch| all | turned_on(all, switch));
        }
        for switch in OF_WORD..self.count {
            let half = 1 << (switch - OF_WORD);
            for pair in all.words.chunks_exact_mut(2 * half) {
                let (off, on) = pair.split_at_mut(half);
                join(on, off);
            }
        }
        all
    }

    /// All that have just one switch more on than one of these.
    pub(super) fn beyond(&self) -> Self {
        let mut beyond = self.clone();
        let of_word = self.count.min(OF_WORD);
        for word in &mut beyond.words {
            let own = *word;
            *word = (0..of_word).fold(0, |beyond, switch| beyond | turned_on(own, switch));
        }
        for switch in OF_WORD..self.count {
            let half = 1 << (switch - OF_WORD);
            let own = self.words.chunks_exact(2 * half);
            for (beyond, own) in beyond.words.chunks_exact_mut(2 * half).zip(own) {
                join(&mut beyond[half..], &own[..half]);
            }
        }
        beyond
    }

    /// Each of them, rising.
    pub(super) fn positions(&self) -> impl Iterator<Item = Position> + '_ {
        let words = self.words.iter().enumerate();
        words.filter(|(_, word)| **word != 0).flat_map(|(at, word)| {
            let bits = (0..u64::BITS).filter(move |bit| word >> bit & 1 == 1);
            bits.map(move |bit| (at << OF_WORD) as Position | Position::from(bit))
        })
    }
}

/// The positions of a word that have a switch on, where the same without it is among some.
fn turned_on(word: u64, switch: usize) -> u64 {
    (word << (1_u32 << switch)) & ON[switch]
}

/// Takes in other words, one by one.
fn join(words: &mut [u64], others: &[u64]) {
    for (own, other) in words.iter_mut().zip(others) {
        *own |= other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against what the words say, position by position. Tolerance: none.
    #[test]
    fn shifts_say_what_one_switch_more_does() {
        for count in [0, 1, 3, 6, 7, 9] {
            let mut some = Positions::none_of(count);
            let all = 0..1_usize << count;
            let is_in = |position: usize| position.wrapping_mul(0x9e37_79b9) >> 3 & 7 == 1;
            for own in all.clone().filter(|own| is_in(*own)) {
                some.words[own / WORD] |= 1 << (own % WORD);
            }
            let has =
                |set: &Positions, position: usize| set.positions().any(|own| own == position as Position);
            let (reached, beyond) = (some.and_all_beyond(), some.beyond());
            let bare = some.without(&beyond);
            for position in all.clone() {
                let part_is_in = all.clone().any(|own| is_in(own) && own & !position == 0);
                let mut one_less = (0..count)
                    .filter(|bit| position >> bit & 1 == 1)
                    .map(|bit| position ^ 1 << bit);
                let less_is_in = one_less.any(is_in);
                assert_eq!(has(&some, position), is_in(position), "{position} of {count}");
                assert_eq!(has(&reached, position), part_is_in, "{position} of {count}");
                assert_eq!(has(&beyond, position), less_is_in, "{position} of {count}");
                assert_eq!(
                    has(&bare, position),
                    is_in(position) && !less_is_in,
                    "{position} of {count}"
                );
            }
        }
    }
}
