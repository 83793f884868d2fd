//! A set of blocks as bits: which of them have something to do.

/// The most blocks that a program can have.
pub const MOST_BLOCKS: usize = 64 * WORDS;

pub(super) const WORDS: usize = 4;

/// A set of blocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Set(pub(super) [u64; WORDS]);

impl Set {
    pub(super) fn insert(&mut self, block: usize) {
        if let Some(word) = self.0.get_mut(block / 64) {
            *word |= 1 << (block % 64);
        }
    }

    pub(super) fn remove(&mut self, block: usize) {
        if let Some(word) = self.0.get_mut(block / 64) {
            *word &= !(1 << (block % 64));
        }
    }

    pub(super) fn add(&mut self, other: &Self) {
        for (word, more) in self.0.iter_mut().zip(other.0) {
            *word |= more;
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    /// Does something with each of its blocks, in order.
    pub(super) fn each(self, mut act: impl FnMut(usize)) {
        for (at, mut word) in self.0.into_iter().enumerate() {
            while word != 0 {
                act(at * 64 + word.trailing_zeros() as usize);
                word &= word - 1;
            }
        }
    }
}
