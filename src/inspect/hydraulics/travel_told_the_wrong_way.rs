//! `travel-told-the-wrong-way`

use std::collections::{BTreeMap, BTreeSet};

use crate::inspect::{Rule, Subject};
use crate::model::Actuator;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "travel-told-the-wrong-way";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Warning,
        matters: "Checks and crossings tell the technician in these words which way a thing moves.",
        page: include_str!("travel-told-the-wrong-way.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        let mut by_load: BTreeMap<Option<&str>, Vec<Told<'_>>> = BTreeMap::new();
        for told in circuit.actuators.iter().filter_map(Told::of) {
            by_load.entry(told.load()).or_default().push(told);
        }
        for alike in by_load.values() {
            let ways = Ways::of(alike);
            found.extend((0..alike.len()).filter_map(|at| finding(alike, &ways, at)));
        }
    }
}

fn finding(alike: &[Told<'_>], ways: &Ways<'_>, at: usize) -> Option<Finding> {
    let one = alike.get(at)?;
    let place = ways.against(one, at)?;
    // Of two, the later one is told.
    if alike.len() == 2 && place > at {
        return None;
    }
    let other = alike.get(place)?;
    let wrong = format!(
        "`{}` extends with \"{}\", but `{}` with \"{}\".",
        one.actuator.id.value, one.extends.value, other.actuator.id.value, other.extends.value
    );
    let remedy = "Look at the machine. If both go the same way, exchange `extends_says` and `retracts_says` of one; \
                  if not, say it in words that the two do not share.";
    Some(Finding::new(NAME, one.extends.span, wrong, remedy).with(other.extends.span, "the other"))
}

/// What an actuator looks like when it moves, both ways.
struct Told<'g> {
    actuator: &'g Actuator,
    extends: &'g Located<String>,
    /// The words that one of the two texts has and the other has not; true for going out.
    words: BTreeMap<String, bool>,
}

impl<'g> Told<'g> {
    fn of(actuator: &'g Actuator) -> Option<Self> {
        let (extends, retracts) = (actuator.extends_says.as_ref()?, actuator.retracts_says.as_ref()?);
        let (out, back) = (words(extends), words(retracts));
        let own = |of: &BTreeSet<String>, not: &BTreeSet<String>, way| {
            of.difference(not).map(|word| (word.clone(), way)).collect::<Vec<_>>()
        };
        let words = own(&out, &back, true).into_iter().chain(own(&back, &out, false)).collect();
        Some(Self { actuator, extends, words })
    }

    fn load(&self) -> Option<&'g str> {
        self.actuator.load.as_ref().map(|load| load.value.as_str())
    }
}

fn words(text: &str) -> BTreeSet<String> {
    text.split_whitespace().map(str::to_lowercase).collect()
}

/// Which way each word goes, and with whom: what an actuator is held against without looking at every other one.
struct Ways<'t> {
    /// Places of the actuators that have a word for going out, and for coming in.
    places: BTreeMap<&'t str, [Vec<usize>; 2]>,
}

impl<'t> Ways<'t> {
    fn of(alike: &'t [Told<'_>]) -> Self {
        let mut places: BTreeMap<&str, [Vec<usize>; 2]> = BTreeMap::new();
        for (at, told) in alike.iter().enumerate() {
            for (word, out) in &told.words {
                let [outs, backs] = places.entry(word).or_default();
                if *out { outs.push(at) } else { backs.push(at) }
            }
        }
        Self { places }
    }

    /// The first that an actuator stands against, where its words rather go the other way with the others.
    fn against(&self, one: &Told<'_>, at: usize) -> Option<usize> {
        let (mut along, mut against, mut first) = (0, 0, None);
        for (word, out) in &one.words {
            let Some([outs, backs]) = self.places.get(word.as_str()) else { continue };
            let (same, opposite) = if *out { (outs, backs) } else { (backs, outs) };
            along += same.len().saturating_sub(1);
            against += opposite.len();
            first = first.into_iter().chain(opposite.first().copied()).min();
        }
        first.filter(|place| against > along && *place != at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::MemoryDesk;

    /// The actuators found against the others, of a circuit told in these words for going out and coming in.
    fn found(told: &[(&str, &str)]) -> Vec<(usize, usize)> {
        let mut text = "[circuit]\nid = \"c\"\nname = \"Circuit\"\n".to_owned();
        for (at, (out, back)) in told.iter().enumerate() {
            let row = format!("id = \"a-{at}\"\npart = \"p\"\nname = \"A\"\ncap = \"c-{at}\"\nload = \"pushes in\"");
            text += &format!("\n[[actuator]]\n{row}\nextends_says = \"{out}\"\nretracts_says = \"{back}\"\n");
        }
        let guide = crate::read::read(&MemoryDesk::new().with("hoses/c.toml", text)).guide;
        let circuit = guide.circuits.find("c").unwrap();
        let alike: Vec<Told<'_>> = circuit.actuators.iter().filter_map(Told::of).collect();
        assert_eq!(alike.len(), told.len());
        let ways = Ways::of(&alike);
        // Every word stands once in the index: the work grows with the words, not with the pairs.
        let places: usize = ways.places.values().flatten().map(Vec::len).sum();
        assert_eq!(places, alike.iter().map(|one| one.words.len()).sum::<usize>());
        (0..alike.len()).filter_map(|at| Some((at, ways.against(&alike[at], at)?))).collect()
    }

    #[test]
    fn the_odd_one_of_many_is_found_and_of_two_halves_all() {
        let (down, up) = (("The leg goes down", "The leg comes up"), ("The leg comes up", "The leg goes down"));
        assert_eq!(found(&[down, up]), [(0, 1), (1, 0)]);
        assert_eq!(found(&[down, down, up, down]), [(2, 0)]);
        assert_eq!(found(&[down, down, up, up]), [(0, 2), (1, 2), (2, 0), (3, 0)]);
        assert_eq!(found(&[down, ("The floor folds out", "The floor folds in")]), []);
        let mut many = vec![down; 800];
        many[500] = up;
        assert_eq!(found(&many), [(500, 0)]);
    }
}
