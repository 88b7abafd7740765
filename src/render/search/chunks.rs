//! Cuts folded text into atoms: the stretches between spaces and hard punctuation, each a list of joined parts.

use super::normal::in_word;

/// One stretch of word characters; `P-12` has the parts `p` and `12`.
#[derive(Debug, PartialEq, Eq)]
pub struct Atom {
    pub parts: Vec<String>,
    /// An apostrophe stood before the last part.
    pub apostrophe: bool,
    /// A sentence or clause mark stands between this atom and the one before.
    pub breaks: bool,
}

impl Atom {
    fn new(breaks: bool) -> Self {
        Atom { parts: vec![String::new()], apostrophe: false, breaks }
    }

    fn push(&mut self, c: char) {
        if let Some(last) = self.parts.last_mut() {
            last.push(c);
        }
    }
}

/// What a character between two word characters does.
enum Joint {
    /// It is part of the word: the point of 0.5, the stroke of 3/8.
    Keep(char),
    /// It is dropped: the comma of 1,000.
    Drop,
    /// It joins two parts of one compound.
    Part,
    /// It parts two words.
    Split,
}

/// The atoms of `folded`, in order.
pub fn atoms(folded: &str) -> Vec<Atom> {
    let chars: Vec<char> = folded.chars().collect();
    let mut atoms = Vec::new();
    let mut open: Option<Atom> = None;
    let mut breaks = false;
    for (at, &c) in chars.iter().enumerate() {
        if in_word(c) {
            open.get_or_insert_with(|| Atom::new(std::mem::take(&mut breaks))).push(c);
            continue;
        }
        let inside = open.is_some() && chars.get(at + 1).is_some_and(|next| in_word(*next));
        match if inside { joint(&chars, at) } else { Joint::Split } {
            Joint::Keep(kept) => open.iter_mut().for_each(|atom| atom.push(kept)),
            Joint::Drop => {}
            Joint::Part => open.iter_mut().for_each(|atom| {
                atom.apostrophe = c == '\'';
                atom.parts.push(String::new());
            }),
            Joint::Split => {
                atoms.extend(open.take());
                breaks |= matches!(c, '.' | ',' | ';' | ':' | '!' | '?' | '(' | ')' | '\n');
            }
        }
    }
    atoms.extend(open);
    atoms
}

/// The character at `at` stands between two word characters.
fn joint(chars: &[char], at: usize) -> Joint {
    let digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    let digits = digit(at.wrapping_sub(1)) && digit(at + 1);
    match chars[at] {
        '-' | '_' | '\'' => Joint::Part,
        '/' | '.' if digits => Joint::Keep(chars[at]),
        ',' if digits && digit(at + 2) && digit(at + 3) && !digit(at + 4) => Joint::Drop,
        ',' if digits => Joint::Keep('.'),
        _ => Joint::Split,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<String> {
        atoms(text).iter().map(|atom| atom.parts.join("+")).collect()
    }

    #[test]
    fn codes_numbers_and_strokes_are_cut_where_a_fitter_would() {
        assert_eq!(
            cut("p-12 fuse/relay m8x1.25 3/8 0.5 25a"),
            ["p+12", "fuse", "relay", "m8x1.25", "3/8", "0.5", "25a"]
        );
        assert_eq!(cut("1,000 0,5 e.g. end."), ["1000", "0.5", "e", "g", "end"]);
        assert_eq!(cut("-x- --y"), ["x", "y"]);
    }

    #[test]
    fn a_clause_mark_is_remembered() {
        let breaks: Vec<bool> = atoms("no. go on").iter().map(|atom| atom.breaks).collect();
        assert_eq!(breaks, [false, true, false]);
    }
}
