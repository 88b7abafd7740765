//! From the softenings a writer gives to those the sink applies.

use super::catalogue;
use crate::model::{EntryKey, Softening};
use crate::read::Draft;
use crate::report::{Finding, Scope, Soften};
use crate::text::{FileId, nearest};

/// The softenings that can be applied, and findings about those that cannot.
pub(super) fn of(draft: &Draft) -> (Vec<Soften>, Vec<Finding>) {
    let mut softenings = Vec::new();
    let mut findings = Vec::new();
    for softening in &draft.guide.softenings {
        match one(softening, draft) {
            Ok(soften) => softenings.push(soften),
            Err(finding) => findings.push(finding),
        }
    }
    (softenings, findings)
}

fn one(softening: &Softening, draft: &Draft) -> Result<Soften, Finding> {
    let rule = catalogue::named(&softening.rule).ok_or_else(|| unknown_rule(softening))?;
    if !rule.info.softenable {
        let wrong = format!("The rule `{}` cannot be softened.", rule.info.name);
        return Err(Finding::new(
            "rule-cannot-be-softened",
            softening.rule.span,
            wrong,
            "Take the softening out and mend what the rule finds.",
        ));
    }
    let scope = scope_of(softening, draft)?;
    let (rule, because) = (softening.rule.value.clone(), softening.because.value.clone());
    Ok(Soften { rule, scope, because, span: softening.span })
}

fn scope_of(softening: &Softening, draft: &Draft) -> Result<Scope, Finding> {
    if let Some(entry) = &softening.entry {
        let (kind, id) = &entry.value;
        let key = EntryKey { kind: *kind, id: id.clone() };
        let records = draft.guide.index.records.iter().filter(|(owner, _)| *owner == key);
        return Ok(Scope::Entry(records.map(|(_, span)| *span).collect()));
    }
    let Some(file) = &softening.file else { return Ok(Scope::Everywhere) };
    let found = draft.sources.iter().position(|source| source.path == file.value);
    match found.and_then(|index| u32::try_from(index).ok()) {
        Some(index) => Ok(Scope::File(FileId(index))),
        None => {
            let known = nearest(&file.value, draft.sources.iter().map(|source| source.path.as_str()));
            let remedy = known.map_or("Write the path inside the guide folder.".to_owned(), |path| {
                format!("Write \"{path}\", if that was meant.")
            });
            Err(Finding::new(
                "unknown-id",
                file.span,
                format!("No file of the guide is called \"{}\".", file.value),
                remedy,
            ))
        }
    }
}

fn unknown_rule(softening: &Softening) -> Finding {
    let name = &softening.rule;
    let known = nearest(name, catalogue::all().iter().map(|rule| rule.info.name));
    let remedy = match known {
        Some(known) => format!("Write `{known}`, if that was meant."),
        None => "Take the softening out; `bayleaf why` lists all rules.".to_owned(),
    };
    Finding::new("unknown-id", name.span, format!("No rule is called `{}`.", name.value), remedy)
}
