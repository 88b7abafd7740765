//! Reads a query: stretches of words, each with the ways to read it.

use super::super::quantity::{Found, bucket_term, quantities};
use super::super::tables::TABLES;
use super::super::terms::{root, turned_at, weak_term};
use super::super::words::Word;
use super::Options;
use super::index::Finder;
use std::collections::BTreeSet;

/// One way to read a stretch of the query: all its terms must be on the page.
#[derive(Debug, Clone)]
pub struct Way {
    pub terms: Vec<usize>,
    pub weight: f64,
    /// The corrected word, where it is one.
    pub reading: Option<String>,
}

/// Only the words of phrases that stand for others better than this are looked for one by one.
const OTHER_PHRASES: f64 = 0.9;

/// A stretch of the query that counts as one word.
#[derive(Debug, Clone)]
pub struct Group {
    pub text: String,
    pub ways: Vec<Way>,
    pub weight: f64,
    pub code: bool,
    /// The word, where typing errors may be looked for.
    pub plain: Option<String>,
    /// The term for the word turned by a not, which speaks against a page when the query has no not.
    pub against: Option<usize>,
    /// It is a negator that turns plain words.
    pub turns: bool,
}

/// A query as it was read.
pub struct Query<'a> {
    pub index: &'a Finder,
    pub list: Vec<Word>,
    pub groups: Vec<Group>,
    /// Groups of negators with the words they turn.
    pub negations: Vec<(usize, Vec<String>)>,
    /// Places of the words that are turned.
    opposed: BTreeSet<usize>,
    /// The last word may be unfinished.
    open: bool,
    whole_phrases: bool,
    strong: bool,
    /// It has a negator.
    pub negated: bool,
}

impl<'a> Query<'a> {
    /// Whether it begins with a verb for something to do, and says nothing of what a thing does not do.
    pub fn asks_for_work(&self) -> bool {
        !self.negated
            && self.list.iter().find(|word| !word.is_weak()).is_some_and(|word| TABLES.tasks.contains(&word.term))
    }

    /// Reads `list`.
    pub fn read(index: &'a Finder, list: Vec<Word>, options: &Options) -> Self {
        let strong = list.iter().any(|word| !word.is_weak());
        let negated = list.iter().any(Word::negates);
        let quantities = quantities(&list);
        let mut query = Query {
            index,
            list,
            groups: Vec::new(),
            negations: Vec::new(),
            opposed: BTreeSet::new(),
            open: !options.finished,
            whole_phrases: options.whole_phrases,
            strong,
            negated,
        };
        let mut at = 0;
        while at < query.list.len() {
            at = match quantities.iter().find(|quantity| quantity.from == at) {
                Some(quantity) => query.read_quantity(quantity),
                None => query.read_words(at),
            };
        }
        query
    }

    /// A size counts as one word and is found by what it is, however it was spelt; by its words only where it is nowhere.
    fn read_quantity(&mut self, quantity: &Found) -> usize {
        let group = self.open_group(quantity.from, quantity.to, true);
        for (dimension, bucket) in &quantity.buckets {
            for (step, weight) in [(0, 1.0), (-1, 0.9), (1, 0.9)] {
                self.way(group, &[bucket_term(*dimension, bucket + step)], weight, None);
            }
        }
        let terms: Vec<String> = self.list[quantity.from..quantity.to].iter().map(|w| w.term.clone()).collect();
        if self.groups[group].ways.is_empty() {
            let glued = quantity.glued.as_ref().map(|glued| vec![glued.clone()]);
            glued.into_iter().for_each(|glued| self.way(group, &glued, 0.9, None));
            self.way(group, &terms, 0.8, None);
        }
        self.groups[group].weight = 1.0;
        quantity.to
    }

    fn open_group(&mut self, from: usize, to: usize, code: bool) -> usize {
        let list = &self.list[from..to];
        let strong = list.iter().filter(|word| !word.is_weak()).count();
        let weight = match (self.strong, strong) {
            (false, _) => list.len() as f64,
            (true, 0) => 0.15,
            (true, strong) => strong as f64,
        };
        let text = list.iter().map(|word| word.term.as_str()).collect::<Vec<_>>().join(" ");
        self.groups.push(Group { text, ways: Vec::new(), weight, code, plain: None, against: None, turns: false });
        self.groups.len() - 1
    }

