//! Reporting mentions of ids that nobody declares.

use std::collections::{BTreeMap, BTreeSet};

use super::Draft;
use super::absent::Causes;
use super::file::GUIDE;
use super::gaps::Gaps;
use crate::model::{Index, Kind, LinkSite, Name};
use crate::report::Finding;
use crate::text::{Span, nearest_id};

/// Comparisons of ids in one run. A guide with thousands of unknown ids has another trouble than spelling.
pub(super) const MOST_COMPARISONS: usize = 1_000_000;

/// Reports every mention of an id that is neither declared nor may stand in what could not be read.
pub(super) fn report(draft: &mut Draft, gaps: &Gaps) {
    let index = &draft.guide.index;
    let unknown: Vec<(&LinkSite, Name)> = index.links.iter().filter_map(|link| unknown(index, gaps, link)).collect();
    let main = draft.sources.find(GUIDE).map(Span::start_of);
    let mut causes = Causes::of(index, &draft.sources, &unknown, main);
    let mut advisor = Advisor::of(index);
    let (mut found, mut unsure) = (Vec::new(), BTreeSet::new());
    for (link, to) in &unknown {
        let rule = match link.role {
            "text" => "dead-link",
            "brings" => "brought-cause-unknown-to-any-fault",
            _ => "unknown-id",
        };
        if rule == "unknown-id" || causes.explain(to) {
            unsure.extend(link.from.as_ref());
        }
        if !causes.explain(to) {
            found.push(advisor.finding(rule, to, link.span));
        }
    }
    found.append(&mut causes.findings);
    // What an entry should have named is not known: rules about it would judge half of it.
    let records = index.records.iter().filter(|(key, _)| unsure.contains(key));
    draft.silenced.extend(records.map(|(_, span)| *span));
    draft.findings.append(&mut found);
}

/// What a mention names, where that is neither declared nor may stand in what could not be read.
fn unknown<'i>(index: &Index, gaps: &Gaps, link: &'i LinkSite) -> Option<(&'i LinkSite, Name)> {
    let owner = owner_of(&link.to).filter(|owner| !index.declared.contains_key(owner));
    // Only `brings = ["other-fault/cause"]` names an owner that no other key names as well.
    let to = match owner {
        Some(_) if link.role != "brings" => return None,
        Some(owner) => owner,
        None => link.to.clone(),
    };
    (!is_declared(index, &to) && !gaps.may_hold(&to)).then_some((link, to))
}

/// A source may be a source of guide.toml or a bulletin.
fn is_declared(index: &Index, name: &Name) -> bool {
    index.declared.contains_key(name)
        || (name.kind == Kind::Source && index.declared.contains_key(&Name::global(Kind::Bulletin, name.id.as_str())))
}

/// The entry a local id belongs to.
pub(super) fn owner_of(name: &Name) -> Option<Name> {
    let owner = name.owner.as_ref()?;
    let kind = match name.kind {
        Kind::Cause | Kind::Check | Kind::Access => Kind::Fault,
        Kind::Band => Kind::Reading,
        Kind::Node | Kind::TestPoint => Kind::WiringPath,
        Kind::SequenceStep => Kind::Sequence,
        _ => return None,
    };
    Some(Name::global(kind, owner.as_str()))
}

/// Where a thing is declared, as words behind its name.
fn home(name: &Name) -> String {
    let own_file =
        |folder: &str, table: &str| format!(", a file {folder}/{}.toml that begins with `[{table}]`", name.id);
    let row = |table: &str, place: &str| format!(", a table `[[{table}]]` in {place}");
    match name.kind {
        Kind::Fault => own_file("faults", "fault"),
        Kind::Procedure => own_file("procedures", "procedure"),
        Kind::Circuit => own_file("hoses", "circuit"),
        Kind::WiringPath => own_file("wiring", "path"),
        Kind::Sequence => own_file("sequences", "sequence"),
        Kind::Part => row("part", "a file of parts/"),
        Kind::Reading => row("reading", "a file of readings/"),
        Kind::Bulletin => row("bulletin", "a file of bulletins/"),
        Kind::Signal => row("signal", "a file of sequences/"),
        Kind::Port => row("port", "a file of hoses/"),
        Kind::Term => row("term", "terms.toml"),
        Kind::Variant => row("variant", "guide.toml"),
        Kind::Depot => row("depot", "guide.toml"),
        Kind::State => row("state", "guide.toml"),
        Kind::Hazard => row("hazard", "guide.toml"),
        Kind::Source => row("source", "guide.toml"),
        Kind::LikelihoodWord => row("likelihood", "guide.toml"),
        Kind::Cause => row("cause", "the same file"),
        Kind::Check => row("check", "the same file"),
        Kind::Access => row("access", "the same file"),
        Kind::Hose => row("hose", "a file of hoses/"),
        Kind::Band => row("reading.band", "the file of the reading"),
        _ => String::new(),
    }
}

fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// Knows what could have been meant.
struct Advisor<'i> {
    known: BTreeMap<(Kind, Option<String>), Vec<&'i str>>,
    kinds: BTreeMap<&'i str, Kind>,
    comparisons: usize,
}

impl<'i> Advisor<'i> {
    fn of(index: &'i Index) -> Self {
        let (mut known, mut kinds) = (BTreeMap::new(), BTreeMap::new());
        for name in index.declared.keys() {
            known.entry((name.kind, name.owner.clone())).or_insert_with(Vec::new).push(name.id.as_str());
            if name.owner.is_none() {
                kinds.entry(name.id.as_str()).or_insert(name.kind);
            }
        }
        Self { known, kinds, comparisons: MOST_COMPARISONS }
    }

    fn finding(&mut self, rule: &'static str, name: &Name, span: Span) -> Finding {
        let (kind, id, home) = (name.kind.word(), &name.id, home(name));
        let a = article(kind);
        let within = name.owner.as_ref().map(|owner| format!(" of `{owner}`")).unwrap_or_default();
        let wrong = format!("No {kind}{within} is called `{id}`.");
        let remedy = match (self.nearest(name), self.kinds.get(id.as_str())) {
            (Some(known), _) => format!("Write `{known}`, if that was meant; else add {a} {kind} `{id}`{home}."),
            (None, Some(other)) => {
                format!("`{id}` is {} {}: name {a} {kind} here.", article(other.word()), other.word())
            }
            (None, None) => format!("Add {a} {kind} `{id}`{home}, or name one that is there.{}", self.few(name)),
        };
        Finding::new(rule, span, wrong, remedy)
    }

    fn candidates(&self, name: &Name) -> &[&'i str] {
        self.known.get(&(name.kind, name.owner.clone())).map(Vec::as_slice).unwrap_or_default()
    }

    fn nearest(&mut self, name: &Name) -> Option<&'i str> {
        let count = self.candidates(name).len();
        self.comparisons = self.comparisons.checked_sub(count)?;
        nearest_id(&name.id, self.candidates(name).iter().copied())
    }

    fn few(&self, name: &Name) -> String {
        match self.candidates(name) {
            [] => String::new(),
            few if few.len() <= 8 => format!(" There are: {}.", few.join(", ")),
            _ => String::new(),
        }
    }
}
