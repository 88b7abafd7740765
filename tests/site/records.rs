//! Job records that the guide's pages save: the table of the scripts' own test is read without a complaint, and counts.

use std::{fs, path::Path, process::Command};

use tempfile::TempDir;

use super::{copy_guide, guide};
use crate::publish::text;

/// What `tests/walk-kit/record.test.js` holds the scripts to, byte for byte.
const TABLE: &str = "tests/walk-kit/records.csv";

/// What is said about the demo with one more table of records, and whether it is still fit to publish.
pub fn inspected(table: &str) -> (bool, String) {
    let dir = TempDir::new().unwrap();
    let copy = dir.path().join("guide");
    copy_guide(&guide(), &copy, false, |_, text| text);
    fs::write(copy.join("results/walked.csv"), table).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_bayleaf")).arg("inspect").arg(&copy).output().unwrap();
    (output.status.success(), text(&output.stdout))
}

#[test]
fn a_saved_table_of_records_is_accepted_by_results() {
    let table = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(TABLE)).unwrap();
    assert!(table.starts_with("date,machine,") && table.lines().count() == 3, "{table}");
    let (fit, said) = inspected(&table);
    assert!(fit && !said.contains("walked.csv"), "{said}");
    // The same table with one word that its column does not know is seen.
    let (_, said) = inspected(&table.replace(",shown,", ",seen,"));
    assert!(said.contains("walked.csv"), "{said}");
}
