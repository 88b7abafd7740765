//! Hydraulic tables: one mistake at a time in a copy of the demo guide, found at its line.

use crate::forms::findings;
use crate::guides::demo;

/// In the circuit's file, the first `find` behind `row` becomes `put`; a finding of one of the rules stands on the line
/// that holds `line`, counted from `row`.
struct Mistake {
    says: &'static str,
    circuit: &'static str,
    row: &'static str,
    find: &'static str,
    put: &'static str,
    rule: &'static str,
    line: &'static str,
}

const fn m(
    says: &'static str,
    circuit: &'static str,
    row: &'static str,
    find: &'static str,
    put: &'static str,
    rule: &'static str,
    line: &'static str,
) -> Mistake {
    Mistake { says, circuit, row, find, put, rule, line }
}

const DOES: &str = "direction-does-otherwise";

#[rustfmt::skip]
const MISTAKES: &[Mistake] = &[
    m("a pilot check turned round", "canopy", "id = \"hold-l\"", "from = \"canopy-block-a\"\nto = \"canopy-block-lc\"", "from = \"canopy-block-lc\"\nto = \"canopy-block-a\"", DOES, "from ="),
    m("the floor's pilot check turned round", "floor", "id = \"floor-hold\"", "from = \"floor-block-b\"\nto = \"floor-block-fr\"", "from = \"floor-block-fr\"\nto = \"floor-block-b\"", DOES, "from ="),
    m("a pilot check of the hand pump turned round", "canopy", "id = \"hand-hold-r\"", "from = \"canopy-block-ha\"\nto = \"canopy-block-rc\"", "from = \"canopy-block-rc\"\nto = \"canopy-block-ha\"", DOES, "from ="),
    m("a relief valve turned round", "canopy", "id = \"r1-lift\"", "from = \"canopy-block-a\"\nto = \"canopy-block-t\"", "from = \"canopy-block-t\"\nto = \"canopy-block-a\"", "pressure-without-relief", "from ="),
    m("another relief valve turned round", "floor", "id = \"r3-down\"", "from = \"floor-block-a\"\nto = \"floor-block-t\"", "from = \"floor-block-t\"\nto = \"floor-block-a\"", "pressure-without-relief", "from ="),
    m("a pilot from the wrong side", "canopy", "id = \"hold-l\"", "pilot = \"canopy-block-b\"", "pilot = \"canopy-block-rc\"", "load-not-held", "pilot ="),
    m("a leg's pilot from the wrong side", "floor", "id = \"leg-3-hold\"", "pilot = \"floor-block-b\"", "pilot = \"floor-block-fc\"", DOES, "pilot ="),
    m("a passage from the wrong port", "floor", "id = \"leg-2-hold\"", "from = \"floor-block-a\"", "from = \"floor-block-4r\"", DOES, "from ="),
    m("a passage to the wrong port", "floor", "id = \"leg-4-rod-way\"", "to = \"floor-block-4r\"", "to = \"floor-block-4c\"", DOES, "to ="),
    m("an open way where a check should hold", "floor", "id = \"floor-hold\"", "kind = \"pilot-check\"\nfrom = \"floor-block-b\"\nto = \"floor-block-fr\"\npilot = \"floor-block-a\"", "kind = \"open\"\nfrom = \"floor-block-b\"\nto = \"floor-block-fr\"", "load-not-held", "kind ="),
    m("a check without its pilot's kind", "floor", "id = \"leg-4-hold\"", "kind = \"pilot-check\"\nfrom = \"floor-block-a\"\nto = \"floor-block-4c\"\npilot = \"floor-block-b\"", "kind = \"check\"\nfrom = \"floor-block-a\"\nto = \"floor-block-4c\"", DOES, "kind ="),
    m("a passage missing", "floor", "id = \"floor-motor-pump\"", "[[passage]]\nid = \"leg-1-rod-way\"\npart = \"floor-block\"\nkind = \"open\"\nfrom = \"floor-block-b\"\nto = \"floor-block-1r\"\n", "", DOES, "forward_does ="),
    m("the directions of a pump exchanged", "floor", "id = \"floor-motor-pump\"", "forward = \"floor-pump-a\"\nreverse = \"floor-pump-b\"", "forward = \"floor-pump-b\"\nreverse = \"floor-pump-a\"", DOES, "forward ="),
    m("cap and rod of an actuator exchanged", "canopy", "id = \"canopy-left\"", "cap = \"cylinder-left-cap\"\nrod = \"cylinder-left-rod\"", "cap = \"cylinder-left-rod\"\nrod = \"cylinder-left-cap\"", DOES, "cap ="),
    m("a relief valve too weak for the load", "canopy", "id = \"r1-lift\"", "value = \"100 bar\"", "value = \"60 bar\"", DOES, "opens_at ="),
    m("a direction called what the other does", "canopy", "id = \"canopy-hand-pump\"", "forward_does = \"extends\"", "forward_does = \"retracts\"", DOES, "forward_does ="),
    m("a relief valve without its pressure", "floor", "id = \"r4-up\"", "opens_at = { value = \"105 bar\", source = \"field-manual, section 3.5\" }\n", "", "passage-cannot-work", "kind ="),
    m("a pilot check without a pilot", "canopy", "id = \"hold-r\"", "pilot = \"canopy-block-b\"\n", "", "passage-cannot-work", "kind ="),
    m("a passage back to its own port", "floor", "id = \"leg-4-rod-way\"", "to = \"floor-block-4r\"", "to = \"floor-block-b\"", "passage-cannot-work", "to ="),
    m("a pilot on its own outlet", "floor", "id = \"leg-2-hold\"", "pilot = \"floor-block-b\"", "pilot = \"floor-block-2c\"", "passage-cannot-work", "pilot ="),
    m("a rod thicker than the bore", "floor", "id = \"leg-1\"", "value = \"20 mm\"", "value = \"40 mm\"", "rod-fills-bore", "rod_diameter ="),
    m("marks too near each other", "canopy", "[level]", "412 mL", "206 mL", "level-marks-disagree", "between_marks ="),
    m("marks the wrong way round", "floor", "[level]", "upper = \"rods in\"\nlower = \"rods out\"", "upper = \"rods out\"\nlower = \"rods in\"", "level-marks-disagree", "upper ="),
    m("a fall that the rods cannot make", "floor", "[level]", "value = \"29 mm\"", "value = \"19 mm\"", "level-marks-disagree", "falls ="),
];

