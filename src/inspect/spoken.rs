//! What the words of a step say: the part they take apart, by English verbs of the bay, and the thread they name.

use std::sync::LazyLock;

use regex::Regex;

/// "M8", "M10x1": the diameter.
static THREADS: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(r"\bM([1-9][0-9]?)(?:\b|[xX×])").ok());

/// "M10x1", "M8 screws", "the nut M8": a thread beyond doubt. A bare "M3" may be a motor, "Screw M2 in" a gauge.
static BOLTS: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let bolt = "(?i:screw|bolt|nut|stud|thread)";
    let size = "([1-9][0-9]?)";
    let all = format!(r"\bM{size}(?: ?[xX×] ?[0-9]|[ -](?:[a-z]+ )?{bolt})|\w {bolt}s? \(?M{size}\b");
    Regex::new(&all).ok()
});

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

/// Where fluid that is done with goes, and how it is called.
const WASTE: [&str; 8] = ["old", "used", "waste", "drained", "tray", "drum", "bucket", "sample"];

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

/// True where one of the sentences takes apart what the name means: "Unscrew the hose", "Take the two hoses off", "Open
/// the drain plug of the reservoir", "Screw the gauge into the port of the block".
pub(super) fn takes_apart(sentences: &[Words], name: &Words) -> bool {
    sentences.iter().any(|sentence| sentence_does(sentence, name))
}

/// The sentences of a text.
pub(super) fn sentences(text: &str) -> Vec<Words> {
    text.split(['.', ';', ':', '\n', '!', '?']).map(Words::of).collect()
}

/// True where one of the sentences draws off or pours in what the name means: "Drain the table oil". "Pour the old oil into
/// the waste drum" moves what has come out before.
pub(super) fn moves_fluid(sentences: &[Words], name: &Words) -> bool {
    sentences.iter().any(|sentence| {
        let verb = sentence.0.first().map_or("", String::as_str);
        let waste = matches!(verb, "pour" | "empty") && sentence.has(&WASTE);
        MOVES_FLUID.contains(&verb) && !waste && sentence.find(name).is_some_and(|at| is_object(sentence, name, at))
    })
}

fn sentence_does(sentence: &Words, name: &Words) -> bool {
    let (Some(verb), Some(at)) = (sentence.0.first().map(String::as_str), sentence.find(name)) else { return false };
    let before = sentence.0.get(1..at).unwrap_or_default();
    let off = WITH_OFF.contains(&verb) && sentence.has(&["off", "out"]);
    let apart = APART.contains(&verb) || off;
    let opening = before.iter().rev().find(|word| !["of", "the", "on", "at"].contains(&word.as_str()));
    let at_opening =
        opening.is_some_and(|word| OPENINGS.contains(&word.as_str())) && before.iter().any(|it| it == "of");
    apart && is_object(sentence, name, at)
        || (apart || JOINS.contains(&verb)) && at_opening && ends_there(sentence, name, at)
}

/// True where the name at a place is what the verb is about: between the two stands at most "the", "both", "left".
fn is_object(sentence: &Words, name: &Words, at: usize) -> bool {
    let before = sentence.0.get(1..at).unwrap_or_default();
    at > 0 && before.len() <= 2 && !before.iter().any(|word| is_joint(word)) && ends_there(sentence, name, at)
}

/// False for "Replace the hose clip", which is about the clip.
fn ends_there(sentence: &Words, name: &Words, at: usize) -> bool {
    sentence.0.get(at + name.0.len()).is_none_or(|next| is_joint(next))
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
        "slowly",
        "down",
        "up",
    ];
    joints.contains(&word)
}

/// The largest metric thread that a fitting names.
pub(super) fn thread_in(fitting: &str) -> Option<u32> {
    largest(&THREADS, fitting)
}

/// The largest metric thread of a bolt, screw, nut or stud that a sentence names.
pub(super) fn thread_of_bolt(text: &str) -> Option<u32> {
    largest(&BOLTS, text)
}

fn largest(threads: &LazyLock<Option<Regex>>, text: &str) -> Option<u32> {
    let found = threads.as_ref()?.captures_iter(text);
    found.filter_map(|found| found.iter().skip(1).flatten().next()?.as_str().parse().ok()).max()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn does(text: &str, name: &str) -> bool {
        takes_apart(&sentences(text), &Words::of(name))
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

    #[test]
    fn fluid_is_moved_where_it_is_the_object() {
        for (text, moves) in [
            ("Drain the table oil", true),
            ("Draw table oil off, down to the mark.", true),
            ("Pour fresh table oil slowly into the reservoir", true),
            ("Empty the tray of table oil", false),
            ("Empty the table oil tray", false),
            ("Pour the old table oil into the waste drum", false),
            ("Bleed the lift cylinder until table oil runs clear", false),
            ("Look at the table oil", false),
        ] {
            assert_eq!(moves_fluid(&sentences(text), &Words::of("Table oil")), moves, "{text}");
        }
    }

    #[test]
    fn a_thread_is_told_from_a_motor_and_a_gauge() {
        for (text, thread) in [
            ("Tighten both M8 screws of the clamp.", Some(8)),
            ("Tighten the M6 cap screws and the nut M10.", Some(10)),
            ("Screw M10X1 in.", Some(10)),
            ("The M12-bolt", Some(12)),
            ("Bolt motor M3 on", None),
            ("Screw the gauge into M2", None),
            ("Screw M2 in", None),
        ] {
            assert_eq!(thread_of_bolt(text), thread, "{text}");
        }
        assert_eq!((thread_in("M14X1.5"), thread_in("M10 banjo"), thread_in("G 1/4")), (Some(14), Some(10), None));
    }
}
