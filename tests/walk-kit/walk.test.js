// The walk in the published pages, without a browser: every cause ends at its repair, and nothing that was answered is
// lost. At random it is walked in walker.test.js.
"use strict";
const test = require("node:test"), assert = require("node:assert");
const { open, faults } = require("./page.js");

const page = (fault, how) => open(`faults/${fault}.html`, how);
const problem = (here, fault) => here.window.eval(`Bayleaf.walks[${JSON.stringify(fault)}]`);
const heading = (here) => here.text("#walk-h");
const buttons = (here) => here.all("#walk .answers [data-answer]");
const checkOf = (here, data) => data.checks.find((check) => here.text(`[data-check="${check.id}"] :is(h2, h3)`) === heading(here));

test("every cause of every fault ends at its repair, shown or said to be inferred", () => {
  let walked = 0;
  for (const fault of faults()) {
    const here = page(fault, { idle: false }), data = problem(here, fault);
    data.causes.forEach((cause, index) => {
      if (here.one("#walk-again")) here.press("#walk-again");
      here.press("#walk-yes");
      for (let step = 0; buttons(here).length; step++) {
        assert.ok(step < 60, `${fault}: ${cause.id} goes in circles`);
        const check = checkOf(here, data), answer = check.answers.findIndex((answer) => answer.leaves && answer.leaves.includes(index));
        here.press(buttons(here)[answer]);
      }
      const offered = here.all("#walk .sheet a.go").map((link) => link.getAttribute("href"));
      assert.deepStrictEqual(offered, [`../procedures/${data.repairs[cause.repair].id}.html`], `${fault}: ${cause.id} at "${heading(here)}"`);
      assert.ok(here.one("#walk .sheet .tag"), `${fault}: ${cause.id} has no tag`);
      assert.deepStrictEqual(here.errors, []);
      walked += 1;
    });
  }
  assert.ok(walked > 80, `${walked} causes`);
});

test("what is known before is no check that is made", () => {
  // The first answer that, known before, leaves something to check.
  let here, at = 0;
  do {
    here = page("canopy-slow");
    here.press("#walk-yes");
    assert.match(here.text("#walk .check-number"), /Check\s1$/);
    here.press(here.all("#walk-knowns details button.answer")[at++]);
  } while (!buttons(here).length);
  assert.match(here.text("#walk .check-number"), /Check\s1$/);
  here.press(buttons(here)[0]);
  if (buttons(here).length) assert.match(here.text("#walk .check-number"), /Check\s2$/);
});

test("what the page says to undo is said once, and as the walk knows it", () => {
  for (const fault of faults()) {
    const here = page(fault), undo = here.all(".undo").length;
    here.press("#walk-yes");
    here.press("#walk-stuck");
    assert.strictEqual(here.all("#walk .undo").length, 0, fault);
    assert.strictEqual(here.all(".undo").length, undo, fault);
  }
});

test("one check at a time, and what is left", () => {
  const here = page("canopy-stops-half-way");
  assert.strictEqual(heading(here), "Confirm the complaint first");
  here.press("#walk-yes");
  assert.strictEqual(here.document.activeElement.id, "walk-h");
  assert.match(here.text("#walk .strip"), /So far2\smin/);
  const sections = here.all("#walk .walk-panel > .body");
  assert.strictEqual(sections.length, 1);
  assert.match(here.text("#walk [role=status]"), /Causes left: \d/);
  assert.strictEqual(here.all("#walk .left li").length, problem(here, "canopy-stops-half-way").causes.length);
});

test("before a check the cautions are short and say what to do; before a repair they stand in full", () => {
  const here = page("canopy-slow");
  here.press("#walk-yes");
  const short = here.all("#walk .walk-check .signal");
  assert.ok(short.length > 1);
  for (const signal of short) {
    assert.match(signal.querySelector(".signal-word").textContent, /^(Danger|Warning|Caution)$/);
    assert.ok(signal.textContent.length > 60, `nothing to do: ${signal.textContent}`);
  }
  here.press("#walk-skip");
  here.press(buttons(here)[0]);
  while (buttons(here).length) here.press(buttons(here)[0]);
  const full = here.all("#walk .sheet .signal");
  assert.ok(full.length && full.every((signal) => !signal.classList.contains("brief") || /\. \S/.test(signal.textContent)), "a repair names a hazard and not what to do");
});

