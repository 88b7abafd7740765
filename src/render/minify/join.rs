//! Makes one script of several that pages load together, so that what they share can have short names too.

use oxc_allocator::Allocator;
use oxc_ast::ast::Directive;
use oxc_ast_visit::Visit;
use oxc_parser::Parser;
use oxc_span::{SourceType, Span};

use super::ScriptError;
use super::script::{is_left, located, with_room};

/// Classic scripts one after the other in one block, all strict. What a script declares at its top with `const`, `let` or
/// `function` is seen by the others and by nobody else, and a joint may be run again in the same document.
///
/// # Errors
/// The place in the list of a script that is none, and what is wrong with it.
pub fn joined(scripts: &[&str]) -> Result<String, (usize, ScriptError)> {
    let mut joint = String::from("\"use strict\";\n{\n");
    for (place, script) in scripts.iter().enumerate() {
        joint.push_str(&without_directives(script).map_err(|error| (place, error))?);
        joint.push('\n');
    }
    Ok(joint + "}\n")
}

fn without_directives(script: &str) -> Result<String, ScriptError> {
    if is_left(script) {
        return Ok(script.to_owned());
    }
    with_room(|| taken_out(script)).unwrap_or_else(|| Ok(script.to_owned()))
}

fn taken_out(script: &str) -> Result<String, ScriptError> {
    let arena = Allocator::default();
    let read = Parser::new(&arena, script, SourceType::default().with_script(true)).parse();
    if let Some(error) = read.errors.first() {
        return Err(located(script, error));
    }
    let mut strict = Strict::default();
    strict.visit_program(&read.program);
    let mut kept = String::with_capacity(script.len());
    let mut done = 0;
    for span in strict.0 {
        kept.push_str(script.get(done..span.start as usize).unwrap_or_default());
        done = span.end as usize;
    }
    kept.push_str(script.get(done..).unwrap_or_default());
    Ok(kept)
}

/// Where scripts and functions say that they are strict, in their order.
#[derive(Default)]
struct Strict(Vec<Span>);

impl<'a> Visit<'a> for Strict {
    fn visit_directive(&mut self, it: &Directive<'a>) {
        if it.directive == "use strict" {
            self.0.push(it.span);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_see_what_the_others_declare_and_nobody_else_does() {
        let joint = joined(&[
            "\"use strict\";\nconst shared = () => act(1);",
            "(() => {\n  \"use strict\";\n  each(shared, shared);\n})();",
        ]);
        let joint = joint.unwrap();
        assert_eq!(joint.matches("use strict").count(), 1, "{joint}");
        let small = super::super::script(&joint).unwrap();
        assert!(small.starts_with("\"use strict\";{") && !small.contains("shared"), "{small}");
    }

    #[test]
    fn a_mistake_is_told_with_its_script_and_place() {
        let (place, error) = joined(&["var a;", "var b;\nvar = 2;"]).unwrap_err();
        assert_eq!((place, error.line, error.column), (1, 2, 5));
    }
}
