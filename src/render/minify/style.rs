//! Takes comments and needless spaces out of a style sheet.

/// Signs beside which a space never counts, whether in a selector, a query or a value.
const TIGHT_BOTH: [char; 5] = ['{', '}', ';', ',', '>'];
/// Signs after which, and signs before which, a space never counts.
const TIGHT_AFTER: [char; 2] = [':', '('];
const TIGHT_BEFORE: [char; 2] = ['!', ')'];

/// `sheet` without comments and without the spaces that CSS Syntax gives no meaning. Names, numbers, strings and
/// everything between `+` and `-` in a sum stay as they are; text that is no style sheet comes out as such.
pub fn style(sheet: &str) -> String {
    let mut small = String::with_capacity(sheet.len());
    let mut rest = sheet;
    let mut space = false;
    while let Some(sign) = rest.chars().next() {
        if let Some(comment) = rest.strip_prefix("/*") {
            rest = comment.split_once("*/").map_or("", |(_, after)| after);
            // A comment parts two names without being a space.
            if !space && small.ends_with(in_name) && rest.starts_with(in_name) {
                small.push_str("/**/");
            }
        } else if sign.is_ascii_whitespace() {
            rest = &rest[1..];
            space = true;
        } else {
            let (token, after) = rest.split_at(token_length(rest, sign));
            push(&mut small, token, sign, space);
            rest = after;
            space = false;
        }
    }
    small
}

fn push(small: &mut String, token: &str, sign: char, space: bool) {
    let before = small.chars().next_back();
    let counts = before.is_some_and(|it| !TIGHT_BOTH.contains(&it) && !TIGHT_AFTER.contains(&it))
        && !TIGHT_BOTH.contains(&sign)
        && !TIGHT_BEFORE.contains(&sign);
    if space && counts {
        small.push(' ');
    }
    if sign == '}' && before == Some(';') {
        small.pop();
    }
    small.push_str(token);
}

fn in_name(sign: char) -> bool {
    sign.is_alphanumeric() || matches!(sign, '-' | '_' | '%') || !sign.is_ascii()
}

/// A string, an escape, or one sign: the bytes that belong together.
fn token_length(rest: &str, sign: char) -> usize {
    let mut signs = rest.char_indices().skip(1);
    match sign {
        '\\' => signs.next().map_or(1, |(at, escaped)| at + escaped.len_utf8()),
        '"' | '\'' => {
            while let Some((at, inside)) = signs.next() {
                match inside {
                    '\\' => drop(signs.next()),
                    _ if inside == sign => return at + 1,
                    _ => {}
                }
            }
            rest.len()
        }
        _ => sign.len_utf8(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_counts_stays() {
        let cases = [
            ("a :hover , b > c { color : red ; }\n", "a :hover,b>c{color :red}"),
            (
                "p { font: 700 1rem/1.2 var(--face) !important; margin: 0 -1px; }",
                "p{font:700 1rem/1.2 var(--face)!important;margin:0 -1px}",
            ),
            ("h1 { font-size: clamp( 1rem, 1rem + 2vw, 3rem ); }", "h1{font-size:clamp(1rem,1rem + 2vw,3rem)}"),
            (
                "@media screen and (min-width: 40rem) and (max-width: 62rem) {\n  .a .b { x: y }\n}",
                "@media screen and (min-width:40rem) and (max-width:62rem){.a .b{x:y}}",
            ),
            (
                "a::before { content: \"a  {  ; /* \\\" */\"; } /* gone */ .b {}",
                "a::before{content:\"a  {  ; /* \\\" */\"}.b{}",
            ),
            (".a/* x */.b /* y */ c { m: a/* z */b }", ".a.b c{m:a/**/b}"),
            ("tr > * + *, .x * { }", "tr>* + *,.x *{}"),
        ];
        for (from, to) in cases {
            assert_eq!(style(from), to);
        }
    }

    #[test]
    fn broken_sheets_come_out_without_panic() {
        for sheet in ["\"open", "/* open", "\\", "}", ";}", "a{;;}", "é{content:'\\é", ""] {
            style(sheet);
        }
    }
}
