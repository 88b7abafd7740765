//! What the words of a step say: the part they take apart, by English verbs of the bay, and the thread they name.

use std::sync::LazyLock;

use regex::Regex;

/// "M8", "M10x1": the diameter.
static THREADS: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(r"\bM([1-9][0-9]?)(?:\b|[x×])").ok());

/// Words that begin a sentence about taking a thing apart. Common practice, no source.
const APART: [&str; 16] = [
    "unscrew",
    "unbolt",
    "open",
    "undo",
    "detach",
    "disconnect",
    "dismantle",
    "loosen",
    "slacken",
    "replace",
    "renew",
    "exchange",
    "change",
    "drain",
    "bleed",
    "crack",
];

/// Words behind which "off" or "out" must stand.
const WITH_OFF: [&str; 5] = ["take", "pull", "lift", "screw", "unhook"];

/// Openings in a part, and what is screwed into them: working on them opens the part.
const OPENINGS: [&str; 8] = ["port", "screw", "plug", "union", "fitting", "bleeder", "nipple", "cap"];

/// Words that begin a sentence about moving fluid.
const MOVES_FLUID: [&str; 7] = ["draw", "drain", "siphon", "suck", "pour", "bleed", "empty"];

/// What joins two pieces of fluid line: "screw the gauge into the port of the block".
const JOINS: [&str; 4] = ["screw", "connect", "fit", "join"];

/// Words of a text or of a name, in small letters and without the plural.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Words(Vec<String>);

impl Words {
    pub(super) fn of(text: &str) -> Self {
        let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
        Self(words.map(|word| singular(&word.to_lowercase())).collect())
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    fn has(&self, words: &[&str]) -> bool {
        self.0.iter().any(|word| words.contains(&word.as_str()))
    }

    /// Where a name begins.
    fn find(&self, name: &Self) -> Option<usize> {
        self.0.windows(name.0.len().max(1)).position(|window| window == name.0)
    }
}

fn singular(word: &str) -> String {
    let is_plural = word.len() > 3 && word.ends_with('s') && !word.ends_with("ss");
    if is_plural { word.trim_end_matches('s').to_owned() } else { word.to_owned() }
}

/// True where a sentence of the text takes apart what the name means: "Unscrew the hose", "Take the two hoses off", "Open
/// the drain plug of the reservoir", "Screw the gauge into the port of the block".
pub(super) fn takes_apart(text: &str, name: &Words) -> bool {
    text.split(['.', ';', ':', '\n', '!', '?']).any(|sentence| sentence_does(&Words::of(sentence), name))
}

/// True where a sentence of the text draws off or pours in what the name means.
pub(super) fn moves_fluid(text: &str, name: &Words) -> bool {
    let sentences = text.split(['.', ';', ':', '\n', '!', '?']).map(Words::of);
    sentences.into_iter().any(|sentence| {
        sentence.0.first().is_some_and(|verb| MOVES_FLUID.contains(&verb.as_str())) && sentence.find(name).is_some()
    })
}

fn sentence_does(sentence: &Words, name: &Words) -> bool {
    let (Some(verb), Some(at)) = (sentence.0.first().map(String::as_str), sentence.find(name)) else { return false };
    let before = sentence.0.get(1..at).unwrap_or_default();
    let off = WITH_OFF.contains(&verb) && sentence.has(&["off", "out"]);
    let apart = APART.contains(&verb) || off;
    // "the", "both", "left": what stands between the verb and its object.
    let is_object = at > 0 && before.len() <= 2 && !before.iter().any(|word| is_joint(word));
    // "Replace the hose clip" is about the clip.
    let ends_there = sentence.0.get(at + name.0.len()).is_none_or(|next| is_joint(next));
    let opening = before.iter().rev().find(|word| !["of", "the", "on", "at"].contains(&word.as_str()));
    let at_opening =
        opening.is_some_and(|word| OPENINGS.contains(&word.as_str())) && before.iter().any(|it| it == "of");
    ends_there && (apart && is_object || (apart || JOINS.contains(&verb)) && at_opening)
}

/// Small words that end the name of an object.
fn is_joint(word: &str) -> bool {
    let joints = [
        "of",
        "from",
        "off",
        "out",
        "at",
        "on",
        "in",
        "into",
        "with",
        "and",
        "over",
        "by",
        "to",
        "for",
        "until",
        "under",
        "where",
        "when",
        "while",
        "if",
        "then",
        "behind",
        "beside",
        "below",
        "above",
        "again",
        "one",
        "completely",
    ];
    joints.contains(&word)
}

/// The largest metric thread that a text names.
pub(super) fn thread_in(text: &str) -> Option<u32> {
    let found = THREADS.as_ref()?.captures_iter(text).filter_map(|found| found.get(1)?.as_str().parse().ok());
    found.max()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn does(text: &str, name: &str) -> bool {
        takes_apart(text, &Words::of(name))
    }

    #[test]
    fn words_that_open_are_heard() {
        for (text, name) in [
            ("Unscrew hose FR from the floor valve block", "hose FR"),
            ("Unscrew the old hoses.", "Hose"),
            ("Wait a minute. Take the two hoses off.", "hoses"),
            ("Open the drain plug of the canopy reservoir over a tray.", "Canopy reservoir"),
            ("Screw the test gauge into the gauge port of the canopy valve block", "Canopy valve block"),
            ("Replace the left lift cylinder", "Lift cylinder"),
        ] {
            assert!(does(text, name), "{text}");
        }
    }

    #[test]
    fn other_work_beside_the_part_is_not() {
        for (text, name) in [
            ("Unscrew hose FR from the floor valve block", "Floor valve block"),
            ("Take the cover off the pump unit", "Pump unit"),
            ("Replace the hose clip", "Hose"),
            ("Look at the hose.", "Hose"),
            ("Find the hose in the table.", "Hose"),
            ("Loosen the clamp beside the valve block", "Valve block"),
            ("Read the gauge at the port of the valve block", "Valve block"),
            ("", "Hose"),
        ] {
            assert!(!does(text, name), "{text}");
        }
    }
}
