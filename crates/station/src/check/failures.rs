//! What can't be of how often parts fail: half of what is thought, or its ends exchanged.

use super::purifier::fault;
use crate::fault::Fault;
use crate::station::Station;

pub(super) fn check(station: &Station, faults: &mut Vec<Fault>) {
    for failure in &station.failures {
        let fields = &failure.fields;
        let whose = || format!("[failures.{}]", failure.name);
        match (&fields.soonest, &fields.latest) {
            (Some(soonest), None) => faults.push(fault(
                soonest,
                "this tells how soon such a part fails, and nothing how late",
                whose(),
                "add latest, the long end of what is thought, or leave both out",
            )),
            (None, Some(latest)) => faults.push(fault(
                latest,
                "this tells how late such a part fails, and nothing how soon",
                whose(),
                "add soonest, the short end of what is thought, or leave both out",
            )),
            (Some(soonest), Some(latest)) if soonest.value.s() > latest.value.s() => faults.push(fault(
                soonest,
                "the soonest failure comes after the latest",
                whose(),
                "soonest is the short end of what is thought, latest the long end: exchange them?",
            )),
            _ => {}
        }
    }
}
