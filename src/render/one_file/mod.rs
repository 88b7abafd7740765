//! The whole guide in one HTML file, for a phone: made from the pages of the folder, so that both say the same.
//!
//! Every page is an `article` named by its path without ending; ids inside it begin with that name and a colon, so they
//! differ from those of other pages, and links are fragments. Without script all pages stand one after the other. With
//! script (`one-file/pages.js` of the theme) one page at a time is shown as if it had been loaded: with its own ids, its
//! own scripts run anew, and nothing of the other pages in the document.

mod page;
mod tags;
mod within;

use std::collections::BTreeMap;

use super::Files;
use super::markdown::escaped;
use super::theme::Theme;
use page::{Parts, turned_inwards};
use within::{Within, allowed, name, resolved};

/// The page whose frame all pages share.
const FRONT: &str = "index.html";

/// Marks the document as one in which pages are shown one at a time; stands in the head, so that nothing flashes.
const EARLY: &str = "document.documentElement.className+=\" paged\"";
const PAGED: &str = ".paged .page:not(.now){display:none}";

/// Why the pages do not fit into one file.
#[derive(Debug, thiserror::Error)]
pub enum OneFileError {
    #[error(
        "{0} has no `body` with a `main` in it, so it cannot stand in one file with others. Give the templates of the theme both."
    )]
    Shape(String),
    #[error("{path} is not text in UTF-8. Save it as UTF-8.")]
    NotText { path: String },
}

/// The one file: the name it should have, and its bytes.
pub(super) fn one_file(
    files: &Files,
    theme: &Theme,
    title: &str,
    edition: &str,
) -> Result<(String, Vec<u8>), OneFileError> {
    let within = Within { files };
    let pages = files.keys().filter(|path| path.ends_with(".html"));
    // The front page first, so that it is what stands on top without script.
    let mut paths: Vec<&str> = pages.map(String::as_str).collect();
    paths.sort_by_key(|path| (*path != FRONT, *path));
    let front = parts(files, FRONT)?;
    let mut stock = Stock::default();
    let mut articles = String::new();
    for path in paths {
        let parts = parts(files, path)?;
        articles.push_str(&article(path, &parts, &within, &mut stock)?);
    }
    let html = document(&front, &articles, &within, &stock, theme)?;
    Ok((file_name(title, edition), html.into_bytes()))
}

fn parts<'f>(files: &'f Files, path: &str) -> Result<Parts<'f>, OneFileError> {
    Parts::of(text(files, path)?).ok_or_else(|| OneFileError::Shape(path.to_owned()))
}

fn text<'f>(files: &'f Files, path: &str) -> Result<&'f str, OneFileError> {
    let bytes = files.get(path).map(Vec::as_slice).unwrap_or_default();
    std::str::from_utf8(bytes).map_err(|_| OneFileError::NotText { path: path.to_owned() })
}

/// Style and script that the pages ask for, each once, in the order in which they are first met.
#[derive(Default)]
struct Stock {
    styles: Vec<String>,
    scripts: Vec<String>,
    numbers: BTreeMap<String, usize>,
}

impl Stock {
    fn script(&mut self, path: String) -> usize {
        let next = self.scripts.len();
        let number = *self.numbers.entry(path.clone()).or_insert(next);
        if number == next {
            self.scripts.push(path);
        }
        number
    }

    fn style(&mut self, path: String) {
        if !self.styles.contains(&path) {
            self.styles.push(path);
        }
    }
}

