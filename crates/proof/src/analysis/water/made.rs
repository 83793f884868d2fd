//! What the proof says of the water that is made, as plain data.

use serde::Serialize;

use super::curve::{ControlRow, CurvePoint};
use super::filters::FilterRow;
use super::months::MonthOfWater;
use super::nodes::PurifierNodes;
use super::options::ResinOption;
use crate::estimate::Estimate;
use crate::sheet::{NodeId, Sheet};

/// What the purifier makes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Made {
    /// Dissolved solids of the feed, kg/m³.
    pub feed_solids_kg_m3: Estimate,
    /// Carbon dioxide in the feed, kg/m³.
    pub carbon_dioxide_kg_m3: Estimate,
    /// Share of the resin that carbon dioxide takes, at the owner's run.
    pub gas_share: Option<Estimate>,
    /// Month by month.
    pub months: Vec<MonthOfWater>,
    /// The month with the least margin.
    pub leanest_month: &'static str,
    /// Saturation index of calcite at the membrane's wall, in the warmest month.
    pub calcite_index: Option<Estimate>,
    /// Share of the feed that becomes permeate while it runs, mean of the year.
    pub recovery: Estimate,
    /// Pressure at the membrane, Pa gauge.
    pub membrane_pressure_pa: Estimate,
    /// Permeate with filters due for change, mean of the year, m³/s.
    pub filters_due_m3_per_s: Option<Estimate>,
    /// Pressure at the membrane then, Pa gauge.
    pub filters_due_pressure_pa: Option<Estimate>,
    /// Pressure before the booster while it runs, with clean filters, Pa gauge; nothing without one.
    pub booster_suction_pa: Option<Estimate>,
    /// The same with filters due for change, Pa gauge.
    pub booster_suction_due_pa: Option<Estimate>,
    /// Pressure in the permeate line at which the shut-off valve closes, Pa gauge; nothing where there is none.
    pub shut_off_closes_pa: Option<Estimate>,
    /// Pressure at which it opens again, Pa gauge.
    pub shut_off_opens_pa: Option<Estimate>,
    /// First permeate of a new membrane that is thrown away, m³.
    pub membrane_discard_m3: f64,
    /// Water that rinses new carbon, m³; nothing without carbon.
    pub carbon_rinse_m3: Option<f64>,
    /// Pressure that would just make the need of the leanest month, Pa gauge.
    pub least_pressure_pa: Option<Estimate>,
    /// The owner's way of filling.
    pub run: RunOfWater,
    /// The largest run that fits above the reserve, m³.
    pub best_run_m3: Option<f64>,
    /// The smallest run of the curve whose litre costs at most 5 % more than at the best, m³.
    pub long_enough_m3: Option<f64>,
    /// Resin, cost and reject against the run's volume.
    pub curve: Vec<CurvePoint>,
    /// Ways to control the fill.
    pub controls: Vec<ControlRow>,
    /// What a second bed or a degassing step would change.
    pub resin_options: Vec<ResinOption>,
    /// Filters before the membrane.
    pub filters: Vec<FilterRow>,
    /// Running time after which bare chlorine may have harmed a membrane, s; nothing without chlorine.
    pub time_to_damage_s: Option<Estimate>,
    /// Ammonia nitrogen that carbon leaves of the chloramine, kg/m³; nothing without it.
    pub ammonia_left_kg_m3: Option<Estimate>,
    /// A cubic metre of purified water, in money, part by part.
    pub cost_parts: Vec<CostPart>,
    /// Parts of the cost without a price in the file.
    pub unpriced: Vec<&'static str>,
    /// Where the doubt in the resin's life comes from, greatest first; of the cost where there is no resin.
    pub doubts: Vec<DoubtShare>,
    #[serde(skip)]
    pub(crate) nodes: PurifierNodes,
    #[serde(skip)]
    pub(crate) litre: Option<NodeId>,
}

/// A field's share in the doubt of a figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoubtShare {
    /// Its path, or what it is.
    pub path: String,
    /// Its share of the variance.
    pub share: f64,
}

/// The owner's way of filling.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunOfWater {
    /// Its volume, m³; nothing where it never stops, or the file gives no levels.
    pub volume_m3: Option<f64>,
    /// Whether the curve holds for it: a run that begins and ends at once. A float closes slowly, an open feed runs on.
    pub on_curve: bool,
    /// Whether it is the least that a float lets through: what is drawn while it fills makes runs longer, and the water of
    /// them costs less, which years count.
    pub least_of_float: bool,
    /// Whether it is supposed, as the file gives no start and stop level.
    pub assumed: bool,
    /// Time that the purifier stands before it, s.
    pub idle_s: Option<Estimate>,
    /// Salt that one start puts on the resin, kg.
    pub start_salt_kg: Option<Estimate>,
    /// Dissolved solids that the resin sees, kg/m³.
    pub solids_kg_m3: Estimate,
    /// Load on the resin, mol/m³ of charge.
    pub load_mol_m3: Option<Estimate>,
    /// Water that a bed purifies, m³.
    pub resin_life_m3: Option<Estimate>,
    /// Time that it lasts, s.
    pub resin_lasts_s: Option<Estimate>,
    /// Litres to the drain for each litre.
    pub reject_ratio: Estimate,
    /// A cubic metre of purified water, in money.
    pub cost_per_m3: Option<Estimate>,
    /// Resin that runs of 20 L spend over what runs of 130 L do.
    pub short_over_long: Option<Estimate>,
    /// Hold-up at which that would be twice, m³; nothing where no hold-up would do it.
    pub hold_up_for_twice_m3: Option<Estimate>,
}

