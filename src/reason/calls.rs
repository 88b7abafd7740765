//! Which procedures a procedure sends the technician to.

use crate::model::{Link, Procedure};

/// In which place a procedure names another one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// `make_safe`: done before step 1.
    MakeSafe,
    /// `run` of a step, counted from 0.
    Step(usize),
    /// `check_again`.
    CheckAgain,
    /// `function_test`.
    FunctionTest,
}

/// Every procedure that a procedure names to be done, in the order they are done.
pub fn calls(procedure: &Procedure) -> impl Iterator<Item = (Role, &Link<Procedure>)> {
    let before = procedure.make_safe.iter().map(|link| (Role::MakeSafe, link));
    let steps = procedure.steps.iter().enumerate();
    let steps = steps.filter_map(|(index, step)| Some((Role::Step(index), step.run.as_ref()?)));
    let again = procedure.check_again.iter().filter_map(|again| again.procedure.as_ref());
    let test = procedure.function_test.iter().filter_map(|test| test.procedure.as_ref());
    before
        .chain(steps)
        .chain(again.map(|link| (Role::CheckAgain, link)))
        .chain(test.map(|link| (Role::FunctionTest, link)))
}
