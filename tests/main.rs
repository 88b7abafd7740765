//! Whole-program tests.

#![allow(clippy::disallowed_methods, reason = "tests lay out folders and look at them")]

mod bad_input;
mod consistent;
mod formats;
mod forms;
mod guides;
mod hydraulics;
mod mounts;
mod mutants;
mod planted;
mod publish;
mod rules;
mod site;
mod tidy;
