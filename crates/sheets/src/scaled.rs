//! A drawing smaller or larger than it was laid out.

use crate::drawing::{Drawing, Point, Shape, at};

impl Drawing {
    /// The same, smaller or larger; line weights stay.
    pub(crate) fn scaled(&self, by: f64) -> Self {
        let place = |point: &mut Point| *point = at(by * point.x_mm, by * point.y_mm);
        let mut out = self.clone();
        (out.width_mm, out.height_mm) = (by * self.width_mm, by * self.height_mm);
        for item in &mut out.items {
            match &mut item.shape {
                Shape::Line { points, .. } | Shape::Area { points, .. } => points.iter_mut().for_each(place),
                Shape::Dot {
                    centre, radius_mm, ..
                } => {
                    place(centre);
                    *radius_mm *= by;
                }
                Shape::Text {
                    place: own, size_mm, ..
                } => {
                    place(own);
                    *size_mm *= by;
                }
            }
        }
        for map in &mut out.maps {
            place(&mut map.origin);
            map.mm_per_m *= by;
        }
        out
    }
}
