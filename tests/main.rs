//! Whole-program tests.

mod rules;
