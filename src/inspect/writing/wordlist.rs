//! Finding words of a list in a text: whole words, small or capital, in simple inflections.

use std::collections::BTreeMap;
use std::ops::Range;

/// Phrases to look for, each with something that belongs to it.
pub(super) struct Wordlist<T> {
    /// By their first word.
    phrases: BTreeMap<String, Vec<(Vec<String>, T)>>,
}

/// A word of a text, in small letters.
pub(super) struct Word {
    pub(super) range: Range<usize>,
    pub(super) small: String,
}

impl<T: Copy> Wordlist<T> {
    pub(super) fn new() -> Self {
        Self { phrases: BTreeMap::new() }
    }

    /// Adds a phrase; one of several words also counts when it is written with hyphens.
    pub(super) fn add(&mut self, phrase: &str, belongs: T) {
        let words: Vec<String> = words(phrase, 0).into_iter().map(|word| word.small).collect();
        let Some(first) = words.first().cloned() else { return };
        if words.len() > 1 {
            let joined = words.join("-");
            self.phrases.entry(joined.clone()).or_default().push((vec![joined], belongs));
        }
        self.phrases.entry(first).or_default().push((words, belongs));
    }

    /// The longest phrase that begins at a word: how many words it has, and what belongs to it.
    pub(super) fn longest(&self, words: &[Word]) -> Option<(usize, T)> {
        let first = words.first()?;
        let keys = stems(&first.small);
        let candidates = keys.iter().filter_map(|key| self.phrases.get(key)).flatten();
        let fitting = candidates.filter(|(phrase, _)| fits(phrase, words));
        fitting.map(|(phrase, belongs)| (phrase.len(), *belongs)).max_by_key(|(length, _)| *length)
    }
}

/// True where the words begin with the phrase, its last word in any simple inflection.
fn fits(phrase: &[String], words: &[Word]) -> bool {
    let Some((last, before)) = phrase.split_last() else { return false };
    let exact = before.iter().zip(words).all(|(wanted, word)| *wanted == word.small);
    exact && words.get(before.len()).is_some_and(|word| stems(&word.small).iter().any(|stem| stem == last))
}

/// The words of a text. Hyphens and apostrophes inside a word belong to it; `offset` is added to their places.
pub(super) fn words(text: &str, offset: usize) -> Vec<Word> {
    let mut found: Vec<Word> = Vec::new();
    let inner = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '\'' | '’');
    for piece in text.split(|letter: char| !inner(letter)) {
        let word = piece.trim_matches(['-', '\'', '’']);
        if word.is_empty() {
            continue;
        }
        // A piece is a slice of the text, so the distance in memory is its place in it.
        let at = word.as_ptr() as usize - text.as_ptr() as usize + offset;
        found.push(Word { range: at..at + word.len(), small: word.to_lowercase() });
    }
    found
}

/// The word itself and what it may be an inflection of.
fn stems(word: &str) -> Vec<String> {
    let mut stems = vec![word.to_owned()];
    let word = word.strip_suffix("'s").or_else(|| word.strip_suffix("’s")).unwrap_or(word);
    stems.push(word.to_owned());
    if let Some(stem) = word.strip_suffix("ies") {
        stems.push(format!("{stem}y"));
    }
    for ending in ["s", "es", "d", "ed", "ing"] {
        let Some(stem) = word.strip_suffix(ending).filter(|stem| stem.chars().count() > 1) else { continue };
        stems.push(stem.to_owned());
        if ending == "ing" {
            stems.push(format!("{stem}e"));
        }
        let mut letters = stem.chars().rev();
        if matches!(ending, "ed" | "ing") && letters.next() == letters.next() {
            stems.extend(stem.char_indices().next_back().and_then(|(at, _)| stem.get(..at)).map(str::to_owned));
        }
    }
    stems
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(phrases: &[&str], text: &str) -> Vec<String> {
        let mut list = Wordlist::new();
        for phrase in phrases {
            list.add(phrase, ());
        }
        let words = words(text, 0);
        let hits = (0..words.len()).filter_map(|at| list.longest(&words[at..]).map(|(length, ())| (at, length)));
        hits.map(|(at, length)| text[words[at].range.start..words[at + length - 1].range.end].to_owned()).collect()
    }

    #[test]
    fn whole_words_are_found_in_their_inflections() {
        assert_eq!(found(&["ram"], "Rams, a ram's rod; the RAM is rammed"), ["Rams", "ram's", "RAM", "rammed"]);
        assert_eq!(found(&["ram"], "The frame, a ramp, a ram-air pipe"), Vec::<String>::new());
        assert_eq!(found(&["bleed"], "bleeding bleeds"), ["bleeding", "bleeds"]);
        assert_eq!(found(&["assembly"], "assemblies"), ["assemblies"]);
    }

    #[test]
    fn phrases_are_found_with_spaces_and_hyphens() {
        assert_eq!(
            found(&["power pack"], "Both power packs, one power-pack, a power line"),
            ["power packs", "power-pack"]
        );
    }

    #[test]
    fn the_longest_phrase_wins() {
        assert_eq!(found(&["oil", "oil tank"], "the oil tank"), ["oil tank"]);
    }
}
