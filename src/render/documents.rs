//! What search knows of the guide: every name of every page, and its text.

use std::collections::BTreeMap;

use super::markdown::Resolve;
use super::place::Place;
use super::{address, search};
use crate::model::{AnyEntry, EntryKey, Guide, Kind, ProseRole, Term};
use crate::reason::Facts;
use crate::text::Located;

/// A name under which a page is looked up.
#[derive(Debug, Clone)]
pub(super) struct PageName {
    pub(super) text: String,
    pub(super) kind: Kind,
    pub(super) path: String,
    /// The page's own title, where `text` is another word for it.
    pub(super) see: Option<String>,
}

/// Every name of every page: titles, other words, codes, part numbers, marks.
pub(super) fn names(guide: &Guide) -> Vec<PageName> {
    let mut names = Vec::new();
    for entry in guide.entries() {
        let Some(path) = address::of(entry.kind, &entry.head.id.value) else { continue };
        let name = |text: &str, see: Option<String>| PageName {
            text: text.to_owned(),
            kind: entry.kind,
            path: path.clone(),
            see,
        };
        names.push(name(entry.title, None));
        let others = others(guide, entry.kind, &entry.head.id.value);
        names.extend(others.iter().map(|other| name(other, Some(entry.title.to_owned()))));
    }
    names
}

/// Other words for a page.
fn others(guide: &Guide, kind: Kind, id: &str) -> Vec<String> {
    match kind {
        Kind::Fault => guide.faults.find(id).map(fault_names),
        Kind::Part => guide.parts.find(id).map(part_names),
        Kind::Bulletin => guide.bulletins.find(id).map(|bulletin| vec![bulletin.number.value.clone()]),
        Kind::Term => guide.terms.find(id).map(|term| term.also_said.iter().map(|said| said.value.clone()).collect()),
        _ => None,
    }
    .unwrap_or_default()
}

fn fault_names(fault: &crate::model::Fault) -> Vec<String> {
    fault.also_said.iter().chain(&fault.codes).map(|name| name.value.clone()).collect()
}

fn part_names(part: &crate::model::Part) -> Vec<String> {
    part.number.iter().chain(&part.mark).chain(&part.supersedes).map(|name| name.value.clone()).collect()
}

/// Kinds of pages for the search, and how much sooner a technician wants them, in percent.
const BOOSTS: [(Kind, u16); 10] = [
    (Kind::Fault, 130),
    (Kind::Procedure, 115),
    (Kind::Reading, 110),
    (Kind::Part, 105),
    (Kind::Circuit, 105),
    (Kind::Sequence, 100),
    (Kind::WiringPath, 100),
    (Kind::Bulletin, 85),
    (Kind::Term, 80),
    (Kind::Note, 75),
];

/// Everything that searching goes by; what is only shown with a result comes later.
pub(super) fn guide_of(guide: &Guide, facts: &Facts) -> search::Guide {
    let bodies = bodies(guide);
    let documents = guide.entries().into_iter().filter_map(|entry| document(guide, facts, entry, &bodies)).collect();
    let kinds = BOOSTS.iter().filter_map(|(kind, boost)| {
        Some(search::Kind { id: kind.link_word()?.to_owned(), boost: *boost, is_work: *kind == Kind::Procedure })
    });
    search::Guide { documents, kinds: kinds.collect(), synonyms: guide.terms.iter().map(synonym).collect() }
}

fn document(guide: &Guide, facts: &Facts, entry: AnyEntry<'_>, bodies: &Bodies<'_>) -> Option<search::Document> {
    let (kind, id) = (entry.kind, entry.head.id.value.as_str());
    let key = EntryKey { kind, id: id.to_owned() };
    let written = bodies.get(&key).map(|texts| texts.join("\n")).unwrap_or_default();
    let mut body = super::markdown::plain(&written, &Titles(guide));
    super::shown::shown(guide, entry).iter().for_each(|text| {
        body.push('\n');
        body.push_str(text);
    });
    Some(search::Document {
        url: address::of(kind, id)?,
        kind: kind.link_word()?.to_owned(),
        title: entry.title.to_owned(),
        also: also(guide, kind, id).join("\n"),
        codes: codes(guide, kind, id).join("\n"),
        body,
        variants: entry.head.applies_to.iter().flatten().map(|link| link.as_str().to_owned()).collect(),
        related: related(facts, &key),
        tags: Vec::new(),
    })
}

