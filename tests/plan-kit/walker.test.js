// Walks at random through every fault of the demo: never a dead end, a script error, or a cause that an answer excluded.
"use strict";
const test = require("node:test"), assert = require("node:assert");
const { plan } = require("./plan.js");
const { dice, anyMove, largeFault } = require("./invented.js");
const { demoFaults } = require("./demo.js");

const STEPS = 5000;

/** Causes that the answers and repairs so far allow, and whether "none of these" is, worked out apart from the script: each answer leaves what it names. */
function allowed(problem, moves) {
  let causes = problem.causes.map((cause) => cause.id), none = problem.none !== undefined, seen = new Set();
  for (const move of moves) {
    const check = problem.checks.find((one) => one.id === move.check), answer = check && !seen.has(move.check) && move.kind !== "skip" ? check.answers[move.answer] : null;
    if (answer) seen.add(move.check);
    if (answer && !answer.exit) none = none && answer.none === true;
    if (answer && !answer.exit) causes = causes.filter((id) => answer.leaves.some((at) => problem.causes[at].id === id));
    if (move.kind === "tried" && !move.cured) causes = causes.filter((id) => problem.repairs[problem.causes.find((one) => one.id === id).repair].id !== move.repair);
  }
  return { causes, none };
}

function look(problem, moves) {
  const next = plan.next(problem, moves), left = plan.left(problem, moves), { causes: possible, none } = allowed(problem, moves), says = JSON.stringify([problem.fault, moves, next]);
  assert.deepStrictEqual(left.map((one) => one.cause), possible, says);
  assert.ok(left.every((one) => one.share >= 0 && one.share <= 1000), says);
  assert.ok(Math.abs(left.reduce((sum, one) => sum + one.share, 0) - 1000) <= left.length || !left.length, says);
  assert.ok(Number.isSafeInteger(plan.spent(problem, moves)), says);
  if (next.kind === "check") {
    const asked = moves.filter((move) => move.check === next.check);
    assert.ok(asked.length === 0 && next.seconds >= 0 && next.toGo.seconds >= 0 && next.toGo.exact, says);
  } else if (next.kind === "repair") {
    assert.ok(next.causes.length > 0 && next.causes.every((id) => possible.includes(id)), says);
    // Where something else may be wrong, a repair that wants proof is never offered for want of a check.
    if (none && !next.shown && moves.some((move) => move.kind === "skip")) assert.ok(next.causes.every((id) => problem.causes.find((one) => one.id === id).eliminable), says);
  } else if (next.kind === "escalate") assert.ok(next.why === "skipped" || !possible.length, says);
  else assert.ok(["exit", "cured"].includes(next.kind), says);
  assert.deepStrictEqual(plan.next(problem, JSON.parse(JSON.stringify(moves))), next, "kept moves lead to the same place");
  return next;
}

test(`${STEPS} random steps through the demo`, (t) => {
  const faults = demoFaults(), d = dice(2026), ends = {};
  assert.ok(faults.length > 10);
  for (let steps = 0, n = 0; steps < STEPS; n++) {
    const problem = faults[n % faults.length];
    let moves = [], next = look(problem, moves);
    for (let more = 3 + d.below(25); more > 0 && steps < STEPS; more--, steps++) {
      const ended = ["exit", "cured", "escalate"].includes(next.kind);
      const gone = d.chance(70) ? moves.length - 1 : d.below(moves.length);
      if (d.chance(ended ? 80 : 10) && moves.length) moves = moves.filter((_, at) => at !== gone);
      else moves = [...moves, anyMove(problem, next, plan.left(problem, moves), d)];
      next = look(problem, moves);
      ends[next.kind] = (ends[next.kind] || 0) + 1;
    }
  }
  t.diagnostic(JSON.stringify(ends));
});

test("with everything skipped somebody is asked", () => {
  for (const problem of demoFaults()) {
    const next = look(problem, problem.checks.map((check) => ({ kind: "skip", check: check.id })));
    const alike = problem.causes.every((cause) => cause.repair === problem.causes[0].repair && cause.eliminable);
    assert.strictEqual(next.kind, alike ? "repair" : "escalate", problem.fault);
  }
});

test("what belongs to no edition is passed over", () => {
  const problem = demoFaults()[0], moves = [{ kind: "answer", check: "gone", answer: 0 }, { kind: "answer", check: problem.checks[0].id, answer: 99 }, { kind: "tried", repair: "gone", cured: true }];
  assert.deepStrictEqual(plan.next(problem, moves), plan.next(problem, []));
});

test("stopped again and again, it comes to the same", () => {
  for (const kind of ["mixed", "splitting"]) {
    const moves = [], problem = largeFault(3, kind, 24, 36, 8, 4), whole = plan.next(largeFault(3, kind, 24, 36, 8, 4), moves);
    let stretches = 1, next = plan.next(problem, moves, 0);
    for (; !next; stretches++) next = plan.next(problem, moves, 0);
    assert.ok(stretches > 2 && stretches < 1000, `${stretches} stretches`);
    assert.deepStrictEqual(next, whole);
  }
});
