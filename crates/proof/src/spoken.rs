//! What is read of a proof, with the owner's names in plain words.
//!
//! Owns: which texts of the results are read and aren't names themselves. A name by itself stays the key that it is in the
//! file: faces find parts by it, and say it in words where they show it.

use station::Station;

use crate::analysis::{Absence, Flows, LeadTime, Leading, Mistakes, PartService, Service, Year};
use crate::figure::Figure;
use crate::finding::Finding;
use crate::prove::Proof;

/// Puts the owner's names in a text into plain words.
fn put<'t>(station: &Station, texts: impl IntoIterator<Item = &'t mut String>) {
    for text in texts {
        // Most have none, and are left where they are.
        if text.contains(['-', '_']) {
            *text = station.in_words(text);
        }
    }
}

impl Proof {
    /// In all that is read of it.
    pub(crate) fn put_in_words(&mut self, station: &Station) {
        put(station, self.figures.iter_mut().flat_map(of_figure));
        put_findings(station, &mut self.findings);
        put(
            station,
            self.switching.iter_mut().filter_map(|own| own.none.as_mut()),
        );
        put(station, self.service.iter_mut().flat_map(of_service));
        if let Some(mistakes) = &mut self.mistakes {
            mistakes.put_in_words(station);
        }
        if let Some(lead_time) = &mut self.lead_time {
            lead_time.put_in_words(station);
        }
    }
}

/// Findings with their remedies.
pub(crate) fn put_findings(station: &Station, findings: &mut [Finding]) {
    for finding in findings {
        put(station, [&mut finding.sentence]);
        put(station, finding.remedy.as_mut().map(|own| &mut own.sentence));
    }
}

fn of_figure(figure: &mut Figure) -> impl Iterator<Item = &mut String> {
    let inputs = figure.inputs.iter_mut().map(|own| &mut own.name);
    [&mut figure.title]
        .into_iter()
        .chain(&mut figure.remark)
        .chain(inputs)
}

fn of_service(service: &mut Service) -> impl Iterator<Item = &mut String> {
    let parts = service.parts.iter_mut().flat_map(of_part);
    parts.chain(&mut service.remarks)
}

fn of_part(part: &mut PartService) -> impl Iterator<Item = &mut String> {
    let lost = part.lost.iter_mut().map(|own| &mut own.sentence);
    let told = [&mut part.first, &mut part.without, &mut part.cautions];
    lost.chain(told.into_iter().flatten())
}

impl Mistakes {
    fn put_in_words(&mut self, station: &Station) {
        put(station, [&mut self.map.exhaustive]);
        for cause in &mut self.causes {
            put(station, [&mut cause.sentence]);
            put(station, &mut cause.tried);
        }
        put(station, self.remedies.iter_mut().map(|own| &mut own.sentence));
        for own in &mut self.leading {
            if let Leading::Left { sentence, remedy, .. } = own {
                put(station, [sentence]);
                put(station, remedy.as_mut().map(|own| &mut own.sentence));
            }
        }
    }
}

impl LeadTime {
    pub(crate) fn put_in_words(&mut self, station: &Station) {
        put(station, self.steps.iter_mut().map(|own| &mut own.what));
        put(station, &mut self.cautions);
    }
}

impl Flows {
    pub(crate) fn put_in_words(&mut self, station: &Station) {
        put(
            station,
            self.vessels.iter_mut().filter_map(|own| own.why.as_mut()),
        );
    }
}

impl Year {
    pub(crate) fn put_in_words(&mut self, station: &Station) {
        put_findings(station, &mut self.findings);
        for change in &mut self.changes {
            put(station, [&mut change.sentence]);
            put(station, &mut change.brings_told);
        }
    }
}

impl Absence {
    /// What is said of faults and their parts is in plain words from the beginning.
    pub(crate) fn put_in_words(&mut self, station: &Station) {
        put(station, [&mut self.answer]);
        put(station, &mut self.reasons);
        put(station, self.remedies.iter_mut().map(|own| &mut own.sentence));
        put_findings(station, &mut self.findings);
    }
}
