//! What is kept and said where headers or merges went wrong.

use super::*;
use crate::read::file::{form, role_of};
use crate::read::record::Form;

fn mended(text: &str) -> (String, Vec<String>) {
    let mut ledger = Ledger::default();
    let mended = mend(text, &mut ledger).text.into_owned();
    (mended, ledger.findings.into_iter().map(|finding| finding.remedy).collect())
}

#[test]
fn single_brackets_cost_nothing_that_stands_elsewhere() {
    let checks = "[[check]]\n[check.answer]\na = 1\n[[check]]\n[check.answer]\nb = 2\n[check.answer]\nc = 3\n[[check]]\n[check.answer]\nd = 4\n";
    let (text, told) = mended(checks);
    assert_eq!(told, ["Write `[[check.answer]]`, here and each time."]);
    let kept = ["a = 1", "b = 2", "c = 3", "d = 4"].map(|pair| text.contains(pair));
    assert_eq!(kept, [true, false, false, true], "{text}");
}

#[test]
fn a_table_that_comes_once_is_not_said_to_be_a_list() {
    for name in ["part.load", "part.fluid", "part.picture", "part.sum"] {
        let (text, told) = mended(&format!("[[part]]\n[{name}]\na = 1\n[{name}]\nb = 2\n[[part]]\n[{name}]\nc = 3\n"));
        assert!(text.contains("a = 1") && text.contains("c = 3") && !text.contains("b = 2"), "{text}");
        assert!(told == ["Keep one of the two."], "{told:?}");
    }
}

#[test]
fn the_marks_of_a_merge_are_one_finding() {
    let (text, told) = mended("a = 1\n<<<<<<< mine\nb = 2\n=======\nc = 3\n>>>>>>> theirs\n");
    assert_eq!(told, [MERGED.1]);
    assert!(text.contains("b = 2") && text.contains("c = 3") && !text.contains('='.to_string().repeat(7).as_str()));
}

#[test]
fn the_lists_are_those_of_the_readers() {
    fn lists(form: &Form, found: &mut std::collections::BTreeSet<&'static str>) {
        for inside in &form.inside {
            found.extend(inside.list.then_some(inside.name));
            lists(inside, found);
        }
    }
    let mut found = std::collections::BTreeSet::new();
    for folder in ["parts", "bulletins", "faults", "procedures", "hoses", "wiring", "sequences", "readings"] {
        lists(&form(role_of(&format!("{folder}/x.toml"))).unwrap(), &mut found);
    }
    for path in ["guide.toml", "terms.toml", "card.toml"] {
        lists(&form(role_of(path)).unwrap(), &mut found);
    }
    assert_eq!(found.into_iter().collect::<Vec<_>>(), LISTS);
}
