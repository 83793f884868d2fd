//! `brinewright blend`: two waters poured together, or the parts that fill a bucket.

use super::page::Page;
use super::{Answer, Output, read};
use crate::failure::{COMMAND_LINE, Failure, Fault, Gathered};
use crate::task::Refused;
use crate::task::blend::{BlendQuestion, Blended, BucketQuestion, Parts, fill_bucket, pour};
use clap::Args;
use physics::mixing::MixingError;
use serde::Serialize;
use station::quantity::{Amount, Kind, UnitSystem};

/// Two waters poured together: what comes of them, or how much of each fills a bucket
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// First water, such as "60 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: Option<String>,
    /// Its salinity
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    salinity: Option<String>,
    /// Its temperature, or that of both waters for a bucket, such as "24 C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Second water, such as "140 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    with: Option<String>,
    /// Its salinity, 0 for fresh water
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    with_salinity: Option<String>,
    /// Its temperature, where it differs
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    with_temperature: Option<String>,
    /// Water wanted in the end, such as "20 L", in place of --volume and --with
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    bucket: Option<String>,
    /// Salinity of the stronger water for the bucket
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    from: Option<String>,
    /// Salinity wanted in the bucket
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    wanted: Option<String>,
    /// Salinity of the weaker water for the bucket; fresh water where unsaid
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    thin_with: Option<String>,
}

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    if options.is_bucket()? {
        let question = options.bucket_question()?;
        let parts = fill_bucket(&question).map_err(|refused| bucket_failure(refused, &question))?;
        return Ok(Answer {
            text: bucket_page(&question, &parts, output.system()),
            json: bucket_json(&parts),
            ..Answer::default()
        });
    }
    let question = options.question()?;
    let blended = pour(&question).map_err(|refused| failure(refused, &question))?;
    Ok(Answer {
        text: page(&blended, output.system()),
        json: json(&blended),
        ..Answer::default()
    })
}

