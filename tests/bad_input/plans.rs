//! Faults that are hard to plan, or cannot be: no page without its checks is published.

use std::process::Command;

use super::{Folder, Outcome, run};

const REPAIRS: [&str; 2] = ["top-up", "replace-hose"];

/// A fault with so many causes, each shown by a check of its own; `more` stands in every check.
fn fault(causes: usize, more: &str) -> String {
    let mut text =
        "[fault]\nid = \"table-long\"\nsymptom = \"The table stops\"\n[verify]\nsays = \"Raise it.\"\n".to_owned();
    let name = |number: usize| format!("\"c-{number}\"");
    for number in 0..causes {
        let (id, repair) = (name(number), REPAIRS[number % REPAIRS.len()]);
        text += &format!(
            "[[cause]]\nid = {id}\nsays = \"Cause {number}\"\nshare = {}\nrepair = \"{repair}\"\n",
            number + 1
        );
    }
    for number in 0..causes {
        let others: Vec<String> = (0..causes).filter(|other| *other != number).map(name).collect();
        text += &format!("[[check]]\nid = \"k-{number}\"\nask = \"Is thing {number} broken?\"\nminutes = 1\n{more}");
        text += &format!("[[check.answer]]\nsays = \"Yes\"\nleaves = [{}]\n", name(number));
        text += &format!("[[check.answer]]\nsays = \"No\"\nleaves = [{}]\n", others.join(", "));
    }
    text
}

impl Folder {
    fn compile(&self) -> Outcome {
        let out = self.dir.path().with_extension("out");
        let outcome =
            run(Command::new(env!("CARGO_BIN_EXE_bayleaf")).arg("compile").arg(self.dir.path()).arg("--out").arg(&out));
        let page = std::fs::read_to_string(out.join("faults/table-long.html")).unwrap_or_default();
        let _ = std::fs::remove_dir_all(&out);
        Outcome { out: page, ..outcome }
    }
}

#[test]
fn a_plan_of_many_checks_has_a_chart_with_room_for_them() {
    let outcome = Folder::base().with("faults/table-long.toml", fault(20, "")).compile();
    assert_eq!(outcome.code, Some(0), "{}", outcome.err);
    let chart = outcome.out.split("<svg viewBox=\"0 0 ").nth(1).unwrap();
    let wide: u32 = chart.split(' ').next().unwrap().parse().unwrap();
    assert!((340..2_000).contains(&wide), "{wide}");
}

#[test]
fn a_swap_that_cures_is_no_answer_of_a_machine_without_the_causes() {
    let text = fault(2, "").replacen("minutes = 1\n", "minutes = 1\ntries = \"top-up\"\n", 1);
    let outcome = Folder::base().with("faults/table-long.toml", text).compile();
    assert_eq!(outcome.code, Some(0), "{}", outcome.err);
    assert!(outcome.out.contains("id=\"step-1\""));
}

#[test]
fn a_fault_that_cannot_be_planned_is_not_published() {
    let accesses: Vec<String> = (0..65).map(|number| format!("\"a-{number}\"")).collect();
    let mut text = fault(2, &format!("access = [{}]\n", accesses.join(", ")));
    text.extend(accesses.iter().map(|id| format!("[[access]]\nid = {id}\ndo = \"Open a lid\"\nminutes = 1\n")));
    let folder = Folder::base().with("faults/table-long.toml", text);
    let outcome = folder.inspect();
    assert!(outcome.out.contains("`table-long` cannot be planned: more than 64 accesses"), "{}", outcome.out);
    assert_eq!(folder.compile().code, Some(1));
}

#[test]
fn hundreds_of_causes_and_checks_have_a_finding_at_once() {
    let folder = Folder::base().with("faults/table-long.toml", fault(300, ""));
    let outcome = folder.inspect();
    assert!(outcome.out.contains("`table-long` cannot be planned: more than 128 causes"), "{}", outcome.out);
    assert_eq!(folder.compile().code, Some(1));
}
