//! Small views that many page kinds share.

use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Link {
    pub href: String,
    pub text: String,
}

/// One quantity in both systems of units; `second` is absent where they agree, as in volts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Shown {
    pub first: String,
    pub second: Option<String>,
}

/// Whether recalibration is needed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    #[default]
    None,
    Required,
    Conditional,
}

/// A recalibration tag.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Tag {
    pub need: Need,
    /// The tag in words, such as "Recalibrate"; never only colour or shape.
    pub word: String,
    pub when: Option<String>,
    pub because: String,
    /// Which parts or procedures make it so, nearest first.
    pub chain: Vec<Link>,
    pub depots: Vec<Link>,
    /// What the trip costs, depot by depot.
    pub meanwhile: Vec<Meanwhile>,
    pub source: Option<Source>,
    /// Its place in the recalibration register.
    pub href: String,
}

/// How long a depot takes, and whether the machine may move meanwhile.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Meanwhile {
    pub depot: Link,
    pub lead_time: String,
    pub may_move_html: String,
}

/// Signal words after ANSI Z535.6 (meanings from memory).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Signal {
    Danger,
    Warning,
    Caution,
    #[default]
    Notice,
}

/// A safety message: what can hurt, how badly, how to avoid it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Caution {
    pub signal: Signal,
    pub hazard: String,
    pub consequence: String,
    pub avoid_html: String,
}

/// Where a value comes from.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Source {
    pub text: String,
    pub href: Option<String>,
}

/// A drawing made by the compiler, as inline SVG that carries its own title.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Figure {
    pub svg_html: String,
    pub caption_html: String,
}

/// A picture from the guide's media folder.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Picture {
    pub src: String,
    pub alt: String,
    pub width: u32,
    pub height: u32,
    pub caption_html: Option<String>,
}

/// A tightening torque.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Torque {
    pub place: String,
    pub shown: Shown,
    pub source: Option<Source>,
}

/// A link to a procedure with the tag it carries.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Repair {
    pub link: Link,
    pub tag: Tag,
}

/// A part to take along, or one that is worked on.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Supply {
    /// Without an address where the guide has no such part.
    pub link: Link,
    pub number: String,
    /// How many or how much, in words; empty for one.
    pub amount: String,
    /// Seals and the like that must not be used twice.
    pub once: bool,
}
