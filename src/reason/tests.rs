//! Facts that hang on more than one entry, worked out from small guides.

use super::calls::Role;
use super::faults::Showing;
use super::hazards::{Safety, Site, Warning};
use super::recalibration::{Because, tags};
use super::{Facts, facts};
use crate::desk::MemoryDesk;
use crate::model::{Guide, Id, Need};

const PARTS: &str = r#"
[[part]]
id = "sensor"
name = "Sensor"
kind = "sensor"
location = "Arm"
recalibrate_if_disturbed = [
  { need = "none", because = "It is only looked at", source = "manual, 5", variants = ["a"] },
  { need = "required", because = "It forgets", by = ["depot"], source = "manual, 5", variants = ["b"] },
]

[[part]]
id = "hose"
name = "Hose"
kind = "hose"
location = "Arm"
hazards = [{ when = "opened", hazard = "jet" }]
"#;

const GUIDE: &str = r#"
[guide]
title = "G"
edition = "1"
date = 2026-01-01
publisher = "P"
language = "en"
[escalation]
name = "N"
contact = "C"
[[variant]]
id = "a"
name = "A"
serials = [{ first = "A-1" }]
[[variant]]
id = "b"
name = "B"
serials = [{ first = "B-1" }]
[[depot]]
id = "depot"
name = "Depot"
lead_days = 3
may_move = "No."
[[hazard]]
id = "jet"
kind = "pressure"
signal = "warning"
name = "Jet"
consequence = "It cuts."
avoid = "Release it."
[[source]]
id = "manual"
title = "Manual"
kind = "manual"
"#;

/// A guide with these procedures: id, keys of the main table, and the rest of the file.
fn guide(procedures: &[(&str, &str, &str)]) -> (Guide, Facts) {
    let desk = MemoryDesk::new().with("guide.toml", GUIDE).with("parts/parts.toml", PARTS);
    let desk = procedures.iter().fold(desk, |desk, (id, keys, rest)| {
        let kind = if keys.contains("kind =") { "" } else { "kind = \"task\"\n" };
        let text = format!("[procedure]\nid = \"{id}\"\ntitle = \"T\"\nminutes = 1\n{kind}{keys}\n{rest}");
        desk.with(format!("procedures/{id}.toml"), text)
    });
    let draft = crate::read::read(&desk);
    assert!(draft.findings.is_empty(), "{:?}", draft.findings);
    let facts = facts(&draft.guide);
    (draft.guide, facts)
}

fn run(id: &str) -> String {
    format!("[[step]]\ndo = \"Do it.\"\nrun = \"{id}\"\n")
}

#[test]
fn a_need_climbs_through_callers_on_its_own_variant_only() {
    let (_, facts) = guide(&[
        ("inner", "disturbs = [\"sensor\"]", ""),
        ("middle", "make_safe = [\"inner\"]", ""),
        ("outer", "", &run("middle")),
    ]);
    let (a, b) = (Some(Id::new("a")), Some(Id::new("b")));
    assert_eq!(facts.recalibration.reached("outer", &a).need, Need::None);
    assert_eq!(facts.recalibration.reached("outer", &b).need, Need::Required);
    let chain = facts.recalibration.chain("outer", &b);
    let names: Vec<&str> = chain.iter().map(|(id, _)| id.as_str()).collect();
    assert_eq!(names, ["outer", "middle", "inner"]);
    assert!(matches!(&chain[0].1, Because::Runs { role: Role::Step(0), .. }));
    assert!(matches!(&chain[1].1, Because::Runs { role: Role::MakeSafe, .. }));
    assert_eq!(chain[2].1.part().map(Id::as_str), Some("sensor"));
    assert!(facts.repairs.because("outer").is_none(), "a make-safe is not a step that disturbs");
}

#[test]
fn a_circle_of_procedures_ends_and_still_carries_the_need() {
    let (_, facts) = guide(&[
        ("one", "", &run("two")),
        ("two", "", &format!("{}{}", run("one"), run("three"))),
        ("three", "", "[[consumable]]\npart = \"sensor\"\n"),
    ]);
    let b = Some(Id::new("b"));
    assert_eq!(facts.recalibration.reached("one", &b).need, Need::Required);
    assert_eq!(facts.recalibration.chain("one", &b).len(), 3);
}

