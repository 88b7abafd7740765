//! Where pages stand in the published folder. All links are relative, so the folder works from anywhere.

use crate::model::Kind;

/// The path of an entry's page from the top folder, with a fragment where several entries share a page.
pub fn of(kind: Kind, id: &str) -> Option<String> {
    let folder = match kind {
        Kind::Fault => "faults",
        Kind::Procedure => "procedures",
        Kind::Part => "parts",
        Kind::Circuit => "hoses",
        Kind::WiringPath => "wiring",
        Kind::Sequence => "sequences",
        Kind::Reading => "readings",
        Kind::Bulletin => "bulletins",
        Kind::Note => "notes",
        Kind::Term => return Some(format!("terms.html#term-{id}")),
        _ => return None,
    };
    Some(format!("{folder}/{id}.html"))
}

/// The way from a page back to the top folder: empty, or one `../` for each folder on its path.
pub fn root(path: &str) -> String {
    "../".repeat(path.matches('/').count())
}
