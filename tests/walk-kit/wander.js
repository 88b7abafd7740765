// A technician who presses anything in the walk of a published page, and what the walk must then say. What must be
// so is worked out here from the moves and the fault's question alone, apart from the scripts of the page.
"use strict";
const assert = require("node:assert");
const { open } = require("./page.js");

/** A small generator after Park and Miller (from memory), so that a failure can be seen again. */
function chance(seed) {
  let state = seed;
  return (below) => { state = (state * 48271) % 2147483647; return state % below; };
}

/** What may be pressed, how often it is wished for, and what it makes of the moves. `again` is asked for only by itself. */
const WAYS = [
  ["yes", 30, "#walk-yes"], ["no", 3, "#walk-no"], ["answer", 40, "#walk .answers [data-answer]:not([aria-pressed])"], ["knew", 5, "#walk .answers [data-answer]:not([aria-pressed])"],
  ["known", 6, "#walk-knowns details .answer"], ["skip", 8, "#walk-skip"], ["stuck", 3, "#walk-stuck"], ["cured", 4, "#walk-cured"], ["uncured", 14, "#walk-not-cured"],
  ["back", 7, "#walk-back"], ["change", 7, "#walk [data-change]"], ["other", 60, "#walk .answers [aria-pressed]"], ["forget", 12, "#walk-forget"],
  ["again", 1, "#walk-again"], ["read", 6, "#walk-reading"], ["reload", 2, "#walk-h"], ["record", 40, "#walk .record-form:not([hidden]) #record-keep"],
];

/** The walk of one fault at the hands of somebody, with what ought to be so beside it. */
class Wanderer {
  constructor(fault, seed) {
    Object.assign(this, { fault, pick: chance(seed), moves: [], before: [], tangled: false, editing: -1, here: null, asked: "", counts: {}, records: [] });
    this.load({});
    this.data = JSON.parse(this.here.window.eval(`JSON.stringify(Bayleaf.walks[${JSON.stringify(fault)}])`));
    // What stands in the page does not change; looked up once.
    this.headings = new Map(this.data.checks.map((check) => [this.here.text(`[data-check="${check.id}"] :is(h2, h3)`), check]));
    this.words = new Map(this.data.causes.map((cause) => [cause.id, this.here.text(`#cause-${cause.id} [data-says]`)]));
    this.key = Object.keys(this.here.kept())[0] || `bayleaf walk ${this.here.window.eval("Bayleaf.guide.hash")} ${fault}`;
  }

  load(kept) {
    if (this.here) this.here.close();
    this.here = open(`faults/${this.fault}.html`, { kept, idle: false });
    // The page alone knows what came before; loaded again, a step back takes the last move away.
    Object.assign(this, { before: [], editing: -1 });
  }

  /** Heading, what is still possible, and minutes: where the walk is. */
  place(here = this.here) {
    return { heading: here.text("#walk-h"), left: this.shown(here), facts: here.text("#walk .strip"), answers: here.all("#walk .answers .answer > b").map((says) => says.textContent) };
  }
  /** Causes that the page still shows as possible, or null where it lists none. */
  shown(here = this.here) {
    return here.one("#walk .left") && here.all("#walk .left li > span:first-child").map((span) => span.textContent.trim());
  }
  check(id) { return this.data.checks.find((check) => check.id === id); }
  /** The check that is asked now. */
  now(here = this.here) { return this.headings.get(here.text("#walk-h")); }

  /** Causes that nothing which was answered or tried excludes. Of two answers to one check the first counts. */
  allowed(moves = this.moves) {
    const seen = new Set();
    let causes = this.data.causes.map((_, at) => at);
    for (const move of moves) {
      if (move.kind === "tried" && !move.cured) causes = causes.filter((at) => this.data.repairs[this.data.causes[at].repair].id !== move.repair);
      if (!["answer", "known"].includes(move.kind) || seen.has(move.check)) continue;
      seen.add(move.check);
      const { leaves } = this.check(move.check).answers[move.answer];
      if (leaves) causes = causes.filter((at) => leaves.includes(at));
    }
    return causes.map((at) => this.data.causes[at]);
  }

