//! Findings as a letter has them: by weight, worst first, each with the cure that was tried and its place in the file.

use proof::{Finding, Severity};

use super::page::fill;

/// All of them under their headings; `name` is the file's.
pub(crate) fn findings(name: &str, all: &[Finding]) -> String {
    let mut out = String::new();
    for (severity, heading) in [
        (Severity::Must, "Must fix"),
        (Severity::Should, "Worth fixing"),
        (Severity::Note, "Worth knowing"),
    ] {
        let mut own = all
            .iter()
            .filter(|finding| finding.severity == severity)
            .peekable();
        if own.peek().is_some() {
            out += &format!("\n{heading}\n");
        }
        for finding in own {
            out += &paragraph(name, finding);
        }
    }
    out
}

fn paragraph(name: &str, finding: &Finding) -> String {
    let place = finding
        .line
        .map_or_else(String::new, |line| format!("{name}:{line}"));
    let mut out = fill(&finding.sentence, "  ", "  ") + "\n";
    match &finding.remedy {
        Some(remedy) => {
            out += &fill(&format!("-> {} (tried)", remedy.sentence), "    ", "       ");
            out += "\n";
        }
        None if place.is_empty() => return out,
        None => {}
    }
    if !place.is_empty() {
        out += &format!("       {place}\n");
    }
    out
}