test("a state that begins elsewhere than on the page is explained where it begins", () => {
  let seen = 0;
  for (const fault of ["canopy-slow", "canopy-dead", "floor-stays-up"]) {
    const here = page(fault, { idle: false });
    here.press("#walk-yes");
    for (let step = 0; step < 12 && buttons(here).length; step++) {
      const state = here.one("#walk [data-state]"), note = state && state.querySelector("i");
      if (note && note.textContent) { seen += 1; assert.ok(state.querySelector("small"), `${fault}: ${heading(here)}`); }
      here.press(step % 2 ? buttons(here)[0] : "#walk-skip");
    }
  }
  assert.ok(seen > 2, `only ${seen} states begin`);
});

test("a repair that did not cure, with nothing else left, says so", () => {
  const here = page("canopy-stops-half-way");
  here.press("#walk-yes");
  here.press(buttons(here)[1]);
  here.press("#walk-not-cured");
  assert.strictEqual(heading(here), "Stop here and ask");
  assert.doesNotMatch(here.text("#walk"), /Undo it/);
  assert.match(here.text("#walk"), /The repair did not cure it/);
});

test("replans when a check cannot be done, and takes it back", () => {
  const here = page("canopy-stops-half-way");
  here.press("#walk-yes");
  const first = heading(here);
  here.press("#walk-skip");
  assert.notStrictEqual(heading(here), first);
  assert.match(here.text("#walk .answered"), /Cannot do this now/);
  here.press(here.all("#walk .answered [data-change]")[1]);
  assert.strictEqual(heading(here), first);
});

test("an earlier answer is changed and the later ones stay", () => {
  const here = page("canopy-stops-half-way"), data = problem(here, "canopy-stops-half-way");
  here.press("#walk-yes");
  const asked = [];
  for (let step = 0; step < 2; step++) {
    asked.push(heading(here));
    const check = checkOf(here, data);
    here.press(buttons(here)[check.answers.reduce((best, answer, at) => (answer.leaves || []).length > (check.answers[best].leaves || []).length ? at : best, 0)]);
  }
  const before = here.text("#walk .answered ol");
  here.press(here.all("#walk .answered [data-change]")[1]);
  assert.strictEqual(heading(here), asked[0]);
  assert.strictEqual(here.all("#walk [aria-pressed=true]").length, 1);
  const other = here.all("#walk .answers [data-answer]").findIndex((button) => button.getAttribute("aria-pressed") !== "true");
  here.press(here.all("#walk .answers [data-answer]")[other]);
  const after = here.text("#walk .answered ol");
  assert.notStrictEqual(after, before);
  assert.ok(after.includes(asked[1]), after);
});

test("what is known already takes no minutes", () => {
  const here = page("canopy-stops-half-way");
  here.press(here.all("#walk-knowns .answer")[0]);
  here.press("#walk-yes");
  assert.match(here.text("#walk .strip"), /So far2\smin/);
  assert.match(here.text("#walk .answered"), /known before/);
});