  /** Presses something; a line for a failure to tell. */
  step() {
    const { here, pick } = this, walk = here.one("#walk"), ways = WAYS.filter(([, , selector]) => walk.querySelector(selector));
    assert.ok(ways.some(([name]) => name !== "read" && name !== "reload"), `nothing to press but to load the page again at "${here.text("#walk-h")}"`);
    let number = pick(ways.reduce((sum, [, weight]) => sum + weight, 0));
    const [name, , selector] = ways.find(([, weight]) => (number -= weight) < 0), found = walk.querySelectorAll(selector);
    this.count(name);
    this[name](found[pick(found.length)]);
    assert.deepStrictEqual(here.errors, [], `after ${name}`);
    return name;
  }

  count(name) { this.counts[name] = (this.counts[name] || 0) + 1; }

  go(moves, thing) {
    this.before.push([this.moves, this.tangled]);
    Object.assign(this, { moves, editing: -1 });
    this.here.press(thing);
  }
  add(move, thing) { this.go([...this.moves, move], thing); }

  yes(button) { this.add({ kind: "confirmed" }, button); }
  no(button) { this.add({ kind: "unconfirmed" }, button); }
  answer(button, kind = "answer") {
    const told = this.told(button);
    this.add({ kind, check: this.now().id, answer: +button.dataset.answer }, button);
    if (told) assert.ok(this.kept(told), `an answer promised "${told}" and led to "${this.here.text("#walk-h")}"`);
  }
  /** Whether a promise was kept: by the words of the heading, or by those of the end that it names. */
  kept(told) {
    const { say } = this.here.window.Bayleaf, heading = this.here.text("#walk-h");
    const ends = { [say("then_fault")]: say("other_complaint"), [say("escalation")]: say("stop_and_ask") };
    // A part that was put in on trial and cures has been found and mended at once.
    if (heading === say("cured_title")) return told.startsWith(say("then_found")) && this.allowed().some(({ id }) => told.includes(this.says(id)));
    return ends[told] ? heading === ends[told] : told.endsWith(heading);
  }
  /** @param {string} cause */
  says(cause) { return this.here.text(`#cause-${cause} [data-says]`); }
  /** What an answer says that it leads to, one time in four. */
  told(button) {
    if (this.pick(4)) return "";
    this.here.idle();
    const told = button.querySelector(".answer > span").textContent;
    assert.ok(told, "an answer says nothing of where it leads");
    return this.now() && told;
  }
  knew(button) { this.here.press("#walk-knew"); this.answer(button, "known"); }
  known(button) {
    const asks = button.closest("details").querySelector("summary").textContent, list = [...button.closest("ul").querySelectorAll(".answer")];
    this.add({ kind: "known", check: this.headings.get(asks).id, answer: list.indexOf(button) }, button);
  }
  skip(button) { this.add({ kind: "skip", check: this.now().id }, button); }
  stuck(button) { this.add(this.now() ? { kind: "stuck", check: this.now().id } : { kind: "stuck" }, button); }
  repair() { return this.here.one("#walk .sheet a.go").getAttribute("href").replace(/^.*\/|\.html$/g, ""); }
  cured(button) { this.add({ kind: "tried", repair: this.repair(), cured: true }, button); }
  uncured(button) { this.add({ kind: "tried", repair: this.repair(), cured: false }, button); }

  back(button) {
    const changing = this.editing >= 0, [moves, tangled] = this.before.at(-1) || [this.moves.slice(0, -1), this.tangled];
    this.editing = -1;
    if (!changing) { Object.assign(this, { moves, tangled }); this.turned = this.before.pop() ? new Promise((done) => this.here.window.addEventListener("popstate", done, { once: true })) : null; }
    this.here.press(button);
  }
  change(button) {
    const at = +button.dataset.change, opens = ["answer", "known"].includes(this.moves[at].kind);
    if (!opens) { this.go(this.moves.filter((_, place) => place !== at), button); this.tangled = true; return; }
    this.here.press(button);
    this.editing = at;
    assert.strictEqual(this.now()?.id, this.moves[at].check, "another check is changed");
    assert.deepStrictEqual(this.here.all("#walk [aria-pressed=true]").map((each) => +each.dataset.answer), [this.moves[at].answer]);
  }
  other(button) {
    const changed = this.editing;
    this.go(this.moves.map((move, at) => at === changed ? { kind: move.kind, check: move.check, answer: +button.dataset.answer } : move), button);
    this.tangled = true;
  }
  forget(button) { const at = this.editing; this.go(this.moves.filter((_, place) => place !== at), button); this.tangled = true; }
  again(button) { this.go([], button); this.tangled = false; }
  read() {
    const field = this.here.one("#walk-reading input"), value = ["0", "12,5", "51", "-3", "1e9", "x", "", "58"][this.pick(8)];
    field.value = value;
    field.dispatchEvent(new this.here.window.Event("input", { bubbles: true }));
  }
  reload() {
    const was = this.editing < 0 && this.place();
    this.load(this.here.kept());
    if (was) assert.deepStrictEqual(this.place(), was, "another place after the page was loaded again");
  }

