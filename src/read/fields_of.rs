//! The keys of every file of a guide in words, as their readers ask for them.

use std::fmt::Write;

use super::file::{FOLDERS, GUIDE, Role, form};
use super::record::Form;
use super::results;

/// The files that stand beside the folders.
const AT_TOP: [(&str, Role); 3] = [(GUIDE, Role::Guide), ("terms.toml", Role::Terms), ("card.toml", Role::Card)];

/// The keys of the files of one place (`faults`, `guide`), or where `place` is left out, a list of all places. `None` for
/// a place that is none.
pub fn fields_of(place: Option<&str>) -> Option<String> {
    let mut out = String::new();
    let Some(place) = place else {
        for (path, role) in places() {
            let _ = writeln!(out, "{path:<18} {}", role.holds());
        }
        let _ = writeln!(out, "\nThe keys of one of them: `bayleaf fields faults`.");
        return Some(out);
    };
    let place = place.trim_end_matches('/');
    let known = |path: &str| path == place || path.split(['/', '.']).next() == Some(place);
    let (path, role) = places().find(|(path, _)| known(path))?;
    let _ = writeln!(out, "{path}: {}", role.holds());
    match (form(role), role) {
        (Some(form), _) => form.inside.iter().for_each(|table| write_table(&mut out, "", table)),
        (None, Role::Results) => write_words(&mut out, "Columns in the first row", &results::COLUMNS),
        (None, Role::Notes) => out.push_str(NOTES),
        (None, _) => {}
    }
    Some(out)
}

const NOTES: &str = "
+++
title = \"…\"   needed: what the note is called
+++
Below the second +++ stands the text. Between the two lines can also stand: applies_to, reviewed, applied_bulletins.
";

fn places() -> impl Iterator<Item = (String, Role)> {
    let top = AT_TOP.iter().map(|(path, role)| ((*path).to_owned(), *role));
    let folders = FOLDERS.iter().map(|(folder, ending, role)| (format!("{folder}/*.{ending}"), *role));
    top.chain(folders).chain([("media/*.svg".to_owned(), Role::Media)])
}

fn write_table(out: &mut String, above: &str, form: &Form) {
    let name = if above.is_empty() { form.name.to_owned() } else { format!("{above}.{}", form.name) };
    let header = if form.list { format!("[[{name}]]") } else { format!("[{name}]") };
    let _ = writeln!(out, "\n{header}");
    let width = form.needed.iter().map(|(key, _)| key.len()).max().unwrap_or(0);
    for (key, wanted) in &form.needed {
        let _ = writeln!(out, "  {key:<width$}  {wanted}");
    }
    write_words(out, "  can also hold", &form.free);
    form.inside.iter().for_each(|inside| write_table(out, &name, inside));
}

fn write_words(out: &mut String, label: &str, words: &[&str]) {
    if !words.is_empty() {
        let _ = writeln!(out, "{label}: {}", words.join(", "));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_has_its_keys() {
        let faults = fields_of(Some("faults")).unwrap();
        for piece in ["[fault]", "  symptom  ", "[[check]]", "[[check.answer]]", "[check.answer", "makes", "make_safe"]
        {
            let there = faults.contains(piece);
            assert_eq!(there, piece != "makes", "{piece} in {faults}");
        }
        for (path, role) in places() {
            let fields = fields_of(path.split(['/', '.']).next()).unwrap();
            assert!(fields.lines().count() > 1 || role == Role::Media, "{path}: {fields}");
        }
        assert_eq!(fields_of(Some("folts")), None);
        assert!(fields_of(None).unwrap().contains("hoses/*.toml"));
    }
}
