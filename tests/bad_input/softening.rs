//! Softening a rule, and the options that choose what counts.

use super::Folder;

const PICTURE: &str = "location = \"Stores\"\npicture = { file = \"table.svg\" }\n";
const AT: &str = "parts/parts.toml, line 35, column 20 · picture-without-description";

fn guide(softening: &str) -> Folder {
    let parts = Folder::base().text("parts/parts.toml").replace("location = \"Stores\"\n", PICTURE);
    let guide = format!("{}\n{softening}", Folder::base().text("guide.toml"));
    Folder::base().with("parts/parts.toml", parts).with("guide.toml", guide)
}

fn soften(lines: &str) -> Folder {
    guide(&format!("[[soften]]\nbecause = \"The can looks like any can.\"\n{lines}\n"))
}

#[test]
fn a_rule_is_softened_by_itself_by_entry_and_by_file() {
    guide("").inspect().finds(&[AT]);
    for scope in ["", "entry = \"part:table-oil\"", "file = \"parts/parts.toml\""] {
        let outcome = soften(&format!("rule = \"picture-without-description\"\n{scope}")).inspect_with(&["--strict"]);
        assert_eq!(outcome.heads(), [AT], "{scope}");
        assert_eq!(outcome.code, Some(0), "{scope}: {}", outcome.out);
        assert!(outcome.out.starts_with("ADVICE ") && outcome.out.contains("The can looks like any can."));
    }
}

#[test]
fn a_softening_of_something_else_softens_nothing_and_is_reported() {
    for scope in ["entry = \"part:pump\"", "file = \"readings/readings.toml\""] {
        let outcome = soften(&format!("rule = \"picture-without-description\"\n{scope}")).inspect();
        let rules: Vec<&str> = outcome.heads().iter().filter_map(|head| head.rsplit(' ').next()).collect();
        let unused = bayleaf::inspect::named("unused-softening").map(|rule| rule.info.name);
        let expected: Vec<&str> = unused.into_iter().chain(["picture-without-description"]).collect();
        assert_eq!(rules, expected, "{scope}");
        assert_eq!(outcome.code, Some(1));
    }
}

#[test]
fn softenings_that_cannot_be_are_told() {
    let line = Folder::base().text("guide.toml").lines().count() + 4;
    for (lines, column, rule) in [
        ("rule = \"unknown-id\"", 8, "rule-cannot-be-softened"),
        ("rule = \"picture-without-descripton\"", 8, "unknown-id"),
    ] {
        let at = format!("guide.toml, line {line}, column {column} · {rule}");
        soften(lines).inspect().finds(&[&at, AT]);
    }
    for (lines, column, rule) in [
        ("entry = \"part:tabel-oil\"", 9, "unknown-id"),
        ("entry = \"table-oil\"", 9, "bad-id"),
        ("file = \"parts/part.toml\"", 8, "unknown-id"),
    ] {
        let outcome = soften(&format!("rule = \"picture-without-description\"\n{lines}")).inspect();
        let at = format!("guide.toml, line {}, column {column} · {rule}", line + 1);
        assert!(outcome.heads().contains(&at.as_str()), "{lines}: {}", outcome.out);
        assert_eq!(outcome.code, Some(1));
    }
}

#[test]
fn one_rule_alone_can_be_asked_for() {
    let folder = guide("");
    let outcome = folder.inspect_with(&["--only", "dead-link"]);
    assert_eq!((outcome.code, outcome.heads().len()), (Some(0), 0));
    assert_eq!(folder.inspect_with(&["--only", "picture-without-description"]).heads(), [AT]);
    let outcome = folder.inspect_with(&["--only", "dead-lnk"]);
    assert_eq!(outcome.code, Some(2));
    assert!(outcome.err.contains("dead-link"), "{}", outcome.err);
}
