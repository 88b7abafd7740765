//! A second action in the text of a step, as far as a list of verbs can tell.

use std::ops::Range;

use super::wordlist::{Word, words};
use crate::read::sentences::prose_sentences;

/// Verbs of doing, as steps of a workshop begin with.
const DOING: [&str; 72] = [
    "add",
    "adjust",
    "align",
    "apply",
    "attach",
    "bleed",
    "bolt",
    "brush",
    "change",
    "charge",
    "clamp",
    "clean",
    "close",
    "connect",
    "coat",
    "cut",
    "detach",
    "disconnect",
    "drain",
    "draw",
    "drill",
    "drive",
    "dry",
    "fasten",
    "fill",
    "fit",
    "flush",
    "free",
    "grease",
    "hang",
    "insert",
    "install",
    "isolate",
    "lift",
    "loosen",
    "lower",
    "mark",
    "mount",
    "move",
    "open",
    "place",
    "plug",
    "pour",
    "prop",
    "pull",
    "push",
    "put",
    "raise",
    "refit",
    "release",
    "remove",
    "renew",
    "replace",
    "rinse",
    "screw",
    "seal",
    "set",
    "slide",
    "start",
    "stop",
    "swing",
    "swap",
    "switch",
    "take",
    "tap",
    "tighten",
    "torque",
    "turn",
    "undo",
    "unplug",
    "unscrew",
    "wipe",
];

/// Verbs that begin what two hands do together.
const TOGETHER: [&str; 6] = ["hold", "keep", "press", "support", "steady", "counter-hold"];

/// Words that may follow a verb of doing, but hardly a noun: "and seal the", not "and seal".
const AFTER_A_VERB: [&str; 22] = [
    "the", "a", "an", "it", "them", "both", "all", "each", "its", "this", "that", "these", "those", "up", "off", "on",
    "out", "in", "down", "back", "until", "every",
];

/// Where a second action begins: the words that begin it.
pub(super) fn second_action(markdown: &str) -> Option<Range<usize>> {
    let mut acted = false;
    for sentence in prose_sentences(markdown) {
        let text = markdown.get(sentence.range.clone())?;
        let words = words(text, sentence.range.start);
        let doing = words.first().is_some_and(is_doing);
        if acted && (doing || words.first().is_some_and(|word| word.small == "then")) {
            return words.first().map(|word| word.range.clone());
        }
        let together = words.first().is_some_and(|word| TOGETHER.contains(&word.small.as_str()));
        let second = if doing && !together && !is_simultaneous(&words) { joined(&words) } else { None };
        if second.is_some() {
            return second;
        }
        acted |= doing;
    }
    None
}

fn is_doing(word: &Word) -> bool {
    DOING.contains(&word.small.as_str())
}

fn is_simultaneous(words: &[Word]) -> bool {
    words.iter().any(|word| matches!(word.small.as_str(), "while" | "together" | "simultaneously"))
        || words.windows(2).any(|two| matches!(two, [same, time] if same.small == "same" && time.small == "time"))
}

/// "then", or "and" and a verb of doing with what can only follow a verb.
fn joined(words: &[Word]) -> Option<Range<usize>> {
    let then = words.windows(2).find_map(|two| match two {
        [then, verb] if then.small == "then" && is_doing(verb) => Some(then.range.start..verb.range.end),
        _ => None,
    });
    then.or_else(|| {
        words.windows(3).find_map(|three| match three {
            [and, verb, after]
                if and.small == "and" && is_doing(verb) && AFTER_A_VERB.contains(&after.small.as_str()) =>
            {
                Some(and.range.start..verb.range.end)
            }
            _ => None,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn second(text: &str) -> Option<&str> {
        second_action(text).map(|range| &text[range])
    }

    #[test]
    fn second_actions_are_found() {
        assert_eq!(second("Open the flap, then close the valve."), Some("then close"));
        assert_eq!(second("Open the flap and close it."), Some("and close"));
        assert_eq!(second("Open the flap. Remove the bolt."), Some("Remove"));
    }

    #[test]
    fn one_action_is_left_alone() {
        for text in [
            "Remove the bolt and the seal.",
            "Remove the bolt and seal.",
            "Hold the nut and turn the screw.",
            "Turn the screw while you pull the lever.",
            "Open the flap. Wait two minutes. Check the level.",
            "If the lamp is on, open the flap.",
            "",
        ] {
            assert_eq!(second(text), None, "{text}");
        }
    }
}
