//! Writes functions declared in functions as arrows, which take less room: `function f(a) {}` becomes
//! `let f = (a) => {}`, put where such a declaration counts from anyway, at the start of what it stands in.

use std::collections::{BTreeMap, BTreeSet};

use oxc_allocator::{Allocator, TakeIn};
use oxc_ast::AstBuilder;
use oxc_ast::ast::{
    ArrowFunctionExpression, BindingIdentifier, BlockStatement, Declaration, Expression, FormalParameterKind,
    FormalParameters, Function, IdentifierReference, MetaProperty, NewExpression, Program, Statement,
    StaticMemberExpression, ThisExpression, VariableDeclarationKind,
};
use oxc_ast_visit::{Visit, VisitMut, walk, walk_mut};
use oxc_span::SPAN;
use oxc_syntax::scope::ScopeFlags;

/// Turns what can be an arrow: no `this`, no `arguments`, no `new`, no second thing of that name beside it.
pub(super) fn write_arrows<'a>(arena: &'a Allocator, program: &mut Program<'a>) {
    let mut made = Made::default();
    made.visit_program(program);
    // Outside of strict scripts a function in a block is seen beyond it.
    let strict = program.directives.iter().any(|directive| directive.directive == "use strict");
    Arrows { build: AstBuilder::new(arena), made: made.0, strict }.visit_program(program);
}

struct Arrows<'a> {
    build: AstBuilder<'a>,
    made: BTreeSet<String>,
    strict: bool,
}

impl<'a> VisitMut<'a> for Arrows<'a> {
    fn visit_function(&mut self, it: &mut Function<'a>, flags: ScopeFlags) {
        walk_mut::walk_function(self, it, flags);
        let Function { params, body: Some(body), .. } = it else { return };
        self.turn(&mut body.statements, Some(params));
    }

    fn visit_arrow_function_expression(&mut self, it: &mut ArrowFunctionExpression<'a>) {
        walk_mut::walk_arrow_function_expression(self, it);
        self.turn(&mut it.body.statements, Some(&it.params));
    }

    fn visit_block_statement(&mut self, it: &mut BlockStatement<'a>) {
        walk_mut::walk_block_statement(self, it);
        if self.strict {
            self.turn(&mut it.body, None);
        }
    }
}

impl<'a> Arrows<'a> {
    fn turn(&self, statements: &mut oxc_allocator::Vec<'a, Statement<'a>>, params: Option<&FormalParameters<'a>>) {
        let mut bound = Bound::default();
        if let Some(params) = params {
            bound.visit_formal_parameters(params);
        }
        statements.iter().for_each(|statement| bound.visit_statement(statement));
        let (mut arrows, mut others) = (self.build.vec(), self.build.vec());
        for statement in statements.take_in(self.build) {
            match statement {
                Statement::FunctionDeclaration(function) if self.can_turn(&function, &bound) => {
                    arrows.extend(self.arrow(function.unbox()));
                }
                other => others.push(other),
            }
        }
        if !arrows.is_empty() {
            let declared = self.build.variable_declaration(SPAN, VariableDeclarationKind::Let, arrows, false);
            statements.push(Statement::from(Declaration::VariableDeclaration(self.build.alloc(declared))));
        }
        statements.extend(others);
    }

    fn can_turn(&self, function: &Function<'a>, bound: &Bound) -> bool {
        let Some((id, body)) = function.id.as_ref().zip(function.body.as_ref()) else { return false };
        let mut own = Own(false);
        own.visit_formal_parameters(&function.params);
        own.visit_function_body(body);
        let alone = bound.0.get(id.name.as_str()) == Some(&1) && !self.made.contains(id.name.as_str());
        alone && !own.0 && !function.generator && !function.r#async && body.directives.is_empty()
    }

