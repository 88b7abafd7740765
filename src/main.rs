//! The command `bayleaf`.

use std::process::ExitCode;

fn main() -> ExitCode {
    bayleaf::cli::run()
}
