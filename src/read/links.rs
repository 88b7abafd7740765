//! Reading ids and mentions of ids.

use crate::desk::names;
use crate::model::{Entry, EntryKey, Head, Id, Kind, Link, Name, Variant};
use crate::report::Finding;
use crate::text::{Located, nearest};

use super::record::Record;

/// Longest id: it becomes a file name.
const LONGEST_ID: usize = 80;

/// What an id looks like, for messages.
const ID_SHAPE: &str = "small letters a to z, digits and single hyphens, such as `oil-pump`, at most 80 in all";

/// True for kebab-case: small letters and digits, joined by single hyphens.
pub(super) fn is_kebab(text: &str) -> bool {
    text.len() <= LONGEST_ID
        && text
            .split('-')
            .all(|word| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit()))
}

impl Record<'_, '_> {
    /// Reads the head of an entry and declares it. Everything read later belongs to the entry.
    pub(super) fn head(&mut self, kind: Kind) -> Option<Head> {
        let id = self.id();
        self.owner = id.as_ref().map(|id| EntryKey { kind, id: id.value.clone() });
        self.ledger.main = self.owner.clone();
        if let Some(id) = &id {
            self.declare(Name::global(kind, id.value.clone()), id.span);
        }
        let head = self.head_after(id.clone().unwrap_or_default());
        id.map(|id| Head { id, ..head })
    }

    /// The rest of a head whose id is known.
    pub(super) fn head_after(&mut self, id: Located<String>) -> Head {
        let applies_to = self.variants("applies_to");
        let reviewed = self.date_opt("reviewed");
        let bulletins = self.links_or_unknown("applied_bulletins", Kind::Bulletin);
        Head { id, span: self.span, applies_to, reviewed, bulletins }
    }

    /// The head of a thing that has an id of its own but belongs to no variant and is never reviewed.
    pub(super) fn small_head(&mut self, kind: Kind) -> Option<Head> {
        let id = self.id()?;
        self.owner = Some(EntryKey { kind, id: id.value.clone() });
        self.declare(Name::global(kind, id.value.clone()), id.span);
        Some(Head { id, span: self.span, applies_to: None, reviewed: None, bulletins: Vec::new() })
    }

    /// Reads an id that is unique inside the entry it belongs to, and declares it.
    pub(super) fn local_id(&mut self, kind: Kind) -> Option<Located<String>> {
        let id = self.id()?;
        // What belongs to an entry without a name cannot be named from anywhere.
        if let Some(owner) = self.owner.as_ref().map(|owner| owner.id.clone()) {
            self.declare(Name::local(kind, owner, id.value.clone()), id.span);
        }
        Some(id)
    }

    /// Reads an id that is unique in the guide but has no page of its own, and declares it.
    pub(super) fn global_id(&mut self, kind: Kind) -> Option<Located<String>> {
        let id = self.id()?;
        self.declare(Name::global(kind, id.value.clone()), id.span);
        Some(id)
    }

    /// The key `id`.
    pub(super) fn id(&mut self) -> Option<Located<String>> {
        let id = self.word("id", &format!("a name of its own, in {ID_SHAPE}"))?;
        if is_id(&id.value) {
            return Some(id);
        }
        self.ledger.unread(&id.value);
        if let Some(meant) = kebab(&id.value) {
            self.ledger.unread(&meant);
        }
        self.bad_id(&id)
    }

    fn bad_id<T>(&mut self, id: &Located<String>) -> Option<T> {
        let (wrong, remedy) = worded_bad_id(&id.value);
        self.complain(Finding::new("bad-id", id.span, wrong, remedy));
        None
    }

    /// A list of mentions for rules that judge the list as a whole: where it could not be read, it holds an id that
    /// nobody declares, and such a list is not judged.
    fn links_or_unknown<T>(&mut self, key: &'static str, kind: Kind) -> Vec<Link<T>> {
        let (mut links, complained) = self.watched(|record| record.links(key, kind));
        let lost = !self.has(key) && (self.is_hurt() || self.is_misspelt(key));
        if complained || lost {
            links.push(Located::new(Id::new(UNREAD), self.header));
        }
        links
    }

