//! Every address on every page leads somewhere inside the site, and every file is led to.

use std::collections::{BTreeMap, BTreeSet};

use url::Url;

use super::content::entries;
use super::page::Page;
use super::{DEMO, assert_none};

/// Where the site stands for resolving addresses; any folder would do.
const HOME: &str = "file:///site/";

const ADDRESSES: [&str; 9] =
    ["href", "src", "action", "data-search", "poster", "data", "srcset", "xlink:href", "formaction"];
const REFERENCES: [&str; 6] = ["for", "aria-labelledby", "aria-describedby", "aria-controls", "aria-owns", "headers"];

/// An address of a page, taken apart: the file inside the site, and the fragment.
fn resolve(page: &Page, address: &str) -> Result<(String, Option<String>), String> {
    let here = Url::parse(HOME).unwrap().join(&page.path).unwrap();
    let target = here.join(address).map_err(|error| format!("{address}: {error}"))?;
    let path = target.to_file_path().map_err(|()| format!("{address} leads out of the folder"))?;
    let inside = path.strip_prefix("/site").map_err(|_| format!("{address} leads out of the folder"))?;
    let fragment = target.fragment().filter(|fragment| !fragment.is_empty());
    Ok((inside.to_str().unwrap().to_owned(), fragment.map(str::to_owned)))
}

fn addresses(page: &Page) -> impl Iterator<Item = (&str, &str)> {
    page.elements.iter().flat_map(|element| {
        let known = element.attributes.iter().filter(|(name, _)| ADDRESSES.contains(&name.as_str()));
        known.map(|(_, address)| (element.tag.as_str(), address.as_str()))
    })
}

#[test]
fn every_address_leads_to_a_file_and_a_place_in_it() {
    let mut found = Vec::new();
    let mut count = 0;
    for page in DEMO.pages.values() {
        for (tag, address) in addresses(page) {
            count += 1;
            let complaint = match resolve(page, address) {
                Err(complaint) => Some(complaint),
                Ok((file, _)) if !DEMO.files.contains_key(&file) => Some(format!("{address}: there is no {file}")),
                Ok((file, Some(place))) => DEMO.pages.get(&file).and_then(|target| {
                    target.with_id(&place).is_none().then(|| format!("{address}: no such place in {file}"))
                }),
                Ok((_, None)) => None,
            };
            found.extend(complaint.map(|complaint| format!("{}: {tag} {complaint}", page.path)));
        }
    }
    assert!(count > 3000, "only {count} addresses");
    assert_none("dead addresses", &found);
}

#[test]
fn every_reference_between_elements_finds_its_element() {
    let mut found = Vec::new();
    for page in DEMO.pages.values() {
        for element in &page.elements {
            let lists = REFERENCES.iter().filter_map(|name| Some((name, element.attribute(name)?)));
            let ids = lists.flat_map(|(name, list)| list.split_ascii_whitespace().map(move |id| (name, id)));
            let dead = ids.filter(|(_, id)| page.with_id(id).is_none());
            found.extend(dead.map(|(name, id)| format!("{}: {} {name}={id}", page.path, element.tag)));
        }
    }
    assert_none("dead references", &found);
}

#[test]
fn nothing_is_loaded_from_elsewhere() {
    let loads = |page: &Page| -> Vec<String> {
        let outside = addresses(page).filter(|(_, address)| address.contains("//") || address.starts_with("data:"));
        outside.map(|(tag, address)| format!("{}: {tag} {address}", page.path)).collect()
    };
    assert_none("loads", &DEMO.pages.values().flat_map(loads).collect::<Vec<_>>());
    for (path, bytes) in DEMO.files.iter().filter(|(path, _)| path.ends_with(".css")) {
        let style = std::str::from_utf8(bytes).unwrap();
        assert!(!style.contains("@import"), "{path} loads something");
        let named = style.split("url(").skip(1).all(|rest| rest.starts_with("\"../font/"));
        assert!(named, "{path} loads something that is not the card's type");
    }
    for (path, bytes) in DEMO.files.iter().filter(|(path, _)| path.ends_with(".js")) {
        let script = std::str::from_utf8(bytes).unwrap();
        let asks = ["fetch(", "XMLHttpRequest", "WebSocket", "EventSource", "sendBeacon", "importScripts"];
        let asked: Vec<_> =
            asks.iter().filter(|ask| script.contains(**ask) && !script.contains(&format!(".{ask}"))).collect();
        assert!(asked.is_empty(), "{path} asks the network: {asked:?}");
    }
}

