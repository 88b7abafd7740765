//! The known name a writer most likely meant.

/// The candidate closest to `word` by edits, if it is close enough to be worth suggesting.
///
/// A third of the word's letters may differ (at least one, at most four). Ties go to the first in alphabetical order.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    let allowed = (length / 3).clamp(1, 4);
    candidates
        .into_iter()
        .filter(|candidate| candidate.len() <= length * 4 + 4 && candidate.chars().count().abs_diff(length) <= allowed)
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(edits, _)| *edits <= allowed)
        .min()
        .map(|(_, candidate)| candidate)
}

fn distance(word: &str, candidate: &str) -> usize {
    // Long words are never a slip of each other; comparing them would cost the square of their length.
    if word.len().max(candidate.len()) > 200 {
        return usize::MAX;
    }
    strsim::osa_distance(word, candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_word_and_a_stranger_does_not() {
        let known = ["canopy-pump", "floor-pump", "source"];
        assert_eq!(nearest("canopy-pmup", known), Some("canopy-pump"));
        assert_eq!(nearest("sorce", known), Some("source"));
        assert_eq!(nearest("tilt-sensor", known), None);
    }
}
