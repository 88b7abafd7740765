//! Words as the index and the query see them: codes joined and in parts, contractions opened, scripts without spaces paired.

use super::chunks::{Atom, atoms};
use super::normal::{fold, unspaced};
use super::tables::TABLES;

/// No term is longer, in characters.
pub const LONGEST: usize = 32;

/// One word of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// The word as one term, its parts joined: `p12`.
    pub term: String,
    /// The parts of a compound: `p`, `12`; empty for a plain word.
    pub parts: Vec<String>,
    /// A sentence or clause mark stands before it.
    pub breaks: bool,
}

impl Word {
    fn plain(term: &str, breaks: bool) -> Self {
        Word { term: cut(term), parts: Vec::new(), breaks }
    }

    fn compound(parts: &[String], breaks: bool) -> Self {
        Word { term: cut(&parts.concat()), parts: parts.iter().map(|part| cut(part)).collect(), breaks }
    }

    pub fn is_weak(&self) -> bool {
        self.parts.is_empty() && TABLES.weak.contains(&self.term)
    }

    pub fn negates(&self) -> bool {
        TABLES.negators.contains(&self.term)
    }
}

fn cut(term: &str) -> String {
    term.chars().take(LONGEST).collect()
}

/// The words of `text`, in order.
pub fn words(text: &str) -> Vec<Word> {
    let mut found = Vec::new();
    for atom in atoms(&fold(text)) {
        push_atom(&mut found, atom);
    }
    found
}

fn push_atom(found: &mut Vec<Word>, mut atom: Atom) {
    let breaks = atom.breaks;
    if let Some(base) = negated_base(&mut atom) {
        found.push(Word::plain(&base, breaks));
        found.push(Word::plain("not", false));
    } else if atom.parts.iter().any(|part| part.chars().any(unspaced)) {
        atom.parts.iter().for_each(|part| push_unspaced(found, part, breaks));
    } else if let [only] = atom.parts.as_slice() {
        found.push(Word::plain(only, breaks));
    } else {
        found.push(Word::compound(&atom.parts, breaks));
    }
}

/// The verb of a contraction with `not`; drops the other English apostrophe endings.
fn negated_base(atom: &mut Atom) -> Option<String> {
    if let [only] = atom.parts.as_slice() {
        return TABLES.bare.get(only).cloned();
    }
    if !atom.apostrophe {
        return None;
    }
    let last = atom.parts.pop()?;
    match (last.as_str(), atom.parts.as_slice()) {
        ("t", [base]) if base.len() > 1 && base.ends_with('n') => {
            let irregular = TABLES.bare.get(&format!("{base}t")).cloned();
            irregular.or_else(|| base.strip_suffix('n').map(str::to_owned))
        }
        ("s" | "ll" | "re" | "ve" | "d" | "m", _) => None,
        _ => {
            atom.parts.push(last);
            None
        }
    }
}

/// Pairs of characters for scripts without spaces; other stretches of the part stay words.
fn push_unspaced(found: &mut Vec<Word>, part: &str, breaks: bool) {
    let chars: Vec<char> = part.chars().collect();
    for run in chars.chunk_by(|a, b| unspaced(*a) == unspaced(*b)) {
        if !unspaced(run[0]) || run.len() == 1 {
            found.push(Word::plain(&run.iter().collect::<String>(), breaks));
            continue;
        }
        for pair in run.windows(2) {
            found.push(Word::plain(&pair.iter().collect::<String>(), breaks));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn terms(text: &str) -> Vec<String> {
        words(text).into_iter().map(|word| word.term).collect()
    }

    #[test]
    fn contractions_keep_their_not() {
        assert_eq!(
            terms("doesn't won’t shant cannot dont pump's we'll"),
            words_of("does not will not shall not can not do not pump we")
        );
        assert_eq!(terms("o'ring"), ["oring"]);
    }

    #[test]
    fn scripts_without_spaces_are_paired() {
        assert_eq!(terms("油圧ポンプp1"), ["油圧", "圧ポ", "ポン", "ンプ", "p1"]);
        assert_eq!(terms("насос शक्ति"), ["насос", "शक्ति"]);
    }

    fn words_of(text: &str) -> Vec<String> {
        text.split(' ').map(str::to_owned).collect()
    }
}