    /// A mention of a thing whose id is unique in the guide.
    pub(super) fn link<T>(&mut self, key: &'static str, kind: Kind, wanted: &str) -> Option<Link<T>> {
        let word = self.word(key, wanted)?;
        self.mention(key, kind, word)
    }

    /// The same, where it may be left out.
    pub(super) fn link_opt<T>(&mut self, key: &'static str, kind: Kind) -> Option<Link<T>> {
        let word = self.word_opt(key)?;
        self.mention(key, kind, word)
    }

    /// A list of mentions.
    pub(super) fn links<T>(&mut self, key: &'static str, kind: Kind) -> Vec<Link<T>> {
        self.words(key).into_iter().filter_map(|word| self.mention(key, kind, word)).collect()
    }

    /// A list of mentions of things inside the same entry, or as `owner/id` inside another.
    pub(super) fn local_links<T>(&mut self, key: &'static str, kind: Kind) -> Vec<Link<T>> {
        self.words(key).into_iter().filter_map(|word| self.local_mention(key, kind, word)).collect()
    }

    /// A list of mentions of things that can only be meant inside the same entry.
    pub(super) fn own_links<T>(&mut self, key: &'static str, kind: Kind) -> Vec<Link<T>> {
        self.words(key).into_iter().filter_map(|word| self.own_mention(key, kind, word)).collect()
    }

    fn own_mention<T>(&mut self, key: &'static str, kind: Kind, word: Located<String>) -> Option<Link<T>> {
        let own = self.owner.as_ref().map(|owner| owner.id.clone()).unwrap_or_default();
        match word.value.split_once('/') {
            None => self.mention_in(key, kind, &own, word),
            Some((owner, id)) if owner == own => {
                let word = Located::new(id.to_owned(), word.span);
                self.mention_in(key, kind, &own, word)
            }
            Some(_) => {
                let wrong = format!("\"{}\" does not belong to this entry.", shortened(&word.value));
                let remedy = format!("Name a {} of this entry under `{key}`.", kind.word());
                self.complain(Finding::new("bad-id", word.span, wrong, remedy));
                None
            }
        }
    }

    /// A mention of something inside the same entry, or as `owner/id` inside another.
    pub(super) fn local_mention<T>(&mut self, key: &'static str, kind: Kind, word: Located<String>) -> Option<Link<T>> {
        let own = self.owner.as_ref().map(|owner| owner.id.clone());
        let (owner, id) = match word.value.split_once('/') {
            Some((owner, id)) => (Some(owner.to_owned()), id.to_owned()),
            None => (own, word.value.clone()),
        };
        if owner.as_ref().is_some_and(|owner| !is_kebab(owner)) || !is_kebab(&id) {
            return self.bad_id(&word);
        }
        if let Some(owner) = owner {
            self.ledger.link(self.owner.clone(), key, Name::local(kind, owner, id), word.span);
        }
        Some(word.map(Id::new))
    }

    /// A mention of something inside a named owner.
    pub(super) fn mention_in<T>(
        &mut self,
        key: &'static str,
        kind: Kind,
        owner: &str,
        word: Located<String>,
    ) -> Option<Link<T>> {
        if !is_kebab(&word.value) {
            return self.bad_id(&word);
        }
        self.ledger.link(self.owner.clone(), key, Name::local(kind, owner, word.value.clone()), word.span);
        Some(word.map(Id::new))
    }

    /// Makes a mention of a word.
    pub(super) fn mention<T>(&mut self, key: &'static str, kind: Kind, word: Located<String>) -> Option<Link<T>> {
        if !is_kebab(&word.value) {
            return self.bad_id(&word);
        }
        self.ledger.link(self.owner.clone(), key, Name::global(kind, word.value.clone()), word.span);
        Some(word.map(Id::new))
    }

    /// A list of variants; `None` where the key is left out, which means all of them.
    pub(super) fn variants(&mut self, key: &'static str) -> Option<Vec<Link<Variant>>> {
        let links = self.links_or_unknown(key, Variant::KIND);
        (self.has(key) || !links.is_empty()).then_some(links)
    }

