//! `recalibration-tag-too-low`

use crate::inspect::wording::on_machines;
use crate::inspect::{Rule, Subject};
use crate::model::{Entry, Need, Procedure};
use crate::reason::recalibration::{Because, stated};
use crate::reason::{Machine, is_for, machines};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "recalibration-tag-too-low";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "The machine would leave the bay with a control unit that no longer knows where it stands.",
        page: include_str!("recalibration-tag-too-low.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let all = machines(subject.guide);
    for procedure in subject.guide.procedures.iter().filter(|it| !it.recalibration.is_empty()) {
        let mut too_low: Vec<(&Machine, Need, Need)> = Vec::new();
        for machine in all.iter().filter(|machine| is_for(&procedure.head, machine)) {
            let need = subject.facts.recalibration.reached(procedure.id(), machine).need;
            let said = stated(procedure, machine).unwrap_or(Need::None);
            if need > said {
                too_low.push((machine, need, said));
            }
        }
        found.extend(finding(subject, procedure, &too_low, all.len()));
    }
}

fn finding(
    subject: &Subject<'_>,
    procedure: &Procedure,
    too_low: &[(&Machine, Need, Need)],
    of_all: usize,
) -> Option<Finding> {
    let (machine, need, said) = *too_low.iter().max_by_key(|(_, need, _)| *need)?;
    let machines: Vec<Machine> = too_low.iter().map(|(machine, ..)| (*machine).clone()).collect();
    let chain = subject.facts.recalibration.chain(procedure.id(), machine);
    let way: Vec<String> = chain.iter().map(|(_, because)| hop(because)).collect();
    let wrong = format!(
        "The tag of `{}` says {}, but recalibration is {}{}: it {}.",
        procedure.id(),
        super::need_word(said),
        super::need_word(need),
        on_machines(&machines, of_all),
        way.join("; that ")
    );
    let remedy = remedy(subject, need, &chain.iter().map(|(_, because)| because).collect::<Vec<_>>(), machine);
    let finding = Finding::new(NAME, tag_span(procedure, machine), wrong, remedy);
    Some(
        chain
            .iter()
            .fold(finding, |finding, (from, because)| finding.with(because.at(), format!("where `{from}` goes on"))),
    )
}

/// One link of the chain, as the end of a sentence.
fn hop(because: &Because) -> String {
    match because {
        Because::Disturbs { step: None, part, .. } => format!("disturbs `{part}`"),
        Because::Disturbs { step: Some(step), part, .. } => format!("disturbs `{part}` in step {}", step + 1),
        Because::Replaces { part, .. } => format!("uses up a new `{part}`, so it replaces the old one"),
        Because::Runs { role, procedure, stated, .. } => {
            let end = if *stated { ", whose own tag says so" } else { "" };
            format!("{} `{procedure}`{end}", super::role_words(*role))
        }
    }
}

fn remedy(subject: &Subject<'_>, need: Need, chain: &[&Because], machine: &Machine) -> String {
    let part = chain.last().and_then(|because| because.part()).and_then(|part| subject.guide.parts.get(part));
    let by =
        part.and_then(|part| crate::reason::recalibration::part_need(part, machine)).map(|need| need.by.as_slice());
    let by: Vec<String> =
        by.unwrap_or_default().iter().map(|depot| format!("\"{depot}\"", depot = depot.value)).collect();
    let by = if by.is_empty() { "the depots that may do it".to_owned() } else { format!("[{}]", by.join(", ")) };
    format!(
        "Write `need = \"{}\"` in the tag, with `by = {by}`; or, where the part is in truth left alone, mend the place \
         that says it is disturbed.",
        super::need_word(need)
    )
}

fn tag_span(procedure: &Procedure, machine: &Machine) -> Span {
    let own = procedure.recalibration.iter().find(|tag| crate::reason::holds(tag.variants.as_deref(), machine));
    own.map_or(procedure.head.id.span, |tag| tag.need.span)
}
