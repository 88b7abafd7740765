//! Mentions of unknown ids that all have one cause: an entry whose own id is mistyped, or a kind of which there is nothing.
//! The cause is reported once, in place of the mentions.

use std::collections::{BTreeMap, BTreeSet};

use super::unknown::MOST_COMPARISONS;
use crate::model::{Declared, Index, Kind, LinkSite, Name};
use crate::report::Finding;
use crate::text::{Sources, Span, nearest_id};

/// Mentions from which on a missing kind is told as a whole.
const MANY: usize = 3;

/// Mentions shown beside a cause.
const SHOWN: usize = 3;

/// What explains unknown names, with the findings that say so.
#[derive(Default)]
pub(super) struct Causes {
    explained: BTreeSet<Name>,
    kinds: BTreeSet<Kind>,
    pub(super) findings: Vec<Finding>,
}

impl Causes {
    /// Looks for causes behind these unknown mentions.
    pub(super) fn of(index: &Index, sources: &Sources, unknown: &[(&LinkSite, Name)], main: Option<Span>) -> Self {
        let mut causes = Self::default();
        let mut mentions: BTreeMap<&Name, Vec<&LinkSite>> = BTreeMap::new();
        for (link, name) in unknown {
            mentions.entry(name).or_default().push(link);
        }
        causes.missing_kinds(index, &mentions, main);
        let mut lonely = Lonely::of(index);
        for (name, links) in &mentions {
            if !causes.kinds.contains(&name.kind)
                && let Some((typed, declared)) = lonely.mistyped(name)
                && (links.len() > 1 || is_file_of(sources, declared, name))
            {
                causes.explained.insert((*name).clone());
                causes.findings.push(own_id(typed, declared, name, links));
            }
        }
        causes
    }

    /// True where a mention needs no finding of its own.
    pub(super) fn explain(&self, name: &Name) -> bool {
        self.explained.contains(name) || self.kinds.contains(&name.kind)
    }

    /// Kinds of guide.toml of which nothing is declared although many places name one.
    fn missing_kinds(&mut self, index: &Index, mentions: &BTreeMap<&Name, Vec<&LinkSite>>, main: Option<Span>) {
        let Some(main) = main else { return };
        let kinds = [
            (Kind::Variant, "variant"),
            (Kind::Depot, "depot"),
            (Kind::State, "state"),
            (Kind::Hazard, "hazard"),
            (Kind::Source, "source"),
            (Kind::LikelihoodWord, "likelihood"),
        ];
        for (kind, table) in kinds {
            let named: Vec<_> = mentions.iter().filter(|(name, _)| name.kind == kind).collect();
            let places: usize = named.iter().map(|(_, links)| links.len()).sum();
            if places < MANY || index.declared.keys().any(|name| name.kind == kind) {
                continue;
            }
            let ids: Vec<String> = named.iter().take(8).map(|(name, _)| format!("`{}`", name.id)).collect();
            let more = if named.len() > ids.len() { ", …" } else { "" };
            let wrong = format!("guide.toml has no `[[{table}]]`, and {places} places in the guide name one.");
            let remedy = format!("Add a table `[[{table}]]` for each of these: {}{more}.", ids.join(", "));
            self.findings.push(Finding::new("unknown-id", main, wrong, remedy));
            self.kinds.insert(kind);
        }
    }
}

/// Declared names of one kind and owner.
type Kin<'i> = Vec<(&'i Name, &'i Declared)>;

/// The declared names that nobody mentions, by kind and owner.
struct Lonely<'i> {
    names: BTreeMap<(Kind, Option<&'i str>), Kin<'i>>,
    comparisons: usize,
}

impl<'i> Lonely<'i> {
    fn of(index: &'i Index) -> Self {
        let mentioned: BTreeSet<&Name> = index.links.iter().map(|link| &link.to).collect();
        let mut names: BTreeMap<_, Kin<'_>> = BTreeMap::new();
        for one in index.declared.iter().filter(|(name, _)| !mentioned.contains(name)) {
            names.entry((one.0.kind, one.0.owner.as_deref())).or_default().push(one);
        }
        Self { names, comparisons: MOST_COMPARISONS }
    }

    /// The one entry whose id is a slip of this name; nothing once too much was compared.
    fn mistyped(&mut self, name: &Name) -> Option<(&'i Name, &'i Declared)> {
        let kin = self.names.get(&(name.kind, name.owner.as_deref()))?;
        self.comparisons = self.comparisons.checked_sub(kin.len())?;
        let near = nearest_id(&name.id, kin.iter().map(|(other, _)| other.id.as_str()))?;
        kin.iter().find(|(other, _)| other.id == near).copied()
    }
}

/// True where the file of an entry bears the name that is looked for.
fn is_file_of(sources: &Sources, declared: &Declared, name: &Name) -> bool {
    let path = sources.path(declared.span.file);
    let file = path.rsplit('/').next().unwrap_or(path);
    file.rsplit_once('.').is_some_and(|(stem, _)| stem == name.id)
}

fn own_id(typed: &Name, declared: &Declared, wanted: &Name, links: &[&LinkSite]) -> Finding {
    let (kind, typed, wanted) = (typed.kind.word(), &typed.id, &wanted.id);
    let (places, each) = match links.len() {
        1 => ("one place names".to_owned(), "that place"),
        count => (format!("{count} places name"), "those places"),
    };
    let wrong = format!("Nothing names the {kind} `{typed}`, and {places} `{wanted}`, which is not there.");
    let remedy = format!("Write `{wanted}` here, if that was meant; else write `{typed}` in {each}.");
    let finding = Finding::new("unknown-id", declared.span, wrong, remedy);
    links.iter().take(SHOWN).fold(finding, |finding, link| finding.with(link.span, format!("`{wanted}` is named here")))
}
