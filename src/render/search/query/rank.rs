//! Ranks the pages for a query that was read.

use super::super::phrases::hash;
use super::super::terms::{Stemmer, root};
use super::super::words::words;
use super::groups::{Group, Query, Way};
use super::index::Finder;
use super::{Answer, Hit, Options};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Characters, then words of a query that are read.
const LONGEST_QUERY: usize = 400;
const MOST_WORDS: usize = 24;
/// UTF-16 units in which quotes are looked for.
const QUOTED_UNITS: usize = 1000;
/// How many pages are shown on top of the others.
const BEST: usize = 3;
/// A turned word counts as no rarer than this.
const TURNED_RARITY: f64 = 3.0;
/// A weak word counts as this times its weight.
const WEAK_GAIN: f64 = 4.0;
/// How many pages are looked at for a phrase in a large guide.
const PHRASE_PAGES: usize = 30;

impl Finder {
    /// Looks for pages. Any text is a query; one without words finds nothing.
    pub fn search(&self, text: &str, options: &Options) -> Answer {
        let head: String = text.chars().take(LONGEST_QUERY).collect();
        let mut list = words(&head);
        list.truncate(MOST_WORDS);
        if list.is_empty() {
            return Answer::default();
        }
        let mut query = Query::read(self, list, options);
        for group in 0..query.groups.len() {
            if query.groups[group].ways.is_empty() {
                query.mend(group, 1.0);
            }
        }
        let mut ranking = self.rank(&mut query, options);
        ranking.keep_phrases(&phrases(text, &self.stemmer));
        ranking.answer(options)
    }

    /// Addresses of pages that the words of their own title do not bring up among the best, with the page that comes
    /// first, if any.
    ///
    /// Of pages that share a title only the first is expected. The field on a page puts the one whose whole title was
    /// typed on top; who leaves out a sign or a small word relies on this order.
    pub fn lost(&self) -> Vec<(String, Option<String>)> {
        let mut seen = BTreeSet::new();
        let once: Vec<_> = self.documents.iter().filter(|page| seen.insert(page.title.as_str())).collect();
        let options = Options { finished: true, limit: BEST, ..Options::default() };
        let found = once.into_par_iter().map(|page| (page, self.search(&page.title, &options).hits));
        found
            .filter(|(page, hits)| hits.iter().all(|hit| hit.url != page.url))
            .map(|(page, hits)| (page.url.clone(), hits.into_iter().next().map(|hit| hit.url)))
            .collect()
    }

    /// Ranks, and looks again where the first page lacks a word.
    fn rank(&self, query: &mut Query, options: &Options) -> Ranking<'_> {
        let first = Ranking::new(self, query, options);
        let lacking = first.lacking();
        if lacking.is_empty() || query.groups.len() < 2 {
            return first;
        }
        for group in lacking {
            if !query.groups[group].ways.is_empty() && first.readings[group].is_none() {
                query.mend(group, 0.5);
            }
        }
        let mut ranking = Ranking::new(self, query, options);
        let lacking = ranking.lacking();
        if !lacking.is_empty() && !lacking.iter().any(|group| ranking.groups[*group].code) {
            ranking.lean();
        }
        ranking
    }
}

/// The pairs of neighbours in the parts of a query that are in quotes.
fn phrases(text: &str, stemmer: &Stemmer) -> Vec<u32> {
    let mut taken = 0;
    let head = text.chars().take_while(|c| {
        taken += c.len_utf16();
        taken <= QUOTED_UNITS
    });
    let mut pairs = Vec::new();
    let mut quoted: Option<String> = None;
    for c in head {
        if !matches!(c, '"' | '\u{201c}'..='\u{201f}' | '\u{ab}' | '\u{bb}') {
            quoted.iter_mut().for_each(|quoted| quoted.push(c));
        } else if let Some(phrase) = quoted.take().filter(|phrase| !phrase.is_empty()) {
            let strong = words(&phrase).into_iter().filter(|word| !word.is_weak());
            let roots: Vec<String> = strong.map(|word| root(&word, stemmer)).collect();
            pairs.extend(roots.windows(2).map(|pair| hash(&pair[0], &pair[1])));
        } else {
            quoted = Some(String::new());
        }
    }
    pairs
}

/// Per page the best way of one group, and its score.
struct Scores {
    score: Vec<f64>,
    way: Vec<usize>,
}

impl Scores {
    fn of(index: &Finder, group: &Group, allowed: impl Fn(&Way) -> bool) -> Self {
        let mut scores = Scores { score: vec![0.0; index.size()], way: vec![0; index.size()] };
        let limit = limit(index, group);
        for (number, way) in group.ways.iter().enumerate().filter(|(_, way)| allowed(way)) {
            for (page, sum) in sums(index, way, limit) {
                scores.raise(page, way.weight * sum, number);
            }
        }
        for (page, level) in group.against.iter().flat_map(|term| &index.terms[*term].postings) {
            scores.score[*page as usize] *= 1.0 - 0.05 * f64::from(level + 1);
        }
        scores
    }