    /// Adds a way to read the group if all its terms are known.
    pub fn way<T: AsRef<str>>(&mut self, group: usize, terms: &[T], weight: f64, reading: Option<&str>) {
        if let (Some(terms), Some(group)) = (self.index.find_all(terms), self.groups.get_mut(group)) {
            group.ways.push(Way { terms, weight, reading: reading.map(str::to_owned) });
        }
    }

    /// The roots of a stretch, as synonyms are looked up.
    fn key(&self, from: usize, to: usize) -> String {
        self.list[from..to].iter().map(|word| root(word, &self.index.stemmer)).collect::<Vec<_>>().join(" ")
    }

    fn joined(&self, from: usize, to: usize) -> String {
        self.list[from..to].iter().map(|word| word.term.as_str()).collect()
    }

    fn span_of_synonym(&self, at: usize) -> Option<usize> {
        let most = 5.min(self.list.len() - at);
        (2..=most).rev().find(|count| self.index.synonyms.contains_key(&self.key(at, at + count)))
    }

    /// Words typed apart that the guide writes as one: `p 12`, `half way`.
    fn span_of_join(&self, at: usize) -> Option<usize> {
        let most = 3.min(self.list.len() - at);
        (2..=most).rev().find(|count| {
            let (list, joined) = (&self.list[at..at + count], self.joined(at, at + count));
            let long = list.iter().all(|word| units(&word.term) > 2);
            let mixed = joined.bytes().any(|b| b.is_ascii_digit()) && joined.chars().any(|c| !c.is_ascii_digit());
            (long || mixed)
                && !list.iter().skip(1).any(|word| word.breaks)
                && (self.index.find(&joined).is_some()
                    || with_zeros(&joined).iter().any(|code| self.index.find(code).is_some()))
        })
    }

    fn read_words(&mut self, at: usize) -> usize {
        let to = at + self.span_of_synonym(at).or_else(|| self.span_of_join(at)).unwrap_or(1);
        let (joined, word) = (self.joined(at, to), self.list[at].clone());
        // The `will` of will not says nothing.
        if self.strong
            && TABLES.bare.values().any(|verb| *verb == joined)
            && self.list.get(to).is_some_and(Word::negates)
        {
            return to;
        }
        let code = joined.bytes().any(|b| b.is_ascii_digit()) || !word.parts.is_empty();
        let group = self.open_group(at, to, code);
        if to - at > 1 {
            self.read_span(group, at, to, &joined);
        } else if word.negates() {
            self.read_negator(group, at);
        } else {
            self.read_word(group, at, &word);
        }
        self.other_ways(group, &self.key(at, to));
        if to == self.list.len() && self.open && units(&joined) > 1 {
            self.complete(group, &joined);
        }
        to
    }

    fn read_span(&mut self, group: usize, from: usize, to: usize, joined: &str) {
        let terms: Vec<String> = self.list[from..to].iter().map(|word| word.term.clone()).collect();
        let code = self.groups.get(group).is_some_and(|group| group.code);
        // A code that is typed apart is one, before all pages that have its parts.
        let (whole, apart) = if code { (1.5, 0.7) } else { (1.0, 0.9) };
        self.way(group, &[joined], whole, None);
        self.way_with_zeros(group, joined);
        self.way_of_phrase(group, &terms, apart);
        self.ways_of_words(group, terms.iter());
    }

