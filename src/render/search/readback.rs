//! Reads the postings out of a finished index of the library; its fields are private, its serialised form is not.

use super::language::{CODES, FIELDS, PARTS};
use elasticlunr::Index;
use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, Visitor};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// How often each term stands in each field of each page, and how long the fields are.
#[derive(Debug, Default)]
pub struct Counts {
    /// Term, then page, then times per field.
    pub terms: BTreeMap<String, BTreeMap<u32, [u32; FIELDS.len()]>>,
    /// Page, then terms per field.
    pub lengths: BTreeMap<u32, [u32; FIELDS.len()]>,
    /// Words met as written; the other terms are stems, quantities and turned words.
    pub surfaces: BTreeSet<String>,
    /// Each page's filter of neighbours, by page.
    pub filters: BTreeMap<u32, String>,
}

impl Counts {
    /// Reads `index`, whose document references are page numbers.
    pub fn of(index: &Index) -> Result<Self, serde_json::Error> {
        let mut counts = Counts::default();
        let written = serde_json::to_string(index)?;
        Top(&mut counts).deserialize(&mut serde_json::Deserializer::from_str(&written))?;
        Ok(counts)
    }

    /// Adds what another part of the pages gave.
    pub fn merge(&mut self, other: Counts) {
        for (term, pages) in other.terms {
            self.terms.entry(term).or_default().extend(pages);
        }
        self.lengths.extend(other.lengths);
        self.surfaces.extend(other.surfaces);
        self.filters.extend(other.filters);
    }

    /// Forgets the terms that begin with `mark` and stand on more than `most` pages.
    pub fn forget_common(&mut self, mark: char, most: usize) {
        self.terms.retain(|term, pages| !term.starts_with(mark) || pages.len() <= most);
    }
}

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase")]
struct Store {
    doc_info: BTreeMap<String, BTreeMap<String, u32>>,
}

#[derive(Deserialize)]
struct Frequency {
    tf: f64,
}

struct Top<'a>(&'a mut Counts);

impl<'de> DeserializeSeed<'de> for Top<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Top<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("an index")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key::<String>()? {
            match key.as_str() {
                "index" => map.next_value_seed(Fields(self.0))?,
                "documentStore" => store_lengths(self.0, map.next_value()?),
                _ => drop(map.next_value::<IgnoredAny>()?),
            }
        }
        Ok(())
    }
}

fn store_lengths(counts: &mut Counts, store: Store) {
    for (page, fields) in store.doc_info {
        let Ok(page) = page.parse() else { continue };
        let mut lengths = FIELDS.map(|field| fields.get(field).copied().unwrap_or(0));
        lengths[CODES] += lengths[PARTS];
        counts.lengths.insert(page, lengths);
    }
}

/// The map from field name to that field's letter tree.
struct Fields<'a>(&'a mut Counts);

impl<'de> DeserializeSeed<'de> for Fields<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Fields<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("the fields of an index")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key::<String>()? {
            let field = FIELDS.iter().position(|name| *name == key).ok_or_else(|| A::Error::custom("unknown field"))?;
            map.next_value_seed(Tree { counts: &mut *self.0, field, term: &mut String::new() })?;
        }
        Ok(())
    }
}

/// One node of a letter tree (or the object around its root): the term so far, its pages, its children by letter.
struct Tree<'a> {
    counts: &'a mut Counts,
    field: usize,
    term: &'a mut String,
}

impl<'de> DeserializeSeed<'de> for Tree<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Tree<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a node of an index")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key::<String>()? {
            match key.as_str() {
                "docs" => self.counts.add(self.term, self.field, map.next_value()?),
                "df" => drop(map.next_value::<IgnoredAny>()?),
                "root" => {
                    map.next_value_seed(Tree { counts: &mut *self.counts, field: self.field, term: &mut *self.term })?
                }
                letter => {
                    let before = self.term.len();
                    self.term.push_str(letter);
                    map.next_value_seed(Tree { counts: &mut *self.counts, field: self.field, term: &mut *self.term })?;
                    self.term.truncate(before);
                }
            }
        }
        Ok(())
    }
}

impl Counts {
    fn add(&mut self, term: &str, field: usize, pages: BTreeMap<String, Frequency>) {
        if pages.is_empty() {
            return;
        }
        let of_term = self.terms.entry(term.to_owned()).or_default();
        for (page, frequency) in pages {
            let Ok(page) = page.parse() else { continue };
            // The library stores the square root of the count.
            of_term.entry(page).or_default()[field] = (frequency.tf * frequency.tf).round() as u32;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::language::empty_index;
    use super::*;

    #[test]
    fn counts_come_back_as_they_went_in() {
        let mut index = empty_index(&Default::default());
        index.add_doc("7", ["pump docs", "", "P-12", "pump pump the pump", "P-12"]);
        let counts = Counts::of(&index).unwrap();
        assert_eq!(counts.terms["pump"][&7], [1, 0, 0, 3, 0]);
        assert_eq!(counts.terms["docs"][&7], [1, 0, 0, 0, 0]);
        assert_eq!(counts.terms["p12"][&7], [0, 0, 1, 0, 0]);
        assert_eq!(counts.terms["12"][&7], [0, 0, 0, 0, 1]);
        assert!(!counts.terms.contains_key("the"));
        assert_eq!(counts.terms["~the"][&7], [0, 0, 0, 1, 0]);
        assert!(!counts.surfaces.contains("the"));
        assert_eq!(counts.lengths[&7], [3, 0, 3, 4, 1]);
    }

    #[test]
    fn common_weak_words_of_bodies_are_forgotten() {
        let mut index = empty_index(&Default::default());
        index.add_doc("1", ["why the pump", "", "", "the pump may", ""]);
        index.add_doc("2", ["pump", "", "", "why the pump", ""]);
        let mut counts = Counts::of(&index).unwrap();
        counts.forget_common('~', 1);
        assert_eq!(counts.terms["the"], [(1, [1, 0, 0, 0, 0])].into());
        assert_eq!(counts.terms["~why"], [(2, [0, 0, 0, 1, 0])].into());
        assert_eq!(counts.terms["~may"], [(1, [0, 0, 0, 1, 0])].into());
        assert!(!counts.terms.contains_key("~the"));
        assert_eq!(counts.terms["pump"].len(), 2);
    }
}
