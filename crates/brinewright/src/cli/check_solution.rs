//! `brinewright check-solution`: salt water from table salt, to check an instrument with.

use super::page::{Page, Row};
use super::{Answer, Output, read};
use crate::failure::{Failure, Fault, Gathered};
use crate::task::check_solution::{Recipe, WATER_C, recipes, shows, worst_swap};
use clap::Args;
use physics::OutOfRange;
use physics::seawater::CheckedBy;
use serde::Serialize;
use station::quantity::{Kind, UnitSystem};

/// A check solution of table salt: how much to weigh, for each kind of instrument another
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Salinity that the instrument should show, 20 to 40
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    salinity: Option<String>,
    /// Solution to make; a litre where it isn't given
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    make: Option<String>,
}

/// A litre.
const UNSAID_VOLUME_M3: f64 = 1e-3;

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let mut faults = Gathered::default();
    let salinity = faults.take(
        read::required("--salinity", options.salinity.as_ref(), "35")
            .and_then(|text| read::salinity("--salinity", text, None)),
    );
    let volume_m3 = match &options.make {
        Some(text) => faults
            .take(read::above_zero("--make", text, Kind::Volume))
            .map(|volume| volume.si),
        None => Some(UNSAID_VOLUME_M3),
    };
    let (salinity, volume_m3) = faults.settle(salinity.zip(volume_m3))?;
    let refused = |error: OutOfRange| Failure::from(Fault::out_of_range("--salinity", &error));
    let recipes = recipes(salinity.si, volume_m3).map_err(refused)?;
    let swapped = worst_swap(salinity.si, &recipes).map_err(refused)?;
    Ok(Answer {
        text: page(salinity.si, volume_m3, &recipes, swapped, output.system()).map_err(refused)?,
        json: json(salinity.si, volume_m3, &recipes),
        ..Answer::default()
    })
}

fn instrument(recipe: &Recipe) -> &'static str {
    match recipe.checked_by {
        CheckedBy::RefractiveIndex => "refractometer",
        CheckedBy::Conductivity => "conductivity meter",
        CheckedBy::Density => "hydrometer",
    }
}

fn page(
    salinity: f64,
    volume_m3: f64,
    recipes: &[Recipe; 3],
    swapped: f64,
    system: UnitSystem,
) -> Result<String, OutOfRange> {
    let mut page = Page::new(system);
    let volume = page.plain(Kind::Volume, volume_m3);
    page.paragraph(&format!(
        "Table salt in purified water that reads as a salinity of {salinity}, for each kind of instrument another."
    ));
    page.heading(&format!("Salt to a litre of purified water of {WATER_C} °C"));
    let per_litre: Vec<Row> = recipes
        .iter()
        .map(|recipe| {
            let doubt = 2.0 * recipe.uncertainty_g_per_kg_water;
            Row::new(
                instrument(recipe),
                format!("{:.1}", recipe.salt_g_per_l_water),
                &format!("g ± {doubt:.1} g"),
            )
        })
        .collect();
    page.table(&per_litre);
    page.heading(&format!("Weigh for {volume} of solution"));
    let weighed: Vec<Row> = recipes
        .iter()
        .map(|recipe| {
            let (decimals, water_decimals) = if recipe.salt_g < 10.0 { (2, 1) } else { (1, 0) };
            Row::new(
                instrument(recipe),
                format!("{:.decimals$}", recipe.salt_g),
                &format!("g of salt and {:.water_decimals$} g of water", recipe.water_g),
            )
        })
        .collect();
    page.table(&weighed);
    page.heading("What the instrument should show in its own");
    let mut shown = Vec::new();
    for recipe in recipes {
        let (figure, unit) = match recipe.checked_by {
            CheckedBy::RefractiveIndex => (format!("{:.4}", shows(recipe)?), "or"),
            CheckedBy::Conductivity => (format!("{:.1}", shows(recipe)?), "mS/cm, or"),
            CheckedBy::Density => (format!("{:.4}", shows(recipe)?), "on 25C/25C, or"),
        };
        shown.push(Row::new(
            instrument(recipe),
            figure,
            &format!(
                "{unit} {salinity:.1} ± {:.1}, at {} °C",
                2.0 * recipe.uncertainty_salinity,
                recipe.temperature_c
            ),
        ));
    }
    page.table(&shown);
    page.paragraph("± is two standard uncertainties: of the data and of the salt; your scale comes on top.");
    page.list(
        "Never swap them",
        &[
            format!(
                "The three differ. In a solution made for another kind, an instrument misreads by up to {swapped:.1}."
            ),
            "The hydrometer's serves a density meter too. Label each bottle with the instrument it is for.".to_owned(),
        ],
    );
    let a_gram = recipes
        .iter()
        .map(|recipe| salinity / recipe.salt_g)
        .fold(0.0, f64::max);
    let weigh = format!(
        "Weigh the water too. A gram of salt too much moves {volume} by up to {a_gram:.*}: make more, or use a finer \
         scale.",
        if a_gram < 0.095 { 2 } else { 1 }
    );
    page.list(
        "Take care",
        &[
            "Plain salt: no iodine, nothing against caking, dry from a fresh packet (common practice, no source).",
            weigh.as_str(),
            "Stir until clear. Let solution and instrument come to the same temperature before you read.",
            "Keep it closed: what evaporates makes it stronger.",
            "Zero the instrument in purified water first: one point alone doesn't show its slope.",
            "Not for animals: it is no sea water. Pour it away after use.",
        ],
    );
    Ok(page.into_text())
}

fn json(salinity: f64, volume_m3: f64, recipes: &[Recipe; 3]) -> String {
    #[derive(Serialize)]
    struct One {
        salt_g_per_kg_water: f64,
        uncertainty_g_per_kg_water: f64,
        salt_g_per_kg_solution: f64,
        salt_g_per_l_water: f64,
        salt_g: f64,
        water_g: f64,
        uncertainty_salinity: f64,
        temperature_c: f64,
    }
    #[derive(Serialize)]
    struct Solutions {
        format: u32,
        practical_salinity: f64,
        volume_m3: f64,
        refractometer: One,
        conductivity_meter: One,
        hydrometer: One,
    }
    let [refractometer, conductivity_meter, hydrometer] = recipes.map(|recipe| One {
        salt_g_per_kg_water: recipe.salt_g_per_kg_water,
        uncertainty_g_per_kg_water: recipe.uncertainty_g_per_kg_water,
        salt_g_per_kg_solution: recipe.salt_g_per_kg_solution,
        salt_g_per_l_water: recipe.salt_g_per_l_water,
        salt_g: recipe.salt_g,
        water_g: recipe.water_g,
        uncertainty_salinity: recipe.uncertainty_salinity,
        temperature_c: recipe.temperature_c,
    });
    super::page::json(&Solutions {
        format: 1,
        practical_salinity: salinity,
        volume_m3,
        refractometer,
        conductivity_meter,
        hydrometer,
    })
}
