//! A law of friction looked up: cubics on a fixed grid of Reynolds numbers, each made when it is first asked for.
//!
//! A law takes some hundred nanoseconds, most of them in logarithms; a solver asks it for every line at every step.
//! The grid doesn't depend on what was asked before, so that the same question always has the same answer.

use core::marker::PhantomData;

use super::{FrictionLaw, SURELY_LAMINAR};

/// Cells between one power of two and the next, as a power of two: with 128 the cubics keep to the law within
/// 2·10⁻⁷ of it in the transition to turbulence and 10⁻⁹ outside (held by a test).
const CELL_BITS: u32 = 7;
const MANTISSA_BITS: u32 = 52;
const SHIFT: u32 = MANTISSA_BITS - CELL_BITS;
/// Powers of two that the table begins and ends at.
const LOWEST: u64 = 6;
const HIGHEST: u64 = 24;
const FIRST: u64 = (1023 + LOWEST) << CELL_BITS;
const CELLS: usize = ((HIGHEST - LOWEST) << CELL_BITS) as usize;

/// `f·Re²` over a cell, in the share t of the cell that lies below; a line of the processor's cache.
#[derive(Debug, Clone, Copy, Default)]
#[repr(align(64))]
struct Cell {
    /// A cubic, lowest coefficient first; all 0 while the cell isn't made.
    value: [f64; 4],
    /// Its derivative by the Reynolds number.
    slope: [f64; 3],
}

impl Cell {
    /// Hermite's cubic between the law at the ends of a cell.
    fn between(at: usize, (at_low, rise_low): Knot, (at_high, rise_high): Knot) -> Self {
        let width = lower_end(at + 1) - lower_end(at);
        let (m0, m1, rise) = (rise_low * width, rise_high * width, at_high - at_low);
        let (square, cube) = (3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise);
        Self {
            value: [at_low, m0, square, cube],
            slope: [m0, 2.0 * square, 3.0 * cube].map(|own| own / width),
        }
    }

    #[inline]
    fn is_made(&self) -> bool {
        self.value[0] != 0.0
    }

    /// What it says of a share of it, and by how much that rises with the Reynolds number.
    #[inline]
    fn at(&self, t: f64) -> (f64, f64) {
        let ([c0, c1, c2, c3], [d0, d1, d2]) = (self.value, self.slope);
        (c0 + t * (c1 + t * (c2 + t * c3)), d0 + t * (d1 + t * d2))
    }
}

/// The law at the lower end of a cell: `f·Re²` and its derivative, both 0 while it wasn't asked.
type Knot = (f64, f64);

/// The law for each relative roughness that was asked for.
#[derive(Debug, Clone)]
pub(in crate::hydraulics) struct FrictionTables<F> {
    relative_roughness: Vec<f64>,
    /// By table, up to the highest number that was asked for; there is room for the others.
    cells: Vec<Vec<Cell>>,
    /// Likewise, and one more.
    knots: Vec<Vec<Knot>>,
    law: PhantomData<F>,
}

impl<F: FrictionLaw> FrictionTables<F> {
    pub(in crate::hydraulics) fn new() -> Self {
        Self {
            relative_roughness: Vec::new(),
            cells: Vec::new(),
            knots: Vec::new(),
            law: PhantomData,
        }
    }

    /// The table of a relative roughness, which is made where there is none.
    pub(in crate::hydraulics) fn of(&mut self, relative_roughness: f64) -> usize {
        let mut known = self.relative_roughness.iter();
        known
            .position(|own| *own == relative_roughness)
            .unwrap_or_else(|| {
                self.relative_roughness.push(relative_roughness);
                // All of it is taken now, but not touched: most of it lies beyond the numbers of one network.
                let room = if F::SMOOTH { CELLS } else { 0 };
                self.cells.push(Vec::with_capacity(room));
                self.knots.push(Vec::with_capacity(room + 1));
                self.relative_roughness.len() - 1
            })
    }

    /// As the law's [`resistance`](FrictionLaw::resistance), by one of its tables.
    #[inline]
    pub(in crate::hydraulics) fn resistance(&mut self, table: usize, reynolds: f64) -> (f64, f64) {
        if F::SMOOTH && reynolds < SURELY_LAMINAR {
            return (64.0 * reynolds, 64.0);
        }
        let (at, t) = place(reynolds);
        match self.cells[table].get(at) {
            Some(cell) if cell.is_made() => cell.at(t),
            _ if F::SMOOTH && at < CELLS => self.make(table, at).at(t),
            _ => self.by_law(table, reynolds),
        }
    }

