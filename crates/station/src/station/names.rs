//! Names of sections: the owner's own, or one of a closed list.

use core::ops::Range;

use crate::fault::Fault;
use crate::file::{clipped, did_you_mean};
use crate::register::Word;
use crate::sections::of_table;

/// The names that sections under `of` may have; `None` where the owner is free.
fn closed(of: &str) -> Option<&'static [Word]> {
    of_table(of)?.names
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

/// Letters of a name at most: it stands on labels and drawings (house rule).
const LONGEST: usize = 80;

/// The fault of a name that a section under `of` can't have beside those that stand before it.
pub(super) fn check(of: &str, name: &str, earlier: &[&str], span: Range<usize>) -> Option<Fault> {
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
    if !usable {
        return Some(Fault {
            span,
            what: "this name can't be used".into(),
            why: "commands and paths name it too".into(),
            mend: "use letters, digits and hyphens: touch-pool".into(),
        });
    }
    if name.len() > LONGEST {
        return Some(Fault {
            span,
            what: "this name is too long".into(),
            why: format!("{} letters", name.len()),
            mend: format!("use at most {LONGEST}: it stands on labels and drawings"),
        });
    }
    let twin = earlier.iter().find(|own| read_alike(own, name))?;
    Some(Fault {
        span,
        what: format!("this name can't be told from `{twin}`"),
        why: "nothing but capitals and hyphens tells them apart".into(),
        mend: "choose another: it is read from a label, by whoever comes in for you".into(),
    })
}

/// Whether two names are the same to who reads them aloud: nothing but capitals, hyphens and underscores tells them apart.
pub fn read_alike(one: &str, other: &str) -> bool {
    let heard = |name: &str| {
        let letters = name.chars().filter(|c| !matches!(c, '-' | '_'));
        letters.map(|c| c.to_ascii_lowercase()).collect::<String>()
    };
    heard(one) == heard(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_told_apart_and_fit_a_label() {
        let long = "a".repeat(LONGEST);
        for (name, earlier, fault) in [
            ("touch-pool", &["fresh", "touch-pool-2"][..], None),
            (&long, &[], None),
            (&format!("{long}b"), &[], Some("too long")),
            ("Fresh", &["salt", "fresh"], Some("told from `fresh`")),
            ("touch_pool", &["touchPool"], Some("told from `touchPool`")),
            ("two words", &[], Some("can't be used")),
        ] {
            let found = check("tanks", name, earlier, 0..1).map(|own| own.what);
            match fault {
                None => assert_eq!(found, None, "{name}"),
                Some(words) => assert!(found.is_some_and(|what| what.contains(words)), "{name}"),
            }
        }
    }
}
