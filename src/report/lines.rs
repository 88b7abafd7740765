//! Findings as one line each, for grep, editors and short attention.

use super::Judged;
use crate::text::Sources;

/// One finding on one line, its parts between middle dots: place as path, line and column; level; rule; what is wrong;
/// what to write.
pub fn line(judged: &Judged, sources: &Sources) -> String {
    let finding = &judged.finding;
    let position = sources.position(finding.span);
    let place = format!("{}:{}:{}", sources.path(finding.span.file), position.line, position.column);
    let parts = [&place, judged.level.word(), judged.rule.name, &finding.wrong, &finding.remedy];
    let flat: Vec<String> = parts.iter().map(|part| on_one_line(part)).collect();
    flat.join(" · ")
}

/// Text without line ends and other control characters.
fn on_one_line(text: &str) -> String {
    let spaced: String = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Level;
    use crate::report::samples;

    #[test]
    fn a_finding_is_one_line_whatever_its_text_holds() {
        let (sources, report) = samples::report("Two\nlines", Level::Error);
        let text = line(&report.findings[0], &sources);
        assert_eq!(text, "faults/a b.toml:2:5 · error · sample-rule · Two lines · Write it.");
    }
}
