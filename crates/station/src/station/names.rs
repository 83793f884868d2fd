//! Names of sections: the owner's own, or one of a closed list.

use core::ops::Range;

use crate::fault::Fault;
use crate::file::{clipped, did_you_mean};
use crate::register::Word;
use crate::sections::REGISTER;

/// The names that sections under `of` may have; `None` where the owner is free.
fn closed(of: &str) -> Option<&'static [Word]> {
    REGISTER
        .iter()
        .find(|section| section.path.strip_suffix(".*") == Some(of))?
        .names
}

/// A key that stands where a section with a name is wanted: `[failures]` with `soonest` under it.
pub(super) fn no_section(of: &str, key: &str, span: Range<usize>) -> Fault {
    Fault {
        span,
        what: format!("`{key}` stands in [{of}] without a name of its own"),
        why: format!("[{of}] holds named sections only"),
        mend: match closed(of).and_then(<[Word]>::first) {
            Some(first) => format!("begin a section with its name: [{of}.{}]", first.word),
            None => format!("begin a section with a name you choose: [{of}.north]"),
        },
    }
}

/// The fault of a name that a section under `of` can't have.
pub(super) fn check(of: &str, name: &str, span: Range<usize>) -> Option<Fault> {
    if let Some(words) = closed(of) {
        let words: Vec<&str> = words.iter().map(|word| word.word).collect();
        return (!words.contains(&name)).then(|| Fault {
            span,
            what: format!("`{}` isn't known here", clipped(name)),
            why: format!("not a name of a section in [{of}]"),
            mend: did_you_mean(name, &words),
        });
    }
    let usable = !name.is_empty()
        && name
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    (!usable).then(|| Fault {
        span,
        what: "this name can't be used".into(),
        why: "commands and paths name it too".into(),
        mend: "use letters, digits and hyphens: touch-pool".into(),
    })
}
