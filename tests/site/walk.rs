//! For every cause of every fault: walking the published pages with the answers that the cause gives ends at the
//! cause's repair, and the minutes on the way add up to what the page says.
//!
//! Causes and answers are read from the guide by a TOML library, the pages by their visible words: sections are told
//! by their headings, links by their text. Nothing here knows how the program made them.

use std::collections::{BTreeMap, BTreeSet};

use num_rational::Ratio;
use toml::{Table, Value};

use super::content::{entries, entries_in};
use super::crossed::with_crossings;
use super::page::Page;
use super::{DEMO, guide};

/// Weights and minutes, exact.
type Number = Ratio<i128>;

/// More steps than any fault has: a walk that is longer goes in circles.
const MOST_STEPS: usize = 60;

struct Fault {
    path: String,
    table: Table,
    /// Weight of each cause, the writer's shares and the job records joined; "none of these" under "".
    weights: BTreeMap<String, Number>,
}

/// Where a walk ended: the words there, and the minutes until then.
#[derive(Debug)]
struct End {
    at: usize,
    minutes: Number,
    likelihood: Number,
    asked: Vec<String>,
}

pub(super) fn list<'t>(table: &'t Table, key: &str) -> Vec<&'t Table> {
    table.get(key).and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_table).collect()
}

pub(super) fn word<'t>(table: &'t Table, key: &str) -> &'t str {
    table.get(key).and_then(Value::as_str).unwrap_or("")
}

pub(super) fn words<'t>(table: &'t Table, key: &str) -> Vec<&'t str> {
    table.get(key).and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str).collect()
}

fn whole(table: &Table, key: &str) -> i128 {
    table.get(key).and_then(Value::as_integer).unwrap_or(0).into()
}

fn table_of(path: &str) -> Table {
    std::fs::read_to_string(guide().join(path)).unwrap().parse().unwrap()
}

/// Shares of the words a guide has for likelihoods.
fn likelihood_words() -> BTreeMap<String, i128> {
    let guide = table_of("guide.toml");
    list(&guide, "likelihood").into_iter().map(|it| (word(it, "id").to_owned(), whole(it, "share"))).collect()
}

/// How often each cause of a fault was shown, by the tables of job records.
fn shown_jobs(fault: &str) -> BTreeMap<String, i128> {
    let mut shown = BTreeMap::new();
    for file in std::fs::read_dir(guide().join("results")).unwrap() {
        let mut table = csv::Reader::from_path(file.unwrap().path()).unwrap();
        let header = table.headers().unwrap().clone();
        let column = |name: &str| header.iter().position(|known| known == name).unwrap();
        let (faults, causes, outcomes) = (column("fault"), column("cause"), column("outcome"));
        for row in table.records().map(Result::unwrap) {
            if &row[faults] == fault && &row[outcomes] == "shown" {
                *shown.entry(row[causes].to_owned()).or_insert(0) += 1;
            }
        }
    }
    shown
}

fn faults() -> Vec<Fault> {
    let (all, known) = (entries(), likelihood_words());
    let jobs = table_of("guide.toml")["guide"].as_table().map_or(0, |guide| whole(guide, "opinion_jobs")).max(1);
    let fault = |path: &str, table: &Table| {
        let share = |cause: &Table| match cause.get("likelihood").and_then(Value::as_str) {
            Some(word) => known[word],
            None => whole(cause, "share"),
        };
        let causes = list(table, "cause");
        let all: i128 = causes.iter().map(|cause| share(cause)).sum();
        let shown = shown_jobs(word(table, "id"));
        // The shares, worth so many jobs together, and each job in which the cause was shown.
        let weight = |cause: &Table| {
            let count = shown.get(word(cause, "id")).copied().unwrap_or(0);
            Ratio::new(share(cause) * jobs, all) + count
        };
        let mut weights: BTreeMap<String, Number> =
            causes.iter().map(|cause| (word(cause, "id").to_owned(), weight(cause))).collect();
        weights.insert(String::new(), Ratio::new(whole(table, "none_of_these") * jobs, all));
        Fault { path: path.to_owned(), table: table.clone(), weights }
    };
    let whole = entries_in(&all, "faults").map(|entry| (&entry.page, with_crossings(entry.table.clone())));
    whole.map(|(page, table)| fault(page, &table)).collect()
}