    /// `owner/id`, as in `lift-path/fuse-out`.
    pub(super) fn pair_opt<A, B>(
        &mut self,
        key: &'static str,
        owner_kind: Kind,
        kind: Kind,
    ) -> Option<(Link<A>, Link<B>)> {
        let word = self.word_opt(key)?;
        let Some((owner, id)) = word.value.split_once('/') else {
            let wrong = format!("\"{}\" does not say whose {} it is.", shortened(&word.value), kind.word());
            let remedy = format!("Write the {} and the {}, joined by `/`.", owner_kind.word(), kind.word());
            self.complain(Finding::new("bad-id", word.span, wrong, remedy));
            return None;
        };
        if !is_kebab(owner) || !is_kebab(id) {
            return self.bad_id(&word);
        }
        let at = |text: &str| Located::new(text.to_owned(), word.span);
        let inner = self.mention_in(key, kind, owner, at(id));
        let outer = self.mention(key, owner_kind, at(owner));
        Some((outer?, inner?))
    }

    /// A list of entries of any kind, written `kind:id`.
    pub(super) fn any_entries(&mut self, key: &'static str) -> Vec<Located<(Kind, String)>> {
        self.words(key).into_iter().filter_map(|word| self.any_entry(key, word)).collect()
    }

    /// One entry of any kind, written `kind:id`.
    pub(super) fn any_entry(&mut self, key: &'static str, word: Located<String>) -> Option<Located<(Kind, String)>> {
        let parts = word.value.split_once(':').map(|(kind, id)| (Kind::from_link_word(kind), id));
        let Some((Some(kind), id)) = parts else {
            let words: Vec<&str> = Kind::linkable().filter_map(Kind::link_word).collect();
            let wrong = format!("\"{}\" does not name an entry by kind and id.", shortened(&word.value));
            let remedy = link_meant(&word.value).unwrap_or_else(|| {
                format!("Write the kind, a colon and the id, such as `part:oil-pump`. Kinds: {}.", words.join(", "))
            });
            self.complain(Finding::new("bad-id", word.span, wrong, remedy));
            return None;
        };
        if !is_kebab(id) {
            return self.bad_id(&word);
        }
        let id = id.to_owned();
        self.ledger.link(self.owner.clone(), key, Name::global(kind, id.clone()), word.span);
        Some(Located::new((kind, id), word.span))
    }
}

/// What to write where only the word for the kind is misspelt.
pub(super) fn link_meant(target: &str) -> Option<String> {
    let (written, id) = target.split_once(':').filter(|(_, id)| is_kebab(id))?;
    let known = nearest(written, Kind::linkable().filter_map(Kind::link_word))?;
    Some(format!("Write `{known}:{id}`, if that was meant."))
}

/// Stands in a list of ids that could not be read; no id is spelt so.
const UNREAD: &str = "?";

/// True for what can be the id of something: kebab-case, and no name that a system keeps for devices.
pub(super) fn is_id(text: &str) -> bool {
    is_kebab(text) && names::fault(text).is_none()
}

/// What is wrong with an id, and what to write.
pub(super) fn worded_bad_id(id: &str) -> (String, String) {
    let shown = shortened(id);
    if is_kebab(id) {
        let wrong = format!("\"{shown}\" cannot be an id: some systems keep this name for devices.");
        return (wrong, "Write another id, such as one of two words.".to_owned());
    }
    let remedy = match kebab(id) {
        Some(meant) => format!("Write `{meant}`, or another id in {ID_SHAPE}."),
        None => format!("Write {ID_SHAPE}."),
    };
    (format!("\"{shown}\" is not an id."), remedy)
}

/// The id that a text comes close to: capitals made small, other signs made hyphens.
fn kebab(text: &str) -> Option<String> {
    if text.len() > LONGEST_ID {
        return None;
    }
    let plain = |letter: char| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { ' ' };
    let spaced: String = text.chars().map(plain).collect();
    let joined = spaced.split_whitespace().collect::<Vec<_>>().join("-");
    Some(joined).filter(|joined| is_id(joined))
}

/// Text for a message: no control characters, not too long.
pub(super) fn shortened(text: &str) -> String {
    let clean: String = text.chars().filter(|letter| !letter.is_control()).take(60).collect();
    if text.chars().count() > 60 { format!("{clean}…") } else { clean }
}
