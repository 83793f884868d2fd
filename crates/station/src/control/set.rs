//! A set of blocks as bits: which of them have something to do.

/// The most blocks that a program can have.
pub const MOST_BLOCKS: usize = 64 * WORDS;

pub(super) const WORDS: usize = 4;

/// A set of blocks, in so many words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Set<const W: usize = WORDS>(pub(super) [u64; W]);

impl<const W: usize> Default for Set<W> {
    fn default() -> Self {
        Self([0; W])
    }
}

impl<const W: usize> Set<W> {
    /// Those of a set that have a place in this one.
    #[inline]
    pub(super) fn first_of<const OTHER: usize>(whole: &Set<OTHER>) -> Self {
        let mut own = Self::default();
        own.add(whole);
        own
    }

    /// The set whose bits these words are.
    pub(super) fn of_words(words: &[u64]) -> Self {
        let mut own = Self::default();
        for (word, bits) in own.0.iter_mut().zip(words) {
            *word = *bits;
        }
        own
    }

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

    /// Adds those of another set that have a place in this one.
    pub(super) fn add<const OTHER: usize>(&mut self, other: &Set<OTHER>) {
        for (word, more) in self.0.iter_mut().zip(other.0) {
            *word |= more;
        }
    }

    /// Whether it has a block in common with another.
    pub(super) fn meets(&self, other: &Set) -> bool {
        self.0.iter().zip(other.0).any(|(word, other)| word & other != 0)
    }

    #[inline]
    pub(super) fn has(&self, block: usize) -> bool {
        self.0
            .get(block / 64)
            .is_some_and(|word| word >> (block % 64) & 1 != 0)
    }

    /// Puts a block in or out.
    #[inline]
    pub(super) fn put(&mut self, block: usize, within: bool) {
        if within {
            self.insert(block);
        } else {
            self.remove(block);
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    /// Does something with each of its blocks, in order.
    #[inline]
    pub(super) fn each(&self, mut act: impl FnMut(usize)) {
        for (at, word) in self.0.iter().enumerate() {
            let mut word = *word;
            while word != 0 {
                act(at * 64 + word.trailing_zeros() as usize);
                word &= word - 1;
            }
        }
    }
}