impl Fault {
    fn page(&self) -> &'static Page {
        &DEMO.pages[&self.path]
    }

    /// The answers that a cause permits: those that leave it. A machine with none of the causes gives the answer whose
    /// band is fine, else the one that leaves most causes.
    fn permitted<'f>(&'f self, check: &'f Table, cause: &str) -> Vec<&'f Table> {
        let answers = list(check, "answer");
        if !cause.is_empty() {
            return answers.into_iter().filter(|answer| words(answer, "leaves").contains(&cause)).collect();
        }
        let stays: Vec<&Table> = answers.into_iter().filter(|answer| !answer.contains_key("go_to")).collect();
        // What a sound machine shows in a check that comes from crossed hoses is worked out with it.
        let said = stays.iter().copied().find(|answer| answer.get("sound") == Some(&Value::Boolean(true)));
        let fine = stays.iter().copied().find(|answer| is_fine(word(check, "reading"), word(answer, "band")));
        let most = stays.iter().map(|answer| words(answer, "leaves").len()).max().unwrap_or(0);
        let largest = stays.iter().copied().find(|answer| words(answer, "leaves").len() == most);
        said.or(fine).or(largest).into_iter().collect()
    }

    fn check(&self, ask: &str) -> &Table {
        let found = list(&self.table, "check").into_iter().find(|check| word(check, "ask") == ask);
        found.unwrap_or_else(|| panic!("{}: no check asks {ask:?}", self.path))
    }

    /// Every way a cause can take from the confirmed complaint to its end.
    fn walks(&self, cause: &str) -> Vec<End> {
        let page = self.page();
        let start = section(page, "Confirm the complaint first");
        let first = follow(page, start, "Yes, it is so");
        let begin = End { at: first, minutes: Number::ZERO, likelihood: Ratio::from(1), asked: Vec::new() };
        let (mut open, mut ended) = (vec![begin], Vec::new());
        while let Some(here) = open.pop() {
            let Some(ask) = asks(page, here.at) else {
                ended.push(here);
                continue;
            };
            assert!(here.asked.len() < MOST_STEPS, "{}: {cause} goes in circles", self.path);
            let check = self.check(&ask);
            let answers = self.permitted(check, cause);
            assert!(!answers.is_empty(), "{}: {cause} gives no answer to {ask:?}", self.path);
            let share = here.likelihood / Ratio::from(i128::try_from(answers.len()).unwrap());
            for answer in answers {
                let asked = here.asked.iter().cloned().chain([format!("{ask} {}", word(answer, "says"))]).collect();
                let at = follow(page, here.at, word(answer, "says"));
                open.push(End { at, minutes: here.minutes + takes(page, here.at), likelihood: share, asked });
            }
        }
        ended
    }
}

fn is_fine(reading: &str, band: &str) -> bool {
    static READINGS: std::sync::LazyLock<Vec<Table>> = std::sync::LazyLock::new(|| {
        let all = entries();
        entries_in(&all, "readings").map(|entry| entry.table.clone()).collect()
    });
    let readings = READINGS.iter().filter(|known| word(known, "id") == reading);
    readings.flat_map(|known| list(known, "band")).any(|it| word(it, "id") == band && word(it, "verdict") == "fine")
}

/// The section under a heading.
fn section(page: &Page, heading: &str) -> usize {
    let (at, _) = page.all("h2").find(|(_, found)| found.text == heading).unwrap_or_else(|| panic!("{heading:?}"));
    page.around(at).find(|&above| page.elements[above].tag == "section").unwrap()
}

/// Follows the link of a section whose words begin with these, to what it leads to on this page.
fn follow(page: &Page, section: usize, says: &str) -> usize {
    let mut links = page.inside(section).filter(|(_, link)| link.tag == "a" && link.text.starts_with(says));
    let (_, link) = links.next().unwrap_or_else(|| panic!("{}: no link says {says:?}", page.path));
    let href = link.attribute("href").unwrap();
    let id = href.strip_prefix('#').unwrap_or_else(|| panic!("{}: {says:?} leaves the page to {href}", page.path));
    page.with_id(id).unwrap_or_else(|| panic!("{}: nothing is called {id}", page.path))
}

