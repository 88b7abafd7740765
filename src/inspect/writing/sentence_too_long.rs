//! `sentence-too-long`

use crate::inspect::{Rule, Subject};
use crate::model::{ProseRole, ProseSite};
use crate::read::sentences::prose_sentences;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "sentence-too-long";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "writing",
        level: Level::Warning,
        matters: "With gloves on and one eye on the machine nobody keeps a long sentence in mind to its end.",
        page: include_str!("sentence-too-long.md"),
        softenable: true,
    },
    check: Some(check),
};

/// Words a sentence may have: in a step, and elsewhere.
const IN_A_STEP: usize = 20;
const ELSEWHERE: usize = 25;

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for site in &subject.guide.index.prose {
        let limit = match site.role {
            ProseRole::Quoted => continue,
            ProseRole::Step => IN_A_STEP,
            ProseRole::Text | ProseRole::Caution => ELSEWHERE,
        };
        // As many words need as many bytes and spaces between them.
        if site.text.len() > limit * 2 {
            check_site(site, limit, found);
        }
    }
}

fn check_site(site: &ProseSite, limit: usize, found: &mut Vec<Finding>) {
    for sentence in prose_sentences(&site.text).into_iter().filter(|sentence| sentence.words > limit) {
        let kind = if limit == IN_A_STEP { "A sentence in a step" } else { "A sentence" };
        let wrong = format!("This sentence has {} words. {kind} may have {limit}.", sentence.words);
        let remedy = "Make two sentences of it, or take out what the reader does not need.";
        let place = if site.exact { site.span.inner(sentence.range) } else { site.span };
        found.push(Finding::new(NAME, place, wrong, remedy));
    }
}
