//! Random consistent guides give no finding; one random break gives one of the rule that fits.

mod guide;

use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

use crate::forms::findings;
use guide::Shape;

type Files = BTreeMap<String, Vec<u8>>;

/// A way to break a guide: in a file, a text of the guide and what stands instead, and the rules that must speak.
struct Break {
    file: &'static str,
    find: String,
    put: String,
    rules: &'static [&'static str],
}

fn broken(
    file: &'static str,
    find: impl Into<String>,
    put: impl Into<String>,
    rules: &'static [&'static str],
) -> Break {
    Break { file, find: find.into(), put: put.into(), rules }
}

/// The break number `which` at the cause, check or cylinder number `at`.
fn a_break(shape: &Shape, which: usize, at: usize) -> Break {
    let (cause, cylinder) = (at % shape.causes, at % shape.cylinders);
    let fault = "faults/generated.toml";
    let hoses = "hoses/generated.toml";
    match which {
        0 => broken(
            fault,
            format!("leaves = [\"cause-{cause}\"]"),
            "leaves = []",
            &["answer-leaving-no-cause", "cause-without-check"],
        ),
        1 => broken(fault, format!("repair = \"mend-{cause}\"\n"), "", &["cause-without-repair"]),
        2 => {
            broken(fault, format!("repair = \"mend-{cause}\""), format!("repair = \"mend-{cause}-x\""), &["unknown-id"])
        }
        3 => broken(fault, format!("share = {}\n", shape.share(cause)), "", &["missing-likelihood"]),
        4 => broken(fault, "[verify]\nsays = \"Listen.\"\n", "", &["fault-without-verification"]),
        5 => broken(fault, format!("leaves = [\"cause-{cause}\"]"), "leaves = [\"cause-none\"]", &["unknown-id"]),
        6 => broken(
            hoses,
            format!("pair = \"line-{cylinder}-r\""),
            format!("pair = \"line-{cylinder}-c\""),
            &["pair-not-mutual"],
        ),
        7 => broken(
            hoses,
            format!("colour = \"{}\"", shape.colour(2 * cylinder)),
            format!("colour = \"{}\"", shape.colour(2 * cylinder + 1)),
            &["colour-does-not-tell-apart"],
        ),
        8 => broken(hoses, format!("to = \"cylinder-{cylinder}-c\"\n"), "", &["hose-end-missing"]),
        9 => broken(
            hoses,
            format!("to = \"cylinder-{cylinder}-c\""),
            format!("to = \"cylinder-{cylinder}-r\""),
            &["port-used-twice", "pair-on-one-side", "sides-disagree"],
        ),
        10 => broken(hoses, format!("mark = \"C{cylinder}\""), format!("mark = \"R{cylinder}\""), &["mark-used-twice"]),
        20 => broken(
            hoses,
            format!("mark = \"C{cylinder}\"\ncolour"),
            "mark = \"ZZ\"\ncolour",
            &["hose-where-another-belongs"],
        ),
        21 => broken(hoses, "part = \"hose-kit\"\n", "", &["hose-without-part"]),
        11 => broken(hoses, format!("source = \"manual, line {cylinder}\"\n"), "", &["value-without-source"]),
        _ => break_of_repair(which, cause),
    }
}

fn break_of_repair(which: usize, cause: usize) -> Break {
    let file = guide::repair_file(cause);
    match which {
        12 => broken(
            file,
            "[recalibration]\nneed = \"none\"\nbecause = \"No sensor is touched.\"\nsource = \"manual, 5\"\n",
            "",
            &["repair-without-recalibration-tag"],
        ),
        13 => broken(file, "[function_test]\nprocedure = \"test-table\"\n", "", &["repair-without-function-test"]),
        14 => broken(file, "release = \"The technician signs.\"\n", "", &["repair-without-release"]),
        15 => broken(
            file,
            "cautions = [\"oil-pressure\", \"falling-table\"]",
            "cautions = [\"falling-table\"]",
            &["hazard-without-caution"],
        ),
        16 => broken(file, "make_safe = [\"release-pressure\"]\n", "", &["hazard-without-make-safe"]),
        17 => broken(
            file,
            "disturbs = [\"hose-kit\"]",
            "disturbs = [\"hose-kit\", \"height-sensor\"]",
            &["recalibration-tag-too-low"],
        ),
        18 => broken(file, "need = \"none\"", "need = \"required\"", &["recalibration-tag-too-high"]),
        _ => broken(file, "[[step]]\ndo = \"Change the hose.\"\n", "", &["step-without-action", "missing-field"]),
    }
}

const BREAKS: usize = 22;

fn shapes() -> impl Strategy<Value = Shape> {
    (1_usize..7, 1_usize..5, prop::collection::vec(1_u32..90, 7), any::<u64>())
        .prop_map(|(causes, cylinders, shares, order)| Shape::new(causes, cylinders, &shares, order))
}

fn runner() -> TestRunner {
    TestRunner::new(Config { cases: 24, failure_persistence: None, ..Config::default() })
}

#[test]
fn consistent_guides_give_no_finding() {
    let verdict = runner().run(&shapes(), |shape| {
        prop_assert_eq!(findings(shape.files()), []);
        Ok(())
    });
    verdict.unwrap();
}

#[test]
fn one_break_gives_a_finding_of_a_rule_that_fits() {
    let cases = (shapes(), 0..BREAKS, any::<usize>());
    let config = Config { cases: 80, failure_persistence: None, ..Config::default() };
    let verdict = TestRunner::new(config).run(&cases, |(shape, which, at)| {
        let broken = a_break(&shape, which, at);
        let files = apply(shape.files(), &broken);
        let found = findings(files);
        prop_assert!(
            found.iter().any(|(rule, path, ..)| broken.rules.contains(&rule.as_str()) && path == broken.file),
            "{} -> {}: {found:?}",
            broken.find,
            broken.put
        );
        Ok(())
    });
    verdict.unwrap();
}

/// Every kind of break at once, so that none is left to chance.
#[test]
fn every_kind_of_break_is_found() {
    let shape = Shape::new(4, 3, &[10, 20, 30, 40, 50, 60, 70], 7);
    for which in 0..BREAKS {
        let broken = a_break(&shape, which, 1);
        let found = findings(apply(shape.files(), &broken));
        let fits = found.iter().any(|(rule, path, ..)| broken.rules.contains(&rule.as_str()) && path == broken.file);
        assert!(fits, "break {which}: {:?} -> {:?} gives {found:?}", broken.find, broken.put);
    }
}

fn apply(mut files: Files, broken: &Break) -> Files {
    let text = String::from_utf8(files[broken.file].clone()).unwrap();
    assert!(text.contains(&broken.find), "{} holds no {:?}", broken.file, broken.find);
    files.insert(broken.file.to_owned(), text.replacen(&broken.find, &broken.put, 1).into_bytes());
    files
}
