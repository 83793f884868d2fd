//! Answers that no file can have, or that contradict each other.

use station::quantity::{Currency, Kind};

use super::answers::{Answers, Evaporation, Minerals, TankAnswer};
use super::fault::{FirstFault, Question};
use super::write::Write;
use super::{MOST_TANKS, assumed};
use crate::plant::DAY_S;

/// Least and greatest of what is answered, as the file has them.
struct Range {
    question: Question,
    what: &'static str,
    kind: Kind,
    least: f64,
    greatest: f64,
}

impl Range {
    const fn of(question: Question, what: &'static str, kind: Kind, least: f64, greatest: f64) -> Self {
        Self {
            question,
            what,
            kind,
            least,
            greatest,
        }
    }

    fn check(&self, value: Option<f64>, write: &Write) -> Result<(), FirstFault> {
        match value {
            // What isn't a number is in no range either.
            Some(value) if !(self.least..=self.greatest).contains(&value) => Err(FirstFault::impossible(
                self.question,
                format!("{} is beyond what a station can be planned for", self.what),
                format!(
                    "give something between {} and {}, or check the unit",
                    write.say(self.kind, self.least),
                    write.say(self.kind, self.greatest)
                ),
            )),
            _ => Ok(()),
        }
    }
}

pub(super) fn check(answers: &Answers, write: &Write) -> Result<(), FirstFault> {
    let count = answers.tanks.len();
    if count == 0 {
        let what = "A station without a tank has nothing to do";
        return Err(FirstFault::impossible(
            Question::Tanks,
            what,
            "tell at least one tank",
        ));
    }
    if count > MOST_TANKS {
        return Err(FirstFault::impossible(
            Question::Tanks,
            format!("{count} tanks are more than the {MOST_TANKS} that are planned for here"),
            "take those together that share their water, or add the others to the file afterwards",
        ));
    }
    if Currency::new(&answers.currency).is_none() {
        return Err(FirstFault::impossible(
            Question::Money,
            "That is no code of a currency",
            "three capital letters, such as EUR, USD or GBP",
        ));
    }
    for tank in &answers.tanks {
        of_tank(tank, write)?;
    }
    of_tap(answers, write)?;
    let (space, money) = (&answers.space, &answers.money);
    for (range, value) in [
        (
            Range::of(Question::Space, "The width of the floor", Kind::Length, 0.3, 50.0),
            space.width_m,
        ),
        (
            Range::of(Question::Space, "The depth of the floor", Kind::Length, 0.3, 50.0),
            space.depth_m,
        ),
        (
            Range::of(
                Question::Ceiling,
                "The height of the ceiling",
                Kind::Length,
                1.0,
                12.0,
            ),
            space.ceiling_m,
        ),
        (
            Range::of(Question::Door, "The width of the door", Kind::Length, 0.3, 6.0),
            space.door_m,
        ),
        (
            Range::of(
                Question::DaysAway,
                "The time away",
                Kind::Time,
                0.0,
                365.0 * DAY_S,
            ),
            answers.days_away * DAY_S,
        ),
    ] {
        range.check(Some(value), write)?;
    }
    Range::of(
        Question::Money,
        "The price of water",
        Kind::PricePerVolume,
        0.0,
        1e6,
    )
    .check(money.water_per_m3, write)?;
    Range::of(
        Question::Money,
        "The price of electricity",
        Kind::PricePerEnergy,
        0.0,
        1.0,
    )
    .check(money.electricity_per_j, write)
}

fn of_tank(tank: &TankAnswer, write: &Write) -> Result<(), FirstFault> {
    let own = |what, kind, least, greatest| Range::of(Question::Tanks, what, kind, least, greatest);
    own("The volume of a tank", Kind::Volume, 1e-3, 1e3).check(Some(tank.volume_m3), write)?;
    own("The salinity of a tank", Kind::Salinity, 5.0, 42.0).check(Some(tank.salinity), write)?;
    own("The temperature of a tank", Kind::Temperature, 2.0, 36.0).check(Some(tank.temperature_c), write)?;
    own("What is changed of a tank", Kind::Fraction, 0.0, 1.0).check(Some(tank.change_share), write)?;
    own("The time between changes", Kind::Time, 3600.0, 365.0 * DAY_S)
        .check(Some(tank.change_every_s), write)?;
    match tank.evaporation {
        Evaporation::Measured(flow_m3_s) => {
            own("What evaporates", Kind::Flow, 0.0, 10.0 / DAY_S).check(Some(flow_m3_s), write)
        }
        Evaporation::Open | Evaporation::Covered => Ok(()),
    }
}

fn of_tap(answers: &Answers, write: &Write) -> Result<(), FirstFault> {
    let tap = &answers.tap;
    let own = |what, kind, least, greatest| Range::of(Question::Tap, what, kind, least, greatest);
    own("The pressure of the tap", Kind::Pressure, 1e4, 1.6e6).check(tap.pressure_pa, write)?;
    let temperature = own("The tap's temperature", Kind::Temperature, 0.1, 40.0);
    temperature.check(tap.coldest_c, write)?;
    temperature.check(tap.warmest_c, write)?;
    match tap.minerals {
        Some(Minerals::Conductivity(s_m)) => {
            own("The tap's conductivity", Kind::Conductivity, 1e-4, 0.5).check(Some(s_m), write)?;
        }
        Some(Minerals::Solids(kg_m3)) => {
            own(
                "What is dissolved in the tap water",
                Kind::Concentration,
                1e-3,
                3.0,
            )
            .check(Some(kg_m3), write)?;
        }
        None => {}
    }
    let [coldest_c, warmest_c] = assumed::tap_c(tap, answers.units);
    if coldest_c > warmest_c {
        return Err(FirstFault::impossible(
            Question::Tap,
            "The tap's coldest water is warmer than its warmest",
            "exchange the two, or check their units",
        ));
    }
    Ok(())
}
