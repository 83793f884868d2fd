//! From the station's lines, valves and pumps to a network of physics.

use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump};
use physics::hydraulics::parts::{
    FittingKind, LossCoefficient, PartError, ValvePosition, hose_barb, kv_from_cv, loss_from_drop,
    loss_from_kv, sudden_contraction, usual_barb_bore_m,
};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use physics::hydraulics::{GRAVITY_M_S2, HydraulicsError};
use station::plumbing::End;
use station::quantity::{Kind, Quantity};
use station::sections::{Entrance, LineFields, ValveFields};
use station::{Named, Station};

use super::numbers::Numbers;
use crate::method::Refusal;

/// Density that measured drops and cracking pressures are turned into heads with; a few per cent of salt don't matter
/// against their own doubt.
const DENSITY_KG_M3: f64 = 1000.0;
/// A valve that is throttled until it counts as closed.
const AS_GOOD_AS_CLOSED: LossCoefficient = LossCoefficient {
    turbulent: 1e9,
    laminar: 0.0,
};

/// A network with the places of the station's parts in it.
#[derive(Debug, Clone)]
pub(crate) struct Pipework {
    pub(crate) network: Network,
    pub(crate) lines: Vec<LineInNetwork>,
    pub(crate) pumps: Vec<PumpInNetwork>,
    pub(crate) valves: Vec<LinkId>,
    pub(crate) tees: Vec<NodeId>,
    pub(crate) terminals: Vec<Terminal>,
}

/// A line in the network.
#[derive(Debug, Clone)]
pub(crate) struct LineInNetwork {
    /// All its links: tube and valves.
    pub(crate) links: Vec<LinkId>,
    pub(crate) to: NodeId,
    pub(crate) from_height_m: f64,
    pub(crate) to_height_m: f64,
    pub(crate) bore_m: f64,
    pub(crate) length_m: f64,
    /// Its highest point, where that is above both ends.
    pub(crate) crest: Option<(NodeId, f64)>,
}

impl LineInNetwork {
    /// Water that it holds, m³.
    pub(crate) fn volume_m3(&self) -> f64 {
        core::f64::consts::FRAC_PI_4 * self.bore_m * self.bore_m * self.length_m
    }
}

/// A pump in the network.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PumpInNetwork {
    pub(crate) link: LinkId,
    pub(crate) inlet: NodeId,
    pub(crate) outlet: NodeId,
    pub(crate) height_m: f64,
}

/// Where a line ends in a vessel, a tank or the air.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Terminal {
    pub(crate) node: NodeId,
    pub(crate) end: End,
    pub(crate) line: usize,
    pub(crate) height_m: f64,
}

/// Builds the network of a station.
pub(super) fn build(station: &Station, numbers: &mut impl Numbers) -> Result<Pipework, Refusal> {
    let mut network = Network::new();
    let fittings = numbers.assumed(
        "plumbing.fittings",
        1.0,
        Kind::Number,
        0.3,
        "a factor on the losses of all fittings; published ones differ by 30 to 50 % (common practice, no source)",
    );
    let friction = numbers.assumed(
        "plumbing.friction",
        1.0,
        Kind::Number,
        0.05,
        "a factor on the friction in all lines; sound laws differ by a few per cent, more between laminar and turbulent (house rule)",
    );
    let tees = station
        .tees
        .iter()
        .map(|tee| Ok(network.junction(numbers.field(&tee.fields.height))?))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let pumps = station
        .pumps
        .iter()
        .map(|pump| {
            let height_m = numbers.field(&pump.fields.height);
            let (inlet, outlet) = (network.junction(height_m)?, network.junction(height_m)?);
            let share = numbers.assumed(
                &format!("pumps.{}.curve", pump.name),
                1.0,
                Kind::Number,
                pump.fields.tolerance.value.si(),
                "a factor on the heads of its curve, with the tolerance of the file",
            );
            let curve = scaled(&pump.fields.curve.value.curve, share)?;
            // House rule: standing, it costs what it lifts at most at the flow that it moves at most.
            let most = curve.largest_flow_m3_s();
            let standing_loss_s2_m5 = curve.shut_off_head_m() / (most * most);
            let link = network.link(
                inlet,
                outlet,
                Element::Pump(Pump {
                    curve,
                    standing_loss_s2_m5,
                }),
            )?;
            Ok(PumpInNetwork {
                link,
                inlet,
                outlet,
                height_m,
            })
        })
        .collect::<Result<Vec<_>, Refusal>>()?;
    let mut pipework = Pipework {
        network,
        lines: Vec::with_capacity(station.lines.len()),
        pumps,
        valves: vec![LinkId(usize::MAX); station.valves.len()],
        tees,
        terminals: Vec::new(),
    };
    for line in 0..station.lines.len() {
        add_line(station, line, &mut pipework, (fittings, friction), numbers)?;
    }
    Ok(pipework)
}

fn scaled(curve: &PumpCurve, share: f64) -> Result<PumpCurve, HydraulicsError> {
    let points: Vec<PumpPoint> = curve
        .points()
        .iter()
        .map(|point| PumpPoint {
            head_m: share * point.head_m,
            ..*point
        })
        .collect();
    PumpCurve::through(&points)
}

