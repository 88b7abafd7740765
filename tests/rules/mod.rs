//! Every rule page is run: its bad example fires exactly that rule at the marked lines, its good example is silent.
//!
//! An example is one or more fenced blocks under `## Bad` or `## Good`. The words behind the fence are the language,
//! the path of the file in the guide, and optionally `add` (the block is added to the end of the file of the small
//! guide in `base/`, instead of replacing it), `remove` (the file is taken away), `latin1` (the file is saved in ISO
//! 8859-1), `marks=N` (line N is marked, where a file cannot hold a comment) or `beside=RULE` (what that rule finds in
//! the file is left aside, and must be there). In TOML a marked line ends in `# <-`.

use std::collections::{BTreeMap, BTreeSet};

use bayleaf::desk::MemoryDesk;
use bayleaf::inspect::{Rule, all};
use bayleaf::pipeline::{self, Inspected};
use jiff::civil::date;

use crate::guides::base;

/// One example of a page: files laid over the small guide, and the lines marked in them.
#[derive(Debug, Default)]
struct Example {
    files: BTreeMap<String, Vec<u8>>,
    removed: BTreeSet<String>,
    marks: BTreeSet<(String, usize)>,
    beside: BTreeSet<(String, String)>,
}

fn examples(page: &str, heading: &str) -> Vec<Example> {
    let mut examples = Vec::new();
    let mut here = false;
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        if let Some(title) = line.strip_prefix("## ") {
            here = title.starts_with(heading);
            if here {
                examples.push(Example::default());
            }
        } else if let Some(info) = line.strip_prefix("```") {
            let body: Vec<&str> = lines.by_ref().take_while(|line| !line.starts_with("```")).collect();
            if let (true, Some(example)) = (here, examples.last_mut()) {
                example.take_block(info, &body);
            }
        }
    }
    examples
}

impl Example {
    fn take_block(&mut self, info: &str, body: &[&str]) {
        let mut words = info.split_whitespace().skip(1);
        let path = words.next().expect("a block names its file").to_owned();
        let words: Vec<&str> = words.collect();
        let marked = words.iter().filter_map(|word| word.strip_prefix("marks=")?.parse::<usize>().ok());
        self.marks.extend(marked.map(|line| (path.clone(), line)));
        let beside = words.iter().filter_map(|word| word.strip_prefix("beside="));
        self.beside.extend(beside.map(|rule| (rule.to_owned(), path.clone())));
        if words.contains(&"remove") {
            self.removed.insert(path);
            return;
        }
        let mut text = if words.contains(&"add") { base_text(&path) } else { String::new() };
        let before = text.lines().count();
        for (index, line) in body.iter().enumerate() {
            if line.ends_with("# <-") {
                self.marks.insert((path.clone(), before + index + 1));
            }
            text.push_str(line);
            text.push('\n');
        }
        let latin1 = words.contains(&"latin1");
        let bytes = if latin1 { text.chars().map(|letter| letter as u8).collect() } else { text.into_bytes() };
        self.files.insert(path, bytes);
    }

    /// The small guide with this example laid over it.
    fn inspected(&self) -> Inspected {
        let mut files = base();
        files.extend(self.files.clone());
        files.retain(|path, _| !self.removed.contains(path));
        let desk = files.into_iter().fold(MemoryDesk::new(), |desk, (path, bytes)| desk.with(path, bytes));
        pipeline::inspect_and_search(&desk, Some(date(2026, 2, 1)))
    }

    /// What is found in it: rule, path and line.
    fn findings(&self) -> BTreeSet<(&'static str, String, usize)> {
        let inspected = self.inspected();
        let sources = &inspected.draft.sources;
        let all = inspected.report.findings.iter().map(|judged| {
            let span = judged.finding.span;
            (judged.rule.name, sources.path(span.file).to_owned(), sources.position(span).line)
        });
        let mut findings: BTreeSet<(&'static str, String, usize)> = all.collect();
        for (rule, path) in &self.beside {
            let before = findings.len();
            findings.retain(|(found, at, _)| !(*found == rule && at == path));
            assert!(findings.len() < before, "nothing of {rule} stands beside, in {path}: {self:?}");
        }
        findings
    }
}

fn base_text(path: &str) -> String {
    base().remove(path).map_or_else(String::new, |bytes| String::from_utf8(bytes).unwrap())
}

/// Every bad example of every page, judged: guides with findings for other tests.
pub(crate) fn bad_guides() -> Vec<Inspected> {
    let bad = all().iter().flat_map(|rule| examples(rule.info.page, "Bad"));
    bad.map(|example| example.inspected()).collect()
}

#[test]
fn the_small_guide_is_silent() {
    assert_eq!(Example::default().findings(), BTreeSet::new());
}

#[test]
fn every_rule_has_a_page_with_examples_that_hold() {
    let mut wrong = Vec::new();
    for rule in all() {
        wrong.extend(check_page(rule));
    }
    assert!(wrong.is_empty(), "{} pages do not hold:\n{}", wrong.len(), wrong.join("\n"));
}

fn check_page(rule: &Rule) -> Vec<String> {
    let (name, page) = (rule.info.name, rule.info.page);
    let mut wrong = Vec::new();
    if !page.starts_with(&format!("# {name}\n")) {
        wrong.push(format!("{name}: the page does not begin with its name"));
    }
    let (bad, good) = (examples(page, "Bad"), examples(page, "Good"));
    if bad.is_empty() || good.is_empty() {
        wrong.push(format!("{name}: the page lacks a bad or a good example"));
    }
    for example in &bad {
        let expected = example.marks.iter().map(|(path, line)| (name, path.clone(), *line)).collect();
        let found = example.findings();
        if found != expected || expected.is_empty() {
            wrong.push(format!("{name}: the bad example gives {found:?}, marked are {expected:?}"));
        }
    }
    for example in &good {
        let found = example.findings();
        if !found.is_empty() {
            wrong.push(format!("{name}: the good example gives {found:?}"));
        }
    }
    wrong
}

#[test]
fn rule_names_are_unique_and_kebab_case() {
    let names: BTreeSet<&str> = all().iter().map(|rule| rule.info.name).collect();
    assert_eq!(names.len(), all().len());
    assert!(names.iter().all(|name| name.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-')));
}
