//! The purifier as nodes of the sheet, and what it does at one temperature of the feed.

use station::quantity::{Kind, Spread};
use station::sections::Order;
use station::{Purifier, Station, Vessel};

use super::feed::Feed;
use super::inlet::Inlet;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// The train before the resin.
#[derive(Debug, Clone)]
pub(super) struct Train {
    pub(super) inlet: Inlet,
    head: NodeId,
    /// Output at 15 C, of the first membrane; all are taken to be alike in it.
    pub(super) cold: NodeId,
    pub(super) restrictor_flow: NodeId,
    pub(super) restrictor_pressure: NodeId,
    product_drop: NodeId,
    pub(super) rated_flow: NodeId,
    /// Water and salt conductance of each membrane in turn, or of all together in parallel.
    elements: Vec<NodeId>,
    /// Salt conductance of all.
    pub(super) salt: NodeId,
    pub(super) hold_up: NodeId,
    pub(super) feed_side: NodeId,
}

/// The purifier at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    pub(super) temperature: NodeId,
    pub(super) permeate: NodeId,
    pub(super) reject: NodeId,
    pub(super) solids: NodeId,
}

impl Train {
    pub(super) fn new(
        station: &Station,
        purifier: &Purifier,
        vessel: &Vessel,
        sheet: &mut Sheet,
    ) -> Result<Self, Refusal> {
        let fields = &purifier.fields;
        let inlet = Inlet::new(station, purifier, sheet)?;
        let (floor, height) = (
            sheet.given(&vessel.fields.floor_height),
            crate::analysis::levels::rim(sheet, vessel),
        );
        let own_height = sheet.given(&fields.height);
        let head = sheet.figure(
            "purifier.head",
            "back pressure of the way up to the vessel",
            &m::STATIC_HEAD,
            &[floor, height, own_height],
        )?;
        let (mut water, mut salt, mut rated) = (Vec::new(), Vec::new(), Vec::new());
        for membrane in &purifier.membranes {
            let (name, f) = (&membrane.name, &membrane.fields);
            rated.push(sheet.given(&f.rated_flow));
            let inputs = [
                sheet.given(&f.rated_flow),
                sheet.assumed(
                    &format!("membranes.{name}.true-share"),
                    1.0,
                    Kind::Number,
                    Spread::normal(f.tolerance.value.of_one()),
                    &format!("the membrane's true flow over its rating, by membranes.{name}.tolerance"),
                ),
                sheet.given(&f.rated_pressure),
                sheet.given(&f.rated_solids),
                sheet.given(&f.rated_temperature),
                sheet.given(&f.rated_recovery),
                sheet.given(&f.rejection),
                sheet.given(&f.output_at_15_c),
            ];
            water.push(sheet.figure(
                format!("membranes.{name}.water"),
                format!("{name}: water that it lets through at 25 C"),
                &m::MEMBRANE_WATER,
                &inputs,
            )?);
            salt.push(sheet.figure(
                format!("membranes.{name}.salt"),
                format!("{name}: salt that it lets through at 25 C, as a flow"),
                &m::MEMBRANE_SALT,
                &inputs,
            )?);
        }
        let (Some(first), Some(last)) = (purifier.membranes.first(), purifier.membranes.last()) else {
            return Err(Refusal::Inputs { given: 0 });
        };
        let cold = sheet.given(&first.fields.output_at_15_c);
        let count = purifier.membranes.len();
        let all = |sheet: &mut Sheet, key: &str, title: &str, method, nodes: &[NodeId]| match nodes {
            [one] => Ok(*one),
            nodes => sheet.figure(key, title, method, nodes),
        };
        let salt_sum = all(
            sheet,
            "purifier.salt",
            "salt that all membranes let through",
            &m::DAILY_SUM,
            &salt,
        )?;
        let elements = if fields.membrane_order.value == Order::Series && count > 1 {
            water.iter().zip(&salt).flat_map(|(a, b)| [*a, *b]).collect()
        } else {
            let water_sum = all(
                sheet,
                "purifier.water",
                "water that all membranes let through",
                &m::SUM_OF_WATER_CONDUCTANCES,
                &water,
            )?;
            vec![water_sum, salt_sum]
        };
        let rated_flow = all(
            sheet,
            "purifier.rated-flow",
            "rated flow of all membranes",
            &m::DAILY_SUM,
            &rated,
        )?;
        let rated_pressure = sheet.given(&last.fields.rated_pressure);
        let (restrictor_flow, restrictor_pressure) = restrictor(purifier, rated_flow, rated_pressure, sheet)?;
        let (hold_up, feed_side) = (sheet.given(&fields.hold_up), sheet.given(&fields.feed_side));
        let hold_up = all(
            sheet,
            "purifier.hold-up",
            "permeate held behind all membranes",
            &m::SUM_OF_VOLUMES,
            &vec![hold_up; count],
        )?;
        let feed_side = all(
            sheet,
            "purifier.feed-side",
            "feed held in all housings",
            &m::SUM_OF_VOLUMES,
            &vec![feed_side; count],
        )?;
        Ok(Self {
            inlet,
            head,
            cold,
            restrictor_flow,
            restrictor_pressure,
            product_drop: sheet.given(&fields.product_drop),
            rated_flow,
            elements,
            salt: salt_sum,
            hold_up,
            feed_side,
        })
    }

    /// Whether its membranes follow each other.
    fn in_series(&self) -> bool {
        self.elements.len() > 2
    }

