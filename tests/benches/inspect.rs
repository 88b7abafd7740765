//! How long judging a large guide takes, against reading it: both in the same run, on a generated guide of 10,000 entries.
//!
//! Prints the median of several runs and fails where judging takes three times as long as reading, or longer.

use std::fmt::Write;
use std::time::{Duration, Instant};

use bayleaf::desk::MemoryDesk;
use bayleaf::report::Level;
use bayleaf::{inspect, read, reason};

const RUNS: usize = 7;
const MACHINES: usize = 510;

fn main() {
    let desk = guide();
    let mut times: Vec<(Duration, Duration, Duration)> = (0..RUNS).map(|_| once(&desk)).collect();
    times.sort_by_key(|(read, facts, judge)| (*facts + *judge).as_nanos() * 1000 / read.as_nanos().max(1));
    let (read, facts, judge) = times[RUNS / 2];
    let ratio = (facts + judge).as_secs_f64() / read.as_secs_f64();
    println!("reading {read:?}; facts {facts:?}, rules {judge:?}; judging takes {ratio:.2} times as long as reading");
    if ratio >= 3.0 {
        std::process::exit(1);
    }
}

fn once(desk: &MemoryDesk) -> (Duration, Duration, Duration) {
    let begun = Instant::now();
    let draft = read::read(desk);
    let read = begun.elapsed();
    let facts = reason::facts(&draft.guide);
    let known = begun.elapsed();
    let report = inspect::inspect(&draft, &facts, None, Vec::new(), None);
    let judged = begun.elapsed();
    let guide = &draft.guide;
    let entries = guide.parts.len() + guide.procedures.len() + guide.faults.len() + guide.circuits.len();
    let entries = entries + guide.readings.len() + guide.notes.len();
    assert!(entries >= 10_000, "{entries}");
    let errors = report.findings.iter().filter(|it| it.level == Level::Error).take(3);
    let errors: Vec<_> = errors.map(|it| (it.rule.name, &it.finding.wrong)).collect();
    assert!(errors.is_empty(), "the guide is not consistent: {errors:#?}");
    (read, known - read, judged - known)
}

/// A guide of many small machines in one: each with parts, a circuit, faults, repairs, readings and a note.
fn guide() -> MemoryDesk {
    let mut desk = MemoryDesk::new().with("guide.toml", HEAD);
    for machine in 0..MACHINES {
        desk = desk
            .with(format!("parts/m{machine}.toml"), parts(machine))
            .with(format!("hoses/m{machine}.toml"), circuit(machine))
            .with(format!("readings/m{machine}.toml"), reading(machine))
            .with(
                format!("notes/m{machine}.md"),
                format!("+++\ntitle = \"Machine {machine}\"\n+++\nSee [](part:m{machine}-block).\n"),
            );
        for fault in 0..3 {
            desk = desk.with(format!("faults/m{machine}-{fault}.toml"), self::fault(machine, fault));
        }
        for cause in 0..8 {
            desk = desk.with(format!("procedures/m{machine}-mend-{cause}.toml"), repair(machine, cause));
        }
    }
    desk.with("procedures/test.toml", TEST).with("procedures/release.toml", RELEASE)
}

fn parts(m: usize) -> String {
    let mut text = String::new();
    for (id, name, kind) in [
        ("block", "Valve block", "valve-block"),
        ("left", "Left cylinder", "cylinder"),
        ("right", "Right cylinder", "cylinder"),
        ("hose", "Hoses", "hose"),
        ("pump", "Pump unit", "pump-unit"),
        ("frame", "Frame", "structure"),
    ] {
        let hazards = if id == "hose" { "hazards = [{ when = \"opened\", hazard = \"jet\" }]\n" } else { "" };
        let _ = write!(
            text,
            "[[part]]\nid = \"m{m}-{id}\"\nname = \"{name} {m}\"\nkind = \"{kind}\"\nlocation = \"Bay {m}\"\n{hazards}\n"
        );
    }
    text
}

