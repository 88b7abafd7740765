//! Everything the reader met on its way: ids declared, ids mentioned, values, texts, pictures.

use std::collections::BTreeMap;

use super::{Cited, Kind, Link, Variant};
use crate::text::Span;

/// An entry, named.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct EntryKey {
    pub kind: Kind,
    pub id: String,
}

/// The full name of a thing with an id. Local kinds name their owner.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Name {
    pub kind: Kind,
    pub owner: Option<String>,
    pub id: String,
}

/// A declared id.
#[derive(Debug, Clone, Copy)]
pub struct Declared {
    /// Where it is declared first.
    pub span: Span,
    /// True where the record has complaints and is missing from the model.
    pub broken: bool,
}

/// A mention of an id.
#[derive(Debug, Clone)]
pub struct LinkSite {
    /// The entry it stands in; `None` for guide.toml, card.toml and results.
    pub from: Option<EntryKey>,
    /// The key it stands under, such as `repair`; `text` for links in prose.
    pub role: &'static str,
    pub to: Name,
    pub span: Span,
}

/// A value that must name its source.
#[derive(Debug, Clone)]
pub struct ValueSite {
    pub from: Option<EntryKey>,
    /// The key it stands under.
    pub role: &'static str,
    pub source: Option<Cited>,
    pub span: Span,
}

/// A figure with its unit, as written.
#[derive(Debug, Clone)]
pub struct FigureSite {
    pub from: Option<EntryKey>,
    /// The key it stands under, such as `torque`.
    pub role: &'static str,
    pub text: String,
}

/// Records of one value that differ by variant.
#[derive(Debug, Clone)]
pub struct VariedSite {
    pub from: Option<EntryKey>,
    pub role: &'static str,
    /// The variants of each record; `None` means every one.
    pub records: Vec<Option<Vec<Link<Variant>>>>,
    pub span: Span,
}

/// A piece of text a person reads.
#[derive(Debug, Clone)]
pub struct ProseSite {
    pub from: Option<EntryKey>,
    pub role: ProseRole,
    /// The text as written: Markdown for prose, plain for one-line fields.
    pub text: String,
    /// Where the text stands; offsets into `text` are offsets into the span where `exact`.
    pub span: Span,
    /// False where escapes make the file differ from the text.
    pub exact: bool,
}

/// What a text is for: steps have shorter sentences.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProseRole {
    Step,
    Text,
    Caution,
    /// Words quoted from customers and technicians: not judged as writing.
    Quoted,
}

/// A picture that is shown.
#[derive(Debug, Clone)]
pub struct PictureSite {
    pub from: Option<EntryKey>,
    pub file: String,
    pub described: bool,
    pub span: Span,
}

/// What the reader met.
#[derive(Debug, Clone, Default)]
pub struct Index {
    /// Declared ids.
    pub declared: BTreeMap<Name, Declared>,
    pub links: Vec<LinkSite>,
    pub values: Vec<ValueSite>,
    pub figures: Vec<FigureSite>,
    pub varied: Vec<VariedSite>,
    pub prose: Vec<ProseSite>,
    pub pictures: Vec<PictureSite>,
    /// The records of each entry, for what is said of an entry as a whole.
    pub records: Vec<(EntryKey, Span)>,
    /// Pictures in `media/` that exist, by file name, with their size in pixels where it could be read.
    pub media: BTreeMap<String, Option<(u32, u32)>>,
}

impl Name {
    /// The name of a thing whose id is unique in the whole guide.
    pub fn global(kind: Kind, id: impl Into<String>) -> Self {
        Self { kind, owner: None, id: id.into() }
    }

    /// The name of a thing whose id is unique inside `owner`.
    pub fn local(kind: Kind, owner: impl Into<String>, id: impl Into<String>) -> Self {
        Self { kind, owner: Some(owner.into()), id: id.into() }
    }
}
