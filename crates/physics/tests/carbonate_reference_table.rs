//! The carbonate system against `validation/freshwater_co2.csv`, which a program with ion pairs made.

use crate::freshwater_support;
use crate::seawater_support;

use freshwater_support::{Row, rows};
use physics::carbonate::{FreshWater, calcite_saturation_index, carbon_dioxide_mol_m3, speciate};
use physics::freshwater::ionic_strength_from_conductivity_mol_kg;
use seawater_support::Tally;

/// Ionic strength from what was weighed in, all of it taken for ions; the carbon as bicarbonate.
fn formal_ionic_strength(row: &Row) -> f64 {
    let of = |key: &str| row.number(key) / 1000.0;
    let charges = 4.0 * of("Ca_mmol_kgw") + of("Na_mmol_kgw") + 4.0 * of("SO4_mmol_kgw") + of("Cl_mmol_kgw");
    (charges + of("alk_meq_kgw")) / 2.0
}

fn water(row: &Row, ionic_strength_mol_kg: f64) -> FreshWater {
    FreshWater {
        alkalinity_mol_m3: row.number("alk_meq_kgw"),
        ph: row.number("pH"),
        temperature_c: row.number("t_C"),
        ionic_strength_mol_kg,
    }
}

/// Source: Parkhurst & Appelo 2013 through the table. The fair tolerances stand in its header's readme: 3, 7 and 22 %
/// of carbon dioxide without ion pairs.
#[test]
fn carbon_dioxide_and_inorganic_carbon() {
    let bands = ["pH to 7.6", "pH 8.2", "pH 9"];
    let mut gas = bands.map(Tally::new);
    let mut carbon = bands.map(Tally::new);
    let mut fugacity = bands.map(Tally::new);
    for row in rows("freshwater_co2.csv") {
        let water = water(&row, formal_ionic_strength(&row));
        let place = &format!(
            "alkalinity {}, pH {}, {} C",
            water.alkalinity_mol_m3, water.ph, water.temperature_c
        );
        let species = speciate(&water).unwrap();
        let band = if water.ph < 7.7 {
            0
        } else {
            usize::from(water.ph > 8.6) + 1
        };
        let error = species.carbon_dioxide_mol_m3 / row.number("CO2aq_mmol_kgw") - 1.0;
        gas[band].meet(error, place);
        carbon[band].meet(
            species.inorganic_carbon_mol_m3 / row.number("TIC_mmol_kgw") - 1.0,
            place,
        );
        let expected = libm::exp10(row.number("log_pCO2_atm"));
        fugacity[band].meet(species.carbon_dioxide_fugacity_atm / expected - 1.0, place);
        assert_eq!(
            carbon_dioxide_mol_m3(&water).unwrap(),
            species.carbon_dioxide_mol_m3,
            "the short way gives the same: {place}"
        );
    }
    let counts = [100, 25, 25];
    for (tally, (count, tolerance)) in gas.into_iter().zip(counts.into_iter().zip([0.03, 0.07, 0.22])) {
        tally.within(count, tolerance, "stated by the table: no ion pairs");
    }
    for (tally, (count, tolerance)) in carbon
        .into_iter()
        .zip(counts.into_iter().zip([0.01, 0.025, 0.085]))
    {
        tally.within(
            count,
            tolerance,
            "stated by the table, with a tenth above: no ion pairs",
        );
    }
    for (tally, (count, tolerance)) in fugacity
        .into_iter()
        .zip(counts.into_iter().zip([0.03, 0.07, 0.22]))
    {
        tally.within(
            count,
            tolerance,
            "as carbon dioxide, with the same Henry's constant",
        );
    }
}

/// Source: as above, its conductivity at the water's temperature brought to 25 °C by 2 % a degree.
#[test]
fn carbon_dioxide_with_ionic_strength_by_conductivity() {
    let mut gas = Tally::new("carbon dioxide, pH to 7.6");
    let mut strength = Tally::new("ionic strength by conductivity");
    for row in rows("freshwater_co2.csv")
        .iter()
        .filter(|row| row.number("pH") < 7.7)
    {
        let at_25_s_m = row.number("SC_uS_cm") * 1e-4 / (1.0 + 0.02 * (row.number("t_C") - 25.0));
        let ionic_strength = ionic_strength_from_conductivity_mol_kg(at_25_s_m).unwrap();
        let place = &format!(
            "alkalinity {}, pH {}",
            row.number("alk_meq_kgw"),
            row.number("pH")
        );
        strength.meet(ionic_strength / row.number("I_mol_kgw") - 1.0, place);
        let got = carbon_dioxide_mol_m3(&water(row, ionic_strength)).unwrap();
        gas.meet(got / row.number("CO2aq_mmol_kgw") - 1.0, place);
    }
    strength.within(
        100,
        0.6,
        "a rule for calcium bicarbonate, and these are rich in sodium chloride; 0.56 measured",
    );
    gas.within(100, 0.03, "stated by the table");
}

/// Source: as above; its solubility product is that of the same paper.
#[test]
fn calcite_saturation() {
    let mut index = ["to pH 8.2", "pH 9"].map(Tally::new);
    let (mut lowest, mut highest): (f64, f64) = (1.0, -1.0);
    for row in rows("freshwater_co2.csv") {
        let water = water(&row, formal_ionic_strength(&row));
        let calcium = row.number("Ca_mmol_kgw");
        let error = calcite_saturation_index(&water, calcium).unwrap() - row.number("SI_calcite");
        (highest, lowest) = (highest.max(error), lowest.min(error));
        index[usize::from(water.ph > 8.6)].meet(error, &format!("Ca {calcium}, pH {}", water.ph));
    }
    const NO_PAIRS: &str = "no ion pairs: free calcium and carbonate come out too high";
    for (tally, (count, tolerance)) in index.into_iter().zip([(125, 0.11), (25, 0.18)]) {
        tally.within(count, tolerance, NO_PAIRS);
    }
    assert!(
        highest > 0.1 && lowest > -0.01,
        "the error is one-sided: {lowest} to {highest}"
    );
}
