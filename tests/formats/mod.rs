//! The formats of findings, over every bad example there is: JSON against its own schema, SARIF by a library.

mod plans;

use bayleaf::inspect::all;
use bayleaf::pipeline::Inspected;
use bayleaf::report;
use serde_json::Value;

use crate::rules::bad_guides;

fn logs(write: impl Fn(&Inspected) -> String) -> Vec<(Inspected, Value)> {
    let read = |inspected: Inspected| {
        let text = write(&inspected);
        let value = serde_json::from_str(&text).unwrap();
        (inspected, value)
    };
    bad_guides().into_iter().map(read).collect()
}

#[test]
fn json_of_every_bad_example_keeps_to_its_schema() {
    let schema: Value = serde_json::from_str(report::SCHEMA).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let logs = logs(|it| report::json(&it.report, &it.draft.sources).unwrap());
    assert!(!logs.is_empty());
    for (inspected, value) in &logs {
        let complaints: Vec<String> = validator.iter_errors(value).map(|error| error.to_string()).collect();
        assert_eq!(complaints, Vec::<String>::new());
        assert_eq!(value["findings"].as_array().map(Vec::len), Some(inspected.report.findings.len()));
    }
}

#[test]
fn the_schema_refuses_what_the_format_does_not_promise() {
    let schema: Value = serde_json::from_str(report::SCHEMA).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let (_, good) = logs(|it| report::json(&it.report, &it.draft.sources).unwrap()).remove(0);
    for (pointer, bad) in [
        ("/version", Value::from(2)),
        ("/findings/0/level", Value::from("grave")),
        ("/findings/0/place/from/line", Value::from(0)),
        ("/findings/0/remedy", Value::from("")),
        ("/counts/errors", Value::from(-1)),
    ] {
        let mut spoiled = good.clone();
        *spoiled.pointer_mut(pointer).unwrap() = bad;
        assert!(!validator.is_valid(&spoiled), "{pointer} may be anything");
    }
}

#[test]
fn sarif_of_every_bad_example_is_read_by_a_library() {
    let rules = || all().iter().map(|rule| &rule.info);
    for (inspected, value) in logs(|it| report::sarif(&it.report, rules(), &it.draft.sources).unwrap()) {
        let log: serde_sarif::sarif::Sarif = serde_json::from_value(value).unwrap();
        let run = &log.runs[0];
        assert_eq!(run.tool.driver.rules.as_ref().map(Vec::len), Some(all().len()));
        let results = run.results.as_ref().unwrap();
        assert_eq!(results.len(), inspected.report.findings.len());
        for (result, judged) in results.iter().zip(&inspected.report.findings) {
            assert_eq!(result.rule_id.as_deref(), Some(judged.rule.name));
        }
    }
}
