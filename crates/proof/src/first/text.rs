//! The text of the file: what the station is and what water comes to it. Its pipes are in `pipes`.

use core::fmt::Write as _;

use station::quantity::Kind;

use crate::plant::DAY_S;

use super::answers::{Evaporation, Minerals, TankAnswer, Thrift};
use super::assumed as a;
use super::pipes;
use super::plan::{FRESH_BASE_M, HEATER_M, OUTLET_M, Plan, SALT_BASE_M, SALT_CUTOUT_M, followed_days};
use super::reserve::open_surface_m2;

/// The whole text.
pub(super) fn text(plan: &Plan<'_>) -> String {
    let mut out = Text(String::with_capacity(8192));
    head(plan, &mut out);
    tanks(plan, &mut out);
    vessels(plan, &mut out);
    water(plan, &mut out);
    purifier(plan, &mut out);
    reserve_and_prices(plan, &mut out);
    pipes::write(plan, &mut out);
    out.0
}

/// A text that grows by lines.
pub(super) struct Text(String);

impl Text {
    /// A line as it is.
    pub(super) fn line(&mut self, line: &str) {
        self.0.push_str(line);
        self.0.push('\n');
    }

    /// A section, set apart by an empty line.
    pub(super) fn section(&mut self, path: &str, remark: &str) {
        self.0.push('\n');
        self.remarked(&format!("[{path}]"), remark);
    }

    /// A chapter: what follows belongs together.
    pub(super) fn chapter(&mut self, title: &str) {
        let dashes = "-".repeat(74_usize.saturating_sub(title.chars().count()));
        let _ = write!(self.0, "\n# ---- {title} {dashes}\n");
    }

    /// A quantity or a text, in quotes.
    pub(super) fn said(&mut self, key: &str, value: &str) {
        self.said_with(key, value, "");
    }

    /// The same with a remark behind it.
    pub(super) fn said_with(&mut self, key: &str, value: &str, remark: &str) {
        let value = value.replace('\\', "\\\\").replace('"', "\\\"");
        self.remarked(&format!("{key} = \"{value}\""), remark);
    }

    /// A number or a truth, bare.
    pub(super) fn bare(&mut self, key: &str, value: &str, remark: &str) {
        self.remarked(&format!("{key} = {value}"), remark);
    }

    fn remarked(&mut self, text: &str, remark: &str) {
        match remark {
            "" => self.line(text),
            remark => self.line(&format!("{text:<39} # {remark}")),
        }
    }
}

fn head(plan: &Plan<'_>, out: &mut Text) {
    let (write, space) = (&plan.write, &plan.answers.space);
    out.line(
        "# A first station, planned from a few questions. Every value is a start: put in what you measure.",
    );
    out.line("# A remark that says \"assumed\" stands for an answer that nobody had.");
    out.line("");
    out.said("title", "My station");
    out.section("display", "");
    out.said("units", write.either("SI", "US"));
    out.said("currency", &plan.answers.currency);
    out.section("room", "");
    out.said("ceiling", &write.tape(space.ceiling_m));
    out.said("floor_width", &write.tape(space.width_m));
    out.said("floor_depth", &write.tape(space.depth_m));
    out.said("door_width", &write.tape(space.door_m));
    if space.floor_drain {
        out.said_with("drain_height", &write.tape(0.0), "a drain in the floor");
    }
    if plan.affords(Thrift::WellKept) {
        let holds = write.round_up_m3(0.04);
        out.said_with(
            "tray",
            &write.volume(holds),
            "a low sill all round, under the station",
        );
        if space.floor_drain {
            out.bare("tray_drained", "true", "");
        }
    }
    out.section("people", "");
    out.said_with("days", "every day", "when somebody comes: change it to yours");
    let days = plan.answers.days_away;
    if days > 0.0 {
        // As far as faults are followed, in whole days at the end: the file tells three digits.
        let most_s = followed_days() * DAY_S;
        let remark = match days * DAY_S > most_s {
            true => "faults with nobody there are followed no longer than that",
            false => "",
        };
        out.said_with(
            "longest_absence",
            &write.say(Kind::Time, (days * DAY_S).clamp(3600.0, most_s)),
            remark,
        );
    }
}

fn tanks(plan: &Plan<'_>, out: &mut Text) {
    out.chapter("tanks: what the station serves");
    for (tank, key) in plan.answers.tanks.iter().zip(&plan.tanks) {
        one_tank(plan, tank, key, out);
    }
}

