//! `procedure-never-used`

use std::collections::{BTreeMap, BTreeSet};

use crate::inspect::{Rule, Subject};
use crate::model::{Entry, Guide, Kind};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "procedure-never-used";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Warning,
        matters: "Nobody will find it, and nobody will notice when it is out of date.",
        page: include_str!("procedure-never-used.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let used = used(subject.guide);
    for procedure in subject.guide.procedures.iter().filter(|it| !used.contains(it.id())) {
        let wrong = format!("No fault, reading, state or text leads to the procedure `{}`.", procedure.id());
        let remedy = "Name it where it is needed (`repair`, `make_safe`, `run`, a link in a text), or take it out.";
        found.push(Finding::new(NAME, procedure.head.id.span, wrong, remedy));
    }
}

/// The procedures that something other than procedures leads to, directly or through procedures.
fn used(guide: &Guide) -> BTreeSet<&str> {
    let mut through: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut open = Vec::new();
    for link in guide.index.links.iter().filter(|link| link.to.kind == Kind::Procedure && link.role != "touches") {
        match link.from.as_ref().filter(|from| from.kind == Kind::Procedure) {
            Some(from) => through.entry(from.id.as_str()).or_default().push(link.to.id.as_str()),
            None => open.push(link.to.id.as_str()),
        }
    }
    let mut used: BTreeSet<&str> = open.iter().copied().collect();
    while let Some(here) = open.pop() {
        let further = through.get(here).into_iter().flatten().copied();
        open.extend(further.filter(|id| used.insert(id)));
    }
    used
}
