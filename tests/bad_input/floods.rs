//! Too much of everything.

use super::Folder;

const TERM: &str = "[[term]]\nid = \"oil\"\nword = \"oil\"\nmeaning = \"The fluid.\"\n";

fn note(body: &str) -> String {
    format!("+++\ntitle = \"Flood\"\n+++\n{body}")
}

#[test]
fn ten_megabytes_of_open_brackets_are_one_finding() {
    let folder = Folder::base().with("terms.toml", format!("{TERM}avoid = {}\n", "[".repeat(10_000_000)));
    folder.inspect().finds(&["terms.toml, line 5, column 49 · toml-syntax"]);
}

#[test]
fn other_nesting_is_one_finding_a_file() {
    let cases = [
        (format!("{TERM}avoid = {}\n", "{a=".repeat(400_000)), "terms.toml, line 5, column 129 · toml-syntax"),
        (format!("{TERM}{}a = 1\n", "a.".repeat(500_000)), "terms.toml, line 5, column 1 · toml-syntax"),
        (format!("{TERM}[{}a]\n", "a.".repeat(500_000)), "terms.toml, line 5, column 1 · toml-syntax"),
        (format!("{TERM}avoid = {}\n", "= ".repeat(500_000)), "terms.toml, line 5, column 9 · toml-syntax"),
    ];
    for (text, at) in cases {
        Folder::base().with("terms.toml", text).inspect().finds(&[at]);
    }
}

#[test]
fn nesting_in_prose_is_told() {
    let quotes = Folder::base().with("notes/flood.md", note(&"> ".repeat(300_000)));
    assert_eq!(quotes.inspect().heads().len(), 1);
    let lists = Folder::base().with("notes/flood.md", note(&"- ".repeat(300_000)));
    assert!(lists.inspect().heads().len() <= 1);
    for body in ["[".repeat(1_000_000), "![".repeat(300_000), "*a _b ".repeat(100_000), "`".repeat(500_000)] {
        let outcome = Folder::base().with("notes/flood.md", note(&body)).inspect();
        assert!(outcome.heads().iter().all(|head| head.ends_with("sentence-too-long")), "{}", outcome.out);
        assert_eq!(outcome.code, Some(0));
    }
}

#[test]
fn ten_megabytes_of_one_text_are_read() {
    let long = TERM.replace("The fluid.", &"The fluid. ".repeat(950_000));
    Folder::base().with("terms.toml", long).inspect().finds(&[]);
}

#[test]
fn many_entries_with_mistakes_are_counted_and_not_all_shown() {
    let term = |number: usize| {
        format!("[[term]]\nid = \"t-{number}\"\nword = \"w\"\nmeaning = \"[](part:p-{number})\"\nxyz = 1\n")
    };
    let terms: String = (0..100_000).map(term).collect();
    let outcome =
        Folder::base().with("terms.toml", terms).inspect_with(&["--only", "dead-link", "--only", "unknown-key"]);
    assert_eq!(outcome.code, Some(1));
    assert_eq!(outcome.heads().len(), 400);
    assert!(outcome.out.contains("Found 200000 errors."), "{}", &outcome.out[outcome.out.len() - 200..]);
    assert!(outcome.out.contains("99800 more of dead-link"));
}

#[test]
fn garbage_is_not_a_finding_a_line() {
    let outcome = Folder::base().with("terms.toml", "some words\n".repeat(100_000)).inspect();
    assert_eq!(outcome.code, Some(1));
    assert!(outcome.heads().len() <= 60, "{}", outcome.heads().len());
}