fn article(path: &str, parts: &Parts<'_>, within: &Within<'_>, stock: &mut Stock) -> Result<String, OneFileError> {
    let name = name(path);
    let inside = |address: &str| resolved(path, address);
    parts.addresses("<link rel=\"stylesheet\"", "href").into_iter().for_each(|it| stock.style(inside(it)));
    let scripts = parts.addresses("<script", "src").into_iter().map(inside).filter(|path| !is_search_data(path));
    let scripts = scripts.map(|path| stock.script(path).to_string()).collect::<Vec<_>>().join(" ");
    let class = parts.body.split("class=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap_or_default();
    let main = turned_inwards(parts.main, path, Some(name), within);
    Ok(format!(
        "<article class=\"page {class}\" id=\"{}\" data-title=\"{}\" data-scripts=\"{scripts}\">\
         <template>{}</template>{main}</article>\n",
        escaped(name),
        parts.title().replace('"', "&quot;"),
        parts.cell(),
    ))
}

/// What stands in the document once, for all its pages; sorted, the entry comes first.
fn is_search_data(path: &str) -> bool {
    path.starts_with("search/") && path.ends_with(".js")
}

fn document(
    front: &Parts<'_>,
    articles: &str,
    within: &Within<'_>,
    stock: &Stock,
    theme: &Theme,
) -> Result<String, OneFileError> {
    let mut styles = String::new();
    for path in &stock.styles {
        styles.push_str(&within.style(path, text(within.files, path)?));
    }
    // A place is also one that the script has scrolled to.
    let styles = styles.replace(":target", ":is(:target,.target)") + PAGED;
    let scripts = stock.scripts.iter().map(|path| text(within.files, path).map(within::script));
    let scripts: Vec<String> = scripts.collect::<Result<_, _>>()?;
    let data = within.files.keys().filter(|path| is_search_data(path));
    let data = data.map(|path| text(within.files, path).map(within::script)).collect::<Result<Vec<_>, _>>()?;
    let pages = within::script(theme.pages_script());
    let policy = policy(&styles, scripts.iter().chain(&data).map(String::as_str).chain([EARLY, &pages]));
    let mut html = head(front, &policy, &styles);
    html.push_str(&format!("<body{} data-one-file>", front.body));
    html.push_str(&turned_inwards(front.before, FRONT, None, within));
    html.push_str("<main id=\"main\" tabindex=\"-1\">\n");
    html.push_str(articles);
    html.push_str("</main>");
    html.push_str(&turned_inwards(front.after, FRONT, None, within));
    for script in &scripts {
        html.push_str(&format!("<script type=\"text/plain\" data-held>{script}</script>\n"));
    }
    for script in data.iter().chain([&pages]) {
        html.push_str(&format!("<script>{script}</script>\n"));
    }
    html.push_str("</body>\n</html>\n");
    Ok(html)
}

/// The policy of the one file: only the style and the scripts that stand in it, and pictures and type as data.
fn policy<'s>(styles: &str, scripts: impl Iterator<Item = &'s str>) -> String {
    let scripts: Vec<String> = scripts.map(allowed).collect();
    format!(
        "default-src 'none'; style-src {}; script-src {}; img-src data:; font-src data:; form-action 'self' file: content:; \
         base-uri 'none'",
        allowed(styles),
        scripts.join(" ")
    )
}

/// The head of the front page with its own policy, and style instead of links to it.
fn head(front: &Parts<'_>, policy: &str, styles: &str) -> String {
    let lines =
        front.head.lines().filter(|line| !line.starts_with("<link rel=\"stylesheet\"") && !line.starts_with("<script"));
    let mut head = String::new();
    for line in lines {
        if line.starts_with("<meta http-equiv=\"Content-Security-Policy\"") {
            head.push_str(&format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">\n"));
        } else if line.starts_with("</head>") {
            head.push_str(&format!("<style>{styles}</style>\n<script>{EARLY}</script>\n</head>\n"));
        } else {
            head.push_str(line);
            head.push('\n');
        }
    }
    head
}

/// A file name that tells guide and edition apart among the downloads of a phone.
fn file_name(title: &str, edition: &str) -> String {
    let plain = |text: &str| {
        let kept = text.chars().map(|sign| if sign.is_ascii_alphanumeric() { sign.to_ascii_lowercase() } else { ' ' });
        kept.collect::<String>().split_whitespace().collect::<Vec<_>>().join("-")
    };
    let title: String = plain(title).chars().take(60).collect();
    let title = if title.is_empty() { "guide".to_owned() } else { title.trim_end_matches('-').to_owned() };
    match plain(edition) {
        edition if edition.is_empty() => format!("{title}.html"),
        edition => format!("{title}-edition-{edition}.html"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_name_tells_guide_and_edition() {
        assert_eq!(
            file_name("Dunnock stage trailer: service guide", "3"),
            "dunnock-stage-trailer-service-guide-edition-3.html"
        );
        assert_eq!(file_name("手引き", "2/b"), "guide-edition-2-b.html");
    }
}
