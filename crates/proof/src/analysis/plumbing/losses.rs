//! What the fittings and valves of a line cost, from the fields that count them.

use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::network::{Element, Passage};
use physics::hydraulics::parts::{
    FittingKind, LossCoefficient, PartError, ValvePosition, hose_barb, kv_from_cv, loss_from_kv,
    sudden_contraction, usual_barb_bore_m,
};
use station::plumbing::End;
use station::quantity::Kind;
use station::sections::{Entrance, LineFields, ValveFields};
use station::{Named, Station};

use super::numbers::Numbers;
use crate::method::Refusal;

/// Density that measured drops and cracking pressures are turned into heads with; a few per cent of salt don't matter
/// against their own doubt.
pub(super) const DENSITY_KG_M3: f64 = 1000.0;
/// A valve that is throttled until it counts as closed.
const AS_GOOD_AS_CLOSED: LossCoefficient = LossCoefficient {
    turbulent: 1e9,
    laminar: 0.0,
};

/// Everything that a line costs beyond its length, on its own bore.
pub(super) fn losses(
    station: &Station,
    at: usize,
    bore_m: f64,
    numbers: &mut impl Numbers,
) -> Result<LossCoefficient, Refusal> {
    let fields = &station.lines[at].fields;
    let joined = station.plumbing.lines[at];
    let open = |end: End| matches!(end, End::Vessel(_) | End::Tank(_) | End::Draw(_));
    let mut loss = LossCoefficient::NONE;
    if open(joined.from) {
        let entrance = match fields.entrance.value {
            Entrance::Flush => FittingKind::FlushEntrance,
            Entrance::Projecting => FittingKind::ProjectingEntrance,
            Entrance::Rounded => FittingKind::RoundedEntrance,
            Entrance::Strainer => FittingKind::Strainer,
        };
        loss = loss + entrance.loss(bore_m)?;
    }
    for (kind, count) in counted(fields) {
        loss = loss + kind.loss(bore_m)?.times(count);
    }
    let barbs = whole(fields.barbs.value.plain());
    if barbs > 0 {
        let barb_m = match &fields.barb_bore {
            Some(bore) => numbers.field(bore),
            None => usual_barb_bore_m(bore_m)?,
        };
        loss = loss + hose_barb(bore_m, barb_m)?.times(barbs);
    }
    for end in [joined.from, joined.to] {
        if let End::Tee(tee) = end {
            loss = loss + tee_leg(station, tee, at, bore_m)?;
        }
    }
    // One velocity head is always lost at an open end; at a nozzle it is the nozzle's.
    if open(joined.to) {
        let nozzle = match joined.to {
            End::Draw(draw) => station.draw_points[draw].fields.nozzle.as_ref(),
            _ => None,
        };
        let nozzle = nozzle.or(fields.nozzle.as_ref());
        let exit = match nozzle {
            Some(nozzle) => {
                let narrow_m = numbers.field(nozzle);
                if narrow_m < bore_m {
                    LossCoefficient::constant(1.0 + sudden_contraction(narrow_m, bore_m)?)
                        .at_other_bore(narrow_m, bore_m)?
                } else {
                    LossCoefficient::constant(1.0)
                }
            }
            None => LossCoefficient::constant(1.0),
        };
        loss = loss + exit;
    }
    Ok(loss)
}

fn counted(fields: &LineFields) -> [(FittingKind, u32); 5] {
    [
        (FittingKind::Elbow90, whole(fields.elbows.value.plain())),
        (FittingKind::Elbow45, whole(fields.half_elbows.value.plain())),
        (FittingKind::LongBend, whole(fields.bends.value.plain())),
        (FittingKind::Union, whole(fields.unions.value.plain())),
        (FittingKind::Coupling, whole(fields.couplings.value.plain())),
    ]
}

fn whole(count: f64) -> u32 {
    libm::round(count.clamp(0.0, 1000.0)) as u32
}

/// A line's share of the loss in a tee: a leg of the run, or the branch.
///
/// Where nobody said which line is the branch, each leg counts half of the way through the branch (house rule).
fn tee_leg(station: &Station, tee: usize, line: usize, bore_m: f64) -> Result<LossCoefficient, Refusal> {
    let count = station.plumbing.lines_at(End::Tee(tee)).count();
    let branch = station.tees[tee]
        .fields
        .branch
        .as_ref()
        .map(|branch| branch.value.trim());
    Ok(match branch {
        _ if count < 3 => FittingKind::TeeRunLeg.loss(bore_m)?,
        Some(name) if name == station.lines[line].name => FittingKind::TeeBranchLeg.loss(bore_m)?,
        Some(_) => FittingKind::TeeRunLeg.loss(bore_m)?,
        None => {
            let through = FittingKind::TeeBranch.loss(bore_m)?;
            LossCoefficient {
                turbulent: through.turbulent / 2.0,
                laminar: through.laminar / 2.0,
            }
        }
    })
}

pub(super) fn valve_element(
    valve: &Named<ValveFields>,
    bore_m: f64,
    fittings: f64,
    numbers: &mut impl Numbers,
) -> Result<Element, Refusal> {
    let fields = &valve.fields;
    let kind = fields.kind.value.kind();
    let own_kv = match (&fields.kv, &fields.cv) {
        (Some(kv), _) => Some(numbers.field(kv)),
        (None, Some(cv)) => Some(kv_from_cv(numbers.field(cv))?),
        (None, None) => None,
    };
    let opening = fields.opening.value.of_one();
    let position = |loss: Option<LossCoefficient>| -> Result<LossCoefficient, PartError> {
        let position = match loss {
            Some(loss) => kind.passage_of(loss, opening)?,
            None => kind.passage(bore_m, opening)?,
        };
        Ok(match position {
            ValvePosition::Open(loss) => loss,
            ValvePosition::Closed => AS_GOOD_AS_CLOSED,
        })
    };
    let own = own_kv
        .map(|kv| loss_from_kv(kv, bore_m))
        .transpose()?
        .map(LossCoefficient::constant);
    let loss = position(own)?;
    // What a table says of a valve is as doubtful as what it says of an elbow; a Kv of the owner's isn't.
    let share = if own.is_some() { 1.0 } else { fittings };
    let passage = Passage {
        bore_m,
        loss: LossCoefficient {
            turbulent: share * loss.turbulent,
            laminar: share * loss.laminar,
        },
    };
    if fields.kind.value.is_check() {
        let cracking_pa = match (&fields.cracking, kind.cracking()) {
            (Some(cracking), _) => numbers.field(cracking),
            (None, Some(usual)) => numbers.assumed(
                &format!("valves.{}.cracking", valve.name),
                usual.usual_pa,
                Kind::Pressure,
                0.5 * (usual.most_pa - usual.least_pa),
                "common practice, no source: what opens a check valve of its kind",
            ),
            (None, None) => 0.0,
        };
        // A draw below nothing is a valve that opens by itself.
        let cracking_pa = cracking_pa.max(0.0);
        return Ok(Element::Check {
            passage,
            cracking_head_m: cracking_pa / (DENSITY_KG_M3 * GRAVITY_M_S2),
        });
    }
    // A float is open as long as the level asks for water; nobody sets it.
    if !fields.kind.value.is_set() {
        return Ok(Element::Passage(passage));
    }
    Ok(Element::Valve(passage))
}
