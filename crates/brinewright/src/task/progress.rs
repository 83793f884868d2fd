//! How far long work is, in words that the command line and the workbench share.

use proof::{Reached, Stage};
use station::quantity::format_count;

/// Such as "340 of 1 000 years"; nothing where it has hardly begun.
pub(crate) fn in_words(reached: &Reached) -> String {
    let Reached { stage, done, all } = reached;
    match stage {
        Stage::Begun => String::new(),
        Stage::Years | Stage::Compared => format!("{} of {} years", format_count(*done), format_count(*all)),
        Stage::Changes | Stage::Guards => format!("{done} of {all} changes tried"),
        Stage::Faults => format!("one fault at a time, {done} of {all}"),
        Stage::Pairs => format!("two faults at a time, {done} of {all}"),
    }
}

/// How much of it is done at least, 0 to 1: it never goes back. What the stages weigh is a house rule; `years` were asked
/// for, and `compared` tells whether they are gone through twice more after the changes.
pub(crate) fn share(reached: &Reached, years: u32, compared: bool) -> f64 {
    let done = match reached.all {
        0 => 0.0,
        all => f64::from(reached.done) / f64::from(all),
    };
    // Ten changes and the station as it is, sixty years each.
    let (years, changes) = (f64::from(years), 660.0);
    let again = if compared { 2.0 * years } else { 0.0 };
    let all = years + changes + again;
    match reached.stage {
        Stage::Begun => 0.0,
        Stage::Years => years * done / all,
        Stage::Changes => (years + changes * done) / all,
        Stage::Compared => (years + changes + again * done) / all,
        Stage::Faults => 0.2 * done,
        Stage::Pairs => 0.2 + 0.3 * done,
        Stage::Guards => 0.5 + 0.5 * done,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_never_goes_back() {
        for stages in [
            &[Stage::Begun, Stage::Years, Stage::Changes, Stage::Compared][..],
            &[Stage::Begun, Stage::Faults, Stage::Pairs, Stage::Guards],
        ] {
            let mut last = 0.0;
            for stage in stages {
                for done in 0..=7 {
                    let reached = Reached {
                        stage: *stage,
                        done,
                        all: 7,
                    };
                    let now = share(&reached, 100, true);
                    assert!(now >= last, "{reached:?}: {now} after {last}");
                    last = now;
                }
            }
            assert!((last - 1.0).abs() < 1e-12, "{last}");
        }
    }
}
