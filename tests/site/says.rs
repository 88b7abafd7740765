//! What every page must say, what must stand before the work, and how much a page may weigh.

use super::content::{entries, entries_in, guide_table, hazard_name, string, strings, tables};
use super::page::{Page, single_spaced};
use super::{DEMO, Site, assert_none, compile, copy_guide};

/// As many bytes as a page may have, and as many as style and script may have together.
pub const MOST: usize = 60 * 1024;

#[test]
fn every_page_says_edition_date_invention_and_caution() {
    let guide = guide_table();
    let head = guide["guide"].as_table().unwrap();
    let (edition, date) = (string(head, "edition"), head["date"].to_string());
    let standing = single_spaced(&string(head, "standing"));
    assert!(standing.contains("maker") && standing.contains("local"), "the guide defers to nobody: {standing}");
    let mut found = Vec::new();
    for page in DEMO.pages.values() {
        let block = page.classed("block").next().map(|(at, _)| at).expect("every page has a title block");
        let inside: Vec<_> = page.inside(block).map(|(_, element)| element).collect();
        let says = |what: bool, name: &str| (!what).then(|| format!("{}: no {name}", page.path));
        found.extend(says(inside.iter().any(|e| e.tag == "dd" && e.text == edition), "edition"));
        found.extend(says(inside.iter().any(|e| e.attribute("datetime") == Some(&date) && e.text == date), "date"));
        found.extend(says(inside.iter().any(|e| e.has_class("invented") && !e.text.is_empty()), "mark of invention"));
        found.extend(says(inside.iter().any(|e| e.has_class("standing") && e.text == standing), "standing caution"));
        let main = page.all("main").next().map(|(at, _)| at);
        found.extend(says(main.is_some_and(|main| block < main), "caution before the content"));
    }
    assert_none("words that every page must carry", &found);
}

#[test]
fn on_procedures_tag_and_cautions_stand_before_step_1() {
    let (all, guide) = (entries(), guide_table());
    let (mut found, mut tags, mut cautions) = (Vec::new(), 0, 0);
    for entry in entries_in(&all, "procedures") {
        let page = &DEMO.pages[&entry.page];
        let Some(work) = page.with_id("step-1") else {
            found.push(format!("{}: no step 1", entry.page));
            continue;
        };
        if entry.table.contains_key("recalibration") {
            tags += 1;
            require(&mut found, page, work, page.classed("tag-panel").map(|(at, _)| at).next(), "tag");
        }
        for id in strings(&entry.table, "cautions") {
            cautions += 1;
            require(&mut found, page, work, signal(page, &hazard_name(&guide, &id)), &id);
        }
        found.extend(own_cautions(&guide, page, work));
    }
    assert!(tags > 20 && cautions > 40, "only {tags} tags and {cautions} cautions were looked at");
    assert_none("what must stand before step 1", &found);
}

/// The guide puts its cautions before step 1, so a copy of it gets one at a step of its own.
#[test]
fn a_caution_of_a_step_stands_before_the_step_s_words() {
    let dir = tempfile::TempDir::new().unwrap();
    let (guide, out) = (dir.path().join("guide"), dir.path().join("out"));
    let step = "do = \"Unplug the motor.\"";
    copy_guide(&super::guide(), &guide, false, |path, text| match path {
        "procedures/replace-canopy-pump.toml" => {
            assert!(text.contains(step), "the guide no longer has the step that this test needs");
            text.replacen(step, &format!("{step}\ncautions = [\"leg-drop\"]"), 1)
        }
        _ => text,
    });
    let output = compile(&guide, &out).output().unwrap();
    assert!(output.status.success(), "{}", crate::publish::text(&output.stdout));
    let site = Site::read(out);
    let page = &site.pages["procedures/replace-canopy-pump.html"];
    let signal = signal(page, &hazard_name(&guide_table(), "leg-drop")).expect("the caution is missing");
    let item = page.around(signal).find(|above| page.elements[*above].tag == "li").expect("it stands at a step");
    let (words, _) = page.inside(item).find(|(_, inside)| inside.has_class("step-text")).unwrap();
    assert!(signal < words && page.elements[words].text.starts_with("Unplug the motor."));
}

