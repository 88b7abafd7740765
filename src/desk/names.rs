//! File names that every system can hold.
//!
//! The reserved names and characters are those of Windows ("Naming Files, Paths, and Namespaces"; written from
//! memory), since a guide and its pages travel on USB sticks between systems.

use unicode_normalization::UnicodeNormalization;

/// The most bytes one name may have; the common limit of file systems.
pub const LONGEST_NAME: usize = 255;

/// Why a name cannot be carried everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NameFault {
    /// Nothing between two `/`.
    Empty,
    /// `.` or `..`.
    Dots,
    /// A control character, or one of `\ : < > " | ? *`.
    Character(char),
    /// A name that Windows keeps for devices, with or without an ending.
    Device,
    /// Begins with a space, or ends with a space or a full stop.
    Edge,
    /// More than [`LONGEST_NAME`] bytes.
    TooLong,
}

/// What is wrong with one name (a path's part between two `/`), if anything.
pub fn fault(name: &str) -> Option<NameFault> {
    let odd = |c: &char| c.is_control() || matches!(c, '/' | '\\' | ':' | '<' | '>' | '"' | '|' | '?' | '*');
    if name.is_empty() {
        return Some(NameFault::Empty);
    }
    if name == "." || name == ".." {
        return Some(NameFault::Dots);
    }
    if let Some(c) = name.chars().find(odd) {
        return Some(NameFault::Character(c));
    }
    if is_device(name) {
        return Some(NameFault::Device);
    }
    if name.starts_with(' ') || name.ends_with([' ', '.']) {
        return Some(NameFault::Edge);
    }
    (name.len() > LONGEST_NAME).then_some(NameFault::TooLong)
}

/// What is wrong with the first faulty part of a relative path, if anything.
pub fn path_fault(path: &str) -> Option<NameFault> {
    path.split('/').find_map(fault)
}

/// The form in which two paths are the same on a system that ignores case or composes letters.
pub fn folded(path: &str) -> String {
    path.nfc().flat_map(char::to_lowercase).collect()
}

/// Whether an editor, a system or a version-control tool made the name, so that no writer means it as content.
pub fn is_left_out(name: &str) -> bool {
    const ENDINGS: [&str; 6] = [".bak", ".orig", ".rej", ".swo", ".swp", ".tmp"];
    const SYSTEM: [&str; 3] = ["desktop.ini", "lost+found", "thumbs.db"];
    let lower = name.to_lowercase();
    name.starts_with('.')
        || name.starts_with("~$")
        || name.ends_with('~')
        || (name.starts_with('#') && name.ends_with('#'))
        || ENDINGS.iter().any(|ending| lower.ends_with(ending))
        || SYSTEM.contains(&lower.as_str())
}

fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).trim_end_matches(' ').to_ascii_uppercase();
    let numbered = |port: &str| {
        let mut rest = stem.strip_prefix(port).unwrap_or_default().chars();
        matches!((rest.next(), rest.next()), (Some('0'..='9' | '¹' | '²' | '³'), None))
    };
    matches!(stem.as_str(), "CON" | "PRN" | "AUX" | "NUL" | "CONIN$" | "CONOUT$") || numbered("COM") || numbered("LPT")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_names_pass() {
        for name in ["index.html", "P-12.toml", ".gitignore", "größe.md", "console.md", "com.toml", "com10", "a b"] {
            assert_eq!(fault(name), None, "{name}");
        }
    }

    #[test]
    fn names_that_some_system_cannot_hold_are_told_apart() {
        let cases = [
            ("", NameFault::Empty),
            ("..", NameFault::Dots),
            ("a\\b", NameFault::Character('\\')),
            ("C:", NameFault::Character(':')),
            ("a\nb", NameFault::Character('\n')),
            ("nul", NameFault::Device),
            ("Aux.html", NameFault::Device),
            ("COM1.tar.gz", NameFault::Device),
            ("lpt²", NameFault::Device),
            ("con .txt", NameFault::Device),
            ("end.", NameFault::Edge),
            (" start", NameFault::Edge),
        ];
        for (name, expected) in cases {
            assert_eq!(fault(name), Some(expected), "{name:?}");
        }
        assert_eq!(fault(&"x".repeat(256)), Some(NameFault::TooLong));
        assert_eq!(path_fault("a//b"), Some(NameFault::Empty));
        assert_eq!(path_fault("/a"), Some(NameFault::Empty));
        assert_eq!(path_fault("a/../b"), Some(NameFault::Dots));
    }

    #[test]
    fn case_and_composition_fold_together() {
        assert_eq!(folded("Ä/B"), folded("a\u{308}/b"));
        assert_ne!(folded("a"), folded("b"));
    }

    #[test]
    fn editors_leavings_are_left_out() {
        for name in [".x.toml.swp", "x.toml~", "#x.toml#", "x.toml.BAK", "~$x.csv", ".git", "Thumbs.db"] {
            assert!(is_left_out(name), "{name}");
        }
        assert!(!is_left_out("x.toml"));
        assert!(!is_left_out("#x.toml"));
    }
}
