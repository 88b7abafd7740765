//! Tests of the plan against values from outside, a brute force, and properties it must have.

mod advice;
mod agreement;
mod brute;
mod degenerate;
pub(super) mod make;
mod proofs;
mod properties;
mod tampering;
mod values;