#[test]
fn on_faults_cautions_stand_before_the_work() {
    let (all, guide) = (entries(), guide_table());
    let (mut found, mut count) = (Vec::new(), 0);
    for entry in entries_in(&all, "faults") {
        let page = &DEMO.pages[&entry.page];
        let work = page.with_id("verify").expect("a fault page confirms the complaint first");
        for id in strings(&entry.table, "cautions") {
            count += 1;
            require(&mut found, page, work, signal(page, &hazard_name(&guide, &id)), &id);
        }
        let verify = entry.table.get("verify").and_then(|verify| verify.as_table());
        let words = page.inside(work).find(|(_, inside)| inside.has_class("big")).map(|(at, _)| at).unwrap();
        for id in verify.map(|verify| strings(verify, "cautions")).unwrap_or_default() {
            count += 1;
            require(&mut found, page, words, signal_in(page, work, &hazard_name(&guide, &id)), &id);
        }
        found.extend(own_cautions(&guide, page, work));
        for (section, _) in page.classed("row-check") {
            let how = page.inside(section).find(|(_, inside)| inside.has_class("how")).map(|(at, _)| at);
            let late = page.inside(section).filter(|(at, inside)| inside.has_class("signal") && Some(*at) > how);
            found.extend(late.map(|(_, late)| format!("{}: too late: {}", page.path, late.text)));
        }
    }
    assert!(count > 5, "only {count} cautions of faults were looked at");
    assert_none("cautions of faults", &found);
}

#[test]
fn on_faults_a_check_s_cautions_stand_before_its_words() {
    let (all, guide) = (entries(), guide_table());
    let (mut found, mut count) = (Vec::new(), 0);
    for entry in entries_in(&all, "faults") {
        let page = &DEMO.pages[&entry.page];
        for check in tables(&entry.table, "check") {
            let ask = string(check, "ask");
            for (section, _) in page.classed("row-check") {
                let asks = page.inside(section).any(|(_, inside)| inside.tag == "h2" && inside.text == ask);
                let how = page.inside(section).find(|(_, inside)| inside.has_class("how"));
                let Some((how, _)) = how.filter(|_| asks) else { continue };
                for id in strings(check, "cautions") {
                    count += 1;
                    let name = hazard_name(&guide, &id);
                    require(&mut found, page, how, signal_in(page, section, &name), &format!("{id} at \"{ask}\""));
                }
            }
        }
    }
    assert!(count > 20, "only {count} cautions of checks were looked at");
    assert_none("cautions of checks", &found);
}

/// The guide's cautions for every page that are missing before the work.
fn own_cautions(guide: &toml::Table, page: &Page, work: usize) -> Vec<String> {
    let mut found = Vec::new();
    for caution in tables(guide["guide"].as_table().unwrap(), "cautions") {
        let hazard = caution.get("hazard").and_then(|hazard| hazard.as_str());
        let says = hazard.map_or_else(|| string(caution, "says"), |hazard| hazard_name(guide, hazard));
        require(&mut found, page, work, signal(page, &says), &says);
    }
    found
}

fn signal(page: &Page, hazard: &str) -> Option<usize> {
    page.classed("signal").find(|(_, signal)| signal.text.contains(hazard)).map(|(at, _)| at)
}

fn signal_in(page: &Page, section: usize, hazard: &str) -> Option<usize> {
    let inside = page.inside(section).find(|(_, inside)| inside.has_class("signal") && inside.text.contains(hazard));
    inside.map(|(at, _)| at)
}

fn require(found: &mut Vec<String>, page: &Page, work: usize, place: Option<usize>, what: &str) {
    match place {
        Some(place) if place < work => (),
        Some(_) => found.push(format!("{}: {what} comes too late", page.path)),
        None => found.push(format!("{}: {what} is missing", page.path)),
    }
}

#[test]
fn no_page_is_heavy() {
    let heavy = DEMO.pages.values().filter(|page| page.bytes > MOST);
    let found: Vec<_> = heavy.map(|page| format!("{}: {} bytes", page.path, page.bytes)).collect();
    assert_none("heavy pages", &found);
}