impl Mistake {
    /// The changed text, and the line the finding belongs to.
    fn plant(&self, text: &str) -> (String, usize) {
        let row = text.find(self.row).unwrap_or_else(|| panic!("{}: no {:?}", self.says, self.row));
        let at = text[row..].find(self.find).unwrap_or_else(|| panic!("{}: no {:?}", self.says, self.find));
        let changed = format!("{}{}{}", &text[..row + at], self.put, &text[row + at + self.find.len()..]);
        let line = row + changed[row..].find(self.line).unwrap_or_else(|| panic!("{}: no line", self.says));
        let number = changed[..line].matches('\n').count() + 1;
        (changed, number)
    }
}

#[test]
fn every_mistake_is_found_at_its_line() {
    let files = demo();
    let mut missed = Vec::new();
    for mistake in MISTAKES {
        let path = format!("hoses/{}.toml", mistake.circuit);
        let (text, line) = mistake.plant(std::str::from_utf8(&files[&path]).unwrap());
        let mut changed = files.clone();
        changed.insert(path.clone(), text.into_bytes());
        let found: Vec<String> =
            findings(changed).into_iter().map(|(rule, path, line, _)| format!("{path}:{line} {rule}")).collect();
        let wanted = format!("{path}:{line} {}", mistake.rule);
        let found: Vec<String> =
            found.into_iter().filter(|one| one.starts_with("hoses/") && !one.contains("review")).collect();
        if !found.contains(&wanted) {
            missed.push(format!("{}: {wanted} is not among {found:?}", mistake.says));
        }
    }
    assert!(MISTAKES.len() >= 20);
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

/// A part that no fault covers is told as long as what is missing elsewhere cannot be about its circuit.
#[test]
fn only_what_may_be_about_a_circuit_silences_its_suspects() {
    let told = |fault: &str| {
        let mut files = demo();
        let mut change = |path: &str, find: &str, put: &str| {
            let text = String::from_utf8(files[path].clone()).unwrap();
            assert!(text.contains(find), "{path} holds no {find}");
            files.insert(path.to_owned(), text.replacen(find, put, 1).into_bytes());
        };
        change("hoses/canopy.toml", "reservoir = \"canopy-reservoir\"", "reservoir = \"spare-reservoir\"");
        let spare =
            "[[part]]\nid = \"spare-reservoir\"\nname = \"Spare\"\nkind = \"reservoir\"\nlocation = \"Bay\"\n\n";
        change("parts/canopy-circuit.toml", "[[part]]", &format!("{spare}[[part]]"));
        change(fault, "\nrepair = \"", "\nrepair = \"not-written-");
        findings(files).into_iter().filter(|(rule, ..)| rule == "suspect-without-fault").count()
    };
    assert_eq!(told("faults/one-leg-stays-up.toml"), 1);
    assert_eq!(told("faults/canopy-slow.toml"), 0);
}
