//! A fault page: the plan as linked steps, then causes, repairs, minutes, tools.

use super::pieces::{Caution, Figure, Link, Repair, Shown, Source, Supply};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Fault {
    pub also_said: Vec<String>,
    pub codes: Vec<Code>,
    /// Constant or intermittent, in words.
    pub constancy: Option<String>,
    /// Every hazard met on the way, in full: checks and repairs name it again in short.
    pub cautions: Vec<Caution>,
    pub verify: Verify,
    /// In the order of the plan.
    pub checks: Vec<Check>,
    /// Checks that the plan can do without, for when another cannot be done.
    pub others: Vec<Check>,
    pub endings: Vec<Ending>,
    /// What any of the checks opens.
    pub undo: Undo,
    pub causes: Vec<Cause>,
    /// True where some cause says how far its likelihood may move.
    pub has_margins: bool,
    pub minutes: Minutes,
    pub tools: Vec<String>,
    pub parts: Vec<Link>,
    pub plan: Option<Figure>,
    /// The page to quote from.
    pub quote: Link,
    /// What the plan is based on, such as "writer's estimate, 41 jobs".
    pub based_on: String,
    pub bulletins: Vec<Link>,
    pub related: Vec<Link>,
    pub sources: Vec<Source>,
}

/// A code blinked or shown by the control unit.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Code {
    pub code: String,
    pub says: String,
}

/// Confirm the complaint; always the first step.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Verify {
    pub anchor: String,
    pub how_html: String,
    pub state: Option<State>,
    pub cautions: Vec<Caution>,
    pub minutes: String,
    pub answers: Vec<Answer>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Check {
    /// Id of the check in the guide.
    pub id: String,
    /// Id of the element, such as `check-air-pockets`; unique on the page.
    pub anchor: String,
    pub number: u32,
    pub ask: String,
    pub how_html: String,
    /// Minutes of the check itself, exact: whole, or with a decimal point.
    pub minutes: String,
    /// Minutes with all preparation that is still to be done here.
    pub in_all: String,
    pub state: Option<State>,
    pub make_safe: Vec<MakeSafe>,
    pub access: Vec<Access>,
    pub tools: Vec<String>,
    pub limits: Vec<Limit>,
    pub cautions: Vec<Caution>,
    /// Why it stands here, where the writer pinned it.
    pub pinned: Option<String>,
    /// Causes still possible when this check is reached, likeliest first.
    pub possible: Vec<Possible>,
    pub answers: Vec<Answer>,
    /// What stands open here, where an answer leads to another fault's page.
    pub undo: Undo,
}

/// What was opened to look, and that it has to be undone; nothing where `what` is empty.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Undo {
    pub says: String,
    pub what: String,
}

/// Preparation that several checks share; `paid` once an earlier step on every way here has done it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Access {
    pub id: String,
    pub action: String,
    pub minutes: String,
    pub paid: bool,
}

/// The state a check needs, and the minutes to get there from where the machine is.
#[derive(Clone, Debug, Default, Serialize)]
pub struct State {
    pub id: String,
    pub name: String,
    pub says: String,
    pub minutes: Option<String>,
}

/// A make-safe procedure; `done` once an earlier step on every way here has done it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct MakeSafe {
    pub id: String,
    pub link: Link,
    pub minutes: String,
    pub done: bool,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Limit {
    /// Id of the reading.
    pub id: String,
    pub reading: Option<Link>,
    pub says: String,
    pub shown: Shown,
    pub source: Option<Source>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Possible {
    pub says: String,
    pub share: String,
}

/// Where an answer leads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Leads {
    #[default]
    Check,
    Ending,
    Fault,
    Escalation,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Answer {
    pub says: String,
    pub leads: Leads,
    pub href: String,
    /// What is reached, in words: the next question, the repair, the other fault.
    pub to: String,
    /// Number of the check it leads to.
    pub number: Option<u32>,
    /// Ids of the reading's bands it stands for, apart by spaces.
    pub bands: String,
    /// Causes it leaves, where it stands outside the plan.
    pub leaves: Vec<String>,
}

/// A cause at the end of the walk.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Ending {
    pub anchor: String,
    pub says: String,
    /// True when no check showed it and only nothing else was left.
    pub inferred: bool,
    /// True when the last check was a swap that cured.
    pub cured: bool,
    /// Where to go on when the repair did not cure, and why there.
    pub back: Option<Answer>,
    /// True when no check tells the causes apart: the repairs are tried in this order.
    pub in_turn: bool,
    pub how_html: String,
    pub repairs: Vec<RepairSheet>,
    pub minutes: u32,
    pub brings: Vec<Link>,
    pub undo: Undo,
}

/// A repair with all that is to be known before it begins.
#[derive(Clone, Debug, Default, Serialize)]
pub struct RepairSheet {
    pub id: String,
    pub repair: Repair,
    pub minutes: u32,
    pub cautions: Vec<Caution>,
    pub parts: Vec<Supply>,
    /// What to check again once it is done, and the function test.
    pub again: Vec<String>,
    /// Where the procedure's page says so.
    pub again_at: String,
    /// True where an earlier ending has said all this.
    pub known: bool,
}

/// A row of the causes table.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Cause {
    pub anchor: String,
    pub brings: Vec<Link>,
    pub says: String,
    /// Likelihood in words, such as "30 %".
    pub share: String,
    /// The likelihood in whole percent, for the bar.
    pub percent: u32,
    pub behind: String,
    /// How far the likelihood may move before another check comes first; absent where it may move anywhere.
    pub margin: Option<String>,
    pub shown_by: Vec<Link>,
    pub inferred: Option<String>,
    pub repair: Repair,
    pub minutes: u32,
}

/// Minutes to find the cause, along the plan.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Minutes {
    /// To one decimal place.
    pub expected: String,
    pub median: u32,
    pub ninetieth: u32,
    pub worst: u32,
    /// To find and to repair.
    pub repair_expected: String,
    pub repair_worst: u32,
    /// True where the order is proved to be the best.
    pub exact: bool,
    /// No order can take fewer minutes than this, where it is not proved.
    pub at_least: String,
    /// What the plain orders would take, each with its name.
    pub plain: Vec<Plain>,
}

/// What a plain order of checks would take.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Plain {
    pub name: String,
    pub expected: String,
    pub more: String,
}
