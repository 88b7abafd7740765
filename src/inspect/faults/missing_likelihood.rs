//! `missing-likelihood`

use crate::inspect::{Rule, Subject};
use crate::model::Likelihood;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "missing-likelihood";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The order of checks hangs on how likely each cause is.",
        page: include_str!("missing-likelihood.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for cause in subject.guide.faults.iter().flat_map(|fault| &fault.causes) {
        let (span, wrong) = match &cause.likelihood {
            None => (cause.id.span, format!("Nobody says how likely the cause `{}` is.", cause.id.value)),
            Some(Likelihood::Share(share)) if share.value == 0 => {
                (share.span, format!("A share of 0 says that `{}` never is the cause.", cause.id.value))
            }
            Some(Likelihood::Word(word)) if is_never(subject, word.as_str()) => (
                word.span,
                format!("\"{}\" stands for a share of 0, so `{}` never is the cause.", word.value, cause.id.value),
            ),
            Some(_) => continue,
        };
        let remedy = "Add `share = 30`, a weight against the other causes of the fault, or `likelihood = \"…\"` with a \
            word that guide.toml declares as `[[likelihood]]`. A rough guess will do: records of jobs correct it.";
        found.push(Finding::new(NAME, span, wrong, remedy));
    }
}

fn is_never(subject: &Subject<'_>, word: &str) -> bool {
    subject.guide.likelihood_words.find(word).is_some_and(|word| word.share.value == 0)
}