impl Options {
    /// Whether a bucket is asked for; options of both uses together are refused.
    fn is_bucket(&self) -> Result<bool, Failure> {
        let names = |options: &[(&'static str, bool)]| -> Vec<&'static str> {
            options
                .iter()
                .filter(|(_, given)| *given)
                .map(|(name, _)| *name)
                .collect()
        };
        let pouring = names(&[
            ("--volume", self.volume.is_some()),
            ("--salinity", self.salinity.is_some()),
            ("--with", self.with.is_some()),
            ("--with-salinity", self.with_salinity.is_some()),
            ("--with-temperature", self.with_temperature.is_some()),
        ]);
        let filling = names(&[
            ("--bucket", self.bucket.is_some()),
            ("--from", self.from.is_some()),
            ("--wanted", self.wanted.is_some()),
            ("--thin-with", self.thin_with.is_some()),
        ]);
        let fault = match (&pouring[..], &filling[..]) {
            ([], []) => Fault::new(
                COMMAND_LINE,
                "one of --volume or --bucket is needed",
                "such as --volume \"60 L\" --with \"140 L\", or --bucket \"20 L\"",
            ),
            (_, []) => return Ok(false),
            ([], _) => return Ok(true),
            (pouring, filling) => Fault::new(
                COMMAND_LINE,
                format!(
                    "{} would pour two waters together, {} would fill a bucket; which one holds?",
                    read::list(pouring, "and"),
                    read::list(filling, "and")
                ),
                "leave out one or the other",
            ),
        };
        Err(fault.into())
    }

    fn question(&self) -> Result<BlendQuestion, Failure> {
        let mut faults = Gathered::default();
        let temperature = faults.take(self.temperature());
        let other_temperature = match &self.with_temperature {
            None => Some(None),
            Some(text) => faults
                .take(read::temperature("--with-temperature", text))
                .map(Some),
        };
        let volume = faults.take(volume("--volume", self.volume.as_ref(), "\"60 L\""));
        let other_volume = faults.take(self::volume("--with", self.with.as_ref(), "\"140 L\""));
        let salinity = faults.take(salinity(
            "--salinity",
            self.salinity.as_ref(),
            "34.2",
            temperature,
        ));
        let other_salinity = faults.take(self::salinity(
            "--with-salinity",
            self.with_salinity.as_ref(),
            "0",
            other_temperature.flatten().or(temperature),
        ));
        let first = volume.zip(salinity).zip(temperature);
        let other = other_volume.zip(other_salinity).zip(other_temperature);
        let (((volume, practical_salinity), temperature), other) = faults.settle(first.zip(other))?;
        let ((other_volume, other_practical_salinity), other_temperature) = other;
        Ok(BlendQuestion {
            volume,
            practical_salinity,
            temperature,
            other_volume,
            other_practical_salinity,
            other_temperature,
        })
    }

    fn bucket_question(&self) -> Result<BucketQuestion, Failure> {
        let mut faults = Gathered::default();
        let temperature = faults.take(self.temperature());
        let volume = faults.take(volume("--bucket", self.bucket.as_ref(), "\"20 L\""));
        let strong = faults.take(salinity("--from", self.from.as_ref(), "35", temperature));
        let wanted = faults.take(salinity("--wanted", self.wanted.as_ref(), "30", temperature));
        let weak = self.thin_with.as_deref().unwrap_or("0");
        let weak = faults.take(read::salinity("--thin-with", weak, temperature));
        let all = volume.zip(temperature).zip(strong.zip(weak)).zip(wanted);
        let (((volume, temperature), (strong, weak)), wanted) = faults.settle(all)?;
        Ok(BucketQuestion {
            volume,
            strong,
            weak,
            wanted,
            temperature,
        })
    }

    fn temperature(&self) -> Result<Amount, Fault> {
        read::required("--temperature", self.temperature.as_ref(), "\"24 C\"")
            .and_then(|text| read::temperature("--temperature", text))
    }
}

fn volume(option: &str, text: Option<&String>, example: &str) -> Result<Amount, Fault> {
    read::required(option, text, example).and_then(|text| read::above_zero(option, text, Kind::Volume))
}

fn salinity(
    option: &str,
    text: Option<&String>,
    example: &str,
    temperature: Option<Amount>,
) -> Result<Amount, Fault> {
    read::required(option, text, example).and_then(|text| read::salinity(option, text, temperature))
}

fn failure(refused: Refused, question: &BlendQuestion) -> Failure {
    let error = match refused {
        Refused::NoMix => return read::no_mix().into(),
        Refused::TooDoubtful => return too_doubtful(),
        Refused::Mixing(error) => error,
    };
    // The same check stands behind both waters; the value tells whose it was.
    let place = |amount: Amount, first, other| match error {
        MixingError::OutOfRange(ref error) if error.value.to_bits() != amount.si.to_bits() => other,
        _ => first,
    };
    let places = [
        ("volume", place(question.volume, "--volume", "--with")),
        (
            "temperature",
            place(question.temperature, "--temperature", "--with-temperature"),
        ),
        (
            "practical salinity",
            place(question.practical_salinity, "--salinity", "--with-salinity"),
        ),
    ];
    Fault::mixing(&error, &places, COMMAND_LINE).into()
}

fn bucket_failure(refused: Refused, question: &BucketQuestion) -> Failure {
    const PLACES: [(&str, &str); 3] = [
        ("volume", "--bucket"),
        ("temperature", "--temperature"),
        ("practical salinity", "--wanted"),
    ];
    let error = match refused {
        Refused::NoMix => return read::no_mix().into(),
        Refused::TooDoubtful => return too_doubtful(),
        Refused::Mixing(error) => error,
    };
    if !matches!(error, MixingError::TargetBeyondReplacement { .. }) {
        return Fault::mixing(&error, &PLACES, "--wanted").into();
    }
    let [strong, weak, wanted] = [question.strong, question.weak, question.wanted].map(|amount| amount.si);
    let [strong_text, weak_text, wanted_text] = [strong, weak, wanted].map(digits);
    if weak >= strong {
        return Fault::new(
            "--thin-with",
            format!("water of {weak_text} isn't weaker than the {strong_text} of --from"),
            "give the stronger water as --from and the weaker as --thin-with",
        )
        .into();
    }
    let mend = if wanted > strong {
        "start from stronger water, or add mix: see brinewright trim --help"
    } else {
        "thin with weaker water, such as fresh water: --thin-with 0"
    };
    Fault::new(
        "--wanted",
        format!("{wanted_text} isn't between {weak_text} and {strong_text}, and two waters give only what lies between"),
        mend,
    )
    .into()
}

/// There is no label here to be said more of.
fn too_doubtful() -> Failure {
    Fault {
        mend: "give a smaller ±".to_owned(),
        ..Fault::too_doubtful()
    }
    .into()
}

/// A salinity to four decimals, without the zeros at the end: fine enough to tell two apart.
fn digits(salinity: f64) -> String {
    format!("{}", (salinity * 1e4).round() / 1e4)
}

fn page(blended: &Blended, system: UnitSystem) -> String {
    let mut page = Page::new(system);
    page.paragraph(&format!(
        "{} at {}, {}",
        page.figure(Kind::Volume, &blended.volume_m3),
        page.figure(Kind::Salinity, &blended.practical_salinity),
        page.figure(Kind::Temperature, &blended.temperature_c)
    ));
    page.into_text()
}

fn bucket_page(question: &BucketQuestion, parts: &Parts, system: UnitSystem) -> String {
    let mut page = Page::new(system);
    let weak = if question.weak.si > 0.0 {
        format!("water of {}", page.amount(Kind::Salinity, question.weak))
    } else {
        "fresh water".to_owned()
    };
    page.paragraph(&format!(
        "For {} at {}: {} of {weak} and {} of water of {}.",
        page.amount(Kind::Volume, question.volume),
        page.amount(Kind::Salinity, question.wanted),
        page.figure(Kind::Volume, &parts.weak_volume_m3),
        page.figure(Kind::Volume, &parts.strong_volume_m3),
        page.amount(Kind::Salinity, question.strong)
    ));
    let first = if question.weak.si > 0.0 { "weaker" } else { "fresh" };
    page.paragraph(&format!(
        "Bring both to {} first. Pour the {first} water first, then the stronger, and stir. Measure the salinity \
         before use, and match the temperature to that of the water it goes into.",
        page.plain(Kind::Temperature, question.temperature.si)
    ));
    page.into_text()
}

fn json(blended: &Blended) -> String {
    #[derive(Serialize)]
    struct Blend {
        format: u32,
        practical_salinity: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        practical_salinity_low: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        practical_salinity_high: Option<f64>,
        volume_m3: f64,
        temperature_c: f64,
    }
    super::page::json(&Blend {
        format: 1,
        practical_salinity: blended.practical_salinity.value,
        practical_salinity_low: blended.practical_salinity.low(),
        practical_salinity_high: blended.practical_salinity.high(),
        volume_m3: blended.volume_m3.value,
        temperature_c: blended.temperature_c.value,
    })
}

fn bucket_json(parts: &Parts) -> String {
    #[derive(Serialize)]
    struct Bucket {
        format: u32,
        strong_volume_m3: f64,
        weak_volume_m3: f64,
    }
    super::page::json(&Bucket {
        format: 1,
        strong_volume_m3: parts.strong_volume_m3.value,
        weak_volume_m3: parts.weak_volume_m3.value,
    })
}