fn circuit(m: usize) -> String {
    let mut text = format!("[circuit]\nid = \"m{m}\"\nname = \"Circuit {m}\"\n");
    for side in ["left", "right"] {
        let _ = write!(
            text,
            "\n[[actuator]]\nid = \"m{m}-{side}\"\npart = \"m{m}-{side}\"\nname = \"Cylinder {side}\"\ncap = \"m{m}-{side}-c\"\nrod = \"m{m}-{side}-r\"\n"
        );
        for (letter, chamber, other, colour) in [("c", "cap", "r", "red"), ("r", "rod", "c", "blue")] {
            for (place, part) in [(format!("{side}-{letter}"), side), (format!("block-{side}-{letter}"), "block")] {
                let _ = write!(
                    text,
                    "\n[[port]]\nid = \"m{m}-{place}\"\npart = \"m{m}-{part}\"\nmark = \"{place}\"\nfitting = \"M10x1\"\nside = \"{chamber}\"\n"
                );
            }
            let _ = write!(
                text,
                "\n[[hose]]\nid = \"m{m}-{side}-{letter}-hose\"\nmark = \"{m}{side}{letter}\"\ncolour = \"{colour}-{side}\"\nfitting = \"M10x1\"\nfrom = \"m{m}-block-{side}-{letter}\"\nto = \"m{m}-{side}-{letter}\"\npair = \"m{m}-{side}-{other}-hose\"\npart = \"m{m}-hose\"\nsource = \"manual, {m}\"\n"
            );
        }
    }
    text
}

fn reading(m: usize) -> String {
    format!(
        "[[reading]]\nid = \"m{m}-level\"\nname = \"Level {m}\"\nunit = \"1 mm\"\nhow = \"Read the glass.\"\n\
         [[reading.band]]\nid = \"low\"\nsays = \"Low\"\nto = \"5 mm\"\nverdict = \"act\"\nsource = \"manual, {m}\"\n\
         [[reading.band]]\nid = \"right\"\nsays = \"Right\"\nfrom = \"5 mm\"\nverdict = \"fine\"\nsource = \"manual, {m}\"\n"
    )
}

fn fault(m: usize, fault: usize) -> String {
    let causes: Vec<usize> = (0..4).map(|cause| (fault * 2 + cause) % 8).collect();
    let mut text = format!(
        "[fault]\nid = \"m{m}-{fault}\"\nsymptom = \"Machine {m} stops in place {fault}\"\n\n[verify]\nsays = \"Watch one stroke of the [](part:m{m}-frame).\"\n"
    );
    for cause in &causes {
        let _ = write!(
            text,
            "\n[[cause]]\nid = \"c{cause}\"\nsays = \"Reason {cause}\"\nshare = {}\nrepair = \"m{m}-mend-{cause}\"\n",
            10 + cause
        );
    }
    for cause in &causes {
        let others: Vec<String> =
            causes.iter().filter(|other| *other != cause).map(|other| format!("\"c{other}\"")).collect();
        let _ = write!(
            text,
            "\n[[check]]\nid = \"look-{cause}\"\nask = \"Is it reason {cause}?\"\nminutes = 2\nreading = \"m{m}-level\"\n[[check.answer]]\nsays = \"Yes\"\nleaves = [\"c{cause}\"]\n[[check.answer]]\nsays = \"No\"\nleaves = [{}]\n",
            others.join(", ")
        );
    }
    text
}

fn repair(m: usize, cause: usize) -> String {
    format!(
        "[procedure]\nid = \"m{m}-mend-{cause}\"\ntitle = \"Mend reason {cause} of machine {m}\"\nkind = \"repair\"\nminutes = 20\n\
         make_safe = [\"release\"]\ncautions = [\"jet\"]\nopens = [\"m{m}-hose\"]\ndisturbs = [\"m{m}-hose\"]\nrelease = \"The technician signs.\"\n\n\
         [recalibration]\nneed = \"none\"\nbecause = \"No sensor is touched.\"\nsource = \"manual, {m}\"\n\n\
         [[step]]\ndo = \"Change the hose.\"\n\n[[check_again]]\nreading = \"m{m}-level\"\n\n[function_test]\nprocedure = \"test\"\n"
    )
}

const HEAD: &str = r#"[guide]
title = "Many machines"
edition = "1"
date = 2026-01-15
publisher = "Example shop (invented)"
language = "en"
units = "si"
standing = "Only authorised, trained people work here. The maker's instructions and local rules come first."

[escalation]
name = "Lead technician"
contact = "Extension 12"

[[variant]]
id = "a"
name = "A"
serials = [{ first = "A-001" }]

[[hazard]]
id = "jet"
kind = "pressure"
signal = "warning"
name = "Fluid under pressure"
consequence = "A jet can pierce skin."
avoid = "Release the pressure before you open a line."

[[source]]
id = "manual"
title = "Manual (invented)"
kind = "manual"
"#;

const TEST: &str = r#"[procedure]
id = "test"
title = "Test the machine"
kind = "test"
minutes = 3

[[step]]
do = "Run one full stroke."
"#;

const RELEASE: &str = r#"[procedure]
id = "release"
title = "Release the pressure"
kind = "make-safe"
minutes = 2
makes_safe = ["jet"]
cautions = ["jet"]

[[step]]
do = "Turn the release screw two turns."
"#;
