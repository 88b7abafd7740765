//! About this copy: edition, how to tell whether it is old or damaged, what is invented.

use super::pieces::Link;
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct About {
    pub pages: u32,
    pub files: u32,
    /// Tells this copy from any other, in few digits.
    pub hash: String,
    /// Name of the file of checksums in the top folder.
    pub sums: String,
    pub editions: Vec<Edition>,
    pub changes: Option<Link>,
    pub variants: Vec<Variant>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Edition {
    pub edition: String,
    pub date: String,
    pub says_html: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Variant {
    pub name: String,
    pub serials: String,
}
