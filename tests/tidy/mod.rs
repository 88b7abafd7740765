//! Guard rails over the sources as text: what a phase may use, what stands nowhere, what stands beside every rule.

mod source;

use std::collections::{BTreeMap, BTreeSet};

use source::{Source, all, production};

/// The phases in their order, each with the earlier ones it may use.
const PHASES: [(&str, &[&str]); 9] = [
    ("text", &[]),
    ("report", &["text"]),
    ("desk", &[]),
    ("model", &["text"]),
    ("read", &["text", "report", "desk", "model"]),
    ("reason", &["text", "model"]),
    ("inspect", &["text", "report", "model", "read", "reason"]),
    ("render", &["text", "desk", "model", "read", "reason"]),
    ("publish", &["desk"]),
];

/// What stands on top of the phases and may use them all.
const ON_TOP: [&str; 5] = ["lib.rs", "main.rs", "pipeline.rs", "cli.rs", "cli/"];

/// Longest file, in lines.
const LONGEST: usize = 400;

/// Words of a library that only some files may write: the word, where it may stand, why nowhere else.
const KNOWN_ONLY_TO: [(&str, &[&str], &str); 10] = [
    ("toml::", &["src/read/", "src/render/theme.rs"], "only `read` knows TOML; the theme reads the interface's words"),
    ("csv::", &["src/read/"], "only `read` knows CSV"),
    (
        "pulldown_cmark::",
        &["src/read/", "src/render/markdown.rs", "src/render/markdown/", "src/render/written_tables.rs"],
        "only `read` takes Markdown in, and only `render` puts it out",
    ),
    ("tera::", &["src/render/"], "only `render` knows templates"),
    ("clap::", &["src/cli.rs", "src/cli/"], "only the command line knows its arguments"),
    ("println!", &["src/cli.rs", "src/cli/"], "only the command line prints"),
    ("Timestamp::now", &["src/desk/disk.rs"], "only `desk` knows the day: the same input gives the same bytes"),
    ("SystemTime::now", &[], "only `desk` knows the day: the same input gives the same bytes"),
    ("HashMap", &["src/reason/plan/"], "hash order is no order; the solver looks up and never walks"),
    ("HashSet", &[], "hash order is no order"),
];

fn complain(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} places:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_is_for() {
    let silent = all().into_iter().filter(|file| file.is_rust() && !file.text.starts_with("//! "));
    complain(&silent.map(|file| format!("{} does not begin with `//! `", file.path)).collect::<Vec<_>>());
}

#[test]
fn a_phase_uses_only_those_it_may() {
    let mut wrong = Vec::new();
    for file in production() {
        let Some(inside) = file.path.strip_prefix("src/") else { continue };
        if ON_TOP.iter().any(|top| inside.starts_with(top)) {
            continue;
        }
        let phase = inside.split('/').next().unwrap();
        let Some((_, may)) = PHASES.iter().find(|(name, _)| *name == phase) else {
            wrong.push(format!("{} belongs to no phase", file.path));
            continue;
        };
        let used = file.code.match_indices("crate::").map(|(at, word)| source::name_at(&file.code[at + word.len()..]));
        let foreign: BTreeSet<&str> = used.filter(|used| *used != phase && !may.contains(used)).collect();
        wrong.extend(foreign.into_iter().map(|used| format!("{} uses `{used}`", file.path)));
    }
    complain(&wrong);
}

#[test]
fn the_order_of_the_phases_holds() {
    for (at, (phase, may)) in PHASES.iter().enumerate() {
        let earlier: Vec<&str> = PHASES[..at].iter().map(|(name, _)| *name).collect();
        assert!(may.iter().all(|used| earlier.contains(used)), "{phase} uses a later phase");
    }
    let folders: BTreeSet<String> = all().iter().filter_map(|file| source::folder_of(&file.path)).collect();
    let mut known: BTreeSet<String> = PHASES.iter().map(|(name, _)| (*name).to_owned()).collect();
    known.insert("cli".to_owned());
    assert_eq!(folders, known);
}

#[test]
fn what_one_phase_knows_no_other_writes() {
    let mut wrong = Vec::new();
    for file in production() {
        for (word, may, why) in KNOWN_ONLY_TO {
            if source::writes(&file.code, word) && !may.iter().any(|path| file.path.starts_with(path)) {
                wrong.push(format!("{} writes `{word}`: {why}", file.path));
            }
        }
    }
    complain(&wrong);
}