/// A part of the cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CostPart {
    /// Water, resin, filters, membranes or power.
    pub part: &'static str,
    /// Its money in a cubic metre of purified water.
    pub per_m3: Estimate,
}

impl Made {
    /// Whether every month brings the same: a named state of the feed with one temperature, or a feed without seasons.
    pub fn months_are_alike(&self) -> bool {
        let seen = |month: &MonthOfWater| {
            (
                month.feed_temperature_c.value,
                month.made_m3_per_s.value,
                month.need_m3_per_s.as_ref().map(|need| need.value),
            )
        };
        self.months
            .windows(2)
            .all(|pair| seen(&pair[0]) == seen(&pair[1]))
    }

    /// Tells where the doubt comes from; apart, since nobody needs it to try a cure.
    pub(crate) fn tell_doubts(&mut self, sheet: &Sheet) {
        let life = self.run.resin_life_m3.as_ref().map(|life| life.node);
        let Some(figure) = life.or(self.litre) else {
            return;
        };
        // Under two percent nobody would go and measure (house rule).
        self.doubts = sheet
            .shares_of_doubt(figure)
            .into_iter()
            .filter(|(_, share)| *share >= 0.02)
            .map(|(path, share)| DoubtShare { path, share })
            .collect();
    }

    /// Every value with an interval.
    pub(crate) fn each(&mut self, fill: &mut dyn FnMut(&mut Estimate)) {
        let run = &mut self.run;
        let own = [
            Some(&mut self.feed_solids_kg_m3),
            Some(&mut self.carbon_dioxide_kg_m3),
            self.gas_share.as_mut(),
            self.calcite_index.as_mut(),
            Some(&mut self.recovery),
            Some(&mut self.membrane_pressure_pa),
            self.least_pressure_pa.as_mut(),
            self.time_to_damage_s.as_mut(),
            self.ammonia_left_kg_m3.as_mut(),
            self.filters_due_m3_per_s.as_mut(),
            self.booster_suction_pa.as_mut(),
            self.booster_suction_due_pa.as_mut(),
            self.filters_due_pressure_pa.as_mut(),
            self.shut_off_closes_pa.as_mut(),
            self.shut_off_opens_pa.as_mut(),
            run.idle_s.as_mut(),
            run.start_salt_kg.as_mut(),
            Some(&mut run.solids_kg_m3),
            run.load_mol_m3.as_mut(),
            run.resin_life_m3.as_mut(),
            run.resin_lasts_s.as_mut(),
            Some(&mut run.reject_ratio),
            run.cost_per_m3.as_mut(),
            run.short_over_long.as_mut(),
            run.hold_up_for_twice_m3.as_mut(),
        ];
        let months = self.months.iter_mut().flat_map(|month| {
            [
                Some(&mut month.feed_temperature_c),
                Some(&mut month.permeate_m3_per_s),
                Some(&mut month.reject_m3_per_s),
                Some(&mut month.permeate_solids_kg_m3),
                Some(&mut month.reject_solids_kg_m3),
                Some(&mut month.made_m3_per_s),
                month.need_m3_per_s.as_mut(),
                month.delivered_m3_per_s.as_mut(),
                month.margin_m3_per_s.as_mut(),
                month.fill_time_s.as_mut(),
            ]
        });
        let curve = self.curve.iter_mut().flat_map(|point| {
            [
                Some(&mut point.solids_kg_m3),
                point.resin_life_m3.as_mut(),
                point.cost_per_m3.as_mut(),
                Some(&mut point.reject_ratio),
            ]
        });
        let controls = self.controls.iter_mut().flat_map(|row| {
            [
                Some(&mut row.solids_kg_m3),
                row.resin_life_m3.as_mut(),
                row.cost_per_m3.as_mut(),
                Some(&mut row.reject_ratio),
            ]
        });
        let filters = self.filters.iter_mut().flat_map(|row| {
            [
                row.contact_s.as_mut(),
                Some(&mut row.life_m3),
                Some(&mut row.lasts_s),
            ]
        });
        let options = self
            .resin_options
            .iter_mut()
            .flat_map(|option| [Some(&mut option.resin_life_m3), option.cost_per_m3.as_mut()]);
        let parts = self.cost_parts.iter_mut().map(|part| Some(&mut part.per_m3));
        own.into_iter()
            .chain(months)
            .chain(curve)
            .chain(controls)
            .chain(options)
            .chain(filters)
            .chain(parts)
            .flatten()
            .for_each(fill);
    }
}
