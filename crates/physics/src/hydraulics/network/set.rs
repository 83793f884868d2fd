//! A set of branches, by their numbers: a bit for each.

const BITS: usize = u64::BITS as usize;

/// Which of a fixed count of things belong to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Set(Vec<u64>);

impl Set {
    /// None of so many.
    pub(super) fn none_of(count: usize) -> Self {
        Self(vec![0; count.div_ceil(BITS)])
    }

    pub(super) fn has(&self, at: usize) -> bool {
        self.0[at / BITS] >> (at % BITS) & 1 == 1
    }

    pub(super) fn put(&mut self, at: usize) {
        self.0[at / BITS] |= 1 << (at % BITS);
    }

    pub(super) fn take_out(&mut self, at: usize) {
        self.0[at / BITS] &= !(1 << (at % BITS));
    }

    /// Puts it in or drops it; whether that changed anything.
    pub(super) fn set(&mut self, at: usize, belongs: bool) -> bool {
        let changed = self.has(at) != belongs;
        if changed {
            self.0[at / BITS] ^= 1 << (at % BITS);
        }
        changed
    }

    #[inline]
    pub(super) fn clear(&mut self) {
        // Most networks have one word, which is no work for a call.
        match &mut self.0[..] {
            [word] => *word = 0,
            words => words.fill(0),
        }
    }

    /// The same as another of as many things.
    #[inline]
    pub(super) fn copy_from(&mut self, other: &Self) {
        match (&mut self.0[..], &other.0[..]) {
            ([word], [other]) => *word = *other,
            (words, others) => words.copy_from_slice(others),
        }
    }

    /// Becomes what belongs to one and not to another.
    #[inline]
    pub(super) fn be_difference(&mut self, one: &Self, other: &Self) {
        if let ([word], [one], [other]) = (&mut self.0[..], &one.0[..], &other.0[..]) {
            *word = one & !other;
            return;
        }
        for ((own, one), other) in self.0.iter_mut().zip(&one.0).zip(&other.0) {
            *own = one & !other;
        }
    }

    /// Whether it is what belongs to one and not to another.
    pub(super) fn is_difference(&self, one: &Self, other: &Self) -> bool {
        let words = self.0.iter().zip(&one.0).zip(&other.0);
        words.fold(true, |same, ((own, one), other)| same & (*own == one & !other))
    }

    /// Its numbers, rising.
    #[inline]
    pub(super) fn iter(&self) -> impl Iterator<Item = usize> {
        let words = self.0.iter().enumerate();
        words.flat_map(|(word, bits)| numbers(word, *bits))
    }

    /// How many words of bits it has.
    pub(super) fn words(&self) -> usize {
        self.0.len()
    }

    /// One word of it, to go through while others change.
    pub(super) fn word(&self, word: usize) -> u64 {
        self.0[word]
    }
}

/// The numbers of the bits of a word.
pub(super) fn numbers(word: usize, bits: u64) -> impl Iterator<Item = usize> {
    let mut left = bits;
    core::iter::from_fn(move || {
        let bit = (left != 0).then(|| left.trailing_zeros() as usize)?;
        left &= left - 1;
        Some(word * BITS + bit)
    })
}
