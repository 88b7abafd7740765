//! A copy of the demo for the engines whose drivers do not tell what went wrong: each page has one script more, which
//! notes it.

use std::{fs, path::Path, sync::LazyLock};

use super::{Outcome, session::Browser};
use crate::site::DEMO;

/// The copy. It is beside the demo, because a shared value is never dropped.
pub static WATCHED: LazyLock<Watched> = LazyLock::new(|| {
    let folder = DEMO.folder.with_file_name("watched-site");
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    for (path, bytes) in &DEMO.files {
        let to = folder.join(path);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        match std::str::from_utf8(bytes) {
            Ok(html) if path.ends_with(".html") => fs::write(&to, watched(html, path.matches('/').count())),
            _ => fs::write(&to, bytes),
        }
        .unwrap();
    }
    put_watch(&folder);
    Watched(folder)
});

pub struct Watched(std::path::PathBuf);

impl Watched {
    pub fn path(&self) -> &Path {
        &self.0
    }
}

/// Lays the script down that [`watched`] pages ask for.
pub fn put_watch(folder: &Path) {
    fs::write(folder.join("watch.js"), include_str!("watch.js")).unwrap();
}

/// A page that is `depth` folders down, with the script before all others.
pub fn watched(html: &str, depth: usize) -> String {
    let script = format!("<script src=\"{}watch.js\"></script><title>", "../".repeat(depth));
    let with = html.replacen("<title>", &script, 1);
    assert_ne!(with, html, "a page has no title");
    with
}

/// What was noted since the last call.
pub async fn said(browser: &Browser) -> Outcome<Vec<String>> {
    let take = "const said = sessionStorage.getItem('watched'); sessionStorage.removeItem('watched'); return said;";
    let said = browser.run(take, Vec::new()).await?;
    let said = serde_json::from_str(said.as_str().unwrap_or("[]"));
    Ok(said.unwrap_or_else(|error| vec![error.to_string()]))
}
