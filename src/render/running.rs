//! What stands at the foot of every printed sheet: guide, edition and date, and which sheet of how many.
//!
//! CSS alone can repeat a text in the margin (CSS Paged Media, margin boxes), and a style sheet is the same for every
//! guide; so these rules are made for the guide and put at the end of its sheet. Engines without margin boxes print the title block once, as before.

use super::theme::Theme;
use super::views::frame::Guide;

/// The style sheet it is added to.
pub(super) const PATH: &str = "style/guide.css";

/// What is added.
pub(super) fn style(guide: &Guide, theme: &Theme) -> String {
    let text = format!("{} · {} {} · {}", guide.title, theme.word("edition"), guide.edition, guide.date);
    let (start, end) = if guide.direction == "rtl" { ("right", "left") } else { ("left", "right") };
    format!(
        "@page{{font:8pt sans-serif;@bottom-{start}{{content:\"{}\"}}\
         @bottom-{end}{{content:counter(page) \" / \" counter(pages)}}}}",
        quoted(&text)
    )
}

/// A text as it may stand between the quotes of a CSS string, inside a `style` element too.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '"' | '\\' | '<' => out.push_str(&format!("\\{:x} ", u32::from(sign))),
            sign if sign.is_control() => out.push(' '),
            sign => out.push(sign),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_cannot_leave_its_string() {
        assert_eq!(quoted("a \"b\" \\ </style>\n"), "a \\22 b\\22  \\5c  \\3c /style> ");
    }
}
