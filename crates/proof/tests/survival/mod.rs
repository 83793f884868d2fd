//! What every text must end in, however it was spoilt.

use station::{Position, Station};

/// One case in so many is looked at by `scripts/test`; `SHARE=1` looks at all, as `scripts/test-long` does.
const SHARE: usize = 20;

fn share() -> usize {
    let wanted = std::env::var("SHARE").ok().and_then(|share| share.parse().ok());
    wanted.unwrap_or(SHARE).max(1)
}

/// Whether a case is in the share.
#[allow(dead_code, reason = "not every test walks through a list")]
pub(crate) fn due(case: usize) -> bool {
    case.is_multiple_of(share())
}

/// How many of so many random cases.
#[allow(dead_code, reason = "not every test draws")]
pub(crate) fn cases(all: u32) -> u32 {
    all.div_ceil(u32::try_from(share()).unwrap_or(1))
}

/// Reads, and proves what can be read; tells whether it could.
#[track_caller]
pub(crate) fn survive(text: &str) -> bool {
    match ends_well(text) {
        Ok(proved) => proved,
        Err(wrong) => panic!("{wrong}"),
    }
}

/// Whether it was proved, or what is wrong with the answer.
pub(crate) fn ends_well(text: &str) -> Result<bool, String> {
    let wrong = |holds: bool, what: &dyn core::fmt::Debug| match holds {
        true => Ok(()),
        false => Err(format!("{what:?}")),
    };
    match Station::read(text) {
        Err(faults) => {
            wrong(!faults.is_empty(), &"no fault")?;
            for fault in faults {
                wrong(
                    fault.span.start <= fault.span.end && fault.span.end <= text.len(),
                    &fault,
                )?;
                wrong(!fault.what.is_empty() && !fault.mend.is_empty(), &fault)?;
                wrong(Position::of(text, fault.span.start).line >= 1, &fault)?;
            }
            Ok(false)
        }
        Ok(station) => {
            let proof = proof::prove(&station);
            for figure in &proof.figures {
                wrong(figure.value.is_finite(), &figure.key)?;
            }
            for finding in &proof.findings {
                // Every place for a figure was filled: no mark left, no two blanks, no blank before a stop.
                let sentence = &finding.sentence;
                let holes = ['\u{2045}', '\u{2046}']
                    .iter()
                    .any(|mark| sentence.contains(*mark));
                wrong(
                    !holes && !sentence.contains("  ") && !sentence.contains(" ,"),
                    sentence,
                )?;
            }
            no_broken_number(&proof)?;
            wrong(serde_json::to_string(&proof).is_ok(), &"no JSON")?;
            Ok(true)
        }
    }
}

/// JSON writes a number that isn't one as `null`, where it would pass for a value that is left out: so they are
/// looked for in what Rust prints.
fn no_broken_number(proof: &proof::Proof) -> Result<(), String> {
    let printed = format!("{proof:?}");
    let part = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    for broken in ["NaN", "inf"] {
        for (at, _) in printed.match_indices(broken) {
            let (before, behind) = (&printed[..at], &printed[at + broken.len()..]);
            let before = before.strip_suffix('-').unwrap_or(before);
            if !before.ends_with(part) && !behind.starts_with(part) {
                let tail: String = before.chars().rev().take(200).collect();
                let tail: String = tail.chars().rev().collect();
                let head: String = behind.chars().take(60).collect();
                return Err(format!("{tail}{broken}{head}"));
            }
        }
    }
    Ok(())
}
