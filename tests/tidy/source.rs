//! The files of the project as text, and what can be said of a text without understanding it.

use std::fs;
use std::path::Path;

/// Folders that hold no sources.
const NOT_OURS: [&str; 4] = ["target", ".git", "site", "node_modules"];

/// A file with its path from the top folder, always with `/`.
pub(super) struct Source {
    pub(super) path: String,
    pub(super) text: String,
}

/// A file of `src` as the compiler sees it outside tests: no comments, no test modules.
pub(super) struct Code {
    pub(super) path: String,
    pub(super) code: String,
}

impl Source {
    pub(super) fn is_rust(&self) -> bool {
        self.path.ends_with(".rs")
    }
}

/// Every text file of the project, in the order of the paths.
pub(super) fn all() -> Vec<Source> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    let mut open = vec![top.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap();
            if NOT_OURS.contains(&name) {
                continue;
            }
            if path.is_dir() {
                open.push(path);
            } else if let Ok(text) = fs::read_to_string(&path) {
                let inside = path.strip_prefix(top).unwrap().to_str().unwrap();
                files.push(Source { path: inside.replace('\\', "/"), text });
            }
        }
    }
    assert!(files.len() > 400, "only {} files were found", files.len());
    files.sort_by(|left, right| left.path.cmp(&right.path));
    files
}

/// What `src` compiles to outside tests.
pub(super) fn production() -> Vec<Code> {
    let sources = all().into_iter().filter(|file| file.is_rust() && file.path.starts_with("src/"));
    let sources = sources.filter(|file| !is_test(&file.path));
    sources.map(|file| Code { code: without_tests(&file.text), path: file.path }).collect()
}

fn is_test(path: &str) -> bool {
    ["/tests.rs", "_tests.rs", "/samples.rs"].iter().any(|end| path.ends_with(end)) || path.contains("/tests/")
}

fn without_tests(text: &str) -> String {
    let mut code = String::new();
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        let opens = lines.peek().is_some_and(|next| next.starts_with("mod ") && next.ends_with('{'));
        if line.starts_with("#[cfg(") && line.contains("test") && opens {
            // A module that stands at the left margin ends where a brace does.
            while lines.next().is_some_and(|line| line != "}") {}
        } else if !line.trim_start().starts_with("//") {
            code.push_str(line);
            code.push('\n');
        }
    }
    code
}

/// The name that a text begins with.
pub(super) fn name_at(text: &str) -> &str {
    let end = text.find(|letter: char| !letter.is_ascii_alphanumeric() && letter != '_').unwrap_or(text.len());
    &text[..end]
}

/// The folder of `src` that a file stands in.
pub(super) fn folder_of(path: &str) -> Option<String> {
    let (folder, _) = path.strip_prefix("src/")?.split_once('/')?;
    Some(folder.to_owned())
}

/// True where a text has a word that is not the end of a longer one.
pub(super) fn writes(text: &str, word: &str) -> bool {
    let goes_on = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == ':';
    let starts_anew = |at: usize| !word.starts_with(char::is_alphanumeric) || !text[..at].ends_with(goes_on);
    text.match_indices(word).any(|(at, _)| starts_anew(at))
}

/// True where a line has a word between other letters than letters.
pub(super) fn has_word(line: &str, word: &str) -> bool {
    let letter = |letter: char| letter.is_alphanumeric() || letter == '_';
    line.match_indices(word)
        .any(|(at, _)| !line[..at].ends_with(letter) && !line[at + word.len()..].starts_with(letter))
}

/// True where a line names a folder of the file system's top.
pub(super) fn names_folder(line: &str, folder: &str) -> bool {
    let inside = |letter: char| letter.is_alphanumeric() || "_-./}".contains(letter);
    line.match_indices(folder).any(|(at, _)| !line[..at].ends_with(inside))
}

#[test]
fn tests_and_comments_are_no_code() {
    let text = "//! Doc.\n#[cfg(test)]\nmod far;\nfn a() {}\n    // note\n#[cfg(test)]\nmod tests {\n    fn b() {}\n}\nfn c() {}\n";
    assert_eq!(without_tests(text), "#[cfg(test)]\nmod far;\nfn a() {}\nfn c() {}\n");
}

#[test]
fn words_are_whole() {
    assert!(writes("use csv::Reader", "csv::") && !writes("use my_csv::Reader", "csv::"));
    assert!(writes("x.unwrap()", ".unwrap()") && !writes("eprintln!(1)", "println!"));
    assert!(has_word("// NOTE: this", "NOTE") && !has_word("NOTED", "NOTE") && !has_word("A_NOTE", "NOTE"));
    assert!(names_folder("in \"/x/y\"", "/x/") && !names_folder("a/x/y", "/x/"));
}
