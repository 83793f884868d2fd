//! What can't be through the year: holidays without a day, water stirred without a pause, odd days told twice.

use super::purifier::fault;
use crate::fault::Fault;
use crate::sections::{Control, PurifierFields};
use crate::station::{Station, Vessel};

pub(super) fn check(station: &Station, faults: &mut Vec<Fault>) {
    for holiday in &station.holidays {
        let fields = &holiday.fields;
        if fields.from.value == fields.to.value {
            faults.push(fault(
                &fields.to,
                "this holiday ends on the day on which it begins",
                format!(
                    "the holiday `{}`: `to` is the day on which somebody is back",
                    holiday.name
                ),
                "one day off ends on the next day; check both dates",
            ));
        }
    }
    for vessel in &station.vessels {
        check_stirring(vessel, faults);
    }
    for state in &station.feed_states {
        if let (Some(every), Some(_)) = (&state.fields.every, &state.fields.in_month) {
            faults.push(fault(
                every,
                "this state of the feed comes each year, and at no set time as well",
                format!("the state `{}` has both `every` and `in_month`", state.name),
                "keep in_month where it comes each year in that month, otherwise keep every",
            ));
        }
    }
    if let Some(purifier) = &station.purifier {
        check_shutting(&purifier.fields, faults);
    }
}

/// How often and how long go together, and leave a pause.
fn check_stirring(vessel: &Vessel, faults: &mut Vec<Fault>) {
    let fields = &vessel.fields;
    let whose = || format!("the vessel `{}`", vessel.name);
    match (&fields.recirculate_every, &fields.recirculate_for) {
        (Some(every), None) => faults.push(fault(
            every,
            "this tells how often the water is stirred, and nothing how long",
            whose(),
            "add recirculate_for = \"30 min\", or leave both out",
        )),
        (None, Some(long)) => faults.push(fault(
            long,
            "this tells how long the water is stirred, and nothing how often",
            whose(),
            "add recirculate_every = \"1 day\", or leave both out",
        )),
        (Some(every), Some(long)) if long.value.s() >= every.value.s() => faults.push(fault(
            long,
            "the water is stirred longer than from one time to the next",
            whose(),
            "recirculate_for must be shorter than recirculate_every: exchange them?",
        )),
        _ => {}
    }
}

/// What shuts the feed needs a valve that it can shut.
fn check_shutting(fields: &PurifierFields, faults: &mut Vec<Fault>) {
    let control = fields.control.value;
    if fields.feed_valve.value || matches!(control, Control::Levels | Control::Timer) {
        return;
    }
    let why = format!(
        "control = \"{}\" moves no electric valve, and feed_valve isn't true",
        control.word()
    );
    let mend = "add feed_valve = true where there is such a valve, or leave this out";
    if let Some(longest) = &fields.longest_run {
        faults.push(fault(
            longest,
            "nothing here can end a run that goes on too long",
            why.clone(),
            mend,
        ));
    }
    if fields.leak_detector.value {
        faults.push(fault(
            &fields.leak_detector,
            "nothing here can shut the feed when the detector finds water",
            why.clone(),
            mend,
        ));
    }
    // Whoever starts each run shuts its tap too.
    if fields.shut_when_away.value && control != Control::Attended {
        faults.push(fault(
            &fields.shut_when_away,
            "nothing here can shut the feed while nobody is here",
            why,
            mend,
        ));
    }
}
