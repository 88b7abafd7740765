//! Builds a search index from JSON, for the search kit: `search_index GUIDE.json FOLDER`.
//!
//! The JSON is an object with `documents`, `kinds` and `synonyms`, as `render::search::Guide` names them. Prints pages,
//! bytes, milliseconds and peak memory as one JSON object.

use bayleaf::render::search::{Guide, build};
use std::path::Path;
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [input, output] = arguments.as_slice() else { return Err("usage: search_index GUIDE.json FOLDER".into()) };
    let guide: Guide = serde_json::from_slice(&std::fs::read(input)?)?;
    let before = peak_kilobytes();
    let start = Instant::now();
    let files = build(&guide)?;
    let milliseconds = start.elapsed().as_millis();
    let bytes: usize = files.iter().map(|(_, bytes)| bytes.len()).sum();
    for (path, bytes) in files {
        let path = Path::new(output).join(path);
        std::fs::create_dir_all(path.parent().unwrap_or(Path::new(output)))?;
        std::fs::write(path, bytes)?;
    }
    let (pages, peak) = (guide.documents.len(), peak_kilobytes());
    println!("{{\"pages\":{pages},\"bytes\":{bytes},\"ms\":{milliseconds},\"kb_before\":{before},\"kb_peak\":{peak}}}");
    Ok(())
}

/// The most memory this process held so far; 0 where the system does not say.
fn peak_kilobytes() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|kb| kb.parse().ok()).unwrap_or(0)
}
