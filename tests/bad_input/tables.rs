//! Tables of job records that are not quite CSV.

use super::Folder;

const HEAD: &str = "date,machine,fault,cause,outcome,answers\n";
const ROW: &str = "2026-01-10,Table 4,table-slow,low-oil,shown,\"level: Below the mark\"\n";

fn finds(table: &str, expected: &[&str]) {
    let expected: Vec<String> = expected.iter().map(|at| format!("results/2026.csv, {at}")).collect();
    let expected: Vec<&str> = expected.iter().map(String::as_str).collect();
    Folder::base().with("results/2026.csv", table).inspect().finds(&expected);
}

#[test]
fn tables_as_programs_save_them_are_read() {
    finds(&format!("{HEAD}{ROW}"), &[]);
    finds(&format!("\u{feff}{HEAD}{ROW}").replace('\n', "\r\n"), &[]);
    finds(&format!("{HEAD}{}", ROW.replace("Below", "Below\nit\n\nor")), &[]);
    finds(HEAD, &[]);
    finds(&format!("{HEAD}\n\n{ROW}\n"), &[]);
}

#[test]
fn other_tables_are_told_once() {
    finds(&format!("{HEAD}{ROW}").replace(',', ";"), &["line 1, column 1 · bad-table-row"]);
    Folder::base().with("results/2026.csv", "").inspect().finds(&["results/2026.csv · bad-table-row"]);
    finds("words\nand more words\n", &["line 1, column 1 · bad-table-row"]);
}

#[test]
fn each_bad_cell_is_told_at_its_place() {
    let broken = ROW.replace("shown", "seen").replace("low-oil", "low-oill").replace("\"level: ", "\"level\n: ");
    finds(&format!("{HEAD}{broken}{ROW}"), &["line 2, column 31 · unknown-id", "line 2, column 40 · bad-table-row"]);
    let quotes = ROW.replace("Table 4", "\"Table\n4\"").replace("2026-01-10", "2026-02-30");
    finds(&format!("{HEAD}{quotes}{ROW}"), &["line 2, column 1 · bad-table-row"]);
    let cells = ROW.replace("Table 4", "Table 4,lower hall");
    finds(&format!("{HEAD}{ROW}{cells}"), &["line 3, column 1 · bad-table-row"]);
    finds(&format!("{HEAD}{}", ROW.replace("Table 4", " ")), &["line 2, column 12 · bad-table-row"]);
    finds(&format!("{}{ROW}", HEAD.replace("answers", "date")), &["line 1, column 34 · bad-table-row"]);
}
