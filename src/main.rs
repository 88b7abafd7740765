//! The command `bayleaf`.

fn main() {}
