//! What the sea-water tests share: a tally of errors that tells its distribution.

/// The errors of one column, and where they are.
pub(crate) struct Tally {
    what: &'static str,
    errors: Vec<(f64, String)>,
}

impl Tally {
    pub(crate) fn new(what: &'static str) -> Self {
        Self {
            what,
            errors: Vec::new(),
        }
    }

    /// Takes note of an error and its place.
    pub(crate) fn meet(&mut self, error: f64, place: &str) {
        assert!(error.is_finite(), "{} at {place}: {error}", self.what);
        self.errors.push((error.abs(), place.to_owned()));
    }

    /// Requires so many errors, none above the tolerance; tells the distribution otherwise.
    #[track_caller]
    pub(crate) fn within(mut self, count: usize, tolerance: f64, why_tolerance: &str) {
        assert_eq!(self.errors.len(), count, "points met for {}", self.what);
        self.errors.sort_by(|a, b| a.0.total_cmp(&b.0));
        let quantile = |share: f64| self.errors[((count - 1) as f64 * share) as usize].0;
        let (worst, place) = &self.errors[count - 1];
        let above = self.errors.iter().filter(|(error, _)| *error > tolerance).count();
        assert!(
            *worst <= tolerance,
            "{}: worst {worst:e} at {place}, allowed {tolerance:e} ({why_tolerance}); median {:e}, nine of ten \
             below {:e}, {above} of {count} above",
            self.what,
            quantile(0.5),
            quantile(0.9),
        );
    }
}
