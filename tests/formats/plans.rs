//! The plan of every fault of the demo as JSON keeps to its schema, and its proof is rechecked; bare instances are piped in.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

const SCHEMA: &str = include_str!("../../src/cli/plan.schema.json");

fn plan(arguments: &[&str]) -> Value {
    let content = concat!(env!("CARGO_MANIFEST_DIR"), "/content");
    let mut command = Command::new(env!("CARGO_BIN_EXE_bayleaf"));
    let output = command.args(["plan", "--guide", content, "--format", "json"]).args(arguments).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn plans_of_the_demo_keep_to_their_schema_and_are_rechecked() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let complaints = |value: &Value| validator.iter_errors(value).map(|error| error.to_string()).collect::<Vec<_>>();
    let (mut faults, mut written) = (0, 0);
    // The demo names the file of a fault after it.
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/faults");
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let fault = path.file_stem().unwrap().to_str().unwrap();
        let value = plan(&[fault, "--proof"]);
        assert_eq!(complaints(&value), Vec::<String>::new(), "{fault}");
        assert_eq!(value["proof"]["rechecked"], Value::Bool(true), "{fault}");
        assert_eq!(value["proof"]["lower_bound_seconds"], value["lower_bound_seconds"], "{fault}");
        faults += 1;
        written += usize::from(!value["proof"]["written"].is_null());
        let mut spoiled = value.clone();
        spoiled["proof"]["rechecked"] = Value::from(1);
        assert!(!validator.is_valid(&spoiled));
    }
    assert!(faults >= 14 && written * 2 > faults, "{written} of {faults}");
    let without = plan(&["canopy-slow"]);
    assert_eq!(complaints(&without), Vec::<String>::new());
    assert!(without.get("proof").is_none());
}

/// Runs the binary with something piped in: exit code, standard output, standard error.
fn piped(arguments: &[&str], input: &str) -> (Option<i32>, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bayleaf"));
    let command = command.args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // Who refuses the arguments does not read.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

#[test]
fn a_bare_instance_is_read_from_a_pipe() {
    let instance = r#"{"causes":[{"id":"a"},{"id":"b"}],
        "checks":[{"id":"t","minutes":1,"outcomes":{"x":["a"],"y":["b"]}}]}"#;
    let mut names = vec!["-"];
    names.extend(cfg!(target_os = "linux").then_some("/dev/stdin"));
    for name in names {
        let (code, out, error) = piped(&["plan", "--instance", name], &format!("\u{feff}{instance}"));
        assert_eq!((code, error.as_str()), (Some(0), ""));
        assert!(out.starts_with("{\"minutes\":1.0,\"exact\":true"), "{out}");
    }
    let (code, _, error) = piped(&["plan", "--instance", "nowhere.json"], "");
    assert_eq!(code, Some(2));
    assert!(error.contains("there is no file nowhere.json"), "{error}");
}

#[test]
fn more_threads_than_a_machine_can_have_are_refused() {
    for threads in ["0", "257", "100000"] {
        let (code, _, error) = piped(&["inspect", "--threads", threads], "");
        assert_eq!(code, Some(2));
        assert!(error.contains("1..=256"), "{error}");
    }
}
