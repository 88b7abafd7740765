//! The guide's own words, read by a TOML library of the registry and not by the program under test.

use std::{fs, path::Path};

use toml::{Table, Value};

use super::guide;

/// An entry that has a page: where the page must stand, and what its title must be.
pub struct Entry {
    pub page: String,
    pub title: String,
    pub table: Table,
}

/// For each folder of the guide: the table of an entry, the key of its title, the folder of its page.
const KINDS: [(&str, &str, &str, &str); 8] = [
    ("faults", "fault", "symptom", "faults"),
    ("procedures", "procedure", "title", "procedures"),
    ("parts", "part", "name", "parts"),
    ("hoses", "circuit", "name", "hoses"),
    ("wiring", "path", "name", "wiring"),
    ("sequences", "sequence", "name", "sequences"),
    ("readings", "reading", "name", "readings"),
    ("bulletins", "bulletin", "title", "bulletins"),
];

/// Every entry that has a page of its own.
pub fn entries() -> Vec<Entry> {
    let mut found: Vec<Entry> = KINDS.iter().flat_map(|&kind| entries_of(kind)).collect();
    for path in files(&guide().join("notes")) {
        let text = fs::read_to_string(&path).unwrap();
        let table: Table = text.split("+++").nth(1).expect("a note begins with its title").parse().unwrap();
        let id = path.file_stem().unwrap().to_str().unwrap();
        found.push(Entry { page: format!("notes/{id}.html"), title: string(&table, "title"), table });
    }
    found
}

pub fn entries_in<'a>(all: &'a [Entry], folder: &'a str) -> impl Iterator<Item = &'a Entry> {
    all.iter().filter(move |entry| entry.page.split('/').next() == Some(folder))
}

fn entries_of((folder, table, title, pages): (&str, &str, &str, &str)) -> Vec<Entry> {
    let mut found = Vec::new();
    for path in files(&guide().join(folder)) {
        let file = read(&path);
        let owners = match file.get(table) {
            Some(Value::Table(one)) => vec![one.clone()],
            Some(Value::Array(many)) => many.iter().map(|each| each.as_table().unwrap().clone()).collect(),
            _ => Vec::new(),
        };
        for owner in owners {
            let (page, title) = (format!("{pages}/{}.html", string(&owner, "id")), string(&owner, title));
            found.push(Entry { page, title, table: whole(&owner, &file, table) });
        }
    }
    found
}

/// What a file says about its one entry; of a file with many entries, the entry's own table.
fn whole(owner: &Table, file: &Table, table: &str) -> Table {
    let mut whole = owner.clone();
    if file[table].is_table() {
        whole.extend(file.iter().filter(|(key, _)| *key != table).map(|(key, value)| (key.clone(), value.clone())));
    }
    whole
}

fn files(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

fn read(path: &Path) -> Table {
    fs::read_to_string(path).unwrap().parse().unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

pub fn guide_table() -> Table {
    read(&guide().join("guide.toml"))
}

pub fn card_table() -> Table {
    read(&guide().join("card.toml"))
}

pub fn string(table: &Table, key: &str) -> String {
    table[key].as_str().unwrap_or_else(|| panic!("`{key}` of {table} is no text")).to_owned()
}

/// The strings of a list that may be missing.
pub fn strings(table: &Table, key: &str) -> Vec<String> {
    let list = table.get(key).and_then(Value::as_array);
    list.map(|list| list.iter().map(|each| each.as_str().unwrap().to_owned()).collect()).unwrap_or_default()
}

/// The tables of an array of tables that may be missing.
pub fn tables<'a>(table: &'a Table, key: &str) -> Vec<&'a Table> {
    let list = table.get(key).and_then(Value::as_array);
    list.map(|list| list.iter().filter_map(Value::as_table).collect()).unwrap_or_default()
}

/// What a hazard is called on the page, by its id.
pub fn hazard_name(guide: &Table, id: &str) -> String {
    let hazard = tables(guide, "hazard").into_iter().find(|hazard| string(hazard, "id") == id);
    string(hazard.unwrap_or_else(|| panic!("no hazard is called {id}")), "name")
}
