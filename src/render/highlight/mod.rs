//! Code blocks: TOML and plain logs get classes for the theme to colour. Nothing is loaded until a block exists.

use std::sync::LazyLock;

use syntect::html::{ClassStyle, ClassedHTMLGenerator};
use syntect::parsing::syntax_definition::SyntaxDefinition;
use syntect::parsing::{SyntaxReference, SyntaxSet, SyntaxSetBuilder};
use syntect::util::LinesWithEndings;

use super::markdown::escaped;

/// Prefix of every class in highlighted code.
const STYLE: ClassStyle = ClassStyle::SpacedPrefixed { prefix: "hl-" };

/// Longest code block that is coloured, in bytes; a longer one is shown plain.
const LONGEST: usize = 64 * 1024;

static SYNTAXES: LazyLock<SyntaxSet> = LazyLock::new(|| {
    let mut builder = SyntaxSetBuilder::new();
    for source in [include_str!("toml.sublime-syntax"), include_str!("log.sublime-syntax")] {
        // A test loads both; a syntax that did not load would only leave its blocks plain.
        if let Ok(syntax) = SyntaxDefinition::load_from_str(source, true, None) {
            builder.add(syntax);
        }
    }
    builder.build()
});

/// A code block as HTML.
pub(super) fn code_block(text: &str, language: &str) -> String {
    let coloured = if text.len() > LONGEST { None } else { coloured(text, language) };
    let inner = coloured.unwrap_or_else(|| escaped(text));
    format!("<pre tabindex=\"0\"><code>{inner}</code></pre>\n")
}

fn coloured(text: &str, language: &str) -> Option<String> {
    if language.is_empty() {
        return None;
    }
    let syntax: &SyntaxReference = SYNTAXES.find_syntax_by_token(language)?;
    let mut generator = ClassedHTMLGenerator::new_with_class_style(syntax, &SYNTAXES, STYLE);
    for line in LinesWithEndings::from(text) {
        generator.parse_html_for_line_which_includes_newline(line).ok()?;
    }
    Some(generator.finalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn toml_and_logs_get_classes_and_markup_stays_text() {
        let block = code_block("# note\nid = \"<b>\" # x\nn = 4\n", "toml");
        assert!(block.contains("hl-comment") && block.contains("hl-string") && block.contains("hl-numeric"), "{block}");
        assert!(block.contains("&lt;b&gt;") && !block.contains("<b>"));
        let block = code_block("12:04:01 ERROR P-12 stroke too long\n", "log");
        assert!(block.contains("hl-invalid") && block.contains("hl-numeric"), "{block}");
        assert_eq!(code_block("a < b", "nothing"), "<pre tabindex=\"0\"><code>a &lt; b</code></pre>\n");
    }
}
