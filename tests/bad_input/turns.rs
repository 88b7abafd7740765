//! Texts changed at random: whatever comes out, reading ends, and each finding lies in its file.

use bayleaf::desk::MemoryDesk;
use bayleaf::pipeline;
use proptest::prelude::*;

use crate::guides::base;

const PIECES: [&str; 24] = [
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "\"",
    "\"\"\"",
    "'",
    "=",
    ",",
    ".",
    "\n",
    "\r",
    "\\",
    "#",
    "ä",
    "\u{0}",
    "\u{feff}",
    "id = ",
    "[[check]]\n",
    "+++\n",
    "1e9",
    "<b>",
];

proptest! {
    #[test]
    fn a_changed_guide_is_judged(
        file in 0..64_usize,
        edits in prop::collection::vec((0.0..1.0_f64, 0..6_usize, 0..PIECES.len()), 1..6),
    ) {
        let mut files: Vec<(String, Vec<u8>)> = base().into_iter().collect();
        let chosen = file % files.len();
        let bytes = &mut files[chosen].1;
        for (place, taken, piece) in edits {
            let start = (place * bytes.len() as f64) as usize;
            let end = (start + taken).min(bytes.len());
            bytes.splice(start..end, PIECES[piece].bytes());
        }
        let desk = files.into_iter().fold(MemoryDesk::new(), |desk, (path, bytes)| desk.with(path, bytes));
        let inspected = pipeline::inspect(&desk, None);
        for judged in &inspected.report.findings {
            let span = judged.finding.span;
            let source = inspected.draft.sources.get(span.file).unwrap();
            prop_assert!(span.start as usize <= source.text.len());
            prop_assert!(source.text.is_char_boundary(span.start as usize));
        }
    }
}