/// The question a section asks; none where the walk has ended.
fn asks(page: &Page, at: usize) -> Option<String> {
    let numbered = page.inside(at).any(|(_, element)| element.tag == "p" && element.text.starts_with("Check "));
    let heading = page.inside(at).find(|(_, element)| element.tag == "h2")?;
    numbered.then(|| heading.1.text.clone())
}

/// The minutes that a check takes here, with its preparation where it says so.
fn takes(page: &Page, at: usize) -> Number {
    let (term, _) = page.inside(at).find(|(_, it)| it.tag == "dt" && it.text == "Takes").unwrap();
    let (_, said) = page.elements.iter().enumerate().skip(term).find(|(_, it)| it.tag == "dd").unwrap();
    let figure = said.text.rsplit_once("preparation ").map_or(said.text.as_str(), |(_, all)| all);
    minutes(figure.trim_end_matches("min").trim())
}

/// "3", "2.5" or "1:20".
fn minutes(figure: &str) -> Number {
    let number = |text: &str| -> i128 { text.parse().unwrap_or_else(|_| panic!("{figure:?} is no figure")) };
    match (figure.split_once('.'), figure.split_once(':')) {
        (Some((whole, tenths)), _) => Ratio::new(number(whole) * 10 + number(tenths), 10),
        (_, Some((whole, seconds))) => Ratio::new(number(whole) * 60 + number(seconds), 60),
        _ => Ratio::from(number(figure)),
    }
}

/// The pages of the repairs an ending offers.
fn repairs(page: &Page, ending: usize) -> Vec<String> {
    let links = page.inside(ending).filter(|(_, link)| link.tag == "a" && link.text.starts_with("Repair: "));
    links.map(|(_, link)| link.attribute("href").unwrap().trim_start_matches("../").to_owned()).collect()
}

#[test]
fn every_cause_ends_at_its_repair() {
    let mut walked = 0;
    for fault in faults() {
        for cause in list(&fault.table, "cause") {
            let (id, repair) = (word(cause, "id"), format!("procedures/{}.html", word(cause, "repair")));
            for end in fault.walks(id) {
                let page = fault.page();
                let offered = repairs(page, end.at);
                assert!(offered.contains(&repair), "{}: {id} ends at {offered:?} after {:?}", fault.path, end.asked);
                if offered.len() == 1 && !page.elements[end.at].text.contains("By elimination.") {
                    assert!(page.elements[end.at].text.contains(word(cause, "says")), "{}: {id}", fault.path);
                }
                walked += 1;
            }
        }
    }
    println!("{walked} walks end at the repair of their cause");
    assert!(walked >= 100, "{walked}");
}

/// What a check has opened, with what that needs open first, in the writer's words.
fn opened<'f>(fault: &'f Fault, end: &End) -> BTreeSet<&'f str> {
    let all = list(&fault.table, "access");
    let asked = |check: &&Table| end.asked.iter().any(|asked| asked.starts_with(word(check, "ask")));
    let mut open: Vec<&str> =
        list(&fault.table, "check").into_iter().filter(asked).flat_map(|check| words(check, "access")).collect();
    let mut found = BTreeSet::new();
    while let Some(id) = open.pop() {
        let access = all.iter().find(|access| word(access, "id") == id).unwrap();
        if found.insert(word(access, "do")) {
            open.extend(words(access, "needs"));
        }
    }
    found
}

