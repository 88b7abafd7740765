//! `recalibration-tag-too-high`

use crate::inspect::wording::on_machines;
use crate::inspect::{Rule, Subject};
use crate::model::Entry;
use crate::reason::recalibration::tags;
use crate::reason::{Machine, machines};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "recalibration-tag-too-high";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Warning,
        matters: "A needless trip to the depot costs the customer days.",
        page: include_str!("recalibration-tag-too-high.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let all = machines(subject.guide).len();
    let reach = &subject.facts.recalibration;
    for procedure in subject.guide.procedures.iter().filter(|it| reach.is_sure(it.id())) {
        for stands in tags(subject.guide, procedure) {
            let said = stands.tag.need.value;
            let too_high = |machine: &&Machine| said > reach.reached(procedure.id(), machine).need;
            let machines: Vec<Machine> = stands.machines.iter().filter(too_high).cloned().collect();
            let need = machines.iter().map(|machine| reach.reached(procedure.id(), machine).need).max();
            let Some(need) = need else { continue };
            let wrong = format!(
                "The tag of `{}` says {}, but nothing that it or a procedure it sends to disturbs makes recalibration \
                 more than {}{}.",
                procedure.id(),
                super::need_word(said),
                super::need_word(need),
                on_machines(&machines, all)
            );
            let remedy = "Lower the tag; give it `variants` where only some machines need it; or name the part that is \
                disturbed, and let the part say what that means.";
            found.push(Finding::new(NAME, stands.tag.need.span, wrong, remedy));
        }
    }
}
