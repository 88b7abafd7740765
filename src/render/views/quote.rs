//! A quote sheet: what finding and mending one complaint may take.

use super::pieces::{Link, Meanwhile, Repair, Supply};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Quote {
    /// The complaint's own page.
    pub fault: Link,
    pub codes: Vec<String>,
    pub rows: Vec<Row>,
    /// Nine of ten jobs take less, in all.
    pub ninetieth: u32,
    pub causes: Vec<Cause>,
    /// Depots that a repair of this complaint may need.
    pub depots: Vec<Meanwhile>,
    /// How likely a depot is needed for certain, in words.
    pub depot_share: String,
    /// The same of causes after which it hangs on a condition; both empty where there are none.
    pub depot_perhaps: String,
    /// Tools to find the cause.
    pub tools: Vec<String>,
    /// Further tools, of the repairs.
    pub repair_tools: Vec<String>,
    pub based_on: String,
}

/// Minutes of one part of the job, each to one decimal place.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Row {
    pub says: String,
    pub likely: String,
    pub worst: String,
    /// True for the sum.
    pub all: bool,
}

/// One cause with what its repair takes.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Cause {
    pub says: String,
    pub share: String,
    pub repair: Repair,
    pub minutes: u32,
    pub parts: Vec<Supply>,
}
