//! `repair-without-function-test`

use crate::inspect::{Rule, Subject};
use crate::model::ProcedureKind;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "repair-without-function-test";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "The machine goes back to people who will be the first to try it.",
        page: include_str!("repair-without-function-test.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (procedure, because) in super::repairs(subject) {
        let Some(test) = &procedure.function_test else {
            let wrong = format!("The {} ends without a function test.", super::as_repair(procedure, because));
            let remedy = "Add a table `[function_test]` with `procedure`, a procedure of kind test, or `says`.";
            found.push(super::pointing(Finding::new(NAME, procedure.head.id.span, wrong, remedy), because));
            continue;
        };
        let named = test.procedure.as_ref().and_then(|link| Some((link, subject.guide.procedures.get(link)?)));
        if let Some((link, _)) = named.filter(|(_, named)| named.kind.value != ProcedureKind::Test) {
            let wrong = format!("The function test names `{}`, which is no test.", link.value);
            let remedy = "Name a procedure with `kind = \"test\"` that runs what was repaired.";
            found.push(Finding::new(NAME, link.span, wrong, remedy));
        }
    }
}
