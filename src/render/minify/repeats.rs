//! Gives what a script says again and again a name of its own, said once at its start: names of properties (`a.length`
//! becomes `a[b]`), texts, and functions of `Math`. The names are cut later, so each use takes a letter or two.

use std::collections::BTreeMap;

use oxc_allocator::Allocator;
use oxc_ast::ast::{
    Declaration, Directive, Expression, PropertyKey, Statement, StaticMemberExpression, VariableDeclarationKind,
};
use oxc_ast_visit::{Visit, walk};
use oxc_parser::Parser;
use oxc_span::{GetSpan, SourceType, Span};

/// Letters that a name has in the end, taken as two wherever it stands.
const LETTERS: usize = 2;

/// `script`, printed with spaces between its words, with a name for each repeat that pays. None where there is none, or
/// where something at its top would be hidden from other scripts by the block that the names stand in.
pub(super) fn named(script: &str) -> Option<String> {
    let arena = Allocator::default();
    let read = Parser::new(&arena, script, SourceType::default().with_script(true)).parse();
    if !read.errors.is_empty() || read.program.body.iter().any(is_seen_by_others) {
        return None;
    }
    let mut uses = Uses::default();
    uses.visit_program(&read.program);
    if let [Statement::BlockStatement(block)] = read.program.body.as_slice() {
        return uses.written_into(script, block.span.start as usize + 1, "");
    }
    let start = read.program.directives.last().map_or(0, |directive| directive.span.end as usize);
    uses.written_into(&format!("{script}}}"), start, "{")
}

/// It would be seen at the top, and is not in a block.
fn is_seen_by_others(statement: &Statement<'_>) -> bool {
    match statement.as_declaration() {
        Some(Declaration::VariableDeclaration(it)) => it.kind != VariableDeclarationKind::Var,
        declaration => declaration.is_some(),
    }
}

/// Where things are said, by what they are.
#[derive(Default)]
struct Uses {
    /// Texts and names of properties: where they stand, and whether as a property's name.
    texts: BTreeMap<String, Vec<(Span, bool)>>,
    maths: BTreeMap<String, Vec<Span>>,
}

impl Uses {
    /// `script` with the names put in at `start`, after `opens`.
    fn written_into(self, script: &str, start: usize, opens: &str) -> Option<String> {
        let mut names: Vec<String> = Vec::new();
        let mut edits: Vec<(Span, String)> = Vec::new();
        for (text, places) in self.texts.into_iter().filter(|(text, places)| pays(text, places)) {
            let name = new_name(script, names.len());
            names.push(format!("{name} = {}", serde_json::Value::from(text)));
            let as_written = |is_property| if is_property { format!("[{name}]") } else { name.clone() };
            edits.extend(places.into_iter().map(|(span, is_property)| (span, as_written(is_property))));
        }
        for (function, places) in self.maths.into_iter().filter(|(_, places)| places.len() > 2) {
            let name = new_name(script, names.len());
            names.push(format!("{name} = Math.{function}"));
            edits.extend(places.into_iter().map(|span| (span, name.clone())));
        }
        if names.is_empty() {
            return None;
        }
        edits.sort_by_key(|(span, _)| span.start);
        let mut out = format!("{}{opens}let {};", script.get(..start)?, names.join(", "));
        let mut done = start;
        for (span, written) in edits {
            out.push_str(script.get(done..span.start as usize)?);
            out.push_str(&written);
            done = span.end as usize;
        }
        Some(out + script.get(done..)?)
    }
}

/// Whether naming a text takes less room than saying it at each place.
fn pays(text: &str, places: &[(Span, bool)]) -> bool {
    let properties = places.iter().filter(|(_, is_property)| *is_property).count();
    // `.text` against `[ab]`, `"text"` against `ab`, and once `,ab="text"`.
    let said = properties * (text.len() + 1) + (places.len() - properties) * (text.len() + 2);
    let named = properties * (LETTERS + 2) + (places.len() - properties) * LETTERS + LETTERS + text.len() + 4;
    said > named
}

/// A name that stands nowhere in the script.
fn new_name(script: &str, number: usize) -> String {
    let mut name = format!("said_{number}");
    while script.contains(&name) {
        name.push('_');
    }
    name
}

impl Uses {
    fn property(&mut self, it: &StaticMemberExpression<'_>) {
        if !it.optional {
            let span = Span::new(it.object.span().end, it.property.span.end);
            self.texts.entry(it.property.name.to_string()).or_default().push((span, true));
        }
    }
}

impl<'a> Visit<'a> for Uses {
    fn visit_expression(&mut self, it: &Expression<'a>) {
        match it {
            Expression::StringLiteral(text) if !text.lone_surrogates => {
                self.texts.entry(text.value.to_string()).or_default().push((text.span, false));
            }
            Expression::StaticMemberExpression(member) => {
                if member.object.is_specific_id("Math") {
                    self.maths.entry(member.property.name.to_string()).or_default().push(member.span);
                    return;
                }
                walk::walk_expression(self, it);
            }
            _ => walk::walk_expression(self, it),
        }
    }

    fn visit_static_member_expression(&mut self, it: &StaticMemberExpression<'a>) {
        self.property(it);
        walk::walk_static_member_expression(self, it);
    }

    fn visit_property_key(&mut self, it: &PropertyKey<'a>) {
        if !matches!(it, PropertyKey::StringLiteral(_)) {
            walk::walk_property_key(self, it);
        }
    }

    fn visit_directive(&mut self, _: &Directive<'a>) {}
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_often_is_said_once() {
        let from = "(() => { a.length = b.length + c.length + d.length + e.length; e(Math.max(1, 2), Math.max(3, 4), Math.max(5, 6)); })();";
        let small = named(from).unwrap();
        assert_eq!((small.matches("length").count(), small.matches("Math").count()), (1, 1), "{small}");
        assert!(small.starts_with("{let said_0 = \"length\", said_1 = Math.max;") && small.ends_with('}'), "{small}");
    }

    #[test]
    fn words_with_a_meaning_of_their_own_stay() {
        let keys = "f({ \"aria-label\": 1 }, { \"aria-label\": 2 }, { \"aria-label\": 3 }, { \"aria-label\": 4 });";
        assert_eq!(named(keys), None);
        assert_eq!(named("\"use strict\"; function f() { \"use strict\"; } function g() { \"use strict\"; }"), None);
        let optional = "f(a?.textContent, b?.textContent, c?.textContent, d?.textContent);";
        assert_eq!(named(optional), None);
    }

    #[test]
    fn what_others_may_see_is_put_into_no_block() {
        let uses = "f(a.textContent, b.textContent, c.textContent, d.textContent);";
        assert!(named(uses).is_some() && named(&format!("var x; {uses}")).is_some());
        for declared in ["let x;", "const x = 1;", "function x() {}", "class X {}"] {
            assert_eq!(named(&format!("{declared} {uses}")), None, "{declared}");
        }
        assert!(named(&format!("{{ const x = 1; {uses} }}")).unwrap().starts_with("{let said_0"));
    }
}
