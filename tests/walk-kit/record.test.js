// Job records, quote sheets and procedures in the published pages, without a browser.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), path = require("node:path");
const { open } = require("./page.js");

/** What the compiler reads in its own test: the table must come out like this, byte for byte. */
const TABLE = fs.readFileSync(path.join(__dirname, "records.csv"), "utf8");
const RECORD = {
  id: "a", title: "“The canopy stops half-way up”", date: "2026-10-02", machine: "Dunnock B", variant: "dunnock-b", serial: "DB-0031", edition: "3", guide: "0123456789ab",
  fault: "canopy-stops-half-way", cause: "low-fluid", causeSays: "The canopy reservoir is low", outcome: "shown", cured: true, minutes: 21, name: "Q. \"Tilly\" Marsh, bay 4",
  answers: [["lamp", "P-12: the stroke took too long"], ["level", "Below the limit"]], told: [["What does the lamp show?", "P-12"]], readings: [["Where does the canopy fluid stand?", "51 mm"]], moves: [],
};
const OTHER = { ...RECORD, id: "b", date: "2026-10-03", serial: "", variant: "", machine: "Dunnock stage trailer: service guide", cause: "", causeSays: "", outcome: "unconfirmed", cured: null, name: "", answers: [], readings: [] };

test("the table is the one that the compiler takes", () => {
  const here = open("records.html", { kept: { "bayleaf records": JSON.stringify([RECORD, OTHER]) } });
  assert.strictEqual(here.one("[data-csv]").value, TABLE.replaceAll("\r\n", "\n"));
  assert.strictEqual(here.window.Bayleaf.record.csv([RECORD, OTHER]), TABLE);
  here.press("[data-save]");
  assert.strictEqual(here.saved.length, 1);
});

test("several records on one device: newest first, printed alone, deleted only when asked twice", () => {
  const kept = { "bayleaf records": JSON.stringify([RECORD, OTHER]) };
  const no = open("records.html", { kept, sure: false });
  no.press(no.all(".kept .plain-button")[0]);
  assert.strictEqual(no.all(".kept").length, 2);
  const here = open("records.html", { kept });
  assert.match(here.all(".kept summary")[0].textContent, /2026-10-03/);
  here.press(here.all(".kept button")[2]);
  assert.strictEqual(here.printed.length, 1);
  assert.match(here.printed[0], /Q\. "Tilly" Marsh/);
  assert.match(here.printed[0], /INVENTED/);
  assert.ok(here.one(".only-sheet #one-sheet"), "a browser that goes on before it has printed finds the sheet still");
  here.window.dispatchEvent(new here.window.Event("afterprint"));
  assert.strictEqual(here.one(".only-sheet, #one-sheet"), null);
  here.press(here.all(".kept .plain-button")[0]);
  assert.strictEqual(here.asked.length, 1);
  assert.strictEqual(here.all(".kept").length, 1);
  assert.strictEqual(JSON.parse(here.kept()["bayleaf records"]).length, 1);
});

test("a walk's record: serial number finds the variant, what was typed is kept", () => {
  const here = open("faults/canopy-stops-half-way.html");
  here.press("#walk-yes");
  here.press("#walk-stuck");
  here.write("#record-serial", "db-0031");
  assert.strictEqual(here.one("#record-variant").value, "dunnock-b");
  here.write("#record-serial", "XX-1");
  assert.match(here.text(".record-form"), /No variant of this guide/);
  here.write("#record-serial", "DC-0009");
  here.write("#record-minutes", "35");
  here.press("#record-keep");
  const [kept] = JSON.parse(here.kept()["bayleaf records"]);
  assert.deepStrictEqual([kept.machine, kept.variant, kept.serial, kept.outcome, kept.minutes, kept.edition], ["Dunnock C", "dunnock-c", "DC-0009", "unconfirmed", 35, "3"]);
  assert.match(kept.guide, /^[0-9a-f]{12}$/);
  assert.strictEqual(here.all(".kept").length, 1);
});

test("minutes that are no number are those that the walk counted", () => {
  const here = open("faults/canopy-stops-half-way.html");
  here.press("#walk-yes");
  here.press("#walk-stuck");
  const counted = Number(here.one("#record-minutes").value);
  here.write("#record-minutes", "abc");
  here.press("#record-keep");
  assert.ok(counted > 0);
  assert.strictEqual(JSON.parse(here.kept()["bayleaf records"])[0].minutes, counted);
});

test("markup in what was typed stays text", () => {
  const here = open("records.html", { kept: { "bayleaf records": JSON.stringify([{ ...RECORD, name: "<img src=x>", title: "<b>x</b>" }]) } });
  assert.strictEqual(here.one(".kept img, .kept summary b"), null);
});