/// A link without words is read as the title of its entry.
struct Titles<'g>(&'g Guide);

impl Resolve for Titles<'_> {
    fn entry(&self, kind: Kind, id: &str) -> Option<(String, String)> {
        self.0.entry(kind, id).map(|entry| (String::new(), entry.title.to_owned()))
    }

    fn picture(&self, _: &str) -> Option<(String, Option<(u32, u32)>)> {
        None
    }
}

type Bodies<'g> = BTreeMap<EntryKey, Vec<&'g str>>;

/// Everything written in each entry, in the order written; then its figures, each kind after its key.
fn bodies(guide: &Guide) -> Bodies<'_> {
    let mut bodies = Bodies::new();
    for site in guide.index.prose.iter().filter(|site| site.role != ProseRole::Quoted) {
        if let Some(from) = &site.from {
            bodies.entry(from.clone()).or_default().push(&site.text);
        }
    }
    let mut before = None;
    for site in &guide.index.figures {
        let Some(from) = &site.from else { continue };
        let texts = bodies.entry(from.clone()).or_default();
        if before.replace((from, site.role)) != Some((from, site.role)) {
            texts.push(site.role);
        }
        texts.push(&site.text);
    }
    bodies
}

fn texts(words: &[Located<String>]) -> Vec<String> {
    words.iter().map(|word| word.value.clone()).collect()
}

/// Other words for an entry.
fn also(guide: &Guide, kind: Kind, id: &str) -> Vec<String> {
    match kind {
        Kind::Fault => guide.faults.find(id).map(|fault| texts(&fault.also_said)),
        Kind::Part => guide.parts.find(id).map(|part| vec![part.location.value.clone()]),
        Kind::Term => guide.terms.find(id).map(|term| texts(&term.also_said)),
        // What everybody looks for there, whatever the entry is called.
        Kind::Circuit => Some(vec!["hoses".to_owned()]),
        Kind::WiringPath => Some(vec!["wiring diagram".to_owned()]),
        Kind::Sequence => Some(vec!["what happens in order".to_owned()]),
        _ => None,
    }
    .unwrap_or_default()
}

/// Codes, part numbers and marks that bring an entry.
fn codes(guide: &Guide, kind: Kind, id: &str) -> Vec<String> {
    match kind {
        Kind::Fault => guide.faults.find(id).map(|fault| texts(&fault.codes)),
        Kind::Part => guide.parts.find(id).map(part_names),
        Kind::Bulletin => guide.bulletins.find(id).map(|bulletin| vec![bulletin.number.value.clone()]),
        Kind::Circuit => {
            guide.circuits.find(id).map(|circuit| circuit.hoses.iter().map(|hose| hose.mark.value.clone()).collect())
        }
        _ => None,
    }
    .unwrap_or_default()
}

/// Pages that this one sends the reader to.
fn related(facts: &Facts, from: &EntryKey) -> Vec<String> {
    let sent = |role: &str| matches!(role, "repair" | "opens" | "disturbs" | "moves" | "reading" | "go_to");
    let links = facts.mentions.from_entry(from);
    let mut paths: Vec<String> =
        links.filter(|(_, role)| sent(role)).filter_map(|(to, _)| address::of(to.kind, &to.id)).collect();
    paths.sort();
    paths.dedup();
    paths
}

fn synonym(term: &Term) -> search::Synonym {
    search::Synonym { preferred: term.word.value.clone(), avoided: texts(&term.avoid), said: texts(&term.also_said) }
}

/// The words of the search's results, as a script.
pub(super) fn search_words(place: Place<'_>) -> String {
    let mut words = place.theme.search_words().clone();
    let kinds = BOOSTS
        .iter()
        .filter_map(|(kind, _)| Some((kind.link_word()?.to_owned(), super::pages::kind_word(place, *kind).into())));
    let register = (super::registers::REGISTER.to_owned(), place.word("registers").into());
    let kinds = kinds.chain([register]);
    words.insert("kinds".to_owned(), serde_json::Value::Object(kinds.collect()));
    let variants = place.guide.variants.iter().map(|it| (it.head.id.value.clone(), it.name.value.clone().into()));
    words.insert("variants".to_owned(), serde_json::Value::Object(variants.collect()));
    let words = serde_json::Value::Object(words).to_string().replace('<', "\\u003c");
    format!("var Bayleaf=Bayleaf||{{}};Bayleaf.searchWords={words};\n")
}