fn one_tank(plan: &Plan<'_>, tank: &TankAnswer, key: &str, out: &mut Text) {
    let write = &plan.write;
    let name: String = tank.name.chars().filter(|own| !own.is_control()).collect();
    let named = if name.trim().eq_ignore_ascii_case(key) {
        ""
    } else {
        name.trim()
    };
    out.section(&format!("tanks.{key}"), named);
    out.said("volume", &format!("{} ± 5 %", write.volume(tank.volume_m3)));
    out.bare("salinity", &write.salinity(tank.salinity), "");
    out.said("temperature", &write.temperature(tank.temperature_c));
    match tank.evaporation {
        Evaporation::Measured(flow_m3_s) => out.said("evaporation", &per_day(plan, flow_m3_s)),
        Evaporation::Open => {
            out.said_with(
                "surface",
                &surface(plan, tank),
                "assumed from its volume; evaporation follows",
            );
        }
        Evaporation::Covered => {
            out.said_with(
                "surface",
                &surface(plan, tank),
                "assumed from its volume; evaporation follows",
            );
            out.bare("surface_activity", "\"0.5 ± 0.2\"", "under a lid");
        }
    }
    if tank.change_share > 0.0 {
        out.said("change", &write.volume(tank.change_share * tank.volume_m3));
        out.said("change_every", &write.time(tank.change_every_s));
    }
}

/// A flow in the unit of a day, whatever its size.
fn per_day(plan: &Plan<'_>, flow_m3_s: f64) -> String {
    format!("{} ± 20 %", plan.write.per_day(flow_m3_s))
}

fn surface(plan: &Plan<'_>, tank: &TankAnswer) -> String {
    let surface = plan.write.say(Kind::Area, open_surface_m2(tank.volume_m3));
    format!("{} ± 30 %", surface.replace('²', "2"))
}

fn vessels(plan: &Plan<'_>, out: &mut Text) {
    out.chapter("vessels: what the station is");
    let write = &plan.write;
    for name in plan.fresh.names("fresh") {
        out.section(&format!("vessels.{name}"), &plan.fresh.vessel.name(write.units));
        out.said("holds", "fresh");
        for (key, value) in plan.fresh.vessel.values(write.units) {
            out.bare(key, &value, "");
        }
        out.said_with(
            "floor_height",
            &write.tape(write.mark_m(FRESH_BASE_M)),
            "on a firm ledge, over a bucket",
        );
        out.said("fill", "automatic");
        out.said("outlet_level", &write.tape(OUTLET_M));
        if let Some([cutout, start, stop, backup]) = plan.marks {
            out.said_with("low_cutout_level", &write.tape(cutout), "the pump stops here");
            // A float alone fills as soon as something is drawn, and makes no runs.
            let [begins, ends] = match plan.affords(Thrift::Sensible) {
                true => ["the reserve lies below", "the fill ends here"],
                false => [
                    "the reserve lies below: the float fills long before",
                    "the float closes here",
                ],
            };
            out.said_with("start_level", &write.tape(start), begins);
            out.said_with("stop_level", &write.tape(stop), ends);
            out.said_with(
                "backup_level",
                &write.tape(backup),
                "a second float, should the first stop fail",
            );
        }
        let run = write.volume(plan.run_m3);
        match plan.affords(Thrift::Sensible) {
            true => out.said("run_volume", &run),
            false => out.said_with("run_volume", &run, "once switches start and stop it"),
        }
    }
    for name in plan.salt.names("salt") {
        out.section(&format!("vessels.{name}"), &plan.salt.vessel.name(write.units));
        out.said("holds", "salt");
        for (key, value) in plan.salt.vessel.values(write.units) {
            out.bare(key, &value, "");
        }
        out.said_with(
            "floor_height",
            &write.tape(write.mark_m(SALT_BASE_M)),
            "on a low base",
        );
        out.said("outlet_level", &write.tape(OUTLET_M));
        out.said_with(
            "low_cutout_level",
            &write.tape(write.mark_m(SALT_CUTOUT_M)),
            "the pump stops here",
        );
        if plan.affords(Thrift::Sensible) {
            out.bare("high_cutout", "true", "stops the pump that fills it");
        }
        out.said("batch_volume", &write.volume(plan.batch_m3));
        out.bare(
            "target_salinity",
            &write.salinity(plan.batch_salinity()),
            if plan.thins() {
                "of the saltiest tank: thin it for the others"
            } else {
                ""
            },
        );
        out.said("mixing_temperature", &write.temperature(plan.batch_c()));
        if let Some(heater_w) = plan.heater_w() {
            out.said("heater", &format!("{heater_w} W"));
            let lies = write.tape(HEATER_M);
            out.said_with("heater_level", &lies, "under where the pump stops");
            out.bare("heater_cutout", "true", "it switches itself off when it runs dry");
        }
    }
}

