//! Goes through the tags of a page and lets their attributes be changed; everything else is passed on as it is.

/// Elements whose content is text and holds no tags.
const RAW: [&str; 4] = ["script", "style", "textarea", "title"];

/// An attribute as it stands in a page.
pub(super) struct Attribute<'h> {
    pub(super) name: &'h str,
    /// Between its quotes, references and all.
    pub(super) value: &'h str,
}

/// `html` with the attributes for which `change` gives another value.
pub(super) fn rewrite(html: &str, mut change: impl FnMut(&Attribute<'_>) -> Option<String>) -> String {
    let mut out = String::with_capacity(html.len() + html.len() / 8);
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        let (text, tag) = rest.split_at(at);
        out.push_str(text);
        let end = if tag[1..].starts_with(|sign: char| sign.is_ascii_alphabetic()) {
            start_tag(tag, &mut out, &mut change)
        } else {
            let end = match tag.as_bytes().get(1) {
                _ if tag.starts_with("<!--") => after(tag, "-->"),
                Some(b'/' | b'!' | b'?') => after(tag, ">"),
                _ => 1,
            };
            out.push_str(&tag[..end]);
            end
        };
        rest = &tag[end..];
    }
    out.push_str(rest);
    out
}

fn after(text: &str, end: &str) -> usize {
    text.find(end).map_or(text.len(), |at| at + end.len())
}

/// Writes a start tag, with its content where that is raw text; gives how many bytes of `tag` are done.
fn start_tag(tag: &str, out: &mut String, change: &mut impl FnMut(&Attribute<'_>) -> Option<String>) -> usize {
    let name_end =
        tag[1..].find(|sign: char| !sign.is_ascii_alphanumeric() && sign != '-').map_or(tag.len(), |at| at + 1);
    let name = &tag[1..name_end];
    out.push_str(&tag[..name_end]);
    let mut at = name_end;
    while let Some(sign) = tag[at..].chars().next() {
        if sign == '>' {
            out.push('>');
            at += 1;
            break;
        }
        if sign.is_ascii_whitespace() || sign == '/' {
            out.push(sign);
            at += 1;
            continue;
        }
        at += attribute(&tag[at..], out, change);
    }
    if !RAW.contains(&name) {
        return at;
    }
    let raw = tag[at..].find(&format!("</{name}")).unwrap_or(tag.len() - at);
    out.push_str(&tag[at..at + raw]);
    at + raw
}

fn attribute(text: &str, out: &mut String, change: &mut impl FnMut(&Attribute<'_>) -> Option<String>) -> usize {
    let name_end =
        text.find(|sign: char| sign == '=' || sign == '>' || sign.is_ascii_whitespace()).unwrap_or(text.len());
    let name = &text[..name_end];
    out.push_str(name);
    let Some(value) = text[name_end..].strip_prefix('=') else { return name_end.max(1) };
    let quote = value.chars().next().filter(|sign| matches!(sign, '"' | '\''));
    let (value, taken) = match quote {
        Some(quote) => {
            let inside = &value[1..];
            let end = inside.find(quote).unwrap_or(inside.len());
            (&inside[..end], (end + 2).min(value.len()))
        }
        None => {
            let end = value.find(|sign: char| sign == '>' || sign.is_ascii_whitespace()).unwrap_or(value.len());
            (&value[..end], end)
        }
    };
    let changed = change(&Attribute { name, value });
    let quote = quote.unwrap_or('"');
    out.push('=');
    out.push(quote);
    out.push_str(changed.as_deref().unwrap_or(value));
    out.push(quote);
    name_end + 1 + taken
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_asked_for_changes() {
        let html = "<!doctype html><p id=\"a\" class='x>y' hidden>1 < 2 <a href=b>t</a><br/></p><!-- id=\"a\" -->\
                    <script>if (a<b) '<p id=\"a\">'</script>";
        let same = rewrite(html, |_| None);
        assert_eq!(same, html.replace("href=b", "href=\"b\""));
        let changed = rewrite(html, |it| (it.name == "id").then(|| format!("z-{}", it.value)));
        assert!(changed.starts_with("<!doctype html><p id=\"z-a\" class='x>y' hidden>"), "{changed}");
        assert_eq!(changed.matches("z-").count(), 1);
    }

    #[test]
    fn broken_html_does_no_harm() {
        for html in ["<", "<a", "<a b", "<a b=", "<a b=\"", "<a =", "<script>", "<!--", "é<é", "<a é=é>"] {
            rewrite(html, |it| Some(it.value.to_owned()));
        }
    }
}
