//! A cure that somebody pressed for: found again in what is known of the text that it stood beside.
//!
//! Must not know: what a cure does; its edits are the proof's.

use proof::{Leading, RemedyEdit};
use serde::Deserialize;
use sheets::CureOf;
use station::Edit;

use super::bench::Bench;

/// A cure by whose it is, its place there and its words: lists become longer while more is computed, and a press means the
/// cure that it stood beside.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Cure {
    of: String,
    at: usize,
    says: String,
}

impl Cure {
    /// Its edits; nothing where no such cure is on offer for that text.
    pub(super) fn edits(&self, bench: &Bench, revision: u64) -> Option<Vec<Edit>> {
        let made = |(sentence, edits): (&String, &Vec<RemedyEdit>)| {
            (*sentence == self.says && !edits.is_empty())
                .then(|| edits.iter().map(RemedyEdit::edit).collect::<Vec<Edit>>())
        };
        let of = CureOf::called(&self.of)?;
        if let CureOf::Proof | CureOf::Mistakes | CureOf::Leading = of {
            let proof = bench.proof_of(revision)?;
            return match of {
                CureOf::Proof => {
                    let remedy = proof.findings.get(self.at)?.remedy.as_ref()?;
                    made((&remedy.sentence, &remedy.edits))
                }
                CureOf::Leading => match proof.mistakes.as_ref()?.leading.get(self.at)? {
                    Leading::Left { remedy, .. } => {
                        let tried = remedy.as_ref()?;
                        made((&tried.sentence, &tried.edits))
                    }
                    Leading::Cause(_) => None,
                },
                _ => {
                    let tried = proof.mistakes.as_ref()?.remedies.get(self.at)?;
                    made((&tried.sentence, &tried.edits))
                }
            };
        }
        let (away, year) = {
            let results = bench.results();
            let away = results.away.clone().filter(|own| own.revision == revision);
            let year = results.year.clone().filter(|own| own.revision == revision);
            (away, year)
        };
        if of == CureOf::Away {
            let away = away?.value?;
            let guard = away.remedies.get(self.at)?;
            return made((&guard.sentence, &guard.edits));
        }
        let years = year?.value?;
        if of == CureOf::Changes {
            let change = years.year.changes.get(self.at)?;
            return made((&change.sentence, &change.edits));
        }
        let remedy = years.year.findings.get(self.at)?.remedy.as_ref()?;
        made((&remedy.sentence, &remedy.edits))
    }
}
