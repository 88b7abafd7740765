//! Mutants of the whole demo: a guide that was changed in one place is caught there, or the change is listed as harmless.

mod judge;
mod make;
mod text;

use std::collections::BTreeMap;

use bayleaf::desk::MemoryDesk;
use bayleaf::pipeline::{self, Inspected};
use jiff::civil::date;
use rayon::prelude::*;

use crate::guides::demo;
use judge::{Harmless, Verdict};
use make::{Demo, Mutant, Texts};

/// The demo with its pictures.
pub(crate) fn demo_desk() -> MemoryDesk {
    demo().into_iter().fold(MemoryDesk::new(), |desk, (path, bytes)| desk.with(path, bytes))
}

pub(crate) fn demo_texts() -> Texts {
    let texts = demo().into_iter().filter(|(path, _)| !path.starts_with("media/"));
    texts.map(|(path, bytes)| (path, String::from_utf8(bytes).unwrap())).collect()
}

pub(crate) fn judged(desk: &MemoryDesk) -> Inspected {
    pipeline::inspect(desk, Some(date(2026, 9, 1)))
}

fn mutated(texts: &Texts, mutant: &Mutant) -> BTreeMap<String, String> {
    let mut changed: BTreeMap<String, String> = BTreeMap::new();
    let mut edits = mutant.edits.clone();
    edits.sort_by_key(|edit| edit.at.start);
    for edit in edits.iter().rev() {
        let text = changed.entry(edit.file.clone()).or_insert_with(|| texts[&edit.file].clone());
        text.replace_range(edit.at.clone(), &edit.put);
    }
    changed
}

#[test]
fn the_demo_is_silent() {
    let inspected = judged(&demo_desk());
    let found: Vec<_> = inspected.report.findings.iter().filter(|it| it.softened.is_none()).collect();
    assert!(found.is_empty(), "{found:#?}");
}

/// Every mutant is caught by a rule that fits at a place that fits, or is named in `silent.tsv` with its reason in `harmless.toml`.
#[test]
fn every_mutant_is_caught_or_known_to_be_harmless() {
    let (texts, desk) = (demo_texts(), demo_desk());
    let demo = Demo::of(&texts);
    let mutants = chosen(demo.mutants());
    let quiet = judge::told(&judged(&desk));
    let begun = std::time::Instant::now();
    let verdicts: Vec<Verdict> = mutants
        .par_iter()
        .map(|mutant| {
            let changed = mutated(&texts, mutant);
            let desk = changed.into_iter().fold(desk.clone(), |desk, (path, text)| desk.with(path, text));
            judge::judge(mutant, &judged(&desk), &quiet)
        })
        .collect();
    println!("{} mutants in {:?}", mutants.len(), begun.elapsed());
    if let Ok(path) = std::env::var("MUTANTS_TO") {
        let lines = mutants.iter().zip(&verdicts).map(|(m, v)| format!("{}\t{}\t{v:?}\n", m.sort, m.name));
        std::fs::write(path, lines.collect::<String>()).unwrap();
    }
    report(&mutants, &verdicts);
}

/// All of them where `MUTANTS=all`, one sort where it names one; else every fortieth, so that daily runs stay short.
fn chosen(mutants: Vec<Mutant>) -> Vec<Mutant> {
    let wanted = std::env::var("MUTANTS").unwrap_or_default();
    let some = mutants.into_iter().enumerate().filter(|(index, mutant)| match wanted.as_str() {
        "all" => true,
        "" => index % 40 == 0,
        sort => mutant.sort == sort,
    });
    some.map(|(_, mutant)| mutant).collect()
}

fn report(mutants: &[Mutant], verdicts: &[Verdict]) {
    let harmless = Harmless::read();
    let mut used: BTreeMap<usize, usize> = BTreeMap::new();
    let mut counts: BTreeMap<&str, [usize; 3]> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (mutant, verdict) in mutants.iter().zip(verdicts) {
        let counted = counts.entry(mutant.sort).or_default();
        match (verdict, harmless.matching(mutant)) {
            (Verdict::Caught(_), _) => counted[0] += 1,
            (Verdict::Silent, Some(pattern)) => {
                counted[1] += 1;
                *used.entry(pattern).or_default() += 1;
            }
            (Verdict::Silent, None) => {
                counted[2] += 1;
                wrong.push(format!("{} | {} | nothing", mutant.sort, mutant.name));
            }
            (Verdict::Elsewhere(found), _) => {
                counted[2] += 1;
                wrong.push(format!("{} | {} | elsewhere: {}", mutant.sort, mutant.name, found.join(", ")));
            }
        }
    }
    for (sort, [caught, harmless, missed]) in &counts {
        let all = caught + harmless + missed;
        println!("{sort:<18} {all:>5}: {caught} caught, {harmless} harmless, {missed} missed");
    }
    let sum = |at: usize| counts.values().map(|counted| counted[at]).sum::<usize>();
    let (caught, harmless_ones, missed) = (sum(0), sum(1), sum(2));
    println!("in all {}: {caught} caught, {harmless_ones} harmless, {missed} missed", mutants.len());
    assert!(wrong.is_empty(), "{} mutants are missed:\n{}", wrong.len(), wrong.join("\n"));
    if std::env::var("MUTANTS").as_deref() == Ok("all") {
        let miscounted = harmless.miscounted(&used);
        assert!(miscounted.is_empty(), "lines of harmless.toml that do not hold: {miscounted:#?}");
    }
}
