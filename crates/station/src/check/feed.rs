//! Feed water that can't be as it is told.
//!
//! Owns: refusals of impossible water, in the units of a report. Water that is possible but hard on the purifier is a
//! finding of the proof.

use physics::carbonate::{CarbonateError, FreshWater, speciate};

use super::purifier::{fault, given};
use crate::fault::Fault;
use crate::quantity::Alkalinity;
use crate::register::Field;
use crate::sections::FeedFields;

/// mg of calcium carbonate for a meq (IUPAC atomic weights 2021).
const MG_CACO3_PER_MEQ: f64 = 100.0869 / 2.0;

pub(super) fn check_feed(feed: &FeedFields, faults: &mut Vec<Fault>) {
    if feed.coldest.value.c() > feed.warmest.value.c() {
        faults.push(fault(
            &feed.coldest,
            "the feed is colder in its warmest month than in its coldest",
            "coldest is above warmest",
            "exchange them, or check the unit: C or F",
        ));
    }
    let (solids_mg_l, doubt_mg_l, solids) = match &feed.dissolved_solids {
        Some(solids) => (
            solids.value.kg_m3() * 1e3,
            solids.spread.half_width * 1e3,
            Field::of(solids),
        ),
        None => {
            // S/m to µS/cm.
            let per = 1e4 * feed.solids_per_conductivity.value.plain();
            (
                feed.conductivity.value.s_m() * per,
                feed.conductivity.spread.half_width * per
                    + feed.conductivity.value.s_m() * 1e4 * feed.solids_per_conductivity.spread.half_width,
                Field::of(&feed.conductivity),
            )
        }
    };
    solids_and_conductivity(feed, faults);
    let mut more_than_all = |name: &str, amount: &Field<Alkalinity>| {
        let mg_l = amount.value.mol_m3() * MG_CACO3_PER_MEQ;
        let within = doubt_mg_l + amount.spread.half_width * MG_CACO3_PER_MEQ;
        if mg_l > solids_mg_l + within && (amount.is_given() || solids.is_given()) {
            let place = given(&Field::of(amount), &solids).clone();
            faults.push(fault(
                &place,
                format!("the {name} alone is more than all that is dissolved"),
                format!("{name} {mg_l:.0} mg/L as CaCO3, dissolved solids {solids_mg_l:.0} mg/L"),
                "check both against the report: hardness and alkalinity as mg/L CaCO3 or dKH, conductivity in uS/cm at 25 C",
            ));
        }
    };
    more_than_all("hardness", &feed.hardness);
    more_than_all("alkalinity", &feed.alkalinity);
    check_carbonate(feed, faults);
}

/// Dissolved solids in mg/L over conductivity in µS/cm, of any natural water: 0.55 to 0.7 as a rule, up to 0.9 where
/// sulfate or silica rule (Standard Methods 1030E, from memory; the ends here are wider, by house rule).
const SOLIDS_OVER_CONDUCTIVITY: core::ops::RangeInclusive<f64> = 0.4..=1.0;

/// Dissolved solids and conductivity of which one must be wrong.
fn solids_and_conductivity(feed: &FeedFields, faults: &mut Vec<Fault>) {
    let Some(solids) = &feed.dissolved_solids else {
        return;
    };
    if !solids.is_given() || !feed.conductivity.is_given() {
        return;
    }
    let us_cm = feed.conductivity.value.s_m() * 1e4;
    let mg_l = solids.value.kg_m3() * 1e3;
    // At the ends of both doubts.
    let most = (mg_l + solids.spread.half_width * 1e3)
        / (us_cm - feed.conductivity.spread.half_width * 1e4).max(1e-9);
    let least = (mg_l - solids.spread.half_width * 1e3) / (us_cm + feed.conductivity.spread.half_width * 1e4);
    if most < *SOLIDS_OVER_CONDUCTIVITY.start() || least > *SOLIDS_OVER_CONDUCTIVITY.end() {
        faults.push(fault(
            solids,
            "dissolved solids and conductivity can't be of one water",
            format!(
                "{mg_l:.0} mg/L with {us_cm:.0} uS/cm is {:.2} mg/L for each uS/cm; waters have {} to {}",
                mg_l / us_cm.max(1e-9),
                SOLIDS_OVER_CONDUCTIVITY.start(),
                SOLIDS_OVER_CONDUCTIVITY.end()
            ),
            "keep the one that was measured, and look at its unit: a meter that shows ppm shows conductivity times a factor",
        ));
    }
}

