//! Water that is delivered: how much, when, at what price, when it must be called.

use proof::{Delivered, Proof};
use station::quantity::Kind;
use station::spoken;

use super::Speaker;
use crate::cli::page::fill;
use crate::cli::table::{First, columns, without_empty};

/// One row for each delivery, and what a litre costs as it comes.
pub(super) fn deliveries(speaker: &Speaker<'_>, proof: &Proof) -> String {
    let all = &proof.supply.delivered;
    if all.is_empty() {
        return String::new();
    }
    let mut rows = vec![
        ["", "water", "at once", "as a mean", "costs", "call it at"]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(all.iter().map(|delivery| row(speaker, delivery)));
    let mut out = format!("\nDelivered\n{}", columns(First::Words, &without_empty(1, &rows)));
    for delivery in all.iter().filter(|delivery| delivery.call_at_m3.is_some()) {
        let notice = speaker.exact(Kind::Time, delivery.notice_s);
        let text = format!(
            "{} comes {notice} after the call: call it while that much {} water is left.",
            spoken(&delivery.name),
            delivery.holds
        );
        out += &(fill(&text, "    ", "      ") + "\n");
    }
    let regular = all
        .iter()
        .any(|delivery| delivery.holds == "fresh" && delivery.mean_m3_per_s.is_some());
    if let Some(litre) = proof.supply.fresh_litre_per_m3.as_ref().filter(|_| regular) {
        let price = format!("{} {}", speaker.plain(litre), speaker.doubt(litre));
        let text = format!(
            "Fresh water as it comes, made and delivered, costs {}.",
            price.trim_end()
        );
        out += &(fill(&text, "    ", "      ") + "\n");
    }
    out
}

fn row(speaker: &Speaker<'_>, delivery: &Delivered) -> Vec<String> {
    vec![
        spoken(&delivery.name),
        format!("{}, {}", delivery.holds, delivery.kind),
        speaker.exact(Kind::Volume, delivery.volume_m3),
        delivery
            .mean_m3_per_s
            .as_ref()
            .map_or_else(String::new, |mean| speaker.exact(Kind::Flow, mean.value)),
        delivery
            .price_per_m3
            .map_or_else(String::new, |price| speaker.exact(Kind::PricePerVolume, price)),
        delivery
            .call_at_m3
            .as_ref()
            .map_or_else(String::new, |call_at| speaker.plain(call_at)),
    ]
}
