//! Standard atomic weights, abridged to five digits.
//!
//! Source: `IUPAC-2021`, values from memory. In ordinary water the true weight of an element may differ in the
//! last digit or two (silicon and chlorine the most), which is far below what any load is known to.

pub(crate) const CALCIUM_KG_MOL: f64 = 40.078e-3;
pub(crate) const CARBON_KG_MOL: f64 = 12.011e-3;
pub(crate) const CHLORINE_KG_MOL: f64 = 35.45e-3;
pub(crate) const HYDROGEN_KG_MOL: f64 = 1.008e-3;
pub(crate) const NITROGEN_KG_MOL: f64 = 14.007e-3;
pub(crate) const OXYGEN_KG_MOL: f64 = 15.999e-3;
pub(crate) const SILICON_KG_MOL: f64 = 28.085e-3;
pub(crate) const SODIUM_KG_MOL: f64 = 22.990e-3;
