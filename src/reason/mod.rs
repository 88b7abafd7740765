//! What the compiler works out from a guide. Facts only: nothing here words a message.

pub mod plan;