    fn raise(&mut self, page: usize, score: f64, way: usize) {
        if score > self.score[page] {
            self.score[page] = score;
            self.way[page] = way;
        }
    }
}

/// How rare a term of the group may count as: a rarer word that stands for a known one tells no more than that; nor does
/// a turned word tell most.
fn limit(index: &Finder, group: &Group) -> f64 {
    if group.turns {
        return TURNED_RARITY;
    }
    let first = group.ways.first().and_then(|way| way.terms.first()).map(|term| &index.terms[*term]);
    let known = first.filter(|term| group.plain.as_ref() == Some(&term.text));
    known.map_or(f64::INFINITY, |term| term.rarity)
}

/// The pages that have all terms of a way, with the sum of the terms' impacts.
fn sums(index: &Finder, way: &Way, limit: f64) -> BTreeMap<usize, f64> {
    let mut sums: Option<BTreeMap<usize, f64>> = None;
    for term in &way.terms {
        let term = &index.terms[*term];
        let values = term.postings.iter().map(|(page, level)| {
            let value = (term.rarity.min(limit) * f64::from(level + 1)) / 8.0;
            (*page as usize, value)
        });
        sums = Some(match sums {
            None => values.collect(),
            Some(before) => values.filter_map(|(page, value)| Some((page, before.get(&page)? + value))).collect(),
        });
    }
    sums.unwrap_or_default()
}

struct Ranking<'a> {
    index: &'a Finder,
    groups: Vec<Group>,
    complains: bool,
    asks_for_work: bool,
    readings: Vec<Option<String>>,
    all: f64,
    scores: Vec<Scores>,
    sum: Vec<f64>,
    cover: Vec<f64>,
    last: Vec<f64>,
    pages: Vec<usize>,
    through: BTreeMap<usize, usize>,
    phrase: Option<bool>,
}

impl<'a> Ranking<'a> {
    fn new(index: &'a Finder, query: &Query, options: &Options) -> Self {
        let groups = query.groups.clone();
        let mut ranking = Ranking {
            index,
            complains: query.negated && !groups.iter().any(|group| group.code),
            asks_for_work: query.asks_for_work(),
            readings: vec![None; groups.len()],
            all: groups.iter().fold(0.0, |all, group| all + group.weight),
            groups,
            scores: Vec::new(),
            sum: Vec::new(),
            cover: Vec::new(),
            last: Vec::new(),
            pages: Vec::new(),
            through: BTreeMap::new(),
            phrase: None,
        };
        ranking.run(options, |_, _| true);
        if ranking.choose() {
            let readings = ranking.readings.clone();
            ranking.run(options, |way, group| way.reading.is_none() || way.reading == readings[group]);
        }
        ranking
    }

    fn run(&mut self, options: &Options, allowed: impl Fn(&Way, usize) -> bool) {
        let index = self.index;
        let scores = |(g, group): (usize, &Group)| Scores::of(index, group, |way| allowed(way, g));
        self.scores = self.groups.iter().enumerate().map(scores).collect();
        self.sum = vec![0.0; index.size()];
        self.cover = vec![0.0; index.size()];
        for (scores, group) in self.scores.iter().zip(&self.groups) {
            for (page, score) in scores.score.iter().enumerate().filter(|(_, score)| **score > 0.0) {
                self.sum[page] += score * (group.weight * WEAK_GAIN).min(1.0);
                self.cover[page] += group.weight;
            }
        }
        self.order(options);
    }

    fn order(&mut self, options: &Options) {
        let index = self.index;
        let fits = |page: usize| match (&options.variant, &index.documents[page].variants) {
            (Some(variant), variants) if !variant.is_empty() => variants.is_empty() || variants.contains(variant),
            _ => true,
        };
        let pages: Vec<usize> = (0..index.size()).filter(|page| self.sum[*page] > 0.0 && fits(*page)).collect();
        self.last = vec![0.0; index.size()];
        for &page in &pages {
            let cover = self.cover[page] / self.all;
            self.last[page] = self.sum[page] * cover * self.boost(page);
        }
        let half = pages.iter().map(|page| self.cover[*page]).fold(0.0, f64::max) / 2.0;
        self.pages = pages.into_iter().filter(|page| self.cover[*page] >= half).collect();
        self.sort();
        for page in self.pages.iter().take(50).copied().collect::<Vec<_>>() {
            self.last[page] *= 1.0 + self.title_gain(page);
        }
        self.sort();
    }

    /// Who says what a thing does not do, and no code, complains: faults come sooner still.
    fn boost(&self, page: usize) -> f64 {
        let boost = self.index.boost(page, self.asks_for_work);
        if self.complains { boost * boost } else { boost }
    }

    fn sort(&mut self) {
        let last = &self.last;
        self.pages.sort_by(|a, b| last[*b].total_cmp(&last[*a]).then(a.cmp(b)));
    }

