//! One row of a table of tubes.

/// A size in which a tube is sold.
#[derive(Debug, Clone, Copy)]
pub(super) struct Size {
    /// As it is written on the label.
    pub(super) name: &'static str,
    /// The same as a length: `1/2 in` is 12.7 mm.
    pub(super) nominal_m: f64,
    /// Outer diameter.
    pub(super) outer_m: f64,
    /// Inner diameter.
    pub(super) inner_m: f64,
}

/// A size in inches: name, nominal, outer, inner.
pub(super) const fn inches(name: &'static str, nominal: f64, outer: f64, inner: f64) -> Size {
    Size {
        name,
        nominal_m: nominal * 0.0254,
        outer_m: outer * 0.0254,
        inner_m: inner * 0.0254,
    }
}

/// A size in millimetres: name, nominal, outer, inner.
pub(super) const fn millimetres(name: &'static str, nominal: f64, outer: f64, inner: f64) -> Size {
    Size {
        name,
        nominal_m: nominal / 1000.0,
        outer_m: outer / 1000.0,
        inner_m: inner / 1000.0,
    }
}