    /// The same without keeping what wasn't asked for before.
    pub(in crate::hydraulics) fn look_up(&self, table: usize, reynolds: f64) -> (f64, f64) {
        if F::SMOOTH && reynolds < SURELY_LAMINAR {
            return (64.0 * reynolds, 64.0);
        }
        let (at, t) = place(reynolds);
        match self.cells[table].get(at) {
            Some(cell) if cell.is_made() => cell.at(t),
            _ if F::SMOOTH && at < CELLS => {
                let knot = |at| F::resistance(lower_end(at), self.relative_roughness[table]);
                Cell::between(at, knot(at), knot(at + 1)).at(t)
            }
            _ => self.by_law(table, reynolds),
        }
    }
}

impl<F: FrictionLaw> FrictionTables<F> {
    #[cold]
    fn by_law(&self, table: usize, reynolds: f64) -> (f64, f64) {
        F::resistance(reynolds, self.relative_roughness[table])
    }

    /// Makes a cell, and keeps it.
    #[cold]
    fn make(&mut self, table: usize, at: usize) -> &Cell {
        let (cells, knots) = (&mut self.cells[table], &mut self.knots[table]);
        if cells.len() <= at {
            cells.resize(at + 1, Cell::default());
            knots.resize(at + 2, (0.0, 0.0));
        }
        let relative_roughness = self.relative_roughness[table];
        let low = asked::<F>(&mut knots[at], at, relative_roughness);
        let high = asked::<F>(&mut knots[at + 1], at + 1, relative_roughness);
        cells[at] = Cell::between(at, low, high);
        &cells[at]
    }
}

/// The law at the lower end of a cell, asked where it wasn't.
fn asked<F: FrictionLaw>(knot: &mut Knot, at: usize, relative_roughness: f64) -> Knot {
    if knot.0 == 0.0 {
        *knot = F::resistance(lower_end(at), relative_roughness);
    }
    *knot
}

/// The cell of a Reynolds number, and the share of it that lies below.
#[inline]
fn place(reynolds: f64) -> (usize, f64) {
    let bits = reynolds.to_bits();
    // The bits below the cell's are the share of it, and stay a number with an exponent of their own.
    let within = (bits << (64 - SHIFT)) >> (64 - MANTISSA_BITS);
    let t = f64::from_bits((1023 << MANTISSA_BITS) | within) - 1.0;
    ((bits >> SHIFT).wrapping_sub(FIRST) as usize, t)
}

/// The Reynolds number at the lower end of a cell.
fn lower_end(at: usize) -> f64 {
    f64::from_bits((FIRST + at as u64) << SHIFT)
}

#[cfg(test)]
mod tests {
    use super::super::Churchill;
    use super::*;

    /// Tolerances: those that the module states.
    #[test]
    fn the_table_keeps_to_the_law() {
        let (mut worst, mut worst_slope, mut worst_turbulent) = (0.0_f64, 0.0_f64, 0.0_f64);
        for relative_roughness in [0.0, 1e-5, 1e-4, 1e-3, 1e-2, 0.05, 0.1] {
            let mut tables = FrictionTables::<Churchill>::new();
            // Not the first of them: each keeps to its own cells.
            tables.of(0.077);
            let table = tables.of(relative_roughness);
            let mut reynolds = 50.0;
            while reynolds < 4e7 {
                let (told, slope) = tables.resistance(table, reynolds);
                let (law, law_slope) = Churchill::resistance(reynolds, relative_roughness);
                let off = (told / law - 1.0).abs();
                worst = worst.max(off);
                worst_slope = worst_slope.max((slope / law_slope - 1.0).abs());
                if !(1500.0..6000.0).contains(&reynolds) {
                    worst_turbulent = worst_turbulent.max(off);
                }
                reynolds *= 1.000_37;
            }
        }
        assert!(worst < 2e-7, "{worst:e}");
        assert!(worst_turbulent < 1e-9, "{worst_turbulent:e}");
        assert!(worst_slope < 1e-4, "{worst_slope:e}");
    }
}