    /// The words of a phrase one by one: pages seldom say the whole of it.
    fn ways_of_words<'t>(&mut self, group: usize, terms: impl Iterator<Item = &'t String>) {
        if !self.whole_phrases {
            terms.for_each(|term| self.way(group, &[term], 0.3, None));
        }
    }

    /// What a synonym, or the opposite of a turned word, stands for.
    fn other_ways(&mut self, group: usize, key: &str) {
        let index = self.index;
        for other in index.synonyms.get(key).into_iter().flatten() {
            self.way_of_phrase(group, &other.0, other.1);
            // The preferred phrase only: floor for stage floor.
            if other.1 > OTHER_PHRASES && other.0.len() > 1 {
                self.ways_of_words(group, other.0.iter().filter(|term| !TABLES.weak.contains(*term)));
            }
        }
    }

    fn read_negator(&mut self, group: usize, at: usize) {
        let places = turned_at(&self.list, at);
        let turned: Vec<Word> = places.iter().filter_map(|place| self.list.get(*place).cloned()).collect();
        for word in &turned {
            let term = format!("!{}", root(word, &self.index.stemmer));
            self.way(group, &[&term], 1.0, None);
            self.other_ways(group, &term);
        }
        self.opposed.extend(places);
        let term = self.list[at].term.clone();
        self.way_of_phrase(group, &[term], if turned.is_empty() { 1.0 } else { 0.3 });
        let plain: Vec<String> = turned.into_iter().filter(|w| w.parts.is_empty()).map(|w| w.term).collect();
        self.groups.iter_mut().skip(group).take(1).for_each(|group| group.turns = !plain.is_empty());
        self.negations.push((group, plain));
    }

    fn read_word(&mut self, group: usize, at: usize, word: &Word) {
        let code = self.groups.get(group).is_some_and(|group| group.code);
        self.way(group, &[&word.term], if code { 1.5 } else { 1.0 }, None);
        let short = root(word, &self.index.stemmer);
        if short != word.term {
            self.way(group, &[&short], 0.9, None);
        }
        if word.is_weak() {
            self.way(group, &[weak_term(&word.term)], 1.0, None);
        }
        let split = digit_runs(&word.term);
        self.way_with_zeros(group, &word.term);
        if !word.parts.is_empty() {
            self.way_of_phrase(group, &word.parts, 0.7);
        } else if (2..5).contains(&split.len()) && !word.term.contains(['.', '/']) {
            self.way(group, &split, 0.6, None);
        }
        if self.opposed.contains(&at) {
            self.other_ways(group, &format!("!{short}"));
        }
        let against = if self.negated { None } else { self.index.find(&format!("!{short}")) };
        if let Some(group) = self.groups.get_mut(group).filter(|group| !group.code) {
            group.plain = Some(word.term.clone());
            group.against = against;
        }
    }

    /// Where a code is not known as typed, with the zeros that the guide may write.
    fn way_with_zeros(&mut self, group: usize, term: &str) {
        if self.groups.get(group).is_some_and(|group| group.ways.is_empty()) {
            with_zeros(term).iter().for_each(|code| self.way(group, &[code], 1.2, None));
        }
    }

    /// A phrase by its words as written and by their stems.
    fn way_of_phrase(&mut self, group: usize, terms: &[String], weight: f64) {
        self.way(group, terms, weight, None);
        let short: Vec<String> = terms.iter().map(|term| self.index.stemmer.stem(term)).collect();
        if short != terms {
            self.way(group, &short, weight * 0.9, None);
        }
    }

    /// Words that begin as the last word does.
    fn complete(&mut self, group: usize, start: &str) {
        let index = self.index;
        // A word that is known as it stands is more likely whole.
        let known = self.groups.get(group).is_some_and(|group| !group.ways.is_empty());
        let share = if known { 0.1 } else { 0.4 };
        let from = index.place(start);
        let begun = index.terms.iter().enumerate().skip(from).take_while(|(_, term)| term.text.starts_with(start));
        let mut found: Vec<usize> =
            begun.filter(|(_, term)| term.written && term.text != start).map(|(at, _)| at).collect();
        found.sort_by_key(|at| (std::cmp::Reverse(index.terms[*at].length), *at));
        for term in found.into_iter().take(12) {
            let weight = share + (share * units(start) as f64) / units(&index.terms[term].text) as f64;
            if let Some(group) = self.groups.get_mut(group) {
                group.ways.push(Way { terms: vec![term], weight, reading: None });
            }
        }
    }
}

/// A code with the zeros that the guide writes: `sb-03` for `sb3`.
fn with_zeros(term: &str) -> Vec<String> {
    let split = digit_runs(term);
    if split.len() == 2 { vec![split.join("0"), split.join("00")] } else { Vec::new() }
}

/// Length as scripts count it.
pub fn units(text: &str) -> usize {
    text.encode_utf16().count()
}

/// `p12` as `p` and `12`.
fn digit_runs(term: &str) -> Vec<&str> {
    let mut runs = Vec::new();
    let mut rest = term;
    while let Some(first) = rest.chars().next() {
        let digit = first.is_ascii_digit();
        let end = rest.find(|c: char| c.is_ascii_digit() != digit).unwrap_or(rest.len());
        let (run, after) = rest.split_at(end);
        runs.push(run);
        rest = after;
    }
    runs
}
