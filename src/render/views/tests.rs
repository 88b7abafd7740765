//! The shipped theme held together: every word exists and is used, nothing is inline, templates parse.

use include_dir::{Dir, include_dir};
use std::collections::BTreeSet;

static THEME: Dir = include_dir!("$CARGO_MANIFEST_DIR/themes");

/// Words that templates reach by a computed key (`w[signal]`, `w[meaning]`).
const COMPUTED: [&str; 7] = ["danger", "warning", "caution", "notice", "fine", "tolerable", "act"];

fn templates() -> Vec<(&'static str, &'static str)> {
    let folder = THEME.get_dir("templates").unwrap();
    folder.files().map(|f| (f.path().to_str().unwrap(), f.contents_utf8().unwrap())).collect()
}

fn words() -> BTreeSet<String> {
    let table: toml::Table = THEME.get_file("words/en.toml").unwrap().contents_utf8().unwrap().parse().unwrap();
    table.keys().cloned().collect()
}

fn used_words() -> BTreeSet<String> {
    let key = regex::Regex::new(r"\bw\.([a-z_]+)").unwrap();
    let mut used: BTreeSet<String> = COMPUTED.iter().map(|k| k.to_string()).collect();
    for (_, text) in templates() {
        used.extend(key.captures_iter(text).map(|c| c[1].to_string()));
    }
    used.extend(words_of_pages());
    used.extend(words_of_scripts());
    used
}

/// Words that the pages ask for in Rust: every string literal there that is a word's key.
fn words_of_pages() -> BTreeSet<String> {
    static PAGES: Dir = include_dir!("$CARGO_MANIFEST_DIR/src/render/pages");
    let literal = regex::Regex::new(r#""([a-z_]+)""#).unwrap();
    let known = words();
    let others = [include_str!("../place.rs"), include_str!("../mod.rs"), include_str!("../calculator.rs")];
    let files = PAGES.dirs().flat_map(Dir::files).chain(PAGES.files());
    let texts = files.filter_map(|file| file.contents_utf8()).chain(others);
    texts
        .flat_map(|text| literal.captures_iter(text))
        .map(|c| c[1].to_string())
        .filter(|key| known.contains(key))
        .collect()
}

/// Words that the scripts ask for: every text there that is a word's key.
fn words_of_scripts() -> BTreeSet<String> {
    let known = words();
    let scripts = THEME.get_dir("script").unwrap().files().filter_map(|file| file.contents_utf8());
    let texts = scripts.flat_map(|text| text.split(['"', '\'', '`']));
    texts.filter(|text| known.contains(*text)).map(str::to_owned).collect()
}

/// A word that a script asks for and that is not there would be shown as its key. The calculators bring their own words.
#[test]
fn every_word_a_script_says_exists() {
    let says = regex::Regex::new(r#"\bsay\("([a-z_]+)""#).unwrap();
    let known = words();
    for file in THEME.get_dir("script").unwrap().files().filter(|file| !file.path().ends_with("reading.js")) {
        for said in says.captures_iter(file.contents_utf8().unwrap()) {
            assert!(known.contains(&said[1]), "{}: {}", file.path().display(), &said[1]);
        }
    }
}

#[test]
fn every_word_exists_and_is_used() {
    assert_eq!(used_words(), words());
}

#[test]
fn templates_parse_together() {
    let mut tera = tera::Tera::default();
    let named = templates().into_iter().map(|(path, text)| (path.trim_start_matches("templates/").to_string(), text));
    tera.add_raw_templates(named).unwrap();
}

#[test]
fn nothing_is_inline_and_nothing_is_remote() {
    let bad = regex::Regex::new(r#"(?i)\sstyle=|\son[a-z]+="|<style|<iframe|https?:|href="//"#).unwrap();
    for (path, text) in templates() {
        assert!(!bad.is_match(text), "{path}: {:?}", bad.find(text));
        let mut scripts = text.split("<script").skip(1);
        let harmless = [" src=", " type=\"application/json\""];
        assert!(scripts.all(|rest| harmless.iter().any(|known| rest.starts_with(known))), "{path}: inline script");
        // A quoted argument of a component is taken as it stands.
        assert!(!text.contains("<Row id=\"{{"), "{path}: write id={{value}}, not id=\"{{{{ value }}}}\"");
    }
    for path in ["style/guide.css", "style/card.css", "script/guide.js", "script/reading.js"] {
        let text = THEME.get_file(path).unwrap().contents_utf8().unwrap();
        for bad in ["http:", "https:", "@import", "url(http", "fetch(", "XMLHttpRequest", "eval("] {
            assert!(!text.contains(bad), "{path}: {bad}");
        }
    }
}

/// The colour of every signal word.
fn signal_colours(css: &str) -> Vec<(String, String)> {
    let rule = regex::Regex::new(r"\.signal-(\w+) \{ --sign: (#\w+);").unwrap();
    let found: Vec<_> = rule.captures_iter(css).map(|it| (it[1].to_owned(), it[2].to_owned())).collect();
    assert_eq!(found.len(), 4, "{found:?}");
    found
}

/// Signal colours stand in the rules of the signal words and nowhere else.
#[test]
fn signal_colours_stay_with_the_signal_words() {
    let css = THEME.get_file("style/guide.css").unwrap().contents_utf8().unwrap();
    for (word, colour) in signal_colours(css) {
        assert_eq!(css.matches(&colour).count(), 1, "{word}: {colour}");
    }
    for line in css.lines().filter(|line| line.contains("var(--sign)")) {
        assert!(line.starts_with(".signal-word") || line.starts_with(".alert-mark"), "{line}");
    }
}

/// WCAG 2.2 contrast (relative luminance as defined there, from memory) of the inks on both papers, day and dark.
#[test]
fn inks_stand_out_from_both_papers() {
    let css = THEME.get_file("style/guide.css").unwrap().contents_utf8().unwrap();
    let block = regex::Regex::new(
        r"--paper: (#\w+); --tint: (#\w+); --ink: (#\w+); --soft: (#\w+);(?: --hair: (#\w+);)? --link: (#\w+);",
    )
    .unwrap();
    let (mut seen, mut hair) = (0, "#fff");
    for set in block.captures_iter(css) {
        seen += 1;
        // The dark sets keep that of the day.
        hair = set.get(5).map_or(hair, |hair| hair.as_str());
        for paper in [&set[1], &set[2]] {
            for (ink, least) in [(&set[3], 7.0), (&set[4], 4.5), (&set[6], 4.5), (hair, 3.0)] {
                assert!(contrast(ink, paper) >= least, "{ink} on {paper}: {:.2}", contrast(ink, paper));
            }
        }
    }
    assert!(seen >= 3, "day, dark by preference, dark by choice");
}

#[test]
fn signal_words_stand_out_from_their_panels() {
    let css = THEME.get_file("style/guide.css").unwrap().contents_utf8().unwrap();
    for (word, field) in signal_colours(css) {
        let ink = if css.contains(&format!("--sign: {field}; --on: #fff;")) { "#fff" } else { "#000" };
        assert!(contrast(ink, &field) >= 4.5, "{word}: {:.2}", contrast(ink, &field));
    }
}

fn contrast(one: &str, other: &str) -> f64 {
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn luminance(hex: &str) -> f64 {
    let digits: String = match hex.len() {
        4 => hex[1..].chars().flat_map(|c| [c, c]).collect(),
        _ => hex[1..].to_string(),
    };
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&digits[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4)
}
