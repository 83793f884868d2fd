//! Lead times of the examples, step by step.

use proof::{LeadTime, lead_time};
use station::{Situation, Station};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

fn show(lead: &LeadTime) {
    println!(
        "{:.0} L from {}: ready {:.0} s ({:?} {:?}), usual {:.0} s; on hand {:.1} L, fresh {:.1} L, make {:.1} L, {:.2} kg, {} batches in {:?}",
        lead.volume_m3 * 1e3,
        lead.situation,
        lead.ready.value,
        lead.ready.low,
        lead.ready.high,
        lead.ready_as_usual_s,
        lead.on_hand_m3 * 1e3,
        lead.fresh_on_hand_m3 * 1e3,
        lead.to_make_m3 * 1e3,
        lead.salt_kg,
        lead.batches,
        lead.vessel
    );
    for step in &lead.steps {
        println!(
            "  {:>8.0} {:>8.0} {} {}",
            step.start_s,
            step.end_s,
            if step.on_longest_way { "*" } else { " " },
            step.what
        );
    }
    println!("  {:?}", lead.cautions);
}

#[test]
fn shows() {
    for text in [
        LARKHAVEN,
        include_str!("../../../stations/skelder-hatchery.toml"),
        include_str!("../../../stations/juniper-street-school.toml"),
    ] {
        let station = Station::read(text).unwrap();
        for situation in Situation::named(&station) {
            for volume in [0.06, 0.12, 0.6] {
                match lead_time(&station, volume, &situation) {
                    Ok(lead) => show(&lead),
                    Err(fault) => println!("{volume}: {fault}"),
                }
            }
        }
    }
}
