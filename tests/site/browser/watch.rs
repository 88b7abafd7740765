//! A copy of the demo for the engines whose drivers do not tell what went wrong: each page has one script more, which
//! notes it.

use std::{fs, path::Path, sync::LazyLock};

use base64::{Engine as _, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};

use super::{Outcome, session::Browser};
use crate::site::{DEMO, one_file::ONE};

const WATCH: &str = include_str!("watch.js");

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
    fs::write(folder.join(ONE.0.file_name().unwrap()), watched_one(&ONE.1)).unwrap();
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
    fs::write(folder.join("watch.js"), WATCH).unwrap();
}

/// A page that is `depth` folders down, with the script before all others.
pub fn watched(html: &str, depth: usize) -> String {
    let script = format!("<script src=\"{}watch.js\"></script><title>", "../".repeat(depth));
    let with = html.replacen("<title>", &script, 1);
    assert_ne!(with, html, "a page has no title");
    with
}

/// The guide in one file with the script before all others; its policy lets this one more in.
fn watched_one(html: &str) -> String {
    let allowed = format!("script-src 'sha256-{}' ", STANDARD.encode(Sha256::digest(WATCH)));
    let with =
        html.replacen("script-src ", &allowed, 1).replacen("<title>", &format!("<script>{WATCH}</script><title>"), 1);
    assert_eq!(with.len(), html.len() + allowed.len() - "script-src ".len() + WATCH.len() + "<script></script>".len());
    with
}

/// What was noted since the last call.
pub async fn said(browser: &Browser) -> Outcome<Vec<String>> {
    let take = "const said = sessionStorage.getItem('watched'); sessionStorage.removeItem('watched'); return said;";
    let said = browser.run(take, Vec::new()).await?;
    let said = serde_json::from_str(said.as_str().unwrap_or("[]"));
    Ok(said.unwrap_or_else(|error| vec![error.to_string()]))
}
