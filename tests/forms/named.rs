//! Mistakes in what is named: words of a list, ids, references, sources, variants. Places are told as in `alone`.

use super::{check_all, mistake as m};

#[test]
fn words() {
    check_all(&[
        m("guide.toml", r#"units = "si""#, r#"units = "metric""#, "unknown-word", r#""metric"#),
        m("guide.toml", r#"kind = "falling-mass""#, r#"kind = "falling-load""#, "unknown-word", r#""falling"#),
        m("parts/parts.toml", r#"kind = "hose""#, r#"kind = "tube""#, "unknown-word", r#""tube"#),
        m("parts/parts.toml", r#"need = "required""#, r#"need = "yes""#, "unknown-word", r#""yes"#),
        m("hoses/lift.toml", r#"side = "cap""#, r#"side = "top""#, "unknown-word", r#""top"#),
        m("wiring/pump-supply.toml", r#"kind = "wire""#, r#"kind = "wires""#, "unknown-word", r#""wires"#),
        m("readings/readings.toml", r#"verdict = "fine""#, r#"verdict = "good""#, "unknown-word", r#""good"#),
        m("card.toml", r#"size = "a6""#, r#"size = "a5""#, "unknown-word", r#""a5"#),
        m("procedures/replace-hose.toml", r#"kind = "repair""#, r#"kind = "fix""#, "unknown-word", r#""fix"#),
        m("results/2026.csv", "low-oil,shown", "low-oil,seen", "bad-table-row", "seen"),
    ]);
}

#[test]
fn ids() {
    check_all(&[
        m("faults/table-slow.toml", r#"id = "table-slow""#, r#"id = "../table-slow""#, "bad-id", r#""../"#),
        m("faults/table-slow.toml", r#"id = "low-oil""#, r#"id = "Low_oil""#, "bad-id", r#""Low"#),
        m("faults/table-slow.toml", r#"repair = "top-up""#, r#"repair = "Top up""#, "bad-id", r#""Top"#),
        m("parts/parts.toml", r#"id = "down-switch""#, r#"id = "Down-Switch""#, "bad-id", r#""Down"#),
        m("hoses/lift.toml", r#"id = "lift-up""#, r#"id = "lift/up""#, "bad-id", r#""lift/"#),
        m("wiring/pump-supply.toml", r#"id = "pump-supply""#, r#"id = "con""#, "bad-id", r#""con"#),
        m("readings/readings.toml", r#"id = "oil-level""#, r#"id = "oil level""#, "bad-id", r#""oil"#),
        m(
            "bulletins/bulletins.toml",
            r#"touches = ["note:how-it-lifts"]"#,
            r#"touches = ["how-it-lifts"]"#,
            "bad-id",
            r#""how"#,
        ),
        m("terms.toml", r#"id = "oil""#, r#"id = "öl""#, "bad-id", r#""öl"#),
        m("guide.toml", r#"id = "table-a""#, r#"id = "Table-A""#, "bad-id", r#""Table-A"#),
    ]);
}

#[test]
fn references() {
    check_all(&[
        m(
            "guide.toml",
            r#"test_on_return = "test-table""#,
            r#"test_on_return = "test-tabel""#,
            "unknown-id",
            r#""test"#,
        ),
        m(
            "guide.toml",
            r#"cautions = ["falling-table"]"#,
            r#"cautions = ["falling-tables"]"#,
            "unknown-id",
            r#""falling"#,
        ),
        m("faults/table-slow.toml", r#"repair = "top-up""#, r#"repair = "topup""#, "unknown-id", r#""topup"#),
        m("faults/table-slow.toml", r#"access = ["cover"]"#, r#"access = ["lid"]"#, "unknown-id", r#""lid"#),
        m(
            "faults/table-slow.toml",
            r#"leaves = ["bad-hose", "bad-sensor"]"#,
            r#"leaves = ["bad-hose", "bad-senso"]"#,
            "unknown-id",
            r#""bad-senso"#,
        ),
        m("faults/table-slow.toml", r#"band = "level-right""#, r#"band = "level-ok""#, "unknown-id", r#""level-ok"#),
        m(
            "faults/table-slow.toml",
            r#"reading = "oil-level""#,
            r#"reading = "oil-levels""#,
            "unknown-id",
            r#""oil-levels"#,
        ),
        m("faults/table-slow.toml", r#"likelihood = "often""#, r#"likelihood = "oftn""#, "unknown-id", r#""oftn"#),
        m("parts/parts.toml", r#"by = ["depot"]"#, r#"by = ["depo"]"#, "unknown-id", r#""depo"#),
        m("parts/parts.toml", r#"part = "table-oil""#, r#"part = "table-oli""#, "unknown-id", r#""table-oli"#),
        m("hoses/lift.toml", r#"from = "pump-a""#, r#"from = "pump-c""#, "unknown-id", r#""pump-c"#),
        m("hoses/lift.toml", r#"pair = "lift-down""#, r#"pair = "lift-sideways""#, "unknown-id", r#""lift-s"#),
        m("wiring/pump-supply.toml", r#"after = "fuse""#, r#"after = "fus""#, "unknown-id", r#""fus"#),
        m("sequences/raise.toml", "start = { table-position", "start = { tabel-position", "unknown-id", "tabel"),
        m(
            "sequences/raise.toml",
            r#"faults = ["table-slow"]"#,
            r#"faults = ["table-slwo"]"#,
            "unknown-id",
            r#""table-slwo"#,
        ),
        m("readings/readings.toml", r#"procedure = "top-up""#, r#"procedure = "topup""#, "unknown-id", r#""topup"#),
        m("readings/readings.toml", r#"source = "manual, 2""#, r#"source = "manul, 2""#, "unknown-id", r#""manul"#),
        m(
            "bulletins/bulletins.toml",
            r#"touches = ["note:how-it-lifts"]"#,
            r#"touches = ["note:how-it-lift"]"#,
            "unknown-id",
            r#""note"#,
        ),
        m(
            "notes/how-it-lifts.md",
            r#"applied_bulletins = ["b-1"]"#,
            r#"applied_bulletins = ["b-2"]"#,
            "unknown-id",
            r#""b-2"#,
        ),
        m("notes/how-it-lifts.md", "[](part:cylinder)", "[](part:cylnder)", "dead-link", "[](part:cylnder"),
        m("notes/how-it-lifts.md", "[](part:cylinder)", "[x](parts:cylinder)", "dead-link", "[x]"),
        m("notes/how-it-lifts.md", "[](part:cylinder)", "![x](../x.svg)", "dead-link", "![x]"),
        m("card.toml", r#"readings = ["oil-level"]"#, r#"readings = ["oil-levle"]"#, "unknown-id", r#""oil-levle"#),
        m("procedures/replace-hose.toml", r#"opens = ["hose-kit"]"#, r#"opens = ["hose"]"#, "unknown-id", r#""hose""#),
        m("results/2026.csv", "table-slow,low-oil", "table-slw,low-oil", "unknown-id", "table-slw"),
        m("results/2026.csv", "table-slow,low-oil", "table-slow,low-oli", "unknown-id", "low-oli"),
        m("faults/table-slow.toml", r#"id = "kink""#, r#"id = "level""#, "duplicate-id", r#""level"#),
        m("wiring/pump-supply.toml", r#"id = "frame""#, r#"id = "motor""#, "duplicate-id", r#""motor"#),
        m(
            "terms.toml",
            "avoid = [\"juice\"]\n",
            "avoid = [\"juice\"]\n[[term]]\nid = \"oil\"\nword = \"Oil\"\nmeaning = \"Again.\"\n",
            "duplicate-id",
            r#""oil"#,
        ),
    ]);
}

#[test]
fn sources() {
    check_all(&[
        m("parts/parts.toml", r#", source = "manual, 1" }"#, " }", "value-without-source", r#"@"200 kg""#),
        m(
            "wiring/pump-supply.toml",
            ", source = \"manual, 4\" }\nload_current",
            "}\nload_current",
            "value-without-source",
            r#"@"12 V""#,
        ),
        m("hoses/lift.toml", "source = \"manual, 3\"\n\n[[hose]]", "\n[[hose]]", "value-without-source", r#"@"1""#),
        m("readings/readings.toml", "source = \"manual, 2\"\n", "", "value-without-source", r#"@"5 mm""#),
        m("procedures/replace-hose.toml", "source = \"manual, 5\"\n", "", "value-without-source", r#"@"none""#),
    ]);
}

#[test]
fn variants() {
    check_all(&[
        m(
            "faults/table-slow.toml",
            r#"symptom = "The table rises slowly""#,
            "symptom = \"The table rises slowly\"\napplies_to = []",
            "applies-to-nothing",
            r#"@"table-slow""#,
        ),
        m(
            "faults/table-slow.toml",
            r#"symptom = "The table rises slowly""#,
            "symptom = \"The table rises slowly\"\napplies_to = [\"table-c\"]",
            "unknown-id",
            r#""table-c"#,
        ),
        m(
            "faults/table-slow.toml",
            r#"symptom = "The table rises slowly""#,
            "symptom = \"The table rises slowly\"\napplies_to = \"table-a\"",
            "wrong-type",
            r#""table-a"#,
        ),
        m(
            "wiring/pump-supply.toml",
            r#"rating = { value = "15 A", source = "manual, 4" }"#,
            r#"rating = [{ value = "15 A", source = "manual, 4", variants = ["table-a"] }]"#,
            "variant-not-covered",
            "[{",
        ),
        m(
            "wiring/pump-supply.toml",
            r#"rating = { value = "15 A", source = "manual, 4" }"#,
            r#"rating = [{ value = "15 A", source = "manual, 4", variants = ["table-a"] }, { value = "16 A", source = "manual, 4", variants = ["table-a", "table-b"] }]"#,
            "variant-covered-twice",
            r#""table-a", ""#,
        ),
        m(
            "wiring/pump-supply.toml",
            r#"rating = { value = "15 A", source = "manual, 4" }"#,
            r#"rating = [{ value = "15 A", source = "manual, 4", variants = ["table-a"] }, { value = "16 A", source = "manual, 4", variants = ["tabel-b"] }]"#,
            "unknown-id",
            r#""tabel-b"#,
        ),
        m("notes/how-it-lifts.md", "applied_bulletins = [\"b-1\"]\n", "", "bulletin-not-applied", "^"),
        m(
            "readings/readings.toml",
            r#"state = "table-down""#,
            "picture = { file = \"table.svg\" }\nstate = \"table-down\"",
            "picture-without-description",
            r#""table.svg"#,
        ),
        m(
            "readings/readings.toml",
            r#"state = "table-down""#,
            "picture = { file = \"tabel.svg\", says = \"The table\" }\nstate = \"table-down\"",
            "missing-picture",
            r#""tabel.svg"#,
        ),
        m(
            "readings/readings.toml",
            r#"state = "table-down""#,
            "picture = { fil = \"table.svg\", says = \"The table\" }\nstate = \"table-down\"",
            "unknown-key",
            "fil",
        ),
    ]);
}
