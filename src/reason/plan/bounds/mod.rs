//! Lower bounds on the expected cost of a position: no tree can cost less.

pub(super) mod cover;
pub(super) mod huffman;
