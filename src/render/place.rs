//! One page and its place: makes the small views that many pages share, with links seen from where it stands.

use crate::model::quantity::Quantity;
use crate::model::{
    Caution, Cited, Depot, EntryKey, Guide, Hazard, Kind, Link, Need, Part, Picture, Procedure, ProcedureKind, Prose,
    Recalibration, Signal, Sourced, State, Variant, Varied,
};
use crate::reason::Facts;
use crate::reason::recalibration::{self, Because};
use crate::text::Located;

use super::address;
use super::markdown::{self, Resolve};
use super::theme::Theme;
use super::views::pieces;

/// Joins alternatives that differ by variant.
const BETWEEN: &str = "; ";

/// A page in the making.
#[derive(Clone, Copy)]
pub(super) struct Place<'g> {
    pub(super) guide: &'g Guide,
    pub(super) facts: &'g Facts,
    pub(super) theme: &'g Theme,
    /// The way from the page to the top folder.
    pub(super) root: &'g str,
}

impl<'g> Place<'g> {
    /// An interface word.
    pub(super) fn word(&self, key: &'g str) -> String {
        self.theme.word(key).to_owned()
    }

    /// An interface sentence with its words in braces filled in.
    pub(super) fn said(&self, key: &'g str, values: &[(&str, String)]) -> String {
        values.iter().fold(self.word(key), |text, (name, value)| text.replace(&format!("{{{name}}}"), value))
    }

    /// A path from the top folder, seen from this page.
    pub(super) fn href(&self, path: &str) -> String {
        format!("{}{path}", self.root)
    }

    /// A link to an entry; an entry that is not there keeps its id as text and leads to the A to Z list.
    pub(super) fn link(&self, kind: Kind, id: &str) -> pieces::Link {
        match self.entry(kind, id) {
            Some((href, text)) => pieces::Link { href, text },
            None => pieces::Link { href: self.href("a-z.html"), text: id.to_owned() },
        }
    }

    pub(super) fn part(&self, link: &Link<Part>) -> pieces::Link {
        self.link(Kind::Part, link.as_str())
    }

    pub(super) fn procedure(&self, link: &Link<Procedure>) -> pieces::Link {
        self.link(Kind::Procedure, link.as_str())
    }

    /// The entries that mention a thing and have pages, kinds apart, without doubles.
    pub(super) fn mentioned_by(&self, kind: Kind, id: &str, from: &[Kind]) -> Vec<pieces::Link> {
        let entries = self.mentioning(kind, id, from);
        entries.iter().map(|entry| self.link(entry.kind, &entry.id)).collect()
    }

