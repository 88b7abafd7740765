//! The index builder and the query side for the search kit.
//!
//! - `search_index build GUIDE.json FOLDER` writes the index and prints pages, bytes, milliseconds and peak memory.
//! - `search_index ask GUIDE.json QUERIES.json` prints the answer to each query, a line of JSON each.
//! - `search_index lost GUIDE.json` prints how many pages their own titles do not bring up, and the milliseconds.
//! - `search_index slim SCRIPT` prints a script as it is published.
//! - `search_index terms TEXTS.json` prints the terms of each text, a line of JSON each.
//!
//! GUIDE.json is an object with `documents`, `kinds` and `synonyms`, as `render::search::Guide` names them; QUERIES.json a
//! list of pairs of query and options; TEXTS.json a list of strings.

#![allow(clippy::disallowed_methods, reason = "a tool of the search kit reads and writes the files it is told")]

use bayleaf::render::minify;
use bayleaf::render::search::{Finder, Guide, Options, build, text_terms};
use std::error::Error;
use std::io::Write;
use std::path::Path;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["build", guide, folder] => write_index(guide, Path::new(folder)),
        ["ask", guide, queries] => ask(guide, queries),
        ["terms", texts] => terms(texts),
        ["lost", guide] => lost(guide),
        ["slim", script] => {
            let small = minify::script(&std::fs::read_to_string(script)?);
            print!("{}", small.map_err(|error| format!("{script}: {error:?}"))?);
            Ok(())
        }
        _ => Err("usage: search_index build GUIDE FOLDER | ask GUIDE QUERIES | lost GUIDE | terms TEXTS | slim SCRIPT"
            .into()),
    }
}

fn read_guide(path: &str) -> Result<Guide, Box<dyn Error>> {
    Ok(serde_json::from_slice(&std::fs::read(path)?)?)
}

fn write_index(guide: &str, folder: &Path) -> Result<(), Box<dyn Error>> {
    let guide = read_guide(guide)?;
    let (before, start) = (peak_kilobytes(), Instant::now());
    let files = build(&guide)?;
    let milliseconds = start.elapsed().as_millis();
    let bytes: usize = files.iter().map(|(_, bytes)| bytes.len()).sum();
    std::fs::create_dir_all(folder.join("search"))?;
    for (path, bytes) in files {
        std::fs::write(folder.join(path), bytes)?;
    }
    let (pages, peak) = (guide.documents.len(), peak_kilobytes());
    println!("{{\"pages\":{pages},\"bytes\":{bytes},\"ms\":{milliseconds},\"kb_before\":{before},\"kb_peak\":{peak}}}");
    Ok(())
}

fn ask(guide: &str, queries: &str) -> Result<(), Box<dyn Error>> {
    let finder = Finder::of(&read_guide(guide)?)?;
    let queries: Vec<(String, Options)> = serde_json::from_slice(&std::fs::read(queries)?)?;
    let mut out = std::io::stdout().lock();
    for (query, options) in queries {
        writeln!(out, "{}", serde_json::to_string(&finder.search(&query, &options))?)?;
    }
    Ok(())
}

fn lost(guide: &str) -> Result<(), Box<dyn Error>> {
    let guide = read_guide(guide)?;
    let start = Instant::now();
    let finder = Finder::of(&guide)?;
    let indexed = start.elapsed().as_millis();
    let lost = finder.lost();
    println!("{{\"lost\":{},\"index_ms\":{indexed},\"ms\":{}}}", lost.len(), start.elapsed().as_millis());
    Ok(())
}

fn terms(texts: &str) -> Result<(), Box<dyn Error>> {
    let texts: Vec<String> = serde_json::from_slice(&std::fs::read(texts)?)?;
    let mut out = std::io::stdout().lock();
    for text in texts {
        writeln!(out, "{}", serde_json::to_string(&text_terms(&text))?)?;
    }
    Ok(())
}

/// The most memory this process held so far; 0 where the system does not say.
fn peak_kilobytes() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|kb| kb.parse().ok()).unwrap_or(0)
}