  /** What must be so after every press. */
  look() {
    const { here } = this, causes = this.allowed(), shown = this.shown(), facts = here.one("#walk .strip");
    assert.ok(here.text("#walk-h"), "no heading");
    assert.deepStrictEqual((JSON.parse(here.kept()[this.key] || "{}")).moves || [], this.moves, "other moves are kept than were made");
    if (shown) this.count("shown");
    if (facts) this.count("facts");
    if (shown) assert.deepStrictEqual([...shown].sort(), causes.map((cause) => this.words.get(cause.id)).sort(), "shows other causes than the answers leave");
    if (facts) assert.strictEqual(facts.querySelector("div:last-child dd").textContent, String(causes.length), "counts other causes");
    if (here.one("#walk-cured")) assert.ok(causes.some((cause) => this.data.repairs[cause.repair].id === this.repair()), "offers the repair of an excluded cause");
  }

  /** Keeps the job record of an end, and begins the next job on the same device. */
  record(button) {
    const { here, pick } = this, end = this.place(), serial = ["DB-0031", "DC-0009", "", "XX, \"1\";", "DB-0160"][pick(5)];
    here.write("#record-serial", serial);
    here.write("#record-name", ["", "Q. Marsh", "a; b, \"c\"", "=1+1"][pick(4)]);
    if (!pick(5)) here.write("#record-minutes", ["12,5", "-4", "x", ""][pick(4)]);
    if (!pick(8)) here.write("#record-date", "");
    here.press(button);
    const all = JSON.parse(here.kept()["bayleaf records"]), record = all.at(-1), cause = this.data.causes.find((each) => each.id === record.cause);
    assert.deepStrictEqual(record.moves, this.moves, "the record holds other moves");
    assert.strictEqual(here.kept()[this.key], undefined, "the walk of a kept record goes on");
    const last = this.moves.at(-1), undone = this.moves.slice(0, last.kind === "tried" ? -1 : this.moves.length);
    if (cause) assert.ok(this.allowed(undone).includes(cause), "the record names an excluded cause");
    assert.deepStrictEqual(record.answers.map(([check]) => check), this.moves.map((move) => move.check && move.kind !== "stuck" ? move.check : move.repair).filter(Boolean), "the record lacks a move");
    this.records.push(record);
    this.replay(record, end);
    this.tangled = false;
    this.moves = [];
    this.load(here.kept());
  }

  /** A record leads to where it was kept: read by a new page, and pressed again one move after the other. */
  replay(record, end) {
    const fresh = open(`faults/${this.fault}.html`, { kept: { [this.key]: JSON.stringify({ moves: record.moves, begun: 1, readings: {} }) }, idle: false });
    assert.deepStrictEqual(this.place(fresh), end, "the moves of a record lead elsewhere");
    // Where an earlier answer was changed, the walk may never have asked in this order.
    if (!this.tangled && fresh.one("#walk-again")) {
      fresh.press("#walk-again");
      record.moves.forEach((move) => this.press(fresh, move));
      assert.deepStrictEqual(this.place(fresh), end, "pressed again, a record leads elsewhere");
      this.counts.pressed = (this.counts.pressed || 0) + 1;
    }
    assert.deepStrictEqual(fresh.errors, []);
    fresh.close();
  }
  press(here, move) {
    const by = { confirmed: "#walk-yes", unconfirmed: "#walk-no", stuck: "#walk-stuck", skip: "#walk-skip", tried: move.cured ? "#walk-cured" : "#walk-not-cured" }[move.kind];
    if (by) return here.press(by);
    if (this.now(here)?.id === move.check) {
      if (move.kind === "known") here.press("#walk-knew");
      return here.press(`#walk .answers [data-answer="${move.answer}"]`);
    }
    assert.strictEqual(move.kind, "known", "asks something else than before");
    const known = here.all("#walk-knowns details").find((each) => this.headings.get(each.querySelector("summary").textContent)?.id === move.check);
    return here.press(known.querySelectorAll(".answer")[move.answer]);
  }
}

module.exports = { Wanderer, WAYS };
