//! What there is to say of a batch.

use station::quantity::Kind;
use station::{Station, Vessel};

use super::SaltBatch;
use crate::analysis::speak::{say, set_volume, shown, tape};
use crate::finding::{Finding, Severity};

pub(super) fn find(
    station: &Station,
    vessel: &Vessel,
    batch: &SaltBatch,
    highest: f64,
    findings: &mut Vec<Finding>,
) {
    let name = &shown(&vessel.name);
    let fields = &vessel.fields;
    let key = |key: &str| format!("{}.{key}", vessel.name);
    if batch.finished_level_m.is_none_or(|level| level > highest + 1e-6)
        && let Some(volume) = &fields.batch_volume
    {
        let most = vessel.shape.volume_m3(highest).unwrap_or(0.0);
        findings.push(
            Finding::new(
                "batch-too-large",
                Severity::Must,
                volume.path.clone(),
                format!(
                    "A batch of {} stands higher in {name} than the freeboard of {} allows.",
                    say(station, Kind::Volume, batch.finished_volume_m3),
                    tape(station, fields.freeboard.value.m())
                ),
            )
            .figure(key("finished-line"))
            .recipe(vec![set_volume(station, volume.path.clone(), most, false)]),
        );
    }
    let Some(salt) = &station.salt else { return };
    if let Some(warmest) = &salt.warmest_mixing
        && fields.mixing_temperature.value.c() > warmest.value.c()
    {
        let text = say(station, Kind::Temperature, warmest.value.c()).replace('°', "");
        findings.push(
            Finding::new(
                "mixed-too-warm",
                Severity::Should,
                format!("vessels.{}.mixing_temperature", vessel.name),
                format!(
                    "{name} is mixed at {}, warmer than the {} that the mix's maker allows: alkalinity and calcium settle out as white dust and stay lost.",
                    say(station, Kind::Temperature, fields.mixing_temperature.value.c()),
                    say(station, Kind::Temperature, warmest.value.c())
                ),
            )
            .recipe(vec![station::Edit::quoted(format!("vessels.{}.mixing_temperature", vessel.name), &text)]),
        );
    }
    if batch.one_bag_finished_m3.is_some()
        && batch.one_bag_finished_level_m.is_none_or(|level| level > highest)
    {
        findings.push(
            Finding::new(
                "bag-too-large",
                Severity::Note,
                "salt.bag",
                format!("A whole bag makes more than {name} holds below its freeboard: weigh a part of it, and close the rest against damp."),
            )
            .figure(key("one-bag-finished")),
        );
    }
    let lift = station.people.lift.value.kg();
    if let Some(bag) = &salt.bag
        && bag.value.kg() > lift * 1.001
    {
        findings.push(Finding::new(
            "bag-too-heavy",
            Severity::Note,
            bag.path.clone(),
            format!(
                "A bag of {} is more than the {} that one person lifts here: scoop it, or lift it by two.",
                say(station, Kind::Mass, bag.value.kg()),
                say(station, Kind::Mass, lift)
            ),
        ));
    }
}
