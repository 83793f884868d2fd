//! The books: every transfer is written once, as a move between two accounts, so that nothing is lost or made.

use super::amount::Amount;

/// An account that isn't a vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u32)]
pub(crate) enum Outside {
    /// The tap.
    Feed,
    /// The drain: reject, what is flushed, what is thrown away.
    Drain,
    /// Salt of the tap that the resin holds.
    Resin,
    /// The tanks.
    Tanks,
    /// What evaporates.
    Air,
    /// The store of dry salt; its moisture counts as salt that isn't there.
    Salt,
    /// Water that is delivered.
    Delivered,
}

const OUTSIDE: usize = 7;

/// A vessel or an outside account: of one size, so that it goes through registers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Account {
    /// A vessel, by its index.
    Vessel(u32),
    /// One of the others.
    Outside(Outside),
}

impl Account {
    /// That of a vessel.
    #[inline]
    pub(crate) fn vessel(vessel: usize) -> Self {
        Self::Vessel(vessel as u32)
    }
}

/// All accounts. Those outside begin at 0, and go below it where they give.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Books {
    vessels: Vec<Amount>,
    outside: [Amount; OUTSIDE],
    /// What was in all accounts at the beginning.
    begun: Amount,
    /// All that was moved, whichever way: what the balance is measured by.
    moved: Amount,
}

impl Books {
    /// Books that begin with what stands in the vessels.
    pub(crate) fn begin(vessels: &[Amount]) -> Self {
        let begun = vessels.iter().fold(Amount::default(), |sum, own| Amount {
            water_m3: sum.water_m3 + own.water_m3,
            salt_kg: sum.salt_kg + own.salt_kg,
        });
        Self {
            vessels: vessels.to_vec(),
            outside: [Amount::default(); OUTSIDE],
            begun,
            moved: Amount::default(),
        }
    }

    #[inline]
    fn account(&mut self, account: Account) -> &mut Amount {
        match account {
            Account::Outside(outside) => &mut self.outside[outside as usize],
            Account::Vessel(vessel) => &mut self.vessels[vessel as usize],
        }
    }

    /// Moves an amount from one account to another.
    #[inline]
    pub(crate) fn book(&mut self, from: Account, to: Account, amount: Amount) {
        let giver = self.account(from);
        giver.water_m3 -= amount.water_m3;
        giver.salt_kg -= amount.salt_kg;
        let taker = self.account(to);
        taker.water_m3 += amount.water_m3;
        taker.salt_kg += amount.salt_kg;
        self.moved.water_m3 += amount.water_m3.abs();
        self.moved.salt_kg += amount.salt_kg.abs();
    }

    /// Moves water without salt from one account to another.
    #[inline]
    pub(crate) fn book_water(&mut self, from: Account, to: Account, water_m3: f64) {
        self.account(from).water_m3 -= water_m3;
        self.account(to).water_m3 += water_m3;
        self.moved.water_m3 += water_m3.abs();
    }

    /// Lets so much water evaporate from each vessel, in their order, and no more than half of what is there.
    #[inline]
    pub(crate) fn evaporate(&mut self, wanted_m3: impl Iterator<Item = f64>) {
        let air = &mut self.outside[Outside::Air as usize];
        for (there, wanted_m3) in self.vessels.iter_mut().zip(wanted_m3) {
            let half_m3 = 0.5 * there.water_m3;
            let gone_m3 = if wanted_m3 < half_m3 { wanted_m3 } else { half_m3 };
            if gone_m3 > 0.0 {
                there.water_m3 -= gone_m3;
                air.water_m3 += gone_m3;
                self.moved.water_m3 += gone_m3;
            }
        }
    }

    /// What stands in an account.
    pub(crate) fn of(&self, account: Account) -> Amount {
        match account {
            Account::Outside(outside) => self.outside[outside as usize],
            Account::Vessel(vessel) => self.vessels[vessel as usize],
        }
    }

    /// What stands in a vessel.
    #[inline]
    pub(crate) fn vessel(&self, vessel: usize) -> Amount {
        self.vessels[vessel]
    }

    /// What stands in each vessel.
    #[inline]
    pub(crate) fn vessels(&self) -> &[Amount] {
        &self.vessels
    }

    /// What was lost or made, as a share of all that was moved: water, salt.
    pub(crate) fn residuals(&self) -> (f64, f64) {
        let all = self.outside.iter().chain(&self.vessels);
        let sum = all.fold(Amount::default(), |sum, own| Amount {
            water_m3: sum.water_m3 + own.water_m3,
            salt_kg: sum.salt_kg + own.salt_kg,
        });
        let share = |sum: f64, begun: f64, moved: f64| {
            if moved > 0.0 {
                (sum - begun).abs() / moved
            } else {
                0.0
            }
        };
        (
            share(sum.water_m3, self.begun.water_m3, self.moved.water_m3),
            share(sum.salt_kg, self.begun.salt_kg, self.moved.salt_kg),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_one_gives_another_has() {
        let mut books = Books::begin(&[Amount::water(0.3), Amount::default()]);
        let half = Amount {
            water_m3: 0.1,
            salt_kg: 0.0,
        };
        books.book(Account::Vessel(0), Account::Vessel(1), half);
        books.book(
            Account::Outside(Outside::Salt),
            Account::Vessel(1),
            Amount::salt(3.5),
        );
        books.book(
            Account::Vessel(1),
            Account::Outside(Outside::Tanks),
            Amount {
                water_m3: 0.05,
                salt_kg: 1.75,
            },
        );
        assert!((books.vessel(0).water_m3 - 0.2).abs() < 1e-15);
        assert!((books.vessel(1).salt_kg - 1.75).abs() < 1e-15);
        assert!((books.of(Account::Outside(Outside::Salt)).salt_kg + 3.5).abs() < 1e-15);
        let (water, salt) = books.residuals();
        assert!(water < 1e-15 && salt < 1e-15);
    }
}
