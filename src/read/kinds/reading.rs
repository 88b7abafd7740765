//! `readings/*.toml`

use crate::model::{Band, Guide, Id, Kind, ProseRole, Reading, SumRule, Verdict};
use crate::read::record::Record;

const VERDICTS: [(&str, Verdict); 3] =
    [("fine", Verdict::Fine), ("tolerable", Verdict::Tolerable), ("act", Verdict::Act)];

/// Every `[[reading]]` of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    for reading in record.entries("reading", reading) {
        guide.readings.insert(Id::new(reading.head.id.value.as_str()), reading);
    }
}

fn reading(record: &mut Record<'_, '_>) -> Option<Reading> {
    let head = record.head(Kind::Reading);
    let name = record.line("name", ProseRole::Text, "what is measured");
    let unit = record.quantity("unit", None, "1 mm");
    let how = record.prose("how", ProseRole::Step, "how to take it");
    let reading = Reading {
        state: record.link_opt("state", Kind::State),
        tools: record.words("tools"),
        picture: record.picture(),
        bands: record.children("band", band),
        sum: record.child("sum", sum),
        says: record.prose_opt("says", ProseRole::Text),
        head: head?,
        name: name?,
        unit: unit?,
        how: how?,
    };
    Some(reading)
}

fn band(record: &mut Record<'_, '_>) -> Option<Band> {
    let id = record.local_id(Kind::Band);
    let says = record.line("says", ProseRole::Text, "what a value in the band means");
    let verdict = record.one_of("verdict", &VERDICTS);
    let from = record.quantity_opt("from", None);
    let to = record.quantity_opt("to", None);
    let span = from.as_ref().or(to.as_ref()).map_or(record.header, |limit| limit.span);
    let band = Band {
        procedure: record.link_opt("procedure", Kind::Procedure),
        fault: record.link_opt("fault", Kind::Fault),
        source: record.source_of("band", span),
        variants: record.variants("variants"),
        span: record.span,
        from,
        to,
        id: id?,
        says: says?,
        verdict: verdict?,
    };
    Some(band)
}

fn sum(record: &mut Record<'_, '_>) -> Option<SumRule> {
    let circuit = record.link_opt("circuit", Kind::Circuit);
    let places = record.words("places");
    let total = record.link("total", Kind::Reading, "the reading whose bands judge the total");
    Some(SumRule { circuit, places, total: total?, span: record.span })
}
