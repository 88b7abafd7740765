//! Shortens names of properties that scripts give to things of their own, which no data, no other script and no browser knows.

use std::collections::{BTreeMap, BTreeSet};

use oxc_allocator::Allocator;
use oxc_ast::ast::{AssignmentTargetPropertyIdentifier, BindingProperty, IdentifierName, ObjectProperty, PropertyKey};
use oxc_ast_visit::{Visit, walk};
use oxc_parser::Parser;
use oxc_span::{GetSpan, SourceType, Span};

use super::script::{is_left, with_room};

/// `script` with a letter or two for each of the `own` names, wherever it names a property; as it is where it cannot be read.
pub fn own_names_short(script: &str, own: &BTreeSet<&str>) -> String {
    let short = if is_left(script) { None } else { with_room(|| shortened(script, own)).flatten() };
    short.unwrap_or_else(|| script.to_owned())
}

fn shortened(script: &str, own: &BTreeSet<&str>) -> Option<String> {
    let arena = Allocator::default();
    let read = Parser::new(&arena, script, SourceType::default().with_script(true)).parse();
    if !read.errors.is_empty() {
        return None;
    }
    let mut places = Places::default();
    places.visit_program(&read.program);
    let Places { named, mut edits } = places;
    let mut free = short_names().filter(|name| !named.contains(name));
    let short: BTreeMap<&str, String> = own.iter().copied().zip(free.by_ref()).collect();
    edits.sort_by_key(|(span, _)| span.start);
    let mut out = String::with_capacity(script.len());
    let mut done = 0;
    for (span, is_shorthand) in edits {
        let name = span.source_text(script);
        let Some(short) = short.get(name) else { continue };
        out.push_str(script.get(done..span.start as usize)?);
        out.push_str(short);
        if is_shorthand {
            out.push_str(": ");
            out.push_str(name);
        }
        done = span.end as usize;
    }
    out.push_str(script.get(done..)?);
    Some(out)
}

/// Names of one letter, then of two.
fn short_names() -> impl Iterator<Item = String> {
    let letters = || ('a'..='z').chain('A'..='Z');
    letters().map(String::from).chain(letters().flat_map(move |a| letters().map(move |b| format!("{a}{b}"))))
}

/// All names of properties, and where they stand; whether a variable of the same name stands for its value.
#[derive(Default)]
struct Places {
    named: BTreeSet<String>,
    edits: Vec<(Span, bool)>,
}

impl Places {
    fn note(&mut self, name: &str, span: Span, is_shorthand: bool) {
        self.named.insert(name.to_owned());
        self.edits.push((span, is_shorthand));
    }

    fn shorthand(&mut self, key: &PropertyKey<'_>) {
        if let PropertyKey::StaticIdentifier(name) = key {
            self.note(&name.name, name.span, true);
        }
    }
}

impl<'a> Visit<'a> for Places {
    fn visit_identifier_name(&mut self, it: &IdentifierName<'a>) {
        self.note(&it.name, it.span, false);
    }

    fn visit_object_property(&mut self, it: &ObjectProperty<'a>) {
        if it.shorthand {
            self.shorthand(&it.key);
        } else {
            walk::walk_object_property(self, it);
        }
    }

    fn visit_binding_property(&mut self, it: &BindingProperty<'a>) {
        if it.shorthand {
            self.shorthand(&it.key);
            self.visit_binding_pattern(&it.value);
        } else {
            walk::walk_binding_property(self, it);
        }
    }

    fn visit_assignment_target_property_identifier(&mut self, it: &AssignmentTargetPropertyIdentifier<'a>) {
        self.note(&it.binding.name, it.binding.span(), true);
        it.init.iter().for_each(|init| self.visit_expression(init));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_properties_of_that_name_are_shortened() {
        let own = BTreeSet::from(["cost", "alive"]);
        let from = "let cost = a.cost + b.other; ({ cost, alive: 1, alives: \"cost\", c: 2 }); let { alive, cost: d = e.cost } = f; ({ cost } = g);";
        let to = "let cost = a.b + b.other; ({ b: cost, a: 1, alives: \"cost\", c: 2 }); let { a: alive, b: d = e.b } = f; ({ b: cost } = g);";
        assert_eq!(own_names_short(from, &own), to);
        assert_eq!(own_names_short("a.cost = (", &own), "a.cost = (");
    }
}