test("a value is typed, judged and kept with the job, also after going on and back", async () => {
  const here = page("canopy-stops-half-way"), data = problem(here, "canopy-stops-half-way"), level = () => heading(here) === "Where does the canopy fluid stand?";
  assert.match(here.text("#step-2 .limit, #step-3 .limit"), /^Limit\b.*58\smm/s);
  here.press("#walk-yes");
  for (let step = 0; step < 9 && !level(); step++) {
    const check = checkOf(here, data);
    here.press(buttons(here)[check.answers.findIndex((answer) => answer.leaves && answer.leaves.includes(1))]);
  }
  assert.ok(level());
  here.write("#walk-reading input", "51");
  assert.match(here.text("#walk-reading"), /Act/);
  assert.match(here.text("#walk-reading summary"), /\(51/);
  here.press("#walk-skip");
  here.press("#walk-back");
  await here.until(level);
  assert.match(here.text("#walk-reading summary"), /\(51/);
});

/** A walk at the question for the fluid, where the hatch stands open. */
function atLevel(how) {
  const here = page("canopy-stops-half-way", how), data = problem(here, "canopy-stops-half-way");
  here.press("#walk-yes");
  for (let step = 0; heading(here) !== "Where does the canopy fluid stand?"; step++) {
    assert.ok(step < 9);
    here.press(buttons(here)[checkOf(here, data).answers.findIndex((answer) => answer.leaves && answer.leaves.includes(1))]);
  }
  return here;
}

test("an answer that the typed value does not stand for is asked for again", () => {
  const here = atLevel({ sure: false });
  here.write("#walk-reading input", "51");
  assert.deepStrictEqual(buttons(here).map((button) => button.classList.contains("fits")), [true, false]);
  here.press(buttons(here)[1]);
  assert.strictEqual(heading(here), "Where does the canopy fluid stand?");
  assert.match(here.asked[0], /stands for another answer/);
  here.press(buttons(here)[0]);
  assert.strictEqual(here.asked.length, 1);
  assert.match(here.text("#walk"), /Undo it before the machine is tested or moved: Open the pump hatch/);
  assert.match(here.text("#walk"), /Look for this as well/);
  here.press("#walk-not-cured");
  assert.match(here.text("#walk"), /Look for this as well: Air/);
});

test("answers of another day say so", () => {
  const here = page("canopy-stops-half-way");
  here.press("#walk-yes");
  assert.doesNotMatch(here.text("#walk"), /another machine/);
  const [name, walk] = Object.entries(here.kept()).find(([key]) => key.startsWith("bayleaf walk ")), old = { ...JSON.parse(walk), begun: Date.now() - 3 * 86400000 };
  assert.match(page("canopy-stops-half-way", { kept: { [name]: JSON.stringify(old) } }).text("#walk"), /These answers are from .* another machine/);
});

test("the place is kept, and the way back works", async () => {
  const here = page("canopy-stops-half-way");
  here.press("#walk-yes");
  here.press(buttons(here)[0]);
  const where = heading(here);
  const again = page("canopy-stops-half-way", { kept: here.kept() });
  assert.strictEqual(heading(again), where);
  again.press("#walk-back");
  assert.notStrictEqual(heading(again), where);
  again.press(buttons(again)[0]);
  assert.strictEqual(heading(again), where);
  again.window.history.back();
  await again.until(() => heading(again) !== where);
  again.press("#walk-again");
  assert.strictEqual(heading(again), "Confirm the complaint first");
  assert.strictEqual(again.asked.length, 1);
});

test("where storage is refused, the walk works and the record can still be printed and copied", () => {
  const here = page("canopy-stops-half-way", { refused: true });
  here.press("#walk-yes");
  here.press("#walk-stuck");
  assert.match(here.text("#walk"), /Dunnock technical desk/);
  here.press("#record-keep");
  assert.match(here.text("#walk .record-room"), /keeps nothing for local files/);
  assert.match(here.one("#walk [data-csv]").value, /^date,machine,/);
  assert.deepStrictEqual(here.errors, []);
});

test("did it cure? No goes on, yes says what to check again", async () => {
  const fault = "canopy-stops-half-way", data = problem(page(fault), fault), here = page(fault);
  here.press("#walk-yes");
  for (let step = 0; buttons(here).length; step++) {
    const check = checkOf(here, data);
    here.press(buttons(here)[check.answers.findIndex((answer) => answer.leaves && answer.leaves.includes(0))]);
  }
  const was = heading(here);
  here.press("#walk-not-cured");
  assert.notStrictEqual(heading(here), was);
  here.press("#walk-back");
  await here.until(() => heading(here) === was);
  here.press("#walk-cured");
  assert.strictEqual(heading(here), "Cured");
  assert.match(here.text("#walk"), /Check again afterwards/);
  assert.ok(here.one("#record-keep"));
});
