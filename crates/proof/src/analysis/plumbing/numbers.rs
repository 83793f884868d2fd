//! The numbers that a network is built of: told to the sheet once, and read back for every draw.
//!
//! Building asks for its numbers in an order that follows from the station alone. So the same code builds the network
//! from the fields and, for a draw, from a list: what the doubt is computed with is what the value was.

use station::quantity::{Kind, Quantity, Spread, SpreadShape};
use station::register::Field;

use crate::sheet::{NodeId, Sheet};

/// Where building gets its numbers.
pub(crate) trait Numbers {
    /// A field of the file, in its stored unit.
    fn field<T: Quantity>(&mut self, field: &Field<T>) -> f64;
    /// A value that no field holds, with the half-width of its doubt and its reason.
    fn assumed(&mut self, path: &str, value: f64, kind: Kind, half_width: f64, reason: &str) -> f64;
}

/// From the fields, each becoming a leaf of the sheet.
pub(crate) struct Told<'a> {
    sheet: &'a mut Sheet,
    pub(crate) nodes: Vec<NodeId>,
    pub(crate) names: Vec<String>,
}

impl<'a> Told<'a> {
    pub(crate) fn new(sheet: &'a mut Sheet) -> Self {
        Self {
            sheet,
            nodes: Vec::new(),
            names: Vec::new(),
        }
    }

    fn add(&mut self, node: NodeId, name: &str) -> f64 {
        self.nodes.push(node);
        self.names.push(name.to_owned());
        self.sheet.value(node)
    }
}

impl Numbers for Told<'_> {
    fn field<T: Quantity>(&mut self, field: &Field<T>) -> f64 {
        let node = self.sheet.given(field);
        self.add(node, &field.path)
    }

    fn assumed(&mut self, path: &str, value: f64, kind: Kind, half_width: f64, reason: &str) -> f64 {
        let spread = Spread {
            half_width,
            shape: SpreadShape::Normal,
        };
        let node = self.sheet.assumed(path, value, kind, spread, reason);
        self.add(node, path)
    }
}

/// From a list, in the same order.
pub(crate) struct Listed<'a>(pub(crate) core::slice::Iter<'a, f64>);

impl<'a> Listed<'a> {
    pub(crate) fn of(values: &'a [f64]) -> Self {
        Self(values.iter())
    }
    fn next(&mut self) -> f64 {
        self.0.next().copied().unwrap_or(f64::NAN)
    }
}

impl Numbers for Listed<'_> {
    fn field<T: Quantity>(&mut self, _field: &Field<T>) -> f64 {
        self.next()
    }

    fn assumed(&mut self, _path: &str, _value: f64, _kind: Kind, _half_width: f64, _reason: &str) -> f64 {
        self.next()
    }
}

/// From the fields, with nothing told to anybody.
pub(crate) struct Plain;

impl Numbers for Plain {
    fn field<T: Quantity>(&mut self, field: &Field<T>) -> f64 {
        field.value.si()
    }

    fn assumed(&mut self, _path: &str, value: f64, _kind: Kind, _half_width: f64, _reason: &str) -> f64 {
        value
    }
}
