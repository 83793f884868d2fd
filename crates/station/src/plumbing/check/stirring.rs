//! Water that is stirred where it stands: a lineup must take it from its vessel back to it, by a pump.

use crate::fault::Fault;
use crate::plumbing::{End, Plumbing};
use crate::station::Station;

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (at, vessel) in station.vessels.iter().enumerate() {
        let Some(every) = &vessel.fields.recirculate_every else {
            continue;
        };
        let end = End::Vessel(at);
        let (mut round, mut pumped) = (None, false);
        for (lineup, task) in station.lineups.iter().zip(&plumbing.tasks) {
            if task.from == end && task.to == end {
                round = Some(lineup);
                pumped |= task.pump.is_some();
            }
        }
        if pumped {
            continue;
        }
        let name = &vessel.name;
        faults.push(Fault {
            span: every.span().unwrap_or(vessel.span.clone()),
            what: format!("no lineup stirs the vessel `{name}` by a pump"),
            why: "recirculate_every wants one from the vessel back to itself".into(),
            mend: match round {
                Some(lineup) => format!("give [lineups.{}] by = \"pump\"", lineup.name),
                None => format!(
                    "add [lineups.stir-{name}] with from = \"{name}\", to = \"{name}\" and by = \"pump\", or leave recirculate_every and recirculate_for out"
                ),
            },
        });
    }
}
