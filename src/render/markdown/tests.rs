//! What reaches a page, hostile texts included.

use super::*;
use html5ever::tendril::TendrilSink;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use proptest::prelude::*;

struct Desk;

impl Resolve for Desk {
    fn entry(&self, kind: Kind, id: &str) -> Option<(String, String)> {
        (kind == Kind::Part && id == "pump").then(|| ("parts/pump.html".to_owned(), "Canopy <pump>".to_owned()))
    }

    fn picture(&self, file: &str) -> Option<(String, Option<(u32, u32)>)> {
        (file == "pump.png").then(|| ("media/pump.png".to_owned(), Some((4, 3))))
    }
}

fn html(text: &str) -> String {
    blocks(text, &Desk, "note")
}

#[test]
fn links_resolve_and_take_titles() {
    assert_eq!(html("[it](part:pump)"), "<p><a href=\"parts/pump.html\">it</a></p>\n");
    assert_eq!(html("[](part:pump)"), "<p><a href=\"parts/pump.html\">Canopy &lt;pump&gt;</a></p>\n");
    assert_eq!(html("[x](part:other)"), "<p>x</p>\n");
    let outside = html("[x](https://example.org/?a=1&b=2)");
    assert_eq!(outside, "<p><a href=\"https://example.org/?a=1&amp;b=2\" rel=\"noreferrer noopener\">x</a></p>\n");
}

#[test]
fn a_bare_mail_address_is_a_mail_link() {
    let found = html("<a@example.org>");
    assert!(found.contains("href=\"mailto:a@example.org\""), "{found}");
}

#[test]
fn headings_are_shifted_and_numbered() {
    let found = html("# One\n\n## Two\n\n###### Six\n\n# One {#x onclick=alert(1)}\n");
    assert_eq!(
        found,
        "<h2 id=\"note-1\">One</h2>\n<h3 id=\"note-2\">Two</h3>\n<h4 id=\"note-3\">Six</h4>\n<h2 id=\"note-4\">One {#x onclick=alert(1)}</h2>\n"
    );
}

#[test]
fn pictures_take_their_whole_description() {
    let found = html("![a *big* `p` [pump](part:pump)](pump.png)");
    assert_eq!(found, "<p><img src=\"media/pump.png\" alt=\"a big p pump\" width=\"4\" height=\"3\"></p>\n");
    let found = html("![a ![b](pump.png) c](pump.png) d");
    assert_eq!(found, "<p><img src=\"media/pump.png\" alt=\"a b c\" width=\"4\" height=\"3\"> d</p>\n");
}

#[test]
fn tables_carry_no_inline_style() {
    let found = html("| a | b |\n|:-:|--:|\n| 1 | 2 |\n");
    assert!(found.contains("<td") && !found.contains("style"), "{found}");
}

#[test]
fn plain_text_reads_as_the_page_does() {
    let read = |text: &str| plain(text, &Desk);
    assert_eq!(read("Turn **key** *on*, [it](part:pump). Go"), "Turn key on, it. Go");
    assert_eq!(read("See [](part:pump)."), "See Canopy <pump>.");
    assert_eq!(read("# How it works\n\nThe pump\nruns."), "How it works The pump runs.");
    assert_eq!(read("- one\n- two"), "one two");
    assert_eq!(read("| a | b |\n|---|---|\n| c | d |\n"), "a b c d");
    assert_eq!(read("a\n\n```log\nERROR P-12\n```\n\nb"), "a ERROR P-12 b");
    assert_eq!(read("![a pump](pump.png) here"), "a pump here");
}

#[test]
fn one_line_fields_lose_their_paragraph() {
    assert_eq!(inline("a **b**", &Desk), "a <strong>b</strong>");
    assert_eq!(inline("a\n\nb", &Desk), "<p>a</p>\n<p>b</p>");
}

#[test]
fn hostile_texts_stay_text() {
    for text in [
        "<script>alert(1)</script>",
        "a <img src=x onerror=alert(1)> b",
        "[x](JaVaScRiPt:alert(1))",
        "[x](java&#115;cript:alert(1))",
        "[x](java&Tab;script:alert(1))",
        "[x](\u{1}javascript:alert(1))",
        "[x](data:text/html;base64,PHNjcmlwdD4=)",
        "<javascript:alert(1)>",
        "[x](file:///etc/passwd) [y](../z.html) ![p](../p.png) ![p](https://example.org/p.png)",
        "[x](<https://example.org/\" onclick=\"alert(1)>)",
        "[r]\n\n[r]: javascript:alert(1)",
        "# x {#a onclick=alert(1)}",
        "```\" onclick=\"alert(1)\n</code></pre><script>\n```",
        "```toml\n</span><script>alert(1)</script>\n```",
        "![\"><script>](pump.png)",
        "| \" onclick=\"alert(1) | <script> |\n|:-:|--:|\n| a | b |\n",
    ] {
        safe(&html(text)).unwrap_or_else(|why| panic!("{text}: {why}"));
    }
}

#[test]
fn deep_and_huge_texts_end() {
    for text in [
        "[".repeat(100_000),
        "![".repeat(50_000),
        format!("{}a{}", "[".repeat(50_000), "](part:pump)".repeat(50_000)),
        "> ".repeat(20_000),
        "*a **b ".repeat(20_000),
        "`".repeat(100_000),
        "a ".repeat(500_000),
        "![a](pump.png)".repeat(20_000),
    ] {
        let _ = (html(&text), plain(&text, &Desk));
    }
}

/// Judged by a parser of the HTML standard: only known elements and attributes, and only known targets.
fn safe(html: &str) -> Result<(), String> {
    let dom = html5ever::parse_document(RcDom::default(), Default::default()).one(html);
    let mut open = vec![dom.document.clone()];
    while let Some(node) = open.pop() {
        judge(&node)?;
        open.extend(node.children.borrow().iter().cloned());
    }
    Ok(())
}

const ELEMENTS: &str = " html head body p a img em strong code pre span blockquote ul ol li h2 h3 h4 h5 h6 br hr table \
                        thead tbody tr th td div ";

fn judge(node: &Handle) -> Result<(), String> {
    let NodeData::Element { name, attrs, .. } = &node.data else { return Ok(()) };
    if !ELEMENTS.contains(&format!(" {} ", name.local)) {
        return Err(format!("element {}", name.local));
    }
    for attribute in attrs.borrow().iter() {
        let value = attribute.value.to_string();
        let fine = match &*attribute.name.local {
            "href" => ["parts/", "https:", "http:", "mailto:", "tel:"].iter().any(|known| value.starts_with(known)),
            "src" => value == "media/pump.png",
            known => ["id", "rel", "alt", "width", "height", "class", "tabindex", "start", "scope", "data-label"]
                .contains(&known),
        };
        if !fine {
            return Err(format!("{}={value}", attribute.name.local));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]
    #[test]
    fn any_text_is_safe(pieces in prop::collection::vec(prop::sample::select(vec![
        "[", "]", "(", ")", "!", "<", ">", "\"", "'", "`", "```", "\n", "\n\n", "# ", "- ", "> ", "1. ", "| a | b |\n|:-|-:|\n", "*",
        "**", "part:pump", "pump.png", "javascript:", "https://x", "&#106;", "onclick=", "<b ", "<script", "<!--", "a", "é", " ", "{#x}",
        "\\", ":", "toml", "data:", "\t", "\u{0}",
    ]), 0..60)) {
        let text = pieces.concat();
        let found = html(&text);
        prop_assert_eq!(safe(&found), Ok(()), "{}", found);
        let _ = (plain(&text, &Desk), inline(&text, &Desk));
    }
}