    fn arrow(&self, function: Function<'a>) -> Option<oxc_ast::ast::VariableDeclarator<'a>> {
        let (id, body, mut params) = (function.id?, function.body?, function.params);
        params.kind = FormalParameterKind::ArrowFormalParameters;
        let arrow =
            self.build.expression_arrow_function(SPAN, false, false, oxc_ast::NONE, params, oxc_ast::NONE, body);
        let name = self.build.binding_pattern_binding_identifier(SPAN, id.name);
        let kind = VariableDeclarationKind::Let;
        Some(self.build.variable_declarator(SPAN, kind, name, oxc_ast::NONE, Some(arrow), false))
    }
}

/// How often each name is declared in a list of statements and in what it stands in, functions inside left out.
#[derive(Default)]
struct Bound(BTreeMap<String, usize>);

impl<'a> Visit<'a> for Bound {
    fn visit_binding_identifier(&mut self, it: &BindingIdentifier<'a>) {
        *self.0.entry(it.name.to_string()).or_default() += 1;
    }

    fn visit_function(&mut self, it: &Function<'a>, _: ScopeFlags) {
        it.id.iter().for_each(|id| self.visit_binding_identifier(id));
    }

    fn visit_arrow_function_expression(&mut self, _: &ArrowFunctionExpression<'a>) {}
}

/// Whether a function has something that an arrow has not.
struct Own(bool);

impl<'a> Visit<'a> for Own {
    fn visit_this_expression(&mut self, _: &ThisExpression) {
        self.0 = true;
    }

    fn visit_meta_property(&mut self, _: &MetaProperty<'a>) {
        self.0 = true;
    }

    fn visit_identifier_reference(&mut self, it: &IdentifierReference<'a>) {
        self.0 = self.0 || it.name == "arguments";
    }

    fn visit_function(&mut self, _: &Function<'a>, _: ScopeFlags) {}
}

/// Names of functions that things are made of.
#[derive(Default)]
struct Made(BTreeSet<String>);

impl Made {
    fn note(&mut self, maker: &Expression<'_>) {
        if let Expression::Identifier(it) = maker {
            self.0.insert(it.name.to_string());
        }
    }
}

impl<'a> Visit<'a> for Made {
    fn visit_new_expression(&mut self, it: &NewExpression<'a>) {
        self.note(&it.callee);
        walk::walk_new_expression(self, it);
    }

    fn visit_static_member_expression(&mut self, it: &StaticMemberExpression<'a>) {
        if it.property.name == "prototype" {
            self.note(&it.object);
        }
        walk::walk_static_member_expression(self, it);
    }
}

#[cfg(test)]
mod tests {
    use oxc_codegen::Codegen;
    use oxc_parser::Parser;
    use oxc_span::SourceType;

    use super::*;

    fn written(script: &str) -> String {
        let arena = Allocator::default();
        let mut program = Parser::new(&arena, script, SourceType::default().with_script(true)).parse().program;
        write_arrows(&arena, &mut program);
        Codegen::new().build(&program).code.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_function_in_a_function_is_an_arrow_from_the_start() {
        assert_eq!(
            written("(() => { f(1); function f(a) { return g(a); function g(b) { return b; } } })();"),
            "(() => { let f = (a) => { let g = (b) => { return b; }; return g(a); }; f(1); })();"
        );
    }

    #[test]
    fn what_an_arrow_cannot_be_stays_a_function() {
        for inside in [
            "function f() { return this.a; }",
            "function f() { return () => this.a; }",
            "function f() { return arguments[0]; }",
            "function f() { return new.target; }",
            "function f() {} new f();",
            "function f() {} f.prototype.a = 1;",
            "function f() { return 1; } function f() { return 2; }",
            "function f() {} var f;",
            "function* f() {}",
            "async function f() {}",
        ] {
            let script = format!("(() => {{ {inside} }})();");
            assert!(!written(&script).contains("let f"), "{script}");
        }
        assert!(!written("(f) => { function f() {} };").contains("let f"));
        assert!(!written("{ function f() {} }").contains("let f"));
        assert!(written("\"use strict\"; { function f() {} }").contains("let f"));
        assert!(!written("function f() {}").contains("let f"));
    }
}
