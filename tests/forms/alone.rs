//! Mistakes in how a file is written, by kind. `at` is a piece of `put`; `@` before it means: of the whole changed file, and the last one
//! before the change; `^` the start of the file.

use super::{check_all, mistake as m};

#[test]
fn syntax() {
    check_all(&[
        m("guide.toml", r#"title = "Lifting table""#, r#"title = "Lifting table"#, "toml-syntax", r#""Lift"#),
        m("guide.toml", "[escalation]", "[escalation", "toml-syntax", "[esc"),
        m("guide.toml", r#"units = "si""#, "units = si", "toml-syntax", "si"),
        m(
            "guide.toml",
            "[[hazard]]\nid = \"oil-pressure\"",
            "[[hazard]\nid = \"oil-pressure\"",
            "toml-syntax",
            "[[haz",
        ),
        m(
            "faults/table-slow.toml",
            r#"leaves = ["bad-hose", "bad-sensor"]"#,
            r#"leaves = ["bad-hose", "bad-sensor""#,
            "toml-syntax",
            r#"["bad-hose"#,
        ),
        m(
            "faults/table-slow.toml",
            r#"leaves = ["bad-hose", "bad-sensor"]"#,
            r#"leaves = ["bad-hose" "bad-sensor"]"#,
            "toml-syntax",
            r#""bad-s"#,
        ),
        m("faults/table-slow.toml", "[fault]\n", "[fault\n", "toml-syntax", "[fault"),
        m("faults/table-slow.toml", r#"id = "low-oil""#, r#"id = "low-oil"#, "toml-syntax", r#""low-oil"#),
        m("faults/table-slow.toml", "[verify]", "[fault]", "toml-syntax", "fault"),
        m("faults/table-slow.toml", "share = 50", "share = 50\nshare = 40", "toml-syntax", "share = 40"),
        m("faults/table-slow.toml", "minutes = 1\n", "minutes = \n", "toml-syntax", "minutes"),
        m("parts/parts.toml", r#"name = "Hose""#, r#"name: "Hose""#, "toml-syntax", "name"),
        m(
            "parts/parts.toml",
            "[[part]]\nid = \"cylinder\"",
            "[[part]]\nThe lift cylinder\nid = \"cylinder\"",
            "toml-syntax",
            "The",
        ),
        m("hoses/lift.toml", r#"pair = "lift-down""#, "pair = lift-down", "toml-syntax", "lift-down"),
        m(
            "wiring/pump-supply.toml",
            r#"rating = { value = "15 A", source = "manual, 4" }"#,
            r#"rating = { value = "15 A" source = "manual, 4" }"#,
            "toml-syntax",
            "source",
        ),
        m(
            "sequences/raise.toml",
            r#"says = "The table rises""#,
            r#"says = """The table rises"#,
            "toml-syntax",
            r#"""""#,
        ),
        m("sequences/signals.toml", r#"["down", "up"]"#, r#"["down",, "up"]"#, "toml-syntax", r#", "up""#),
        m("bulletins/bulletins.toml", "date = 2025-11-01", "date = 2025-11-31", "toml-syntax", "2025-11-31"),
        m("notes/how-it-lifts.md", r#"title = "How it lifts""#, "title = How it lifts", "toml-syntax", "How"),
        m("terms.toml", r#"word = "oil""#, r#"word = "oil" "fluid""#, "toml-syntax", r#""fluid"#),
        m("card.toml", r#"size = "a6""#, "size = A6", "toml-syntax", "A6"),
        m(
            "procedures/replace-hose.toml",
            r#"do = "Change the hose.""#,
            r#"do = "Change the 1/4" hose.""#,
            "toml-syntax",
            r#"~""#,
        ),
    ]);
}

#[test]
fn dialect() {
    check_all(&[
        m(
            "parts/parts.toml",
            "hazards = [{ when = \"opened\", hazard = \"oil-pressure\" }]\nfluid",
            "hazards = [{ when = \"opened\", hazard = \"oil-pressure\", }]\nfluid",
            "toml-syntax",
            ", }",
        ),
        m(
            "guide.toml",
            r#"serials = [{ first = "TA-001", last = "TA-200" }]"#,
            "serials = [{\n first = \"TA-001\",\n last = \"TA-200\" }]",
            "toml-syntax",
            "\n first",
        ),
        m("readings/readings.toml", r#"says = "Right""#, r#"says = "\x52ight""#, "toml-syntax", r"\x"),
    ]);
}

#[test]
fn keys() {
    check_all(&[
        m("guide.toml", "publisher =", "publsher =", "unknown-key", "publ"),
        m("guide.toml", "[escalation]", "[escalate]", "unknown-key", "escalate"),
        m("guide.toml", "[guide]\ntitle", "[guide]\nheading", "unknown-key", "heading"),
        m("faults/table-slow.toml", "symptom =", "sympton =", "unknown-key", "sympton"),
        m("faults/table-slow.toml", "[fault]", "[falt]", "unknown-key", "falt"),
        m(
            "faults/table-slow.toml",
            "[[cause]]\nid = \"low-oil\"",
            "[[cuase]]\nid = \"low-oil\"",
            "unknown-key",
            "cuase",
        ),
        m("faults/table-slow.toml", r#"leaves = ["bad-sensor"]"#, r#"leavs = ["bad-sensor"]"#, "unknown-key", "leavs"),
        m("faults/table-slow.toml", r#"repair = "top-up""#, r#"repairs = "top-up""#, "unknown-key", "repairs"),
        m("faults/table-slow.toml", r#"id = "level""#, r#"name = "level""#, "unknown-key", "name"),
        m("parts/parts.toml", r#"location = "On top""#, r#"place = "On top""#, "unknown-key", "place"),
        m("parts/parts.toml", r#"hazard = "falling-table" }"#, r#"hazrd = "falling-table" }"#, "unknown-key", "hazrd"),
        m(
            "hoses/lift.toml",
            "fitting = \"M10x1\"\nside = \"pressure\"",
            "thread = \"M10x1\"\nside = \"pressure\"",
            "unknown-key",
            "thread",
        ),
        m("hoses/lift.toml", r#"source = "manual, 3""#, r#"sorce = "manual, 3""#, "unknown-key", "sorce"),
        m("wiring/pump-supply.toml", r#"kind = "supply""#, r#"type = "supply""#, "unknown-key", "type"),
        m("wiring/pump-supply.toml", "drop_budget = {", "drop_buget = {", "unknown-key", "drop_buget"),
        m("sequences/raise.toml", "start = {", "starts = {", "unknown-key", "starts"),
        m("sequences/signals.toml", "values = [", "vales = [", "unknown-key", "vales"),
        m("readings/readings.toml", r#"verdict = "fine""#, r#"verdct = "fine""#, "unknown-key", "verdct"),
        m("readings/readings.toml", "[[reading]]", "[[readings]]", "unknown-key", "readings"),
        m("bulletins/bulletins.toml", "touches =", "touch =", "unknown-key", "touch"),
        m("notes/how-it-lifts.md", "applied_bulletins", "applied_bulletin", "unknown-key", "applied_b"),
        m("notes/how-it-lifts.md", "title =", "tittle =", "unknown-key", "tittle"),
        m("terms.toml", "avoid =", "avoids =", "unknown-key", "avoids"),
        m("card.toml", "[card]", "[cards]", "unknown-key", "cards"),
        m("card.toml", "topic =", "topics =", "unknown-key", "topics"),
        m("procedures/replace-hose.toml", "[[check_again]]", "[[check-again]]", "unknown-key", "check-again"),
        m("procedures/replace-hose.toml", "opens =", "open =", "unknown-key", "open"),
        m("procedures/replace-hose.toml", r#"need = "none""#, r#"needs = "none""#, "unknown-key", "needs"),
        m("results/2026.csv", "date,machine", "date,machne", "unknown-key", "machne"),
    ]);
}

#[test]
fn types() {
    check_all(&[
        m("guide.toml", r#"edition = "1""#, "edition = 1", "wrong-type", "1"),
        m("guide.toml", "date = 2026-01-15", r#"date = "2026-01-15""#, "wrong-type", r#""2026"#),
        m("guide.toml", "date = 2026-01-15", "date = 2026-01-15T10:00:00Z", "wrong-type", "2026"),
        m("guide.toml", "lead_days = 3", "lead_days = -3", "wrong-type", "-3"),
        m("guide.toml", "lead_days = 3", "lead_days = 99999999999999999999", "wrong-type", "999"),
        m("faults/table-slow.toml", "share = 50", r#"share = "50""#, "wrong-type", r#""50""#),
        m("faults/table-slow.toml", "share = 50", "share = 0.5", "wrong-type", "0.5"),
        m("faults/table-slow.toml", "minutes = 2\n", "minutes = \"2\"\n", "wrong-type", r#""2""#),
        m("faults/table-slow.toml", "minutes = 2\n", "minutes = nan\n", "wrong-type", "nan"),
        m("faults/table-slow.toml", r#"codes = ["T-01"]"#, r#"codes = "T-01""#, "wrong-type", r#""T"#),
        m("faults/table-slow.toml", r#"codes = ["T-01"]"#, r#"codes = ["T-01", 2]"#, "wrong-type", "2"),
        m("parts/parts.toml", r#"name = "Hose""#, r#"name = ["Hose"]"#, "wrong-type", r#"["Hose"#),
        m(
            "parts/parts.toml",
            "hazards = [{ when = \"opened\", hazard = \"oil-pressure\" }]\nfluid",
            "hazards = [\"oil-pressure\"]\nfluid",
            "wrong-type",
            r#""oil"#,
        ),
        m("hoses/lift.toml", r#"colour = "blue""#, "colour = true", "wrong-type", "true"),
        m("wiring/pump-supply.toml", "size = {", "size = 2 # {", "bad-quantity", "2"),
        m("sequences/raise.toml", r#"drives = ["pump"]"#, r#"drives = "pump""#, "wrong-type", r#""pump"#),
        m(
            "sequences/raise.toml",
            r#"start = { table-position = "down" }"#,
            r#"start = "down""#,
            "wrong-type",
            r#""down"#,
        ),
        m("sequences/signals.toml", r#"values = ["down", "up"]"#, r#"values = ["down", true]"#, "wrong-type", "true"),
        m("readings/readings.toml", r#"name = "Oil level below the mark""#, "name = 5", "wrong-type", "5"),
        m(
            "bulletins/bulletins.toml",
            r#"touches = ["note:how-it-lifts"]"#,
            r#"touches = "note:how-it-lifts""#,
            "wrong-type",
            r#""note"#,
        ),
        m(
            "notes/how-it-lifts.md",
            r#"applied_bulletins = ["b-1"]"#,
            r#"applied_bulletins = "b-1""#,
            "wrong-type",
            r#""b-1"#,
        ),
        m("terms.toml", r#"avoid = ["juice"]"#, r#"avoid = "juice""#, "wrong-type", r#""juice"#),
        m("card.toml", "side = 1", "side = 3", "wrong-type", "3"),
        m("procedures/replace-hose.toml", "minutes = 20", "minutes = 20000", "wrong-type", "20000"),
        m(
            "procedures/replace-hose.toml",
            r#"title = "Replace the hose""#,
            r#"title = "Replace\u0007 the hose""#,
            "wrong-type",
            r#""Rep"#,
        ),
    ]);
}

#[test]
fn units() {
    check_all(&[
        m("parts/parts.toml", r#"value = "200 kg""#, r#"value = "200""#, "bad-quantity", r#""200""#),
        m("parts/parts.toml", r#"value = "200 kg""#, r#"value = "200 m""#, "bad-quantity", r#""200 m"#),
        m("parts/parts.toml", r#"capacity = "2 L""#, "capacity = 2", "bad-quantity", "2"),
        m("wiring/pump-supply.toml", r#"value = "12 V""#, r#"value = "12 Vlt""#, "bad-quantity", r#""12"#),
        m(
            "wiring/pump-supply.toml",
            r#"rating = { value = "15 A", source = "manual, 4" }"#,
            r#"rating = [{ value = "15 A", source = "manual, 4", variants = ["table-a"] }, { value = "15 V", source = "manual, 4", variants = ["table-b"] }]"#,
            "bad-quantity",
            r#""15 V"#,
        ),
        m("sequences/raise.toml", r#"value = "20 s""#, r#"value = "20,5 s""#, "bad-quantity", r#""20"#),
        m("readings/readings.toml", r#"unit = "1 mm""#, r#"unit = "mm""#, "bad-quantity", r#""mm"#),
        m("readings/readings.toml", r#"to = "5 mm""#, r#"to = "five mm""#, "bad-quantity", r#""five"#),
        m("procedures/top-up.toml", r#"value = "200 mL""#, r#"value = "-""#, "bad-quantity", r#""-"#),
    ]);
}

#[test]
fn fields() {
    check_all(&[
        m("guide.toml", "publisher = \"Example shop (invented)\"\n", "", "missing-field", "@[guide]"),
        m("guide.toml", "name = \"Lead technician\"\n", "", "missing-field", "@[escalation]"),
        m("guide.toml", "signal = \"danger\"\n", "", "missing-field", "@[[hazard]]"),
        m("faults/table-slow.toml", "symptom = \"The table rises slowly\"\n", "", "missing-field", "@[fault]"),
        m("faults/table-slow.toml", "says = \"The oil is low\"\n", "", "missing-field", "@[[cause]]"),
        m("faults/table-slow.toml", "id = \"kink\"\n", "", "missing-field", "@[[check]]"),
        m("faults/table-slow.toml", "says = \"At the mark\"\n", "", "missing-field", "@[[check.answer]]"),
        m("faults/table-slow.toml", "reading = \"oil-level\"\n", "", "missing-field", r#"@"level-right""#),
        m("parts/parts.toml", "location = \"Stores\"\n", "", "missing-field", "@[[part]]"),
        m("parts/parts.toml", r#"mass = { value = "200 kg", source"#, "mass = { source", "missing-field", "{ source"),
        m("hoses/lift.toml", "fitting = \"M10x1\"\nside = \"cap\"", r#"side = "cap""#, "missing-field", "@[[port]]"),
        m("wiring/pump-supply.toml", "says = \"On the fuse, pump side\"\n", "", "missing-field", "@[[test_point]]"),
        m("sequences/raise.toml", "id = \"lift\"\n", "", "missing-field", "@[[step]]"),
        m("readings/readings.toml", "verdict = \"act\"\n", "", "missing-field", "@[[reading.band]]"),
        m("bulletins/bulletins.toml", "number = \"B-1\"\n", "", "missing-field", "@[[bulletin]]"),
        m(
            "notes/how-it-lifts.md",
            "+++\ntitle = \"How it lifts\"\napplied_bulletins = [\"b-1\"]\n+++\n",
            "",
            "missing-field",
            "^",
        ),
        m("terms.toml", "word = \"oil\"\n", "", "missing-field", "@[[term]]"),
        m("card.toml", "size = \"a6\"\n", "", "missing-field", "@[card]"),
        m("procedures/replace-hose.toml", "kind = \"repair\"\n", "", "missing-field", "@[procedure]"),
        m("procedures/replace-hose.toml", "need = \"none\"\n", "", "missing-field", "@[recalibration]"),
        m("results/2026.csv", "2026-01-10,Table 4", "2026-01-10,", "bad-table-row", "!"),
    ]);
}

#[test]
fn texts() {
    check_all(&[
        m("guide.toml", r#"title = "Lifting table""#, r#"title = """#, "empty-text", r#""""#),
        m("guide.toml", r#"serials = [{ first = "TB-001" }]"#, "serials = []", "empty-text", "[]"),
        m("faults/table-slow.toml", r#"ask = "Is the hose kinked?""#, r#"ask = " ""#, "empty-text", r#"" ""#),
        m("parts/parts.toml", r#"name = "Hose""#, r#"name = """#, "empty-text", r#""""#),
        m("sequences/signals.toml", r#"values = ["down", "up"]"#, "values = []", "empty-text", "[]"),
        m("notes/how-it-lifts.md", r#"title = "How it lifts""#, r#"title = """#, "empty-text", r#""""#),
        m("procedures/replace-hose.toml", r#"do = "Change the hose.""#, r#"do = """#, "empty-text", r#""""#),
        m(
            "faults/table-slow.toml",
            r#"says = "Raise the table once and time it.""#,
            r#"says = "Raise the table<br>once.""#,
            "raw-html",
            "<br>",
        ),
        m("notes/how-it-lifts.md", "The pump pushes", "<p>The pump pushes", "raw-html", "<p>"),
    ]);
}

#[test]
fn headers() {
    check_all(&[
        m("faults/table-slow.toml", "[[cause]]", "[[[cause]]]", "toml-syntax", "[[[cause"),
        m("faults/table-slow.toml", "[fault]\nid", "id", "missing-field", "id"),
        m("procedures/top-up.toml", "[procedure]\nid", "id", "missing-field", "id"),
        m("guide.toml", "[guide]\ntitle", "title", "missing-field", "title"),
        m("parts/parts.toml", "[[part]]\nid = \"table-top\"", "id = \"table-top\"", "unknown-key", "id"),
        m("parts/parts.toml", "load = {", "load = 3 # {", "wrong-type", "3"),
        m(
            "parts/parts.toml",
            "hazards = [{ when = \"opened\", hazard = \"oil-pressure\" }]",
            "hazards = [\"oil-pressure\"]",
            "wrong-type",
            "\"oil",
        ),
        m("readings/readings.toml", "unit = \"1 mm\"", "unit = \"mm\"", "bad-quantity", "\"mm"),
    ]);
}