#[test]
fn every_page_is_reached_from_the_front_page() {
    let mut reached = BTreeSet::from(["index.html".to_owned()]);
    let mut open = vec!["index.html".to_owned()];
    while let Some(path) = open.pop() {
        let page = &DEMO.pages[&path];
        let links = page.all("a").filter_map(|(_, link)| resolve(page, link.attribute("href")?).ok());
        for (file, _) in links.filter(|(file, _)| DEMO.pages.contains_key(file)) {
            if reached.insert(file.clone()) {
                open.push(file);
            }
        }
    }
    let lost: Vec<_> = DEMO.pages.keys().filter(|path| !reached.contains(*path)).cloned().collect();
    assert_none("pages that no link leads to", &lost);
}

#[test]
fn every_other_file_is_used_by_a_page() {
    let used: BTreeSet<String> = DEMO
        .pages
        .values()
        .flat_map(|page| addresses(page).filter_map(|(_, a)| Some(resolve(page, a).ok()?.0)))
        .collect();
    // The type of the card is named by its style, and its licence goes with it.
    let by_style = |path: &str| path.starts_with("font/");
    let idle = |path: &&String| !path.ends_with(".html") && !used.contains(*path) && !by_style(path);
    let known = ["SHA256SUMS", ".bayleaf-output"];
    let idle: Vec<_> = DEMO.files.keys().filter(idle).filter(|path| !known.contains(&path.as_str())).cloned().collect();
    assert_none("files that no page uses", &idle);
}

#[test]
fn every_entry_has_its_page_under_its_title() {
    let entries = entries();
    assert!(entries.len() > 100, "only {} entries were read", entries.len());
    let mut found = Vec::new();
    for entry in &entries {
        match DEMO.pages.get(&entry.page) {
            None => found.push(format!("no page {}", entry.page)),
            Some(page) if page.title() != entry.title => found.push(format!("{}: {}", entry.page, page.title())),
            Some(_) => (),
        }
    }
    assert_none("entries", &found);
    let made = ["quotes/", "a-z/", "crossings/"];
    let of_entry = |path: &&String| path.contains('/') && !made.iter().any(|folder| path.starts_with(folder));
    let folders = DEMO.pages.keys().filter(of_entry).count();
    assert_eq!(folders, entries.len(), "there are pages of entries that the guide does not have");
    for (made, of) in [("quotes/", "faults/"), ("crossings/", "hoses/")] {
        let pages = DEMO.pages.keys().filter(|path| path.starts_with(made)).count();
        assert_eq!(pages, entries.iter().filter(|entry| entry.page.starts_with(of)).count(), "{made}");
    }
}

#[test]
fn every_title_is_in_the_list_from_a_to_z() {
    let mut listed = BTreeMap::<String, BTreeSet<String>>::new();
    // A long list has pages of its own for each letter.
    for list in DEMO.pages.values().filter(|page| page.path == "a-z.html" || page.path.starts_with("a-z/")) {
        for (at, link) in list.all("a") {
            let Ok((file, _)) = resolve(list, link.attribute("href").unwrap()) else { continue };
            let name = list.inside(at).find(|(_, inside)| inside.tag == "b").map(|(_, name)| name.text.clone());
            listed.entry(file).or_default().extend(name);
        }
    }
    let absent = |page: &str, title: &str| !listed.get(page).is_some_and(|names| names.contains(title));
    let mut found = Vec::new();
    for entry in entries() {
        if absent(&entry.page, &entry.title) {
            found.push(format!("{}: {}", entry.page, entry.title));
        }
    }
    assert_none("titles that the list lacks", &found);
}