    /// Names the conductances of several membranes, each by its place.
    fn name_series(&self, figure: NodeId, sheet: &mut Sheet) {
        if !self.in_series() {
            return;
        }
        let shared = m::PERMEATE_FLOW
            .inputs
            .iter()
            .take(10)
            .map(|name| (*name).to_owned());
        let own = (1..=self.elements.len() / 2)
            .flat_map(|at| ["water", "salt"].map(|what| format!("{what} conductance of membrane {at}")));
        sheet.name_inputs(figure, shared.chain(own).collect());
    }

    /// Everything that the solution takes, `first` standing where the pressure does.
    fn inputs(&self, first: NodeId, feed: &Feed, temperature: NodeId) -> Vec<NodeId> {
        let mut inputs = vec![
            first,
            temperature,
            feed.solids,
            self.head,
            self.cold,
            self.restrictor_flow,
            self.restrictor_pressure,
            self.inlet.filters,
            self.product_drop,
            self.rated_flow,
        ];
        inputs.extend(&self.elements);
        inputs
    }

    /// What it does at a temperature of the feed; `when` ends the keys, `words` the titles.
    pub(super) fn at(
        &self,
        feed: &Feed,
        temperature: NodeId,
        when: &str,
        words: &str,
        sheet: &mut Sheet,
    ) -> Result<Point, Refusal> {
        let inputs = self.inputs(self.inlet.pressure, feed, temperature);
        let permeate = sheet.figure(
            format!("permeate{when}"),
            format!("permeate, day and night{words}"),
            &m::PERMEATE_FLOW,
            &inputs,
        )?;
        self.name_series(permeate, sheet);
        // What passes the restrictor follows from the permeate, however many membranes there are.
        let reject = sheet.figure(
            format!("reject{when}"),
            format!("reject, while it runs{words}"),
            &m::REJECT_FLOW,
            &[
                self.inlet.pressure,
                self.restrictor_flow,
                self.restrictor_pressure,
                self.inlet.filters,
                permeate,
            ],
        )?;
        let (key, title) = (
            format!("permeate-solids{when}"),
            format!("dissolved solids of the permeate in a long run{words}"),
        );
        let solids = if self.in_series() {
            let solids = sheet.figure(key, title, &m::SOLIDS_IN_SERIES, &inputs)?;
            self.name_series(solids, sheet);
            solids
        } else {
            let inputs = [self.salt, temperature, self.cold, feed.solids, permeate, reject];
            sheet.figure(key, title, &m::PERMEATE_SOLIDS, &inputs)?
        };
        Ok(Point {
            temperature,
            permeate,
            reject,
            solids,
        })
    }

    /// The same with filters that are due for change; nothing where there are none, where no water comes, or where a
    /// booster makes up for what they take.
    pub(super) fn with_filters_due(
        &self,
        purifier: &Purifier,
        feed: &Feed,
        clean: &Point,
        temperature: NodeId,
        sheet: &mut Sheet,
    ) -> Option<(NodeId, NodeId)> {
        if self.inlet.boosted {
            return None;
        }
        let drop = self.inlet.drop_when_due(purifier, clean, sheet)?;
        let mut due = self.clone();
        due.inlet.filters = drop;
        let point = due
            .at(
                feed,
                temperature,
                ".filters-due",
                ", filters due for change, mean of the year",
                sheet,
            )
            .ok()?;
        let pressure = sheet
            .figure(
                "membrane-pressure.filters-due",
                "pressure at the membrane with filters due for change, mean of the year",
                &m::PRESSURE_AT_MEMBRANE,
                &[self.inlet.pressure, drop, point.permeate, point.reject],
            )
            .ok()?;
        Some((point.permeate, pressure))
    }

    /// The pressure that just makes a flow; nothing where none does.
    pub(super) fn least_pressure(
        &self,
        feed: &Feed,
        wanted: NodeId,
        temperature: NodeId,
        sheet: &mut Sheet,
    ) -> Option<NodeId> {
        let inputs = self.inputs(wanted, feed, temperature);
        sheet
            .figure(
                "least-pressure",
                "pressure that would just make the need of the leanest month",
                &m::LEAST_PRESSURE,
                &inputs,
            )
            .ok()
    }
}

/// What the restrictor passes, and at which pressure.
fn restrictor(
    purifier: &Purifier,
    rated_flow: NodeId,
    rated_pressure: NodeId,
    sheet: &mut Sheet,
) -> Result<(NodeId, NodeId), Refusal> {
    let fields = &purifier.fields;
    if let Some(flow) = &fields.restrictor_flow {
        return Ok((sheet.given(flow), sheet.given(&fields.restrictor_pressure)));
    }
    if let Some(bore) = &fields.restrictor_bore {
        let (bore, pressure) = (sheet.given(bore), sheet.given(&fields.restrictor_pressure));
        let flow = sheet.figure(
            "purifier.restrictor",
            "reject that the restrictor passes at its pressure",
            &m::RESTRICTOR_FROM_BORE,
            &[bore, pressure],
        )?;
        return Ok((flow, pressure));
    }
    let ratio = match &fields.waste_ratio {
        Some(ratio) => sheet.given(ratio),
        None => sheet.assumed(
            "purifier.waste_ratio",
            4.0,
            Kind::Number,
            Spread::normal(1.0),
            "default of purifier.waste_ratio: common practice, no source: sold as 4 to 1",
        ),
    };
    let flow = sheet.figure(
        "purifier.restrictor",
        "reject that the restrictor passes at the membranes' rating",
        &m::RESTRICTOR_FROM_RATIO,
        &[ratio, rated_flow],
    )?;
    Ok((flow, rated_pressure))
}