    /// How much a page gains by the part of its title that the query names; a code (no bare number) says more than a title.
    fn title_gain(&self, page: usize) -> f64 {
        let is_code = |group: &Group| group.code && !group.text.bytes().all(|b| b.is_ascii_digit());
        let most = if self.groups.iter().any(is_code) { 0.3 } else { 0.6 };
        let named: BTreeSet<String> = self.used(page).map(|term| self.index.stemmer.stem(term)).collect();
        let roots = &self.index.title_roots[page];
        let hits = roots.iter().filter(|root| named.contains(*root)).count();
        if roots.is_empty() { 0.0 } else { most * hits as f64 / roots.len() as f64 }
    }

    /// The terms by which a page was found.
    fn used(&self, page: usize) -> impl Iterator<Item = &str> {
        self.scores.iter().zip(&self.groups).filter(move |(scores, _)| scores.score[page] > 0.0).flat_map(
            move |(scores, group)| {
                group.ways[scores.way[page]].terms.iter().map(|term| self.index.terms[*term].text.as_str())
            },
        )
    }

    /// For each group with corrected words, the one that stands with the others on the first page.
    fn choose(&mut self) -> bool {
        let top = self.pages.first().copied();
        let mut any = false;
        for (g, group) in self.groups.iter().enumerate() {
            let Some(first) = group.ways.iter().find(|way| way.reading.is_some()) else { continue };
            any = true;
            let on_top =
                top.filter(|top| self.scores[g].score[*top] > 0.0).map(|top| &group.ways[self.scores[g].way[top]]);
            self.readings[g] = on_top.unwrap_or(first).reading.clone();
        }
        any
    }

    /// The groups that the first page lacks.
    fn lacking(&self) -> Vec<usize> {
        let Some(&top) = self.pages.first() else { return Vec::new() };
        (0..self.groups.len()).filter(|g| self.groups[*g].weight >= 0.5 && self.scores[*g].score[top] <= 0.0).collect()
    }

    /// Where no page has every word: a page whose related page has what it lacks rises.
    fn lean(&mut self) {
        for page in self.pages.iter().take(30).copied().collect::<Vec<_>>() {
            let (mut gain, mut weight, mut by) = (0.0, 0.0, None);
            for &other in &self.index.related[page] {
                let (sum, covered) = self.lent(page, other);
                if sum > gain {
                    (gain, weight, by) = (sum, covered, Some(other));
                }
            }
            if let Some(by) = by {
                let cover = (self.cover[page] + weight * 0.6) / self.all;
                let title = 1.0 + self.title_gain(page);
                self.last[page] = (self.sum[page] + gain * 0.4) * cover * self.boost(page) * title;
                self.through.insert(page, by);
            }
        }
        self.sort();
    }

    /// Score and weight of what `other` has and `page` lacks.
    fn lent(&self, page: usize, other: usize) -> (f64, f64) {
        let (mut sum, mut covered) = (0.0, 0.0);
        for (scores, group) in self.scores.iter().zip(&self.groups) {
            if !group.code && scores.score[page] <= 0.0 && scores.score[other] > 0.0 {
                sum += scores.score[other];
                covered += group.weight;
            }
        }
        (sum, covered)
    }

    /// Keeps the pages with the phrases, if there is any.
    fn keep_phrases(&mut self, pairs: &[u32]) {
        if pairs.is_empty() {
            return;
        }
        let looked = if self.index.is_small() { self.pages.len() } else { PHRASE_PAGES };
        let kept: Vec<usize> =
            self.pages.iter().take(looked).copied().filter(|page| self.index.has_pairs(*page, pairs)).collect();
        self.phrase = Some(!kept.is_empty());
        if !kept.is_empty() {
            self.pages = kept;
        }
    }

    fn answer(&self, options: &Options) -> Answer {
        let of_kind = |page: &&usize| match &options.kind {
            Some(kind) if !kind.is_empty() => self.index.documents[**page].kind == *kind,
            _ => true,
        };
        let pages: Vec<usize> = self.pages.iter().filter(of_kind).copied().collect();
        let limit = if options.limit == 0 { 20 } else { options.limit };
        let read = self.groups.iter().zip(&self.readings);
        let unknown = self.groups.iter().filter(|group| group.ways.is_empty() && group.weight >= 0.5);
        Answer {
            hits: pages.iter().take(limit).map(|page| self.hit(*page)).collect(),
            total: pages.len(),
            read: read.filter_map(|(group, reading)| Some((group.text.clone(), reading.clone()?))).collect(),
            unknown: unknown.map(|group| group.text.clone()).collect(),
            whole: !pages.is_empty() && self.lacking().is_empty(),
            phrase: self.phrase,
        }
    }

    fn hit(&self, page: usize) -> Hit {
        let missing = |(scores, group): &(&Scores, &Group)| group.weight >= 0.5 && scores.score[page] <= 0.0;
        Hit {
            page,
            url: self.index.documents[page].url.clone(),
            score: self.last[page],
            terms: self.used(page).map(str::to_owned).collect(),
            missing: self
                .scores
                .iter()
                .zip(&self.groups)
                .filter(missing)
                .map(|(_, group)| group.text.clone())
                .collect(),
            through: self.through.get(&page).copied(),
        }
    }
}
