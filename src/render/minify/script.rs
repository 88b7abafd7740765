//! Takes comments, spaces and long local names out of a classic script.

use oxc_allocator::Allocator;
use oxc_codegen::{Codegen, CodegenOptions, CommentOptions};
use oxc_diagnostics::OxcDiagnostic;
use oxc_minifier::{CompressOptions, MangleOptions, Minifier, MinifierOptions};
use oxc_parser::Parser;
use oxc_span::SourceType;

use super::arrows::write_arrows;
use super::repeats;

/// Bytes of a script above which it is published as it is.
const LONGEST: usize = 256 * 1024;
/// Brackets that may stand in each other, and bytes that may stand between two semicolons; what goes beyond is
/// published as it is, because reading it takes a deep stack.
const DEEPEST: usize = 200;
const LONGEST_RUN: usize = 8 * 1024;
/// Room for reading a script of that depth.
const STACK: usize = 512 * 1024 * 1024;

/// The oldest engines that the theme's scripts run in; shorter forms that they do not know are not written.
const OLDEST: &str = r#"{"chrome": "66", "firefox": "78", "safari": "11.1", "ios": "11.3"}"#;

/// What is wrong with a script, and where.
#[derive(Debug, PartialEq, Eq)]
pub struct ScriptError {
    /// From 1.
    pub line: usize,
    /// In characters, from 1.
    pub column: usize,
    pub why: String,
}

/// `script` with the same effect and fewer bytes. Names that other scripts may see (variables and functions at the top,
/// properties) are kept. Very large and very deep scripts come back as they are, unread.
///
/// # Errors
/// When it is no classic script.
pub fn script(script: &str) -> Result<String, ScriptError> {
    if is_left(script) {
        return Ok(script.to_owned());
    }
    with_room(|| shorten(script)).unwrap_or_else(|| Ok(script.to_owned()))
}

/// Does something on a stack that is high enough for scripts of the depth above; none where that cannot be had.
pub(super) fn with_room<T: Send>(act: impl FnOnce() -> T + Send) -> Option<T> {
    std::thread::scope(|scope| {
        let worker = std::thread::Builder::new().stack_size(STACK).spawn_scoped(scope, act);
        worker.ok().and_then(|worker| worker.join().ok())
    })
}

/// Whether a script is too large or too deep to be read.
pub fn is_left(script: &str) -> bool {
    script.len() > LONGEST || is_deep(script)
}

fn is_deep(script: &str) -> bool {
    let (mut depth, mut run) = (0_usize, 0_usize);
    script.bytes().any(|byte| {
        match byte {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        run = if byte == b';' { 0 } else { run + 1 };
        depth > DEEPEST || run > LONGEST_RUN
    })
}

fn shorten(script: &str) -> Result<String, ScriptError> {
    let arena = Allocator::default();
    let read = Parser::new(&arena, script, SourceType::default().with_script(true)).parse();
    if let Some(error) = read.errors.first() {
        return Err(located(script, error));
    }
    let mut program = read.program;
    write_arrows(&arena, &mut program);
    let target = serde_json::from_str(OLDEST).unwrap_or_default();
    let compress = CompressOptions { target, ..CompressOptions::smallest() };
    Minifier::new(MinifierOptions { mangle: None, compress: Some(compress) }).minify(&arena, &mut program);
    let plain = Codegen::new().build(&program).code;
    let named = repeats::named(&plain).unwrap_or(plain);
    Ok(with_short_names(&named).unwrap_or(named))
}

/// A script without spaces, its local names cut; none where it cannot be read.
fn with_short_names(script: &str) -> Option<String> {
    let arena = Allocator::default();
    let read = Parser::new(&arena, script, SourceType::default().with_script(true)).parse();
    let mut program = read.program;
    let options = MinifierOptions { mangle: Some(MangleOptions::default()), compress: None };
    let names = Minifier::new(options).minify(&arena, &mut program).scoping;
    let print = CodegenOptions { minify: true, comments: CommentOptions::disabled(), ..CodegenOptions::default() };
    read.errors.is_empty().then(|| Codegen::new().with_options(print).with_scoping(names).build(&program).code)
}

pub(super) fn located(script: &str, error: &OxcDiagnostic) -> ScriptError {
    let label = error.labels.as_ref().and_then(|labels| labels.first());
    let before = script.get(..label.map_or(0, |label| label.offset())).unwrap_or(script);
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    ScriptError {
        line: before.matches('\n').count() + 1,
        column: before[line_start..].chars().count() + 1,
        why: error.message.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn local_names_are_cut_and_shared_ones_kept() {
        let from = "// why\nvar Shared = (function () {\n  /** @param {string} given */\n  \
                    function twice(given) { return given + given; }\n  return { twice: twice, once: function (given) { return given; } };\n})();\n";
        let small = script(from).unwrap();
        assert!(small.contains("var Shared=") && small.contains("twice:"), "{small}");
        assert!(!small.contains("given") && !small.contains("why"), "{small}");
        assert_eq!(script(from).unwrap(), small);
    }

    #[test]
    fn no_form_is_written_that_old_engines_do_not_know() {
        let small = script("function f(a) { if (!a) a = 1; a = a && a.b; return a === null || a === void 0 ? 2 : a; }")
            .unwrap();
        let newer = ["||=", "&&=", "??", "?."];
        assert!(newer.iter().all(|form| !small.contains(form)), "{small}");
    }

    #[test]
    fn a_mistake_is_told_with_its_place() {
        let error = script("var a = 1;\nvar é = (2;\n").unwrap_err();
        assert_eq!((error.line, error.column), (2, 11), "{error:?}");
        assert!(!error.why.is_empty());
    }

    #[test]
    fn deep_scripts_do_no_harm() {
        for piece in ["(", "[", "{", "!", "a=>", "if(a)", "1+", "a?a:", "if(a){}else ", "a(", "-", "new ", "`${"] {
            for bytes in [8_000, 30_000] {
                let deep = piece.repeat(bytes / piece.len());
                let _ = script(&deep);
                let _ = script(&format!("{deep}1"));
            }
        }
    }
}
