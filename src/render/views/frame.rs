//! What every page carries around its own content.

use serde::Serialize;

/// Content-Security-Policy for a page that keeps style and script in files of its own.
///
/// Tried from `file://` in three engines (Chromium, Firefox ESR, WebKitGTK): `'self'` lets the page's own style and
/// script files load in each; Firefox does not hold local files to the policy at all, and is the one engine in which
/// `form-action 'self'` does not match a local file, so `file:` stands there as well. Inline script and style stay
/// refused in all three. Frames, plug-ins and connections fall under `default-src 'none'`.
pub const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; \
                          form-action 'self' file:; base-uri 'none'";

/// [`POLICY`] for the card, which is set in a type of its own.
pub const POLICY_WITH_TYPE: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; \
                                    font-src 'self'; form-action 'self' file:; base-uri 'none'";

/// The guide as a whole; the same for every page, so it belongs in the shared context.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Guide {
    pub title: String,
    pub edition: String,
    /// ISO 8601 date, such as 2026-03-02.
    pub date: String,
    pub publisher: String,
    /// BCP 47 tag for the `lang` attribute.
    pub language: String,
    /// `ltr` or `rtl`.
    pub direction: String,
    /// Marks every page as invented data.
    pub invented: bool,
    /// The caution that stands on every page.
    pub standing_html: String,
    pub escalation: Escalation,
    /// Days after which a copy should be looked up again.
    pub review_days: u32,
    /// The words of the search field as JSON that is safe inside a script element.
    /// Where the newest edition is found, if anywhere.
    pub address: Option<String>,
}

/// Whom to ask when no answer fits.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Escalation {
    pub who: String,
    pub how_html: String,
    /// What to have at hand when asking.
    pub tell: Vec<String>,
}

/// The page itself, apart from its content.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Sheet {
    /// Text of the only `h1` and of the window title.
    pub title: String,
    /// Kebab-case page kind, such as `fault`; set as a class on `body`.
    pub kind: String,
    /// The kind in words, shown in the title block.
    pub kind_word: String,
    /// Short id shown in the title block, if the page has one.
    pub id: Option<String>,
    /// Way from this page to the top folder: empty, or `../`.
    pub root: String,
    /// Content of the Content-Security-Policy meta element, without double quotes; [`POLICY`] unless the page needs another.
    pub policy: String,
    /// Further script files (search, walk), relative to the top folder.
    pub scripts: Vec<String>,
    pub applies_to: Vec<String>,
}
