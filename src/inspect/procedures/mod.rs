//! Procedures: what a repair must say, and what it must not leave to luck.

mod fluid_opened_without_level_check;
mod fluid_used_without_opening;
mod procedure_calling_itself;
mod procedure_never_used;
mod recalibration_at_wrong_depot;
mod recalibration_tag_too_high;
mod recalibration_tag_too_low;
mod recalibration_without_depot;
mod recalibration_without_reason;
mod repair_that_touches_nothing;
mod repair_without_function_test;
mod repair_without_recalibration_tag;
mod repair_without_release;
mod replaced_part_not_disturbed;
mod step_without_action;
mod torque_out_of_scale;

use super::{Rule, Subject};
use crate::model::{Entry, Need, Procedure, ProcedureKind};
use crate::reason::calls::Role;
use crate::reason::repairs::RepairBecause;
use crate::report::Finding;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &repair_without_recalibration_tag::RULE,
    &recalibration_tag_too_low::RULE,
    &recalibration_tag_too_high::RULE,
    &recalibration_without_depot::RULE,
    &recalibration_at_wrong_depot::RULE,
    &recalibration_without_reason::RULE,
    &repair_without_function_test::RULE,
    &repair_without_release::RULE,
    &replaced_part_not_disturbed::RULE,
    &fluid_opened_without_level_check::RULE,
    &fluid_used_without_opening::RULE,
    &step_without_action::RULE,
    &torque_out_of_scale::RULE,
    &procedure_calling_itself::RULE,
    &procedure_never_used::RULE,
    &repair_that_touches_nothing::RULE,
];

/// The procedures that are repairs, whatever they call themselves, and why.
fn repairs<'g>(subject: &Subject<'g>) -> impl Iterator<Item = (&'g Procedure, &'g RepairBecause)> {
    let repairs = &subject.facts.repairs;
    subject.guide.procedures.iter().filter_map(move |procedure| Some((procedure, repairs.because(procedure.id())?)))
}

/// "repair `x`", or why a procedure that calls itself otherwise is one.
fn as_repair(procedure: &Procedure, because: &RepairBecause) -> String {
    let (kind, id) = (kind_word(procedure.kind.value), procedure.id());
    match because {
        RepairBecause::Says => format!("repair `{id}`"),
        RepairBecause::Named { fault, .. } => format!("{kind} `{id}`, a repair because `{fault}` leads to it,"),
        RepairBecause::Disturbs { part, .. } => format!("{kind} `{id}`, a repair because it disturbs `{part}`,"),
        RepairBecause::Runs { procedure, .. } => {
            format!("{kind} `{id}`, a repair because it runs `{procedure}`, which disturbs parts,")
        }
    }
}

/// Adds the place that makes a procedure a repair.
fn pointing(finding: Finding, because: &RepairBecause) -> Finding {
    match because {
        RepairBecause::Says => finding,
        RepairBecause::Named { at, .. } | RepairBecause::Disturbs { at, .. } | RepairBecause::Runs { at, .. } => {
            finding.with(*at, "what makes it a repair")
        }
    }
}

fn kind_word(kind: ProcedureKind) -> &'static str {
    match kind {
        ProcedureKind::Repair => "repair",
        ProcedureKind::Task => "task",
        ProcedureKind::MakeSafe => "make-safe",
        ProcedureKind::Test => "test",
    }
}

fn need_word(need: Need) -> &'static str {
    match need {
        Need::None => "none",
        Need::Conditional => "conditional",
        Need::Required => "required",
    }
}

/// How a procedure sends to another one, before its name.
fn role_words(role: Role) -> String {
    match role {
        Role::MakeSafe => "is made safe by".to_owned(),
        Role::Step(step) => format!("runs in step {}", step + 1),
        Role::CheckAgain => "is followed by".to_owned(),
        Role::FunctionTest => "is tested by".to_owned(),
    }
}
