//! The guide in one file: everything of the folder is in it, and nothing leads out of it.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
    sync::LazyLock,
};

use crate::publish::{assert_whole, text};

use super::page::Page;
use super::{DEMO, assert_none, compile, guide, run};

/// The demo in one file, published once for all tests: where it is, and its text.
pub(super) static ONE: LazyLock<(PathBuf, String)> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo-one-file");
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    let said = publish(&folder);
    assert!(said.starts_with("Published: one file of "), "{said}");
    assert_whole(&folder);
    let mut files = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let file = files.find(|path| path.extension().is_some_and(|end| end == "html")).unwrap();
    let html = fs::read_to_string(&file).unwrap();
    (file, html)
});

fn publish(folder: &Path) -> String {
    let mut command = compile(&guide(), folder);
    command.arg("--one-file");
    let output = run(command);
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    text(&output.stdout)
}

#[test]
fn every_page_of_the_folder_is_in_it_with_its_words() {
    let one = Page::parse("one", &ONE.1);
    let mut articles = BTreeMap::new();
    for (at, article) in one.all("article").filter(|(_, article)| article.has_class("page")) {
        articles.insert(format!("{}.html", article.attribute("id").unwrap()), at);
    }
    let pages: BTreeSet<&String> = DEMO.pages.keys().collect();
    assert_eq!(articles.keys().collect::<BTreeSet<_>>(), pages);
    let mut found = Vec::new();
    for (path, at) in articles {
        let heads: Vec<_> = one.inside(at).filter(|(_, inside)| inside.tag == "h1").map(|(_, it)| &it.text).collect();
        let page = &DEMO.pages[&path];
        let should: Vec<_> = page.all("h1").map(|(_, it)| &it.text).collect();
        if heads != should || heads.len() != 1 {
            found.push(format!("{path}: {heads:?} instead of {should:?}"));
        }
        let count = |page: &Page, at: usize| page.inside(at).filter(|(_, it)| it.tag != "main").count();
        let main = page.all("main").next().unwrap().0;
        let (inside, outside) = (count(&one, at), count(page, main));
        // The one element more is the place for what the title block says.
        if inside != outside + 1 {
            found.push(format!("{path}: {inside} elements instead of {outside}"));
        }
    }
    assert_none("pages that differ from those of the folder", &found);
}

#[test]
fn every_link_stays_inside_and_finds_its_place() {
    let one = Page::parse("one", &ONE.1);
    let mut ids = BTreeMap::new();
    for element in &one.elements {
        if let Some(id) = element.attribute("id") {
            *ids.entry(id).or_insert(0) += 1;
        }
    }
    let mut found: Vec<String> =
        ids.iter().filter(|(_, count)| **count > 1).map(|(id, count)| format!("{count} elements are {id}")).collect();
    let mut links = 0;
    for element in &one.elements {
        for (name, value) in &element.attributes {
            let complaint = match name.as_str() {
                "href" | "xlink:href" | "src" | "action" => {
                    links += 1;
                    match value.strip_prefix('#') {
                        Some(id) => (!ids.contains_key(id)).then_some("there is no such place"),
                        None if value.starts_with("data:") && name != "href" => None,
                        None => Some("leads out of the file"),
                    }
                }
                "for" | "aria-labelledby" | "aria-describedby" | "aria-controls" | "headers" => {
                    value.split(' ').any(|id| !ids.contains_key(id)).then_some("names no element")
                }
                _ => None,
            };
            found.extend(complaint.map(|complaint| format!("{} {name}=\"{value:.80}\": {complaint}", element.tag)));
        }
    }
    assert!(links > 3000, "only {links} links");
    assert_none("links of the one file", &found);
}

#[test]
fn nothing_is_loaded_and_only_its_own_scripts_may_run() {
    let one = Page::parse("one", &ONE.1);
    let policy = one
        .all("meta")
        .find(|(_, meta)| meta.attribute("http-equiv") == Some("Content-Security-Policy"))
        .map(|(_, meta)| meta.attribute("content").unwrap().to_owned())
        .unwrap();
    assert!(policy.starts_with("default-src 'none'") && policy.contains("script-src 'sha256-"), "{policy}");
    assert!(!policy.contains("unsafe") && !policy.contains("http") && !policy.contains('*'), "{policy}");
    assert!(one.elements.iter().all(|it| it.tag != "link" && it.attribute("style").is_none()));
    assert!(one.all("script").all(|(_, script)| script.attribute("src").is_none()));
    let style = ONE.1.split("<style>").nth(1).unwrap().split("</style>").next().unwrap();
    let addresses: Vec<&str> = style.split("url(").skip(1).collect();
    assert!(addresses.len() >= 2 && addresses.iter().all(|it| it.starts_with("\"data:")), "style loads something");
}

#[test]
fn it_has_the_same_bytes_every_time() {
    let dir = tempfile::TempDir::new().unwrap();
    publish(dir.path());
    let again = fs::read_to_string(dir.path().join(ONE.0.file_name().unwrap())).unwrap();
    assert!(again == ONE.1);
    eprintln!(
        "the demo in one file: {} bytes; in a folder: {}",
        again.len(),
        DEMO.files.values().map(Vec::len).sum::<usize>()
    );
}
