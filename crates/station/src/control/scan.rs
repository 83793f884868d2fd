//! A program made ready for its step: all wires as bits, and what each block reads as masks over words of them.
//!
//! Owns: where a wire's bit stands, and the reads of a block as terms. Doesn't own: what a block does with them (`step`).

use super::block::{Kind, Read};

/// Where the wires stand: inputs in their words, then the blocks in words of their own, so that these are a set of blocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Places {
    /// Inputs.
    pub(super) inputs: usize,
    /// Words that they take: the number of the first word of blocks.
    pub(super) input_words: usize,
    /// Words in all.
    pub(super) words: usize,
}

impl Places {
    pub(super) fn new(inputs: usize, blocks: usize) -> Self {
        let input_words = inputs.div_ceil(64);
        Self {
            inputs,
            input_words,
            words: input_words + blocks.div_ceil(64),
        }
    }

    /// The word of a wire, and its bit there.
    #[inline]
    pub(super) fn of(&self, wire: usize) -> (usize, u64) {
        match wire.checked_sub(self.inputs) {
            None => (wire / 64, 1 << (wire % 64)),
            Some(block) => (self.input_words + block / 64, 1 << (block % 64)),
        }
    }
}

/// Some of the reads of a block: those that stand in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Term {
    word: u16,
    /// The bits that are read.
    mask: u64,
    /// Those of them that are read negated.
    negated: u64,
}

impl Term {
    /// The bits of those that are on.
    #[inline]
    fn on(&self, words: &[u64]) -> u64 {
        (words[usize::from(self.word)] ^ self.negated) & self.mask
    }

    /// Whether all that it reads is on.
    #[inline]
    pub(super) fn all(&self, words: &[u64]) -> bool {
        self.on(words) == self.mask
    }

    /// Whether anything that it reads is on.
    #[inline]
    pub(super) fn any(&self, words: &[u64]) -> bool {
        self.on(words) != 0
    }
}

/// The reads of all blocks as terms, and those of each.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Terms {
    terms: Vec<Term>,
    /// Where those of each block begin and end.
    of_block: Vec<(u16, u16)>,
}

impl Terms {
    /// Adds those of the next block. Where it counts which read is which, each read is a term; otherwise reads of one word
    /// are one.
    pub(super) fn push(&mut self, kind: Kind, reads: &[Read], places: &Places) {
        let first = self.terms.len();
        for read in reads {
            let (word, bit) = places.of(usize::from(read.wire));
            let negated = if read.negated { bit } else { 0 };
            let joined = matches!(kind, Kind::All | Kind::Any);
            // A wire that is read both as it is and negated stands in two terms.
            let same = self.terms[first..].iter_mut().find(|term| {
                joined
                    && usize::from(term.word) == word
                    && (term.mask & bit == 0 || term.negated & bit == negated)
            });
            match same {
                Some(term) => {
                    term.mask |= bit;
                    term.negated |= negated;
                }
                None => self.terms.push(Term {
                    word: word as u16,
                    mask: bit,
                    negated,
                }),
            }
        }
        self.of_block.push((first as u16, self.terms.len() as u16));
    }

    #[inline]
    pub(super) fn of(&self, block: usize) -> &[Term] {
        let (first, end) = self.of_block[block];
        &self.terms[usize::from(first)..usize::from(end)]
    }
}
