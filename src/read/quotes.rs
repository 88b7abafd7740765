//! Curly quotes, which word processors put in place of the straight ones that TOML knows.

use std::ops::Range;

const CURLY: [char; 12] = ['“', '”', '„', '‟', '‘', '’', '‚', '‛', '«', '»', '‹', '›'];

pub(super) const REMEDY: &str = "Write straight quotes, `\"`, before and behind the text, and turn automatic quotes off in the \
                                 editor. Inside a text curly ones are welcome.";

pub(super) fn worded(letter: &str) -> String {
    format!("A curly quote, {letter}, stands here where a text begins or ends; only straight ones count.")
}

/// The curly quote that explains trouble at `at` in a statement: one outside of any text in straight quotes before it, or
/// one that was meant to close the text that begins there.
pub(super) fn curly(text: &str, statement: Range<usize>, at: &Range<usize>) -> Option<Range<usize>> {
    let until = line_end(text, at.end.max(at.start + 1)).min(statement.end.max(at.end));
    let outside = outside_texts(text, statement.start..until);
    outside.or_else(|| closing(text, at))
}

fn line_end(text: &str, at: usize) -> usize {
    text.get(at..).and_then(|rest| rest.find('\n')).map_or(text.len(), |length| at + length)
}

/// The first curly quote that stands in no text and in no remark.
fn outside_texts(text: &str, range: Range<usize>) -> Option<Range<usize>> {
    let (mut open, mut escaped, mut remark) = (None, false, false);
    for (at, letter) in text.get(range.clone())?.char_indices() {
        match (letter, open) {
            ('\n', _) => (open, remark) = (None, false),
            _ if remark => {}
            ('\\', Some('"')) if !escaped => {
                escaped = true;
                continue;
            }
            (quote, Some(begun)) if quote == begun && !escaped => open = None,
            ('"' | '\'', None) => open = Some(letter),
            ('#', None) => remark = true,
            (letter, None) if CURLY.contains(&letter) => {
                let start = range.start + at;
                return Some(start..start + letter.len_utf8());
            }
            _ => {}
        }
        escaped = false;
    }
    None
}

/// The curly quote at the end of a text that was begun with a straight one.
fn closing(text: &str, at: &Range<usize>) -> Option<Range<usize>> {
    let line = text.get(at.start..line_end(text, at.start))?;
    let last = |part: &str| part.trim_end_matches([' ', '\t', '\r', ',', ']', '}']).char_indices().next_back();
    let (offset, letter) = last(line).filter(|(_, letter)| CURLY.contains(letter))?;
    let start = at.start + offset;
    line.starts_with(['"', '\'']).then(|| start..start + letter.len_utf8())
}

#[cfg(test)]
mod tests {
    use super::curly;

    fn found(text: &str, at: usize) -> Option<usize> {
        curly(text, 0..text.len(), &(at..text.len())).map(|range| range.start)
    }

    #[test]
    fn a_curly_quote_is_found_where_a_text_begins_or_ends() {
        assert_eq!(found("title = “Hose”", 8), Some(8));
        assert_eq!(found("title = “Hose\"", 15), Some(8));
        assert_eq!(found("title = \"Hose”", 8), Some(13));
        assert_eq!(found("tools = [\"a\", “b”]", 14), Some(14));
        assert_eq!(found("tools = [\"a”, \"b\"]", 16), None, "the text between the two straight ones is whole");
    }

    #[test]
    fn curly_quotes_inside_a_text_explain_nothing() {
        assert_eq!(found("title = \"A “hose” here\" x", 24), None);
        assert_eq!(found("title = \"open # “remark”", 8), Some(25));
        assert_eq!(found("title = 3 # “remark”", 8), None);
        assert_eq!(found("", 0), None);
    }
}