/// A range of the physics in the units of a report.
fn in_report_units(error: &physics::OutOfRange) -> String {
    let range = &error.range;
    match range.unit {
        "mol/m³" => format!(
            "{} {:.0} mg/L CaCO3 is outside {:.0} to {:.0} mg/L CaCO3",
            range.quantity,
            error.value * MG_CACO3_PER_MEQ,
            range.min * MG_CACO3_PER_MEQ,
            range.max * MG_CACO3_PER_MEQ
        ),
        _ => error.to_string(),
    }
}

/// Why they can't, in the units of a report.
fn apart(error: &CarbonateError) -> String {
    let mg_l = |mol_m3: f64| mol_m3 * MG_CACO3_PER_MEQ;
    match error {
        CarbonateError::CannotGoTogether {
            alkalinity_mol_m3,
            least_alkalinity_mol_m3,
            ph,
        } => format!(
            "at pH {ph} hydroxide alone makes {:.0} mg/L CaCO3 of alkalinity, and {:.0} mg/L CaCO3 are given",
            mg_l(*least_alkalinity_mol_m3),
            mg_l(*alkalinity_mol_m3)
        ),
        CarbonateError::TooMuchGas {
            alkalinity_mol_m3,
            most_carbon_dioxide_mol_m3,
            ph,
        } => format!(
            "with {:.0} mg/L CaCO3 of alkalinity at pH {ph} the water would hold more than {:.0} mg/L of carbon dioxide",
            mg_l(*alkalinity_mol_m3),
            most_carbon_dioxide_mol_m3 * 44.01
        ),
        error => error.to_string(),
    }
}

/// Alkalinity and pH that can't go together.
fn check_carbonate(feed: &FeedFields, faults: &mut Vec<Fault>) {
    let alkalinity_mol_m3 = feed.alkalinity.value.mol_m3();
    let water = FreshWater {
        alkalinity_mol_m3,
        ph: feed.ph.value.plain(),
        temperature_c: 0.5 * (feed.coldest.value.c() + feed.warmest.value.c()),
        // Enough for a refusal: the ionic strength moves the bound by a few percent.
        ionic_strength_mol_kg: 1.6e-5 * feed.conductivity.value.s_m() * 1e4,
    };
    match speciate(&water) {
        Ok(state) => {
            // House rule: 5 mmol/L, 220 mg/L, would fizz.
            if state.carbon_dioxide_mol_m3 > 5.0 {
                faults.push(fault(
                    given(&Field::of(&feed.ph), &Field::of(&feed.alkalinity)),
                    "this pH and this alkalinity can't go together in tap water",
                    format!(
                        "they need {:.0} mg/L of carbon dioxide, and such water would fizz",
                        state.carbon_dioxide_mol_m3 * 44.01
                    ),
                    "measure the pH at once at the tap, and check the unit of the alkalinity",
                ));
            }
        }
        Err(CarbonateError::OutOfRange(error)) => faults.push(fault(
            given(&Field::of(&feed.alkalinity), &Field::of(&feed.ph)),
            in_report_units(&error),
            "the carbonate balance of the feed",
            "check the units of alkalinity, pH and temperature",
        )),
        Err(error) => faults.push(fault(
            given(&Field::of(&feed.ph), &Field::of(&feed.alkalinity)),
            "this pH and this alkalinity can't go together",
            apart(&error),
            error.mend(),
        )),
    }
}
