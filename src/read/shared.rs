//! Reading what several kinds have: cautions, touched parts, pictures, recalibration.

use super::record::Record;
use crate::model::{
    Caution, Hazard, Kind, Link, Need, Picture, PictureSite, ProseRole, Recalibration, Signal, Touches,
};
use crate::text::Located;
use toml::de::DeValue;

pub(super) const SIGNALS: [(&str, Signal); 4] = [
    ("danger", Signal::Danger),
    ("warning", Signal::Warning),
    ("caution", Signal::Caution),
    ("notice", Signal::Notice),
];

pub(super) const NEEDS: [(&str, Need); 3] =
    [("none", Need::None), ("conditional", Need::Conditional), ("required", Need::Required)];

impl<'t> Record<'t, '_> {
    /// Cautions: hazard ids, or tables with words of their own.
    pub(super) fn cautions(&mut self) -> Vec<Caution> {
        self.list("cautions", "a list of hazard ids or of tables", |record, value| match value.get_ref() {
            DeValue::Table(table) => record.descend(table, value, |record| record.caution()),
            _ => {
                let id = record.string("cautions", value)?;
                let span = id.span;
                let hazard = record.mention("cautions", Kind::Hazard, id)?;
                Some(Caution { hazard: Some(hazard), signal: None, says: None, consequence: None, avoid: None, span })
            }
        })
    }

    fn caution(&mut self) -> Option<Caution> {
        let hazard: Option<Link<Hazard>> = self.link_opt("hazard", Kind::Hazard);
        let alone = !self.has("hazard");
        let signal = if alone { self.one_of("signal", &SIGNALS) } else { self.one_of_opt("signal", &SIGNALS) };
        let says = self.line_opt("says", ProseRole::Caution);
        let consequence = self.prose_opt("consequence", ProseRole::Caution);
        let avoid = self.prose_opt("avoid", ProseRole::Caution);
        for (key, there) in
            [("says", says.is_some()), ("consequence", consequence.is_some()), ("avoid", avoid.is_some())]
        {
            if alone && !there {
                self.missing(key, "a caution without `hazard` says everything itself");
            }
        }
        Some(Caution { hazard, signal, says, consequence, avoid, span: self.span })
    }

    /// What an action does to parts.
    pub(super) fn touches(&mut self) -> Touches {
        Touches {
            opens: self.links("opens", Kind::Part),
            moves: self.links("moves", Kind::Part),
            disturbs: self.links("disturbs", Kind::Part),
        }
    }

    /// A picture.
    pub(super) fn picture(&mut self) -> Option<Picture> {
        self.child("picture", |record| {
            let file = record.word("file", "the name of a file in media/, such as \"pump.svg\"");
            let says = record.line_opt("says", ProseRole::Text);
            let from = record.owner.clone();
            let file = file?;
            let described = record.has("says") || record.is_hurt() || record.is_misspelt("says");
            let site = PictureSite { from, file: file.value.clone(), described, span: file.span };
            record.ledger.picture(site);
            Some(Picture { file, says })
        })
    }

    /// Recalibration tags.
    pub(super) fn recalibration(&mut self) -> Vec<Recalibration> {
        let read = |record: &mut Self| record.children("recalibration", |record| record.recalibration_tag());
        let (tags, complained) = self.watched(read);
        let variants = tags.iter().map(|tag| tag.variants.clone()).collect();
        if let Some(first) = tags.first().filter(|_| !complained && self.ledger.damage.is_empty()) {
            self.ledger.varies(self.owner.clone(), "recalibration", variants, first.span);
        }
        tags
    }

    fn recalibration_tag(&mut self) -> Option<Recalibration> {
        let need = self.one_of("need", &NEEDS);
        let when = self.condition(need.as_ref());
        let because = self.line_opt("because", ProseRole::Text);
        let by = self.links("by", Kind::Depot);
        let span = need.as_ref().map_or(self.header, |need| need.span);
        let source = self.source_of("recalibration", span);
        let variants = self.variants("variants");
        Some(Recalibration { need: need?, when, because, by, source, variants, span: self.span })
    }

    /// The key `when`, which a conditional need must have.
    pub(super) fn condition(&mut self, need: Option<&Located<Need>>) -> Option<Located<String>> {
        let when = self.line_opt("when", ProseRole::Text);
        if when.is_none() && need.is_some_and(|need| need.value == Need::Conditional) {
            self.missing("when", "the condition under which recalibration is needed");
        }
        when
    }
}