    /// The same, as the keys of the entries.
    pub(super) fn mentioning(&self, kind: Kind, id: &str, from: &[Kind]) -> Vec<&'g EntryKey> {
        let mut entries: Vec<&EntryKey> = self.facts.mentions.of_thing(kind, id).map(|(entry, _)| entry).collect();
        entries.retain(|entry| from.contains(&entry.kind) && !(entry.kind == kind && entry.id == id));
        entries.dedup();
        entries
    }

    pub(super) fn blocks(&self, prose: &Prose, prefix: &str) -> String {
        markdown::blocks(&prose.markdown, self, prefix)
    }

    pub(super) fn blocks_opt(&self, prose: Option<&Prose>) -> String {
        prose.map(|prose| self.blocks(prose, "")).unwrap_or_default()
    }

    pub(super) fn inline(&self, prose: &Prose) -> String {
        markdown::inline(&prose.markdown, self)
    }

    pub(super) fn plain(&self, prose: &Prose) -> String {
        markdown::plain(&prose.markdown, self)
    }

    /// A quantity in both systems of units.
    pub(super) fn shown(&self, quantity: &Quantity) -> pieces::Shown {
        let shown = quantity.shown(self.guide.edition.units);
        pieces::Shown { first: shown.first, second: shown.second }
    }

    /// A value in both systems; where it differs by variant, each with the variants it holds for.
    pub(super) fn varied(&self, values: &Varied<Quantity>) -> Option<pieces::Shown> {
        let [one] = values.as_slice() else { return self.several(values) };
        let mut shown = self.shown(&one.value);
        if let Some(named) = &one.variants {
            shown.first = format!("{}: {}", self.variants(named), shown.first);
        }
        Some(shown)
    }

    fn several(&self, values: &Varied<Quantity>) -> Option<pieces::Shown> {
        if values.is_empty() {
            return None;
        }
        let texts: Vec<String> = values.iter().map(|value| self.with_variants(value)).collect();
        Some(pieces::Shown { first: texts.join(BETWEEN), second: None })
    }

    fn with_variants(&self, value: &Sourced<Quantity>) -> String {
        let shown = self.shown(&value.value);
        let text = shown.second.map_or(shown.first.clone(), |second| format!("{} ({second})", shown.first));
        match &value.variants {
            Some(named) => format!("{}: {text}", self.variants(named)),
            None => text,
        }
    }

    /// Names of variants, joined.
    pub(super) fn variants(&self, named: &[Link<Variant>]) -> String {
        let name = |link: &Link<Variant>| {
            self.guide.variants.get(&link.value).map_or(link.to_string_id(), |variant| variant.name.value.clone())
        };
        named.iter().map(name).collect::<Vec<_>>().join(", ")
    }

    /// Where a value comes from.
    pub(super) fn source(&self, cited: Option<&Cited>) -> Option<pieces::Source> {
        let cited = cited?;
        let id = cited.source.as_str();
        let (title, href) = match (self.guide.references.get(&cited.source), self.guide.bulletins.find(id)) {
            (Some(reference), _) => (reference.title.value.clone(), None),
            (None, Some(bulletin)) => {
                (bulletin.number.value.clone(), address::of(Kind::Bulletin, id).map(|path| self.href(&path)))
            }
            (None, None) => (id.to_owned(), None),
        };
        let text = cited.place.as_ref().map_or(title.clone(), |place| format!("{title}, {place}"));
        Some(pieces::Source { text, href })
    }

    /// The sources of some values, each once, in the order met.
    pub(super) fn sources<'a>(&self, cited: impl IntoIterator<Item = Option<&'a Cited>>) -> Vec<pieces::Source> {
        let mut sources: Vec<pieces::Source> = Vec::new();
        for source in cited.into_iter().filter_map(|cited| self.source(cited)) {
            if !sources.iter().any(|known| known.text == source.text) {
                sources.push(source);
            }
        }
        sources
    }

    pub(super) fn state(&self, link: Option<&Link<State>>) -> Option<String> {
        let state = self.guide.states.get(&link?.value)?;
        Some(state.name.value.clone())
    }

    /// Safety messages, the gravest first, each hazard once.
    pub(super) fn cautions<'a>(&self, lists: impl IntoIterator<Item = &'a [Caution]>) -> Vec<pieces::Caution> {
        let mut cautions: Vec<pieces::Caution> = Vec::new();
        for caution in lists.into_iter().flatten().filter_map(|caution| self.caution(caution)) {
            if !cautions.iter().any(|known| known.hazard == caution.hazard && known.avoid_html == caution.avoid_html) {
                cautions.push(caution);
            }
        }
        cautions.sort_by_key(|caution| caution.signal);
        cautions
    }

    fn caution(&self, caution: &Caution) -> Option<pieces::Caution> {
        let hazard = caution.hazard.as_ref().and_then(|link| self.guide.hazards.get(&link.value));
        let signal = caution.signal.as_ref().or(hazard.map(|hazard| &hazard.signal))?.value;
        let says = caution.says.as_ref().or(hazard.map(|hazard| &hazard.name))?;
        let consequence = caution.consequence.as_ref().or(hazard.map(|hazard| &hazard.consequence))?;
        let avoid = caution.avoid.as_ref().or(hazard.map(|hazard| &hazard.avoid))?;
        Some(pieces::Caution {
            signal: signal_of(signal),
            hazard: says.value.trim_end_matches('.').to_owned(),
            consequence: self.plain(consequence),
            avoid_html: self.blocks(avoid, ""),
        })
    }

    /// The hazards of some parts and those of the whole guide, the gravest first, each once.
    pub(super) fn hazards_of<'a>(&self, parts: impl IntoIterator<Item = &'a Link<Part>>) -> Vec<pieces::Caution> {
        let parts = parts.into_iter().filter_map(|link| self.guide.parts.get(&link.value));
        let met = parts.flat_map(|part| {
            part.hazards.iter().map(|hazard| &hazard.hazard).chain(part.load.iter().map(|load| &load.hazard))
        });
        let mut cautions = self.cautions([self.guide.cautions.as_slice()]);
        for hazard in met.filter_map(|link| self.guide.hazards.get(&link.value)) {
            let caution = self.hazard(hazard);
            if !cautions.iter().any(|known| known.hazard == caution.hazard) {
                cautions.push(caution);
            }
        }
        cautions.sort_by_key(|caution| caution.signal);
        cautions
    }

    /// The standing text of a hazard.
    pub(super) fn hazard(&self, hazard: &Hazard) -> pieces::Caution {
        pieces::Caution {
            signal: signal_of(hazard.signal.value),
            hazard: hazard.name.value.trim_end_matches('.').to_owned(),
            consequence: self.plain(&hazard.consequence),
            avoid_html: self.blocks(&hazard.avoid, ""),
        }
    }

    pub(super) fn picture(&self, picture: Option<&Picture>) -> Option<pieces::Picture> {
        let picture = picture?;
        let (src, size) = Resolve::picture(self, &picture.file)?;
        let (width, height) = size.unwrap_or((0, 0));
        let alt = picture.says.as_ref().map(|says| says.value.clone()).unwrap_or_default();
        Some(pieces::Picture { src, alt, width, height, caption_html: None })
    }

    /// A repair with its tag.
    pub(super) fn repair(&self, link: &Link<Procedure>) -> pieces::Repair {
        let tag = self.guide.procedures.get(&link.value).map(|procedure| self.tag(procedure)).unwrap_or_default();
        pieces::Repair { link: self.procedure(link), tag }
    }

    /// The recalibration tag of a procedure; where it differs by variant, the greatest need, with each named.
    pub(super) fn tag(&self, procedure: &Procedure) -> pieces::Tag {
        let greatest = procedure.recalibration.iter().max_by_key(|tag| tag.need.value);
        let Some(greatest) = greatest else {
            // Work without a tag has no row in the register.
            let href = self.href("recalibration.html");
            return pieces::Tag { word: self.word("nobody_needed"), href, ..pieces::Tag::default() };
        };
        let mut tag = self.one_tag(procedure, greatest);
        let alike = procedure.recalibration.iter().all(|it| it.need.value == greatest.need.value && it.when.is_none());
        if procedure.recalibration.len() > 1 && !alike {
            tag.when = Some(self.tag_by_variant(&procedure.recalibration));
            tag.word = self.word("need_by_variant");
        }
        tag
    }

    /// One tag of a procedure, for the variants it is for.
    pub(super) fn one_tag(&self, procedure: &Procedure, tag: &Recalibration) -> pieces::Tag {
        pieces::Tag {
            need: need_of(tag.need.value),
            word: self.need_word(tag.need.value),
            when: tag.when.as_ref().map(|when| when.value.clone()),
            because: tag.because.as_ref().map(|because| because.value.clone()).unwrap_or_default(),
            chain: self.chain(procedure, tag),
            depots: tag.by.iter().map(|depot| self.depot(depot)).collect(),
            meanwhile: tag.by.iter().filter_map(|depot| self.meanwhile(depot)).collect(),
            source: self.source(tag.source.as_ref()),
            href: self.href(&format!("recalibration.html#work-{}", procedure.head.id.value)),
        }
    }

    /// What makes a tag so: the procedures it sends to, down to the part that is disturbed.
    fn chain(&self, procedure: &Procedure, tag: &Recalibration) -> Vec<pieces::Link> {
        let tags = recalibration::tags(self.guide, procedure);
        let machine = tags.iter().find(|known| std::ptr::eq(known.tag, tag)).and_then(|known| known.machines.first());
        let Some(machine) = machine else { return Vec::new() };
        let links = self.facts.recalibration.chain(&procedure.head.id.value, machine).into_iter();
        let link = |(_, because): (_, Because)| match because {
            Because::Disturbs { part, .. } | Because::Replaces { part, .. } => self.link(Kind::Part, part.as_str()),
            Because::Runs { procedure, .. } => self.link(Kind::Procedure, procedure.as_str()),
        };
        links.map(link).collect()
    }

    /// What a trip to a depot costs: how long it takes, and whether the machine may move meanwhile.
    pub(super) fn meanwhile(&self, link: &Link<Depot>) -> Option<pieces::Meanwhile> {
        let depot = self.guide.depots.get(&link.value)?;
        Some(pieces::Meanwhile {
            depot: self.depot(link),
            lead_time: format!("{} {}", depot.lead_days.value, self.word("working_days")),
            may_move_html: self.inline(&depot.may_move),
        })
    }

    fn tag_by_variant(&self, tags: &[Recalibration]) -> String {
        let one = |tag: &Recalibration| {
            let word = self.need_word(tag.need.value);
            let when = tag.when.as_ref().map(|when| format!(" ({})", when.value)).unwrap_or_default();
            match &tag.variants {
                Some(named) => format!("{}: {word}{when}", self.variants(named)),
                None => format!("{word}{when}"),
            }
        };
        tags.iter().map(one).collect::<Vec<_>>().join(BETWEEN)
    }

    /// The need in words, as printed on tags.
    pub(super) fn need_word(&self, need: Need) -> String {
        self.word(match need {
            Need::None => "need_none",
            Need::Conditional => "need_conditional",
            Need::Required => "need_required",
        })
    }

    pub(super) fn depot(&self, link: &Link<Depot>) -> pieces::Link {
        let text = self.guide.depots.get(&link.value).map_or(link.to_string_id(), |depot| depot.name.value.clone());
        pieces::Link { href: self.href(&format!("recalibration.html#depot-{}", link.as_str())), text }
    }

    /// Bulletins worked into an entry.
    pub(super) fn bulletins(&self, head: &crate::model::Head) -> Vec<pieces::Link> {
        head.bulletins.iter().map(|link| self.link(Kind::Bulletin, link.as_str())).collect()
    }

    /// Names of the variants an entry is for; none where it is for all.
    pub(super) fn applies_to(&self, head: &crate::model::Head) -> Vec<String> {
        let named = head.applies_to.as_deref().unwrap_or_default();
        let variant = |link: &Link<Variant>| self.guide.variants.get(&link.value);
        named.iter().filter_map(variant).map(|variant| variant.name.value.clone()).collect()
    }

    /// What kind of work a procedure is, in words.
    pub(super) fn work_word(&self, kind: ProcedureKind) -> String {
        self.word(match kind {
            ProcedureKind::Repair => "work_repair",
            ProcedureKind::Task => "work_task",
            ProcedureKind::MakeSafe => "work_make_safe",
            ProcedureKind::Test => "work_test",
        })
    }
}