fn add_line(
    station: &Station,
    at: usize,
    pipework: &mut Pipework,
    (fittings, friction): (f64, f64),
    numbers: &mut impl Numbers,
) -> Result<(), Refusal> {
    let fields = &station.lines[at].fields;
    let joined = station.plumbing.lines[at];
    let (from, from_height_m) = end(station, at, true, pipework, numbers)?;
    let (to, to_height_m) = end(station, at, false, pipework, numbers)?;
    let bore_m = match (&fields.bore, joined.tube) {
        (Some(bore), _) => numbers.field(bore),
        (None, Some(tube)) => numbers.assumed(
            &format!("lines.{}.bore", station.lines[at].name),
            tube.inner_diameter_m,
            Kind::Length,
            0.03 * tube.inner_diameter_m,
            "bore by its size; real ones are within 3 % of that (common practice, no source)",
        ),
        (None, None) => return Err(Refusal::NotANumber),
    };
    let length_m = numbers.field(&fields.length);
    let roughness_m = joined.tube.map_or_else(
        || fields.tube.value.kind().roughness_m(bore_m),
        |tube| tube.roughness_m,
    );
    let loss = losses(station, at, bore_m, numbers)?;
    let tube = match (&fields.measured_flow, &fields.measured_drop) {
        (Some(flow), Some(drop)) => {
            let (flow, drop) = (numbers.field(flow), numbers.field(drop));
            Line {
                bore_m,
                length_m: 0.0,
                roughness_m,
                loss: LossCoefficient::constant(loss_from_drop(drop, flow, DENSITY_KG_M3, bore_m)?),
            }
        }
        _ => Line {
            bore_m,
            length_m: friction * length_m,
            roughness_m,
            loss: LossCoefficient {
                turbulent: fittings * loss.turbulent,
                laminar: fittings * loss.laminar,
            },
        },
    };

    // Valves stand where the line leaves a vessel, or else where it ends.
    let first = matches!(joined.from, End::Vessel(_) | End::Tank(_));
    let network = &mut pipework.network;
    let mut links = Vec::new();
    let mut here = from;
    let valves: Vec<usize> = station.plumbing.valves_of(at).collect();
    let mut crest = None;
    let valve_height_m = if first { from_height_m } else { to_height_m };
    let tube_end = |network: &mut Network, last: bool| -> Result<NodeId, HydraulicsError> {
        if last {
            Ok(to)
        } else {
            network.junction(valve_height_m)
        }
    };
    if first {
        for valve in &valves {
            let next = network.junction(valve_height_m)?;
            let link = network.link(
                here,
                next,
                valve_element(&station.valves[*valve], bore_m, fittings, numbers)?,
            )?;
            pipework.valves[*valve] = link;
            links.push(link);
            here = next;
        }
    }
    let target = tube_end(network, first || valves.is_empty())?;
    match &fields.crest {
        Some(height) => {
            let height_m = numbers.field(height);
            let top = network.junction(height_m)?;
            let half = Line {
                length_m: tube.length_m / 2.0,
                loss: LossCoefficient {
                    turbulent: tube.loss.turbulent / 2.0,
                    laminar: tube.loss.laminar / 2.0,
                },
                ..tube
            };
            links.push(network.link(here, top, Element::Line(half))?);
            links.push(network.link(top, target, Element::Line(half))?);
            crest = Some((top, height_m));
        }
        None => links.push(network.link(here, target, Element::Line(tube))?),
    }
    here = target;
    if !first {
        for (place, valve) in valves.iter().enumerate() {
            let next = tube_end(network, place + 1 == valves.len())?;
            let link = network.link(
                here,
                next,
                valve_element(&station.valves[*valve], bore_m, fittings, numbers)?,
            )?;
            pipework.valves[*valve] = link;
            links.push(link);
            here = next;
        }
    }
    pipework.lines.push(LineInNetwork {
        links,
        to,
        from_height_m,
        to_height_m,
        bore_m,
        length_m,
        crest,
    });
    Ok(())
}

/// The node that a line begins or ends at, and its height above the room's floor.
fn end(
    station: &Station,
    line: usize,
    first: bool,
    pipework: &mut Pipework,
    numbers: &mut impl Numbers,
) -> Result<(NodeId, f64), Refusal> {
    let fields = &station.lines[line].fields;
    let joined = station.plumbing.lines[line];
    let (end, level) = if first {
        (joined.from, &fields.from_level)
    } else {
        (joined.to, &fields.to_level)
    };
    let height_m = match end {
        End::Tee(tee) => return Ok((pipework.tees[tee], station.tees[tee].fields.height.value.m())),
        End::Pump(pump) => {
            let pump = pipework.pumps[pump];
            // A line that ends at a pump brings water to its inlet.
            return Ok((if first { pump.outlet } else { pump.inlet }, pump.height_m));
        }
        End::Vessel(vessel) => {
            let vessel = &station.vessels[vessel];
            let floor_m = numbers.field(&vessel.fields.floor_height);
            floor_m
                + match (level, first) {
                    (Some(level), _) => numbers.field(level),
                    (None, true) => numbers.field(&vessel.fields.outlet_level),
                    (None, false) => vessel.height_m(),
                }
        }
        End::Tank(tank) => match (&fields.tank_height, &station.tanks[tank].fields.water_height) {
            (Some(height), _) | (None, Some(height)) => numbers.field(height),
            (None, None) => numbers.assumed(
                &format!("tanks.{}.water_height", station.tanks[tank].name),
                1.0,
                Kind::Length,
                0.3,
                "house rule: nobody told how high the tank's water stands",
            ),
        },
        End::Draw(draw) => numbers.field(&station.draw_points[draw].fields.height),
    };
    let node = pipework.network.terminal(height_m)?;
    pipework.terminals.push(Terminal {
        node,
        end,
        line,
        height_m,
    });
    Ok((node, height_m))
}

/// Everything that a line costs beyond its length, on its own bore.
fn losses(
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

fn valve_element(
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
