//! How strong the mix is, from its label or as given; and whether an instrument is there to tell what comes out.

use station::Station;
use station::label::{LabelVolume, read_label};
use station::quantity::{Kind, Spread};

use crate::analysis::speak::{list, shown};
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Instruments that can't settle what they are asked.
pub(super) fn instruments(station: &Station, findings: &mut Vec<Finding>) {
    use station::sections::InstrumentKind;
    for (name, fields) in &station.instruments {
        if fields.kind.value == InstrumentKind::Hydrometer && fields.reference.is_none() {
            findings.push(Finding::new(
                "hydrometer-without-scale",
                Severity::Should,
                format!("instruments.{name}.kind"),
                format!(
                    "The scale of {} isn't given: the same reading on 60F/60F and on 25C/25C is more than two units of salinity apart. Find the temperature pair on its paper scale.",
                    shown(name)
                ),
            ));
        }
    }
    let best = station
        .instruments
        .iter()
        .map(|(_, fields)| fields.accuracy.value.practical())
        .min_by(f64::total_cmp);
    if best.is_some_and(|best| best > 1.0) {
        findings.push(Finding::new(
            "instruments-too-coarse",
            Severity::Should,
            "instruments",
            "No instrument here tells salinity to better than one unit, so a batch can't be shown to be at its target. Add one that does, or check one against a solution of known salinity.",
        ));
    }
}

/// Strength of the mix, from the label or as given.
pub(super) fn strength(station: &Station, sheet: &mut Sheet, findings: &mut Vec<Finding>) -> Option<NodeId> {
    let salt = station.salt.as_ref()?;
    if let Some(given) = &salt.anhydrous_fraction {
        return Some(sheet.given(given));
    }
    let field = salt.label.as_ref()?;
    let label = read_label(&field.value).ok()?;
    let mut unsaid = Vec::new();
    let amount = |sheet: &mut Sheet, what: &str, amount: station::quantity::Amount, kind| {
        sheet.assumed(
            &format!("salt.label.{what}"),
            amount.si,
            kind,
            amount.spread,
            "salt.label",
        )
    };
    let mass = amount(sheet, "mass", label.mass, Kind::Mass);
    let volume = amount(sheet, "volume", label.volume, Kind::Volume);
    let salinity = match label.salinity {
        Some(said) => amount(sheet, "salinity", said, Kind::Salinity),
        None => {
            unsaid.push("the salinity");
            sheet.assumed(
                "salt.label.salinity",
                35.0,
                Kind::Salinity,
                Spread::limits(1.5),
                "unsaid: 33.5 to 36.5, common practice, no source",
            )
        }
    };
    let temperature = match label.temperature {
        Some(said) => amount(sheet, "temperature", said, Kind::Temperature),
        None => {
            unsaid.push("the temperature");
            sheet.assumed(
                "salt.label.temperature",
                25.0,
                Kind::Temperature,
                Spread::limits(5.0),
                "unsaid: 20 to 30 C, common practice, no source",
            )
        }
    };
    let shares: &[(f64, f64, &str)] = match label.counts {
        Some(LabelVolume::Fresh) => &[(0.0, 0.0, "salt.label: fresh water before the salt")],
        Some(LabelVolume::Finished) => &[(1.0, 0.0, "salt.label: finished water")],
        None => {
            unsaid.push("whether the volume is fresh or finished water");
            &[
                (0.5, 0.5, "unsaid: fresh or finished"),
                (1.0, 0.0, "unsaid, but as fresh water it would be impossible"),
            ]
        }
    };
    let mut refusal = None;
    for (at, (share, half_width, origin)) in shares.iter().enumerate() {
        let node = sheet.assumed(
            &format!("salt.label.share counted as finished {at}"),
            *share,
            Kind::Fraction,
            Spread::limits(*half_width),
            origin,
        );
        match sheet.figure(
            "mix-strength",
            "strength of the mix: sea salt in a kilogram of it",
            &m::STRENGTH_FROM_LABEL,
            &[mass, volume, salinity, temperature, node],
        ) {
            Ok(id) => {
                if !unsaid.is_empty() {
                    findings.push(
                        Finding::new(
                            "label-unclear",
                            Severity::Note,
                            field.path.clone(),
                            format!(
                                "The label doesn't say {}, so the first batch may miss its target: weigh a little less, measure, then trim.",
                                list(&unsaid)
                            ),
                        )
                        .figure("mix-strength"),
                    );
                }
                return Some(id);
            }
            Err(error) => refusal = Some(error),
        }
    }
    if let Some(refusal) = refusal {
        findings.push(Finding::new(
            "label-impossible",
            Severity::Must,
            field.path.clone(),
            format!("The label can't be right: {refusal}. Check mass, volume and salinity against the bag."),
        ));
    }
    None
}
