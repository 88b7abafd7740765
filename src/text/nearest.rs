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

/// The id a writer most likely meant: closer than a word must be, because ids of one guide are alike by habit.
///
/// Of `floor-pump` and `floor-lamp` neither is a slip for the other: each part between hyphens must be near its own.
pub fn nearest_id<'a>(id: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let allowed = id.chars().count().div_ceil(8).clamp(1, 3);
    let near = candidates.into_iter().filter(|candidate| distance(id, candidate) <= allowed);
    nearest(id, near.filter(|candidate| parts_are_near(id, candidate)))
}

fn parts_are_near(one: &str, other: &str) -> bool {
    let (ours, theirs): (Vec<&str>, Vec<&str>) = (one.split('-').collect(), other.split('-').collect());
    let near = |(one, other): (&&str, &&str)| one == other || nearest(one, [*other]).is_some();
    ours.len() != theirs.len() || ours.iter().zip(&theirs).all(near)
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

    #[test]
    fn an_id_is_a_slip_only_of_a_close_one() {
        let known = ["floor-pump", "floor-pump-a", "leg-2", "canopy-pump"];
        let cases = [
            ("floor-pmup", Some("floor-pump")),
            ("flor-pump", Some("floor-pump")),
            ("floorpump", Some("floor-pump")),
            ("floor-lamp", None),
            ("roof-pump", None),
            ("leg-3", Some("leg-2")),
            ("canopy-pumps", Some("canopy-pump")),
        ];
        for (id, meant) in cases {
            assert_eq!(nearest_id(id, known), meant, "{id}");
        }
    }
}