#[test]
fn nothing_gives_up_on_its_input() {
    let never = [".unwrap()", "panic!(", "todo!(", "unimplemented!(", "unreachable!(", "dbg!(", "unsafe "];
    let mut wrong = Vec::new();
    for file in production() {
        wrong.extend(
            never
                .iter()
                .filter(|word| source::writes(&file.code, word))
                .map(|word| format!("{} writes `{word}`", file.path)),
        );
        let reasons = file.code.split(".expect(").skip(1);
        let thin = |rest: &&str| {
            let reason = rest.trim_start().strip_prefix('"').and_then(|rest| rest.split('"').next());
            reason.is_none_or(|reason| reason.split_whitespace().count() < 3)
        };
        wrong.extend(reasons.filter(thin).map(|_| format!("{} expects something without a reason", file.path)));
    }
    complain(&wrong);
}

#[test]
fn no_file_is_too_long() {
    let long: BTreeMap<String, usize> =
        all().into_iter().filter(Source::is_rust).map(|file| (file.path, file.text.lines().count())).collect();
    let wrong = long.iter().filter(|(_, lines)| **lines > LONGEST);
    complain(&wrong.map(|(path, lines)| format!("{path} has {lines} lines")).collect::<Vec<_>>());
}

#[test]
fn every_rule_stands_with_its_page_in_its_family() {
    let files: BTreeMap<String, String> = all().into_iter().map(|file| (file.path, file.text)).collect();
    let text = |path: &str| files.get(path).map_or("", String::as_str);
    let mut wrong = Vec::new();
    for (path, code) in files.iter().filter(|(path, _)| path.starts_with("src/inspect/")) {
        let (folder, file) = path.rsplit_once('/').unwrap();
        let family = folder.rsplit('/').next().unwrap();
        let list = text(&format!("{folder}/mod.rs"));
        if let Some(stem) = file.strip_suffix(".rs").filter(|_| code.contains("static RULE: Rule")) {
            let name = stem.replace('_', "-");
            let page = text(&format!("{folder}/{name}.md"));
            let wanted = [
                (page.starts_with(&format!("# {name}\n")), "has no page"),
                (code.contains(&format!("include_str!(\"{name}.md\")")), "shows another page"),
                (code.contains(&format!("\"{name}\"")), "has another name"),
                (code.contains(&format!("family: \"{family}\"")), "names another family"),
                (
                    [',', ']'].iter().any(|end| list.contains(&format!("&{stem}::RULE{end}"))),
                    "is not listed in its family",
                ),
            ];
            wrong.extend(wanted.iter().filter(|(holds, _)| !holds).map(|(_, what)| format!("{path} {what}")));
        }
        if let Some(name) = file.strip_suffix(".md") {
            let beside = files.contains_key(&format!("{folder}/{}.rs", name.replace('-', "_")));
            if !beside && !list.contains(&format!("\"{name}\"")) {
                wrong.push(format!("{path} is the page of no rule"));
            }
        }
        if file == "mod.rs" && family != "inspect" {
            let listed = text("src/inspect/catalogue.rs").contains(&format!("{family}::RULES"));
            wrong.extend((!listed).then(|| format!("{path} is a family the catalogue does not have")));
        }
    }
    complain(&wrong);
}

#[test]
fn nothing_is_put_off_and_nothing_names_a_machine() {
    // Put together here, so that this file does not hold what it looks for.
    let put_off = [["TO", "DO"], ["FIX", "ME"], ["XX", "X"], ["HA", "CK"]].map(|halves| halves.concat());
    let folders = ["home", "root", "Users", "mnt", "srv", "opt", "work", "workspace"].map(|name| format!("/{name}/"));
    let mut wrong = Vec::new();
    for file in all() {
        for (number, line) in file.text.lines().enumerate() {
            let put_off = put_off.iter().filter(|word| source::has_word(line, word));
            let folder = folders.iter().filter(|folder| source::names_folder(line, folder));
            wrong.extend(put_off.chain(folder).map(|what| format!("{}:{}: {what}", file.path, number + 1)));
        }
    }
    complain(&wrong);
}
