//! What is left when the feed stops, and what odd days bring.

use proof::{Estimate, Severity, StateOfFeed, Stores};
use station::quantity::Kind;

use super::super::page::fill;
use super::{Speaker, columns};

/// Tank by tank, at the stores' worst and when they are full.
pub(super) fn endurance(speaker: &Speaker<'_>, stores: &[Stores], at: Option<&str>) -> String {
    let mut out = String::new();
    let shown = |moment: &&Stores| at.map_or(moment.at != "start", |at| moment.at == at);
    for moment in stores.iter().filter(shown) {
        let when = match moment.at {
            "full" => "with full stores",
            "start" => "where fills start",
            _ => "just before a fill",
        };
        let salt = moment
            .salt_m3
            .as_ref()
            .filter(|salt| salt.value > 0.0)
            .map_or_else(
                || "no salt water".to_owned(),
                |salt| format!("{} salt", speaker.plain(salt)),
            );
        out += &format!(
            "\nWhen the feed stops {when}: {} fresh, {salt}\n",
            speaker.plain(&moment.fresh_m3)
        );
        if moment.tanks.is_empty() {
            continue;
        }
        let mut rows = vec![
            ["", "top-off", "alone", "changes", "they last", "alone"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for tank in &moment.tanks {
            let cell = |estimate: &Option<Estimate>| match estimate {
                None => String::new(),
                Some(estimate) if estimate.value <= 0.0 => "none".to_owned(),
                Some(estimate) => speaker.plain(estimate),
            };
            rows.push(vec![
                tank.name.clone(),
                cell(&tank.top_off_s),
                cell(&tank.top_off_alone_s),
                cell(&tank.changes),
                cell(&tank.changes_s),
                cell(&tank.changes_alone),
            ]);
        }
        out += &columns(&rows);
    }
    if stores.iter().any(|moment| !moment.tanks.is_empty()) {
        out += &(fill(
            "All tanks share the stores; \"alone\" is what one would have if the others got nothing.",
            "  ",
            "  ",
        ) + "\n");
    }
    out
}

/// The named states of the feed: what they do, what they spoil, what to test.
pub(super) fn odd_days(speaker: &Speaker<'_>, states: &[StateOfFeed]) -> String {
    let mut out = String::new();
    for state in states {
        if out.is_empty() {
            out += "\nOther days of the feed\n";
        }
        let mut parts = vec![match state.made_m3_per_s {
            Some(made) => format!("{} made in the leanest month", speaker.exact(Kind::Flow, made)),
            None => "no water comes".to_owned(),
        }];
        if let Some(life) = state.resin_life_m3 {
            parts.push(format!("a bed lasts {}", speaker.exact(Kind::Volume, life)));
        }
        if let Some(cost) = state.cost_per_m3 {
            parts.push(speaker.exact(Kind::PricePerVolume, cost));
        }
        let lasts = state.lasts_s.map_or_else(String::new, |lasts| {
            format!(" ({})", speaker.exact(Kind::Time, lasts))
        });
        out += &(fill(
            &format!("{}{lasts}: {}.", state.name, parts.join(", ")),
            "  ",
            "    ",
        ) + "\n");
        for finding in &state.findings {
            let word = match finding.severity {
                Severity::Must => "must fix",
                Severity::Should => "worth fixing",
                Severity::Note => "worth knowing",
            };
            out += &(fill(&format!("{word}: {}", finding.sentence), "    ", "      ") + "\n");
        }
        for test in &state.tests {
            out += &(fill(&format!("test {test}"), "    ", "      ") + "\n");
        }
        out += &format!("    prove it: --feed {}\n", state.name);
    }
    out
}
