//! Tests of the plan against values from outside, a brute force, and properties it must have.

mod agreement;
mod brute;
mod make;
mod values;
