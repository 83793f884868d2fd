//! What positions do, harm by harm: for each harm the positions that do it.

use super::ids::HarmSet;
use super::positions::{Positions, WORD};

/// The half of a set of harms that a word tells.
const HALF: u32 = HarmSet::BITS / 2;

/// For each harm the positions that do it.
#[derive(Debug, Clone)]
pub(super) struct Doing {
    /// Of how many switches.
    count: usize,
    /// By the bit of a harm; `None` while nothing does it.
    by_harm: Vec<Option<Positions>>,
}

impl Doing {
    /// No position of so many switches does any.
    pub(super) fn nothing(count: usize) -> Self {
        Self {
            count,
            by_harm: vec![None; HarmSet::BITS as usize],
        }
    }

    /// Takes in what the positions of a word do.
    pub(super) fn put(&mut self, word: usize, does: &[HarmSet; WORD]) {
        let any = does.iter().fold(0, |any, set| any | set);
        for from in [0, HALF] {
            let half = |set: HarmSet| (set >> from) as u64;
            if half(any) == 0 {
                continue;
            }
            let mut rows = does.map(half);
            transpose(&mut rows);
            for harm in bits(half(any)) {
                self.positions(from + harm).set_word(word, rows[harm as usize]);
            }
        }
    }

    /// What is done here or there.
    pub(super) fn or(&mut self, other: &Self) {
        for (harm, positions) in other.each() {
            self.positions(harm).add(positions);
        }
    }

    /// The bit of each harm that is done at all, with the positions that do it.
    pub(super) fn each(&self) -> impl Iterator<Item = (u32, &Positions)> {
        let all = (0..).zip(&self.by_harm);
        all.filter_map(|(harm, positions)| Some((harm, positions.as_ref()?)))
    }

    fn positions(&mut self, harm: u32) -> &mut Positions {
        self.by_harm[harm as usize].get_or_insert_with(|| Positions::none_of(self.count))
    }
}

/// The numbers of the bits of a word.
fn bits(word: u64) -> impl Iterator<Item = u32> {
    let mut left = word;
    core::iter::from_fn(move || {
        let bit = (left != 0).then(|| left.trailing_zeros())?;
        left &= left - 1;
        Some(bit)
    })
}

/// Turns rows of bits into columns: bit `j` of row `i` becomes bit `i` of row `j`. Off the diagonal, blocks change places,
/// then blocks half as wide in each of them.
fn transpose(rows: &mut [u64; WORD]) {
    swap_blocks::<32>(rows, 0x0000_0000_ffff_ffff);
    swap_blocks::<16>(rows, 0x0000_ffff_0000_ffff);
    swap_blocks::<8>(rows, 0x00ff_00ff_00ff_00ff);
    swap_blocks::<4>(rows, 0x0f0f_0f0f_0f0f_0f0f);
    swap_blocks::<2>(rows, 0x3333_3333_3333_3333);
    swap_blocks::<1>(rows, 0x5555_5555_5555_5555);
}

/// Of each two blocks of rows the low bits of the lower and the high bits of the upper change places.
#[inline]
fn swap_blocks<const WIDTH: usize>(rows: &mut [u64; WORD], low: u64) {
    for pair in rows.chunks_exact_mut(2 * WIDTH) {
        let (above, below) = pair.split_at_mut(WIDTH);
        for (above, below) in above.iter_mut().zip(below) {
            let both = ((*above >> WIDTH) ^ *below) & low;
            *above ^= both << WIDTH;
            *below ^= both;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the sets, bit by bit; harms in both halves. Tolerance: none.
    #[test]
    fn positions_do_what_their_sets_say() {
        let count = 8;
        let set = |position: usize| {
            let mixed = (position as HarmSet + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15_f39c_c060_5ced_c835);
            mixed & 0x8000_0000_1000_0001_8000_0100_0000_0011
        };
        let mut doing = Doing::nothing(count);
        for word in 0..(1 << count) / WORD {
            doing.put(word, &core::array::from_fn(|at| set(word * WORD + at)));
        }
        let mut told = vec![0; 1 << count];
        for (harm, positions) in doing.each() {
            for position in positions.positions() {
                told[position as usize] |= 1 << harm;
            }
        }
        let wanted: Vec<HarmSet> = (0..1 << count).map(set).collect();
        assert_eq!(told, wanted);
        let mut both = Doing::nothing(count);
        both.or(&doing);
        both.or(&doing);
        assert!(both.each().eq(doing.each()));
    }
}
