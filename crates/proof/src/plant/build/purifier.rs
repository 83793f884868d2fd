//! The purifier of the plant, on each state of its feed.

use physics::membrane::TemperatureResponse;
use station::sections::{Control, ShutOff};

use super::{Known, Reader};
use crate::analysis::{Ends, Made, PurifierNodes};
use crate::method::Refusal;
use crate::plant::body::{Feed, Purifier, Stop, Taper};
use crate::plant::season::ByMonth;
use crate::sheet::NodeId;

/// The purifier; nothing where it fills no vessel.
pub(super) fn purifier(
    known: &Known<'_>,
    made: &Made,
    reader: &mut dyn Reader,
) -> Result<Option<Purifier>, Refusal> {
    let station = known.station;
    let Some(fields) = station.purifier.as_ref().map(|purifier| &purifier.fields) else {
        return Ok(None);
    };
    let fills = station.filled();
    if fills.is_empty() {
        return Ok(None);
    }
    let nodes: &PurifierNodes = &made.nodes;
    let mut by_month = |of: fn(&crate::analysis::MonthOfWater) -> NodeId| {
        let mut months = [0.0; 12];
        for (slot, month) in months.iter_mut().zip(&made.months) {
            *slot = reader.read(of(month)).max(0.0);
        }
        months
    };
    let permeate = by_month(|month| month.permeate_m3_per_s.node);
    let reject = by_month(|month| month.reject_m3_per_s.node);
    let solids = by_month(|month| month.permeate_solids_kg_m3.node);
    let feed_kg_m3 = reader.read(nodes.feed_solids);
    let mut feeds = vec![Feed {
        permeate_m3_s: ByMonth(permeate),
        reject_m3_s: ByMonth(reject),
        solids_kg_m3: ByMonth(solids),
        feed_kg_m3,
        comes: None,
    }];
    for odd in &known.odd {
        let times = |own: &[f64; 12], share: &[f64; 12]| {
            let mut months = *own;
            for (month, share) in months.iter_mut().zip(share) {
                *month *= share;
            }
            ByMonth(months)
        };
        feeds.push(Feed {
            permeate_m3_s: times(&permeate, &odd.permeate),
            reject_m3_s: times(&reject, &odd.reject),
            solids_kg_m3: times(&solids, &odd.solids),
            feed_kg_m3: feed_kg_m3 * odd.feed,
            comes: Some(odd.comes),
        });
    }
    let (hold_up_m3, feed_side_m3) = (reader.read(nodes.hold_up), reader.read(nodes.feed_side));
    let factor = TemperatureResponse::from_output_at_15_c(reader.read(nodes.cold))?
        .factor(reader.read(nodes.mean_temperature))?;
    let salt_m3_s = reader.read(nodes.salt) * factor;
    // Two mixed volumes with diffusion between, at rest (physics::membrane::idle).
    let rest_share = feed_side_m3 / (feed_side_m3 + hold_up_m3);
    let rest_s = hold_up_m3 * rest_share / salt_m3_s;
    let (salt_mol_kg, gas_mol_m3, bed_mol, load_mol_m3) = match &nodes.resin {
        None => (0.0, 0.0, None, 0.0),
        Some(resin) => {
            let [capacity, volume, utilisation] = resin.bed.map(|node| reader.read(node));
            (
                1000.0 / reader.read(resin.equivalent),
                reader.read(resin.gas) + reader.read(resin.silica),
                Some(capacity * volume * utilisation),
                reader.read(resin.load),
            )
        }
    };
    let electric = fields.control.value != Control::Float;
    let sharp_feed = fields.shut_off.value == ShutOff::Sound || (electric && fields.feed_valve.value);
    let stop = match nodes.ends {
        Ends::Sharp | Ends::Slow if sharp_feed || nodes.ends == Ends::Sharp => Stop::Sharp,
        _ => Stop::RejectRunsOn,
    };
    Ok(Some(Purifier {
        fills,
        feeds,
        stop,
        electric,
        attended: fields.control.value == Control::Attended,
        flush_m3: reader.read(nodes.flush).max(0.0),
        hold_up_m3: hold_up_m3.max(1e-7),
        rest_share,
        rest_s,
        salt_mol_kg,
        gas_mol_m3,
        bed_mol,
        float_mol_m3: matches!(nodes.ends, Ends::Slow | Ends::Never).then_some(load_mol_m3),
        taper: nodes.travel.map(|[band, share]| Taper {
            band_m3: reader.read(band),
            share: reader.read(share),
        }),
        booster_w: fields.booster_power.as_ref().map_or(0.0, |power| power.value.w()),
        restart_m3: fields.new_membrane_discard.value.m3(),
    }))
}
