//! From the station's lines, valves and pumps to a network of physics.

use physics::hydraulics::HydraulicsError;
use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump};
use physics::hydraulics::parts::{LossCoefficient, loss_from_drop};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use station::Station;
use station::plumbing::End;
use station::quantity::{Kind, Quantity};

use super::losses::{DENSITY_KG_M3, losses, valve_element};
use super::numbers::Numbers;
use crate::method::Refusal;

/// A network with the places of the station's parts in it.
#[derive(Debug, Clone)]
pub(crate) struct Pipework {
    pub(crate) network: Network,
    pub(crate) lines: Vec<LineInNetwork>,
    pub(crate) pumps: Vec<PumpInNetwork>,
    pub(crate) valves: Vec<LinkId>,
    pub(crate) tees: Vec<NodeId>,
    pub(crate) terminals: Vec<Terminal>,
    pub(crate) air_breaks: Vec<AirBreak>,
}

/// A hole in a line that lets air in, and so breaks a siphon.
///
/// Broken, the line is two: what comes up to the hole falls freely to the line's end, and nothing comes back from there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AirBreak {
    pub(crate) line: usize,
    /// The place of the hole.
    pub(crate) node: NodeId,
    pub(crate) height_m: f64,
    /// Open while the line is full of water.
    pub(crate) through: LinkId,
    /// Open when it is broken: into the air.
    pub(crate) air: LinkId,
    pub(crate) open_air: NodeId,
}

/// A line in the network.
#[derive(Debug, Clone)]
pub(crate) struct LineInNetwork {
    /// All its links: tube and valves.
    pub(crate) links: Vec<LinkId>,
    pub(crate) to: NodeId,
    /// Where its tube begins: behind the valves that stand where it leaves a vessel or a tank.
    pub(crate) tube_from: NodeId,
    /// Its first link from there on.
    pub(crate) tube_link: usize,
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
pub(crate) fn build(station: &Station, numbers: &mut impl Numbers) -> Result<Pipework, Refusal> {
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
        .map(|tee| Ok(network.joint(numbers.field(&tee.fields.height))?))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let pumps = station
        .pumps
        .iter()
        .map(|pump| {
            let height_m = numbers.field(&pump.fields.height);
            let (inlet, outlet) = (network.joint(height_m)?, network.joint(height_m)?);
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
        air_breaks: Vec::new(),
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
    let way = ValveWay {
        station,
        bore_m,
        fittings,
    };
    let placed = &mut pipework.valves;
    if first {
        for valve in &valves {
            let next = network.junction(valve_height_m)?;
            links.push(way.lay(*valve, (here, next), (network, placed), numbers)?);
            here = next;
        }
    }
    let (tube_from, tube_link) = (here, links.len());
    let target = tube_end(network, first || valves.is_empty())?;
    let half = Line {
        length_m: tube.length_m / 2.0,
        loss: LossCoefficient {
            turbulent: tube.loss.turbulent / 2.0,
            laminar: tube.loss.laminar / 2.0,
        },
        ..tube
    };
    let mut rest = tube;
    if let Some(height) = &fields.crest {
        let height_m = numbers.field(height);
        let top = network.junction(height_m)?;
        links.push(network.link(here, top, Element::Line(half))?);
        crest = Some((top, height_m));
        (here, rest) = (top, half);
    }
    // Only where the water falls into the open can a hole be told from none.
    let opens = matches!(joined.to, End::Vessel(_) | End::Tank(_) | End::Draw(_));
    if let Some(hole) = fields.siphon_break.as_ref().filter(|_| opens) {
        let height_m = numbers.field(hole);
        // Before the hole: half the line, or from the crest nothing that counts.
        let before = match crest {
            Some(_) => Line {
                length_m: 0.0,
                loss: LossCoefficient::NONE,
                ..tube
            },
            None => half,
        };
        let (node, beyond) = (network.junction(height_m)?, network.junction(height_m)?);
        let open_air = network.terminal(height_m)?;
        let passage = |turbulent: f64| {
            Element::Valve(Passage {
                bore_m,
                loss: LossCoefficient::constant(turbulent),
            })
        };
        links.push(network.link(here, node, Element::Line(before))?);
        let through = network.link(node, beyond, passage(0.0))?;
        let air = network.link(node, open_air, passage(1.0))?;
        links.push(through);
        pipework.air_breaks.push(AirBreak {
            line: at,
            node,
            height_m,
            through,
            air,
            open_air,
        });
        (here, rest) = (beyond, half);
    }
    links.push(network.link(here, target, Element::Line(rest))?);
    here = target;
    if !first {
        for (place, valve) in valves.iter().enumerate() {
            let next = tube_end(network, place + 1 == valves.len())?;
            links.push(way.lay(*valve, (here, next), (network, placed), numbers)?);
            here = next;
        }
    }
    pipework.lines.push(LineInNetwork {
        links,
        to,
        tube_from,
        tube_link,
        from_height_m,
        to_height_m,
        bore_m,
        length_m,
        crest,
    });
    Ok(())
}

/// What the valves of a line share.
struct ValveWay<'a> {
    station: &'a Station,
    bore_m: f64,
    fittings: f64,
}

impl ValveWay<'_> {
    /// Puts a valve between two nodes and remembers its link.
    fn lay(
        &self,
        valve: usize,
        (here, next): (NodeId, NodeId),
        (network, placed): (&mut Network, &mut [LinkId]),
        numbers: &mut impl Numbers,
    ) -> Result<LinkId, Refusal> {
        let own = &self.station.valves[valve];
        let element = valve_element(own, self.bore_m, self.fittings, numbers)?;
        let link = network.link(here, next, element)?;
        placed[valve] = link;
        Ok(link)
    }
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