fn water(plan: &Plan<'_>, out: &mut Text) {
    out.chapter("water: what comes, and what is made of it");
    let write = &plan.write;
    out.section("salt", "assumed: put the words of your bag here");
    out.said(
        "label",
        write.either(
            "20 kg makes 540 L at 35 and 25 C, finished",
            "44 lb makes 143 gal at 35 and 77 F, finished",
        ),
    );
    out.said("bag", write.either("20 kg", "44 lb"));
    out.section("instruments.refractometer", "");
    out.said("kind", "refractometer");
    out.bare("accuracy", "0.8", "");

    let tap = &plan.answers.tap;
    out.section("feed", "");
    let assumed = |known: bool, why: &'static str| if known { "" } else { why };
    let pressure = write.say(
        Kind::Pressure,
        tap.pressure_pa.unwrap_or(a::pressure_pa(plan.answers.units)),
    );
    let doubt = if tap.pressure_pa.is_some() { "" } else { " ± 20 %" };
    out.said_with(
        "pressure",
        &format!("{pressure}{doubt}"),
        assumed(tap.pressure_pa.is_some(), "assumed: a gauge on the tap tells"),
    );
    let [coldest_c, warmest_c] = a::tap_c(tap, plan.answers.units);
    for (key, celsius, known) in [
        ("coldest", coldest_c, tap.coldest_c.is_some()),
        ("warmest", warmest_c, tap.warmest_c.is_some()),
    ] {
        let why = assumed(known, "assumed: hold a thermometer under the tap");
        out.said_with(key, &write.temperature(celsius), why);
    }
    match tap.minerals {
        Some(Minerals::Conductivity(s_m)) => {
            out.said(
                "conductivity",
                &write.say(Kind::Conductivity, s_m).replace('µ', "u"),
            );
            out_of_minerals(s_m / a::CONDUCTIVITY_S_M, out);
        }
        Some(Minerals::Solids(kg_m3)) => {
            out.said("dissolved_solids", &write.say(Kind::Concentration, kg_m3));
            out_of_minerals(kg_m3 / a::SOLIDS_KG_M3, out);
        }
        // The fields' own defaults are guesses that say so.
        None => {}
    }
    match tap.chloramine {
        Some(true) => out.said_with("chloramine", a::CHLORAMINE, "a middling dose: ask the supplier"),
        Some(false) => out.said("chloramine", "0 mg/L"),
        None => out.said_with(
            "chloramine",
            a::CHLORAMINE,
            "assumed, to be safe: ask the supplier",
        ),
    }
    if let Some(price) = plan.answers.money.water_per_m3 {
        out.said("price", &plan.write.water_price(price));
    }
}

/// What a water with so many times the minerals of a middling one has of each.
fn out_of_minerals(times: f64, out: &mut Text) {
    let remark = "assumed from its minerals: a test strip tells";
    for (key, [middling, doubt], unit) in [
        ("hardness", a::HARDNESS_MG_L, "mg/L CaCO3"),
        ("alkalinity", a::ALKALINITY_MG_L, "mg/L CaCO3"),
        ("silica", a::SILICA_MG_L, "mg/L"),
    ] {
        let value = format!("{:.1} {unit} ± {doubt:.0} %", middling * times);
        out.said_with(key, &value, remark);
    }
}

fn purifier(plan: &Plan<'_>, out: &mut Text) {
    let write = &plan.write;
    out.section("purifier", "");
    if plan.affords(Thrift::Sensible) {
        out.said("control", "level switches");
    } else {
        out.said_with("control", "float alone", "it costs least, and spends more resin");
    }
    out.bare("waste_ratio", "4", "");
    out.said("shut_off", "sound");
    out.bare("check_valve", "true", "");
    if plan.affords(Thrift::Sensible) {
        out.bare("feed_valve", "true", "closed without power");
        out.bare("leak_detector", "true", "shuts the feed");
    }
    if plan.affords(Thrift::WellKept) {
        out.said_with("longest_run", "20 h", "after it the feed is shut");
    }
    out.section("filters.sediment", "");
    out.said("kind", "sediment");
    out.said("fineness", "5 um");
    let remark = if plan.plans_for_chloramine() {
        "one that its maker tested for chloramine"
    } else {
        ""
    };
    out.section("filters.carbon", remark);
    out.said("kind", "carbon block");
    let mut sold = |key: &str, [si, us]: [&str; 2]| out.said(key, write.either(si, us));
    sold("bed_volume", plan.carbon.bed);
    sold("rated_volume", plan.carbon.rated_volume);
    if plan.plans_for_chloramine() {
        sold("rated_chloramine_volume", plan.carbon.rated_chloramine_volume);
    }
    sold("rated_flow", plan.carbon.rated_flow);
    for at in 1..=plan.membranes.count {
        let name = if plan.membranes.count == 1 {
            "membranes.first".to_owned()
        } else {
            format!("membranes.m{at}")
        };
        out.section(&name, "");
        out.said("rated_flow", &format!("{} gal/day", plan.membranes.gallons_a_day));
        out.said("rated_pressure", "60 psi");
        out.said("rated_solids", "250 mg/L");
        out.said("rejection", "97 %");
    }
    out.section("resin_beds.canister", "");
    out.said("kind", "mixed");
    // As it is sold, like the membranes.
    out.said("volume", &format!("{} L", plan.bed_l));
}

fn reserve_and_prices(plan: &Plan<'_>, out: &mut Text) {
    out.section("reserve", "what is ready at any time");
    out.said_with(
        "fresh",
        &plan.write.volume(plan.reserve_fresh_m3),
        "top-off while nobody is there",
    );
    out.said_with(
        "salt",
        &plan.write.volume(plan.reserve_salt_m3),
        "the largest change of a tank in trouble",
    );
    if let Some(price) = plan.answers.money.electricity_per_j {
        out.section("prices", "");
        out.said("electricity", &plan.write.electricity_price(price));
    }
}
