//! Sentences of workshop prose. Word counts after ASD-STE100, from memory.

use super::*;
use proptest::prelude::*;

fn counts(text: &str) -> Vec<usize> {
    sentences(text).into_iter().map(|sentence| sentence.words).collect()
}

fn texts(text: &str) -> Vec<&str> {
    sentences(text).into_iter().map(|sentence| &text[sentence.range]).collect()
}

#[test]
fn sentences_end_where_a_reader_stops() {
    assert_eq!(texts("Stop the pump. Wait! Is it cold?"), ["Stop the pump.", "Wait!", "Is it cold?"]);
    assert_eq!(texts("Fill to 2.5 L. Use pump.svg."), ["Fill to 2.5 L.", "Use pump.svg."]);
    assert_eq!(texts("Use a seal, e.g. LIFT type. Go."), ["Use a seal, e.g. LIFT type.", "Go."]);
    assert_eq!(texts("Turn to max. pressure. Hold."), ["Turn to max. pressure.", "Hold."]);
    assert_eq!(texts("Seals, rings, etc. Then fit them."), ["Seals, rings, etc.", "Then fit them."]);
    assert_eq!(texts("Open no. 4 now. I say no. Stop."), ["Open no. 4 now.", "I say no.", "Stop."]);
    assert_eq!(texts("1. Open it. 2. Close it."), ["1. Open it.", "2. Close it."]);
    assert_eq!(texts("Cut 2 in. of hose. Push it in. Go."), ["Cut 2 in. of hose.", "Push it in.", "Go."]);
    assert_eq!(texts("Open port A. Then port B."), ["Open port A.", "Then port B."]);
    assert_eq!(texts("He said \"stop.\" Then he left"), ["He said \"stop.\"", "Then he left"]);
    assert_eq!(texts("A heading\n\nA text\ngoes on."), ["A heading", "A text\ngoes on."]);
    assert_eq!(texts("Wait... then go. Wait... Then go."), ["Wait... then go.", "Wait...", "Then go."]);
    assert_eq!(texts(" . !  "), [""; 0]);
}

#[test]
fn words_are_counted_as_the_standard_counts() {
    assert_eq!(counts("Tighten the four-way valve."), [4]);
    assert_eq!(counts("Tighten it to 8 N m."), [4]);
    assert_eq!(counts("Keep 10 to 14 V on it."), [6]);
    assert_eq!(counts("Hold 120 bar, then 1.5 bar abs."), [4]);
    assert_eq!(counts("Push \"LIFT UP NOW\" once."), [3]);
    assert_eq!(counts("Push “LIFT UP” once."), [3]);
    assert_eq!(counts("A quote \"that stays open"), [5]);
    assert_eq!(counts("Cut - or grind - it."), [4]);
    assert_eq!(counts("Open the valve(s)."), [3]);
}

#[test]
fn parentheses_are_sentences_of_their_own() {
    assert_eq!(texts("Fit it (see the note). Go."), ["Fit it (see the note).", "see the note", "Go."]);
    assert_eq!(counts("Fit it (see the note). Go."), [2, 3, 1]);
    assert_eq!(counts("Fit it (a (b) c) now."), [3, 3]);
    assert_eq!(counts("Fit it (now and go."), [5]);
}

#[test]
fn markdown_is_counted_by_its_words_and_placed_by_its_bytes() {
    let text = "## The *pump*\n\nTurn **key** on. See [](part:pump) &amp; `a b c`.\n\n- One item\n- Two\n\n```\nno words\n```\n";
    let found: Vec<(&str, usize)> =
        prose_sentences(text).into_iter().map(|found| (&text[found.range], found.words)).collect();
    assert_eq!(
        found,
        [
            ("The *pump", 2),
            ("Turn **key** on.", 3),
            ("See [](part:pump) &amp; `a b c`.", 3),
            ("One item", 2),
            ("Two", 1)
        ]
    );
}

#[test]
fn long_and_deep_texts_take_their_length() {
    let deep = format!("{}a{}", "(".repeat(100_000), ")".repeat(100_000));
    assert!(sentences(&deep).len() <= 1);
    assert_eq!(sentences(&"\"a ".repeat(100_000)).len(), 1);
    assert_eq!(sentences(&"Go. ".repeat(100_000)).len(), 100_000);
    prose_sentences(&"[".repeat(100_000));
}

proptest! {
    #[test]
    fn ranges_are_slices_with_words(text in "[A-C a-c0-9.!?()\"“”*_`\\[\\]&;:#\n>|é-]{0,120}") {
        for sentence in sentences(&text).into_iter().chain(prose_sentences(&text)) {
            prop_assert!(text.get(sentence.range.clone()).is_some(), "{sentence:?}");
            prop_assert!(sentence.words > 0);
        }
    }

    #[test]
    fn a_plain_text_loses_no_word(words in prop::collection::vec("[a-z]{1,9}[.!?]?", 1..40)) {
        let text = words.join(" ");
        prop_assert_eq!(sentences(&text).iter().map(|sentence| sentence.words).sum::<usize>(), words.len());
    }
}
