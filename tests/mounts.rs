//! Small file systems of their own, in a mount namespace that vanishes with the process.
//!
//! That takes root or user namespaces; where neither is to be had the tests fail, unless `BAYLEAF_NO_MOUNTS=1` says
//! that this is known.
#![cfg(target_os = "linux")]

use std::{
    path::Path,
    process::{Command, Output},
};

/// Runs shell lines in a folder where mounts are private, with the given environment; there `list` prints a folder's
/// names in brackets. Nothing comes back where mounts are impossible and that is accepted.
pub fn in_own_mounts(folder: &Path, lines: &str, environment: &[(&str, &str)]) -> Option<Output> {
    let list = "list() { echo \"[$(ls -A \"$@\" | tr '\\n' ' ')]\"; }\n";
    let script = format!("set -eu\ncd \"$FOLDER\"\n{list}{lines}");
    for flags in [&["--mount"][..], &["--mount", "--user", "--map-root-user"]] {
        let probe = Command::new("unshare").args(flags).args(["sh", "-c", "mount -t tmpfs none /tmp"]).output();
        if probe.is_ok_and(|probe| probe.status.success()) {
            let mut command = Command::new("unshare");
            command.args(flags).args(["sh", "-c", &script]);
            command.env("FOLDER", folder).envs(environment.iter().copied());
            let output = command.output().unwrap();
            let told = String::from_utf8_lossy(&output.stdout);
            assert!(output.status.success(), "{told}{}", String::from_utf8_lossy(&output.stderr));
            return Some(output);
        }
    }
    let known = std::env::var_os("BAYLEAF_NO_MOUNTS").is_some_and(|value| value == "1");
    assert!(
        known,
        "NOT TESTED: nothing can be mounted here (neither as root nor in a user namespace); \
         set BAYLEAF_NO_MOUNTS=1 to accept that"
    );
    eprintln!("NOT TESTED: nothing can be mounted here, and BAYLEAF_NO_MOUNTS=1 accepts that");
    None
}