/// Whole minutes, rounded up, so that nothing takes less than is said.
pub(super) fn minutes(seconds: u32) -> u32 {
    seconds.div_ceil(60)
}

fn signal_of(signal: Signal) -> pieces::Signal {
    match signal {
        Signal::Danger => pieces::Signal::Danger,
        Signal::Warning => pieces::Signal::Warning,
        Signal::Caution => pieces::Signal::Caution,
        Signal::Notice => pieces::Signal::Notice,
    }
}

pub(super) fn need_of(need: Need) -> pieces::Need {
    match need {
        Need::None => pieces::Need::None,
        Need::Conditional => pieces::Need::Conditional,
        Need::Required => pieces::Need::Required,
    }
}

/// The id of a link as owned text.
pub(super) trait IdText {
    fn to_string_id(&self) -> String;
}

impl<T> IdText for Located<crate::model::Id<T>> {
    fn to_string_id(&self) -> String {
        self.as_str().to_owned()
    }
}

impl Resolve for Place<'_> {
    fn entry(&self, kind: Kind, id: &str) -> Option<(String, String)> {
        let entry = self.guide.entry(kind, id)?;
        Some((self.href(&address::of(kind, id)?), entry.title.to_owned()))
    }

    fn picture(&self, file: &str) -> Option<(String, Option<(u32, u32)>)> {
        let size = self.guide.index.media.get(file)?;
        Some((self.href(&format!("media/{file}")), *size))
    }
}
