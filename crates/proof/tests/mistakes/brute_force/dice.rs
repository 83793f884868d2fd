//! Numbers that look random and are the same in every run: SplitMix64 (Steele, Lea and Flood 2014, from memory).

#[derive(Debug, Clone)]
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to, not with, `count`.
    pub(super) fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    /// From `least` to `most`, both with.
    pub(super) fn whole(&mut self, least: usize, most: usize) -> usize {
        least + self.below(most - least + 1)
    }

    pub(super) fn chance(&mut self, share: f64) -> bool {
        ((self.next() >> 11) as f64) < share * (1_u64 << 53) as f64
    }

    pub(super) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}
