//! What the declaration of a field gives as text, read once for all files.

use std::sync::OnceLock;

use crate::quantity::Spread;
use crate::register::{Context, FieldSpec, FieldValue, Need, Raw};

/// Bounds and default of one field, as values. They hold for every station: none of them is money.
pub(crate) struct Declared<T> {
    bounds: OnceLock<Option<(f64, f64)>>,
    default: OnceLock<Option<(T, Spread)>>,
}

impl<T: FieldValue> Declared<T> {
    pub(crate) const fn new() -> Self {
        Self {
            bounds: OnceLock::new(),
            default: OnceLock::new(),
        }
    }

    /// Least and greatest value in the stored unit.
    pub(super) fn bounds(&self, spec: &FieldSpec) -> Option<(f64, f64)> {
        *self.bounds.get_or_init(|| {
            let (least, greatest) = spec.range?;
            bound_si::<T>(least).zip(bound_si::<T>(greatest))
        })
    }

    /// What holds where nobody gave a value.
    pub(super) fn default(&self, spec: &FieldSpec) -> Option<&(T, Spread)> {
        let read = || match spec.need {
            Need::Default { text, .. } => T::read(&Raw::Text(text), &Context::default()).ok(),
            Need::Required | Need::Optional => None,
        };
        self.default.get_or_init(read).as_ref()
    }
}

/// A bound of a range in the stored unit: a bare number where the value has no unit, a quantity otherwise.
fn bound_si<T: FieldValue>(text: &'static str) -> Option<f64> {
    text.parse().ok().or_else(|| {
        T::read(&Raw::Text(text), &Context::default())
            .ok()
            .and_then(|(value, _)| value.si())
    })
}

#[cfg(test)]
mod tests {
    use super::bound_si;
    use crate::quantity::{self, Kind, read_amount};
    use crate::register::{Context, Form, Need};
    use crate::sections::REGISTER;

    /// A bound that can't be read would be no bound.
    #[test]
    fn every_bound_reads() {
        let context = Context::default();
        for section in REGISTER {
            for field in section.fields {
                let (Some((least, most)), Form::Quantity(kind)) = (field.range, field.form) else {
                    continue;
                };
                let read = |text: &'static str| match kind {
                    Kind::Salinity => bound_si::<quantity::Salinity>(text),
                    kind => text.parse().ok().or_else(|| {
                        read_amount(text, kind, &context.currency)
                            .ok()
                            .map(|amount| amount.si)
                    }),
                };
                let bounds = read(least).zip(read(most));
                let (min, max) = bounds.unwrap_or_else(|| panic!("{} {least} {most}", field.key));
                assert!(min < max, "{}", field.key);
            }
        }
    }

    /// They are read once, whatever the currency of a station.
    #[test]
    fn no_bound_and_no_default_is_money() {
        for field in REGISTER.iter().flat_map(|section| section.fields) {
            let is_money = matches!(
                field.form,
                Form::Quantity(
                    Kind::Money
                        | Kind::PricePerVolume
                        | Kind::PricePerEnergy
                        | Kind::PricePerMass
                        | Kind::PricePerTime
                )
            );
            let declared = field.range.is_some() || matches!(field.need, Need::Default { .. });
            assert!(!(is_money && declared), "{}", field.key);
        }
    }
}