/// All style and script; what reads the search index comes with it, in front of the data, when a page is first searched.
#[test]
fn style_and_script_are_light() {
    let ours = |path: &str| path.starts_with("script/") || path.starts_with("style/");
    let sizes: Vec<(&str, usize)> =
        DEMO.files.iter().filter(|(path, _)| ours(path)).map(|(path, bytes)| (path.as_str(), bytes.len())).collect();
    let table: String = sizes.iter().map(|(path, size)| format!("{size:>7}  {path}\n")).collect();
    let all: usize = sizes.iter().map(|(_, size)| size).sum();
    assert!(sizes.len() > 3 && all <= MOST, "{all} bytes of style and script, of {MOST}:\n{table}");
}

/// Only the front page, where a search begins, loads the index without being asked.
#[test]
fn the_search_index_waits_for_a_search() {
    let asks =
        |page: &&Page| page.all("script").any(|(_, it)| it.attribute("src").is_some_and(|src| src.contains("search/")));
    let found: Vec<&str> = DEMO.pages.values().filter(asks).map(|page| page.path.as_str()).collect();
    assert_eq!(found, ["index.html"]);
}

/// The card's list of work that wants recalibration, for a block that names these parts.
fn card_work(parts: &str) -> Vec<String> {
    let dir = tempfile::TempDir::new().unwrap();
    let (guide, out) = (dir.path().join("guide"), dir.path().join("out"));
    copy_guide(&super::guide(), &guide, false, |path, text| match path {
        "card.toml" => {
            let block = "[card]\ntitle = \"Dunnock pocket card\"\nsize = \"folded-a4\"\n\n[[block]]\ntopic = \"recalibration\"\n";
            format!("{block}{parts}\n")
        }
        _ => text,
    });
    let output = compile(&guide, &out).output().unwrap();
    assert!(output.status.success(), "{}", crate::publish::text(&output.stdout));
    let card = Site::read(out).pages.remove("card.html").unwrap();
    let (block, _) = card.classed("card-block").next().unwrap();
    card.inside(block).filter(|(_, inside)| inside.tag == "b").map(|(_, work)| work.text.clone()).collect()
}

#[test]
fn the_card_lists_work_on_the_parts_that_its_block_names() {
    let of = |id: &str| DEMO.pages[&format!("procedures/{id}.html")].title().to_owned();
    let (all, tilt) = (card_work(""), card_work("parts = [\"tilt-sensor\"]"));
    let none = |work: &[String], id: &str| !work.iter().any(|says| says.contains(&of(id)));
    assert!(tilt.len() < all.len() && tilt.iter().all(|work| all.contains(work)), "{tilt:?} of {all:?}");
    // Both disturb the sensor by themselves; the bracket carries it.
    assert!(!none(&tilt, "replace-tilt-sensor") && !none(&tilt, "straighten-tilt-bracket"), "{tilt:?}");
    assert!(none(&tilt, "replace-canopy-up-switch") && !none(&all, "replace-canopy-up-switch"), "{tilt:?} of {all:?}");
}

/// What the table beside them says is added up again.
#[test]
fn a_quote_adds_up_the_causes_that_need_a_depot() {
    let mut told = 0;
    for page in DEMO.pages.values().filter(|page| page.path.starts_with("quotes/")) {
        let table = page.with_id("repairs").unwrap();
        let together = |need: &str| {
            let rows = page
                .inside(table)
                .filter(|(_, row)| row.tag == "tr")
                .filter(|(at, _)| page.inside(*at).any(|(_, tag)| tag.has_class(&format!("tag-{need}"))));
            let share = |at: usize| {
                let cell =
                    page.inside(at).find(|(_, cell)| cell.attribute("data-label") == Some("Likelihood")).unwrap();
                cell.1.text.split('\u{a0}').next().unwrap().trim_end_matches(" %").parse::<u32>().unwrap()
            };
            rows.map(|(at, _)| share(at)).reduce(|one, other| one + other)
        };
        let depot = &page.elements[page.with_id("depot").unwrap()].text;
        let depot = single_spaced(depot);
        for (need, says) in [("required", "need a depot, together:"), ("conditional", "in the table below, together:")]
        {
            let said = depot.split_once(says).map(|(_, rest)| rest.trim_start().split([' ', '\u{a0}']).next().unwrap());
            let want = together(need).map(|sum| sum.to_string());
            assert_eq!(said.map(str::to_owned), want, "{}: {need}: {depot}", page.path);
            told += usize::from(want.is_some());
        }
    }
    assert!(told > 7, "{told}");
}
