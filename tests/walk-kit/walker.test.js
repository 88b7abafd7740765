// Walks at random through the published page of every fault, as a technician does who presses anything: never a dead
// end, an error, or a cause that an answer excluded. Every record leads back to its place, and `results/` takes it.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { spawnSync } = require("node:child_process");
const { open, faults } = require("./page.js");
const { Wanderer, WAYS } = require("./wander.js");
const { built } = require("../plan-kit/demo.js");

/** `STEPS=1000` is enough to go every way. */
const STEPS = +(process.env.STEPS || 5000), GUIDE = path.join(__dirname, "../../content");

/** What the compiler says of the demo with these records among its own. */
function inspected(table) {
  const dir = fs.mkdtempSync(path.join(os.tmpdir(), "walked-"));
  fs.cpSync(GUIDE, dir, { recursive: true });
  fs.writeFileSync(path.join(dir, "results/walked.csv"), table);
  const { status, stdout } = spawnSync(built("bayleaf", "BAYLEAF"), ["inspect", dir], { encoding: "utf8", maxBuffer: 2 ** 28 });
  fs.rmSync(dir, { recursive: true });
  return { status, stdout };
}

test(`${STEPS} random steps through the pages of all faults; each record leads back to its place and is taken`, async (t) => {
  const all = faults(), per = Math.ceil(STEPS / all.length), counts = {}, records = [];
  for (const [at, fault] of all.entries()) {
    const one = new Wanderer(fault, at + 1), trail = [];
    try {
      for (let step = 0; step < per; step++) {
        trail.push(one.step());
        if (one.turned) { await one.turned; one.turned = null; }
        one.look();
      }
    } catch (error) {
      error.message = `${fault}, step ${trail.length}, at "${one.here.text("#walk-h")}" after ${trail.slice(-6).join(", ")} with ${JSON.stringify(one.moves)}: ${error.message}`;
      throw error;
    }
    Object.entries(one.counts).forEach(([name, count]) => { counts[name] = (counts[name] || 0) + count; });
    records.push(...one.records);
  }
  assert.ok(STEPS >= 1000, `${process.env.STEPS} is no number of steps from 1,000 on`);
  for (const name of [...WAYS.map(([way]) => way), "shown", "facts"]) assert.ok(counts[name], `never in ${STEPS} steps: ${name}`);
  assert.ok(records.length > 10, `only ${records.length} records`);
  t.diagnostic(JSON.stringify({ ...counts, records: records.length, outcomes: records.reduce((sum, { outcome }) => ({ ...sum, [outcome]: (sum[outcome] || 0) + 1 }), {}) }));
  const table = open("records.html", { kept: { "bayleaf records": JSON.stringify(records) } }).one("[data-csv]").value, { status, stdout } = inspected(table);
  assert.strictEqual(table.trim().split("\n").length, records.length + 1);
  assert.ok(status === 0 && !stdout.includes("walked.csv"), stdout);
});