#[test]
fn what_a_called_procedure_says_itself_counts_for_its_callers() {
    let tag = "[recalibration]\nneed = \"required\"\nbecause = \"B\"\nby = [\"depot\"]\nsource = \"manual, 1\"\n";
    let (guide, facts) = guide(&[("inner", "", tag), ("outer", "", &run("inner"))]);
    let a = Some(Id::new("a"));
    assert_eq!(facts.recalibration.reached("inner", &a).need, Need::None, "its own tag is not its own reason");
    let chain = facts.recalibration.chain("outer", &a);
    assert!(matches!(chain.as_slice(), [(_, Because::Runs { stated: true, .. })]), "{chain:?}");
    let inner = guide.procedures.find("inner").unwrap();
    let tags = tags(&guide, inner);
    assert_eq!((tags[0].machines.len(), tags[0].depots[0].lead_days.value), (2, 3));
}

/// What is known of the jet, where `repair` opens the hose.
fn jet(procedures: &[(&str, &str, &str)]) -> (Site, Warning, Safety) {
    let (_, facts) = guide(procedures);
    let [met] = facts.exposures.as_slice() else { panic!("{:?}", facts.exposures) };
    (met.site.clone(), met.warning.clone(), met.safety.clone())
}

const RELEASE: (&str, &str, &str) = ("release", "kind = \"make-safe\"\nmakes_safe = [\"jet\"]", "");
const RELEASE_B: (&str, &str, &str) =
    ("release-b", "kind = \"make-safe\"\nmakes_safe = [\"jet\"]\napplies_to = [\"b\"]", "");

#[test]
fn a_make_safe_counts_only_for_the_machines_it_is_for() {
    let repair = |release: &str| format!("make_safe = [\"{release}\"]\nopens = [\"hose\"]\ncautions = [\"jet\"]");
    let whole = Site::Procedure(Id::new("repair"));
    let (keys, narrow) = (repair("release"), repair("release-b"));
    assert_eq!(jet(&[RELEASE, ("repair", &keys, "")]), (whole.clone(), Warning::Before, Safety::Before));
    let left = Safety::Never(vec![Some(Id::new("a"))]);
    assert_eq!(jet(&[RELEASE_B, ("repair", &narrow, "")]), (whole, Warning::Before, left));
}

#[test]
fn the_order_of_steps_decides() {
    let open = "[[step]]\ndo = \"Unscrew it.\"\nopens = [\"hose\"]\n";
    let before = format!("{}{open}", run("release"));
    let step = |index| Site::Step(Id::new("repair"), index);
    assert_eq!(jet(&[RELEASE, ("repair", "", &before)]), (step(1), Warning::Never, Safety::Before));
    let after = format!("{open}{}cautions = [\"jet\"]\n", run("release"));
    let (site, warning, safety) = jet(&[RELEASE, ("repair", "", &after)]);
    assert_eq!(site, step(0));
    assert!(matches!((warning, safety), (Warning::After(_), Safety::After(_))));
    let same = format!("{}opens = [\"hose\"]\n", run("release"));
    assert!(matches!(jet(&[RELEASE, ("repair", "", &same)]).2, Safety::After(_)), "in the same step is too late");
}

#[test]
fn taking_off_what_holds_fluid_opens_it_and_a_repair_makes_nothing_safe() {
    let keys = "kind = \"make-safe\"\nmakes_safe = [\"jet\"]\ndisturbs = [\"hose\"]";
    let (_, warning, safety) = jet(&[("repair", keys, "")]);
    assert_eq!((warning, matches!(safety, Safety::Never(_))), (Warning::Never, true));
    let keys = "kind = \"make-safe\"\nmakes_safe = [\"jet\"]\nopens = [\"hose\"]";
    assert_eq!(jet(&[("release", keys, "")]).2, Safety::Itself);
}

#[test]
fn a_check_with_one_outcome_shows_nothing() {
    let fault = |second: &str| {
        format!(
            "[fault]\nid = \"f\"\nsymptom = \"S\"\n[[cause]]\nid = \"x\"\nsays = \"X\"\nshare = 1\nrepair = \"p\"\n\
             [[cause]]\nid = \"y\"\nsays = \"Y\"\nshare = 1\nrepair = \"q\"\n[[check]]\nid = \"c\"\nask = \"A\"\n\
             minutes = 1\n[[check.answer]]\nsays = \"1\"\nleaves = [\"x\"]\n{second}"
        )
    };
    let showing = |second: &str| {
        let desk = MemoryDesk::new().with("guide.toml", GUIDE).with("faults/f.toml", fault(second));
        let facts = facts(&crate::read::read(&desk).guide);
        facts.faults.get("f").map(|facts| facts.causes.iter().map(|cause| cause.showing).collect::<Vec<_>>()).unwrap()
    };
    assert_eq!(showing(""), [Showing::Never, Showing::Never]);
    let both = "[[check.answer]]\nsays = \"2\"\nleaves = [\"x\", \"y\"]\n";
    assert_eq!(showing(both), [Showing::Shown { check: 0, answer: 0 }, Showing::Never]);
}