#[test]
fn what_was_opened_is_to_be_undone_at_every_end_without_script() {
    let (mut told, mut exact, mut aside) = (0, 0, 0);
    for fault in faults() {
        let all: BTreeSet<&str> = list(&fault.table, "access").into_iter().map(|it| word(it, "do")).collect();
        for cause in list(&fault.table, "cause") {
            for end in fault.walks(word(cause, "id")) {
                let (page, opened) = (fault.page(), opened(&fault, &end));
                let says = page.inside(end.at).find(|(_, it)| it.has_class("undo")).map_or("", |(_, it)| &it.text);
                let named: BTreeSet<&str> = all.iter().copied().filter(|what| says.contains(*what)).collect();
                // What checks of crossed hoses open is not written with them.
                let made = !list(&fault.table, "crossings").is_empty();
                let certain = !made && (says.starts_with("This was done") || says.is_empty());
                let right = if certain { named == opened } else { named.is_superset(&opened) };
                assert!(right, "{}: {says:?} after {:?}, which open {opened:?}", fault.path, end.asked);
                told += usize::from(!opened.is_empty());
                exact += usize::from(certain);
            }
        }
        for (at, other) in fault.page().elements.iter().enumerate().filter(|(_, it)| it.has_class("other")) {
            let check = list(&fault.table, "check");
            let Some(check) = check.iter().find(|it| Some(word(it, "id")) == other.attribute("data-check")) else {
                continue;
            };
            let says = fault.page().inside(at).find(|(_, it)| it.has_class("undo")).map_or("", |(_, it)| &it.text);
            let opens = words(check, "access");
            let done = list(&fault.table, "access").into_iter().filter(|it| opens.contains(&word(it, "id")));
            assert!(done.map(|it| word(it, "do")).all(|what| says.contains(what)), "{}: {says:?}", fault.path);
            aside += usize::from(!opens.is_empty());
        }
        let stop = section(fault.page(), "No answer fits");
        assert!(all.iter().all(|what| fault.page().elements[stop].text.contains(what)), "{}", fault.path);
    }
    assert!(told > 50 && exact > 60 && aside > 0, "{told}, {exact} and {aside}");
}

#[test]
fn a_cause_that_was_inferred_is_said_to_be() {
    for fault in faults() {
        for cause in list(&fault.table, "cause") {
            let (id, repair) = (word(cause, "id"), word(cause, "repair"));
            let same = |other: &str| {
                list(&fault.table, "cause")
                    .into_iter()
                    .any(|it| word(it, "id") == other && word(it, "repair") == repair)
            };
            for end in fault.walks(id) {
                let shown = end.asked.iter().any(|asked| {
                    list(&fault.table, "check").into_iter().any(|check| {
                        list(check, "answer").into_iter().any(|answer| {
                            let leaves = words(answer, "leaves");
                            let given = format!("{} {}", word(check, "ask"), word(answer, "says"));
                            given == *asked && !leaves.is_empty() && leaves.into_iter().all(same)
                        })
                    })
                });
                let says = fault.page().elements[end.at].text.contains("By elimination.");
                assert_eq!(says, !shown, "{}: {id} after {:?}", fault.path, end.asked);
            }
        }
    }
}

#[test]
fn tag_and_cautions_stand_before_the_first_step_of_every_repair() {
    for fault in faults() {
        for cause in list(&fault.table, "cause") {
            let page = &DEMO.pages[&format!("procedures/{}.html", word(cause, "repair"))];
            let step = page.with_id("step-1").unwrap();
            let (tag, _) = page.classed("tag-panel").next().unwrap_or_else(|| panic!("{} has no tag", page.path));
            assert!(tag < step, "{}", page.path);
            assert!(page.classed("signal").next().is_some_and(|(caution, _)| caution < step), "{}", page.path);
        }
    }
}

#[test]
fn minutes_on_the_way_add_up_to_what_the_page_says() {
    for fault in faults() {
        let total: Number = fault.weights.values().sum();
        let spent = fault.weights.iter().filter(|(_, weight)| **weight > Number::ZERO).map(|(cause, weight)| {
            let ways: Number = fault.walks(cause).iter().map(|end| end.minutes * end.likelihood).sum();
            ways * weight
        });
        let tenths = (spent.sum::<Number>() / total * Ratio::from(10)).round().to_integer();
        let page = fault.page();
        let (term, _) = page.all("dt").find(|(_, it)| it.text == "Expected").unwrap();
        let said = &page.elements[term + 1].text;
        assert_eq!(*said, format!("{}.{} min", tenths / 10, tenths % 10), "{}", fault.path);
    }
}