test("a calculator: the other unit is as precise as what was typed; the state of the limits goes while a rod is out", () => {
  const pressure = open("readings/canopy-relief-pressure.html");
  pressure.write(".calc input", "97 bar");
  assert.match(pressure.text(".calc-result"), /^Choose the variant first/);
  for (const [variant, verdict] of [["dunnock-b", /Fine/], ["dunnock-c", /Act/]]) {
    pressure.write("[data-variant]", variant);
    assert.match(pressure.text(".calc-verdict"), verdict);
  }
  pressure.write(".calc input", "72.5 bar");
  assert.match(pressure.text(".calc-verdict"), /^72\.5\sbar \(1052\spsi\)/);
  pressure.write(".calc input", "1000 psi");
  assert.match(pressure.text(".calc-verdict"), /^68\.95\sbar \(1000\spsi\)/);
  const level = open("readings/canopy-fluid-level.html"), state = level.one(".calc-state"), rod = level.one(".calc-rods input");
  level.write(".calc-fields input", "70");
  assert.match(level.text(".calc-state"), /Stowed/);
  assert.ok(!state.hidden);
  for (const out of [true, false]) {
    rod.click();
    rod.dispatchEvent(new level.window.Event("input", { bubbles: true }));
    assert.strictEqual(state.hidden, out);
  }
});

test("a quote: minutes times the rate, with a comma too, kept on the device", () => {
  const here = open("quotes/canopy-stops-half-way.html");
  here.write("#currency", "EUR");
  here.write("#rate", "72,50");
  const cells = here.all(".sums tbody tr.all td");
  const minutes = cells.map((cell) => Number(cell.dataset.min));
  assert.deepStrictEqual(here.all(".sums tbody tr.all .cost").map((cost) => cost.textContent.trim()), minutes.map((each) => `${(each * 72.5 / 60).toFixed(2)}\u00a0EUR`));
  assert.ok(minutes[1] > minutes[0] && minutes[0] > 0);
  const again = open("quotes/canopy-stops-half-way.html", { kept: here.kept() });
  assert.strictEqual(again.one("#rate").value, "72,50");
  assert.ok(again.one(".cost"));
  assert.match(again.text("[data-rate-says]"), /^At 72\.50\sEUR an hour/);
  for (const wrong of ["1,200", "abc", "-5"]) {
    again.write("#rate", wrong);
    assert.strictEqual(again.one(".cost"), null, wrong);
    assert.match(again.text("[data-rate-says]"), /cannot be read/, wrong);
  }
  assert.strictEqual(open("quotes/canopy-stops-half-way.html", { kept: again.kept() }).one("#rate").value, "72,50");
  again.write("#rate", "");
  assert.deepStrictEqual([again.one(".cost"), again.text("[data-rate-says]")], [null, ""]);
});

test("ticks stay, are counted, and are cleared only when asked", () => {
  const here = open("procedures/recover-pump-heat.html");
  const boxes = here.all(".step [data-tick]");
  assert.match(here.text("[data-ticked]"), new RegExp(`^0 of ${boxes.length} `));
  boxes[0].click();
  const again = open("procedures/recover-pump-heat.html", { kept: here.kept() });
  assert.ok(again.all(".step [data-tick]")[0].checked);
  assert.match(again.text("[data-ticked]"), /^1 of/);
  again.press("#untick");
  assert.ok(!again.all(".step [data-tick]")[0].checked);
  assert.strictEqual(again.asked.length, 1);
});

test("ticks go with the job; old ones say from when they are", () => {
  const walk = open("faults/canopy-stops-half-way.html");
  walk.press("#walk-yes");
  const sheet = open("procedures/top-up-canopy.html", { kept: walk.kept() });
  assert.strictEqual(sheet.one(".quote-link a").getAttribute("href"), "../faults/canopy-stops-half-way.html#walk");
  sheet.one(".step [data-tick]").click();
  assert.doesNotMatch(sheet.text("[data-ticked]"), /Ticked on/);
  const [name, ticks] = Object.entries(sheet.kept()).find(([key]) => key.includes("ticks")), old = { ...JSON.parse(ticks), at: Date.now() - 9 * 86400000 };
  assert.match(open("procedures/top-up-canopy.html", { kept: { [name]: JSON.stringify(old) } }).text("[data-ticked]"), /Ticked on .*another job/);
  const back = open("faults/canopy-stops-half-way.html", { kept: sheet.kept() });
  back.press("#walk-again");
  assert.ok(!Object.keys(back.kept()).some((key) => key.includes("ticks")));
});

test("a timer keeps its end while the device is locked, and says when time is up", () => {
  const here = open("procedures/recover-pump-heat.html");
  assert.strictEqual(here.text(".time"), "15:00");
  here.press("#wait-0");
  assert.match(here.text(".time"), /^1[45]:\d\d$/);
  const [name, kept] = Object.entries(here.kept()).find(([key]) => key.includes("ticks"));
  const later = JSON.parse(kept);
  later["wait-0"] -= 899000;
  const soon = open("procedures/recover-pump-heat.html", { kept: { [name]: JSON.stringify(later) } });
  assert.match(soon.text(".time"), /^0:0[01]$/);
  later["wait-0"] -= 60000;
  const over = open("procedures/recover-pump-heat.html", { kept: { [name]: JSON.stringify(later) } });
  assert.match(over.text(".timer"), /0:00.*Time is up/);
});
