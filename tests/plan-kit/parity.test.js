// The script of the pages and the compiler must agree on what comes next, from any place in any fault.
// PLAN_NEXT and BAYLEAF name the compiled example and the program; their usual places are tried without.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { execFileSync } = require("node:child_process");
const { plan } = require("./plan.js");
const { dice, anyFault, largeFault, anyMove } = require("./invented.js");
const { demoFaults, built } = require("./demo.js");

const folder = fs.mkdtempSync(path.join(os.tmpdir(), "plan-parity-"));
test.after(() => fs.rmSync(folder, { recursive: true }));
const text = (value) => String(value);

/** What the compiler says, in the words of the script. */
function theirs(cases) {
  const file = path.join(folder, "cases.json");
  fs.writeFileSync(file, JSON.stringify(cases.map(({ problem, moves }) => ({ problem: asked(problem), moves }))));
  const out = execFileSync(built("examples/plan_next", "PLAN_NEXT"), [file], { maxBuffer: 2 ** 30 });
  return out.toString().split("\n").slice(0, -1).map((line) => JSON.parse(line));
}

/** A fault of the pages in the form that the compiler asks for: what is opened and what makes safe in lists of their own. */
function asked({ extras = [], ...problem }) {
  const opened = extras.filter((extra) => !extra.safe), first = opened.length;
  assert.ok(extras.slice(first).every((extra) => extra.safe), "what makes safe comes last");
  const check = ({ extras = [], ...check }) => ({ ...check, access: extras.filter((at) => at < first), makeSafe: extras.filter((at) => at >= first).map((at) => at - first) });
  return { ...problem, accesses: opened, tasks: extras.slice(first), checks: problem.checks.map(check) };
}

/** The script's answer in the form of the compiler's. */
function ours(problem, moves) {
  const place = (list, id) => list.findIndex((one) => one.id === id), left = plan.left(problem, moves), next = plan.next(problem, moves), first = (problem.extras || []).filter((extra) => !extra.safe).length;
  const causes = left.map((one) => place(problem.causes, one.cause)), common = { causes, weights: left.map((one) => text(one.weight)), spent: plan.spent(problem, moves) };
  if (next.kind === "check") {
    const { due, toGo } = next;
    let [a, b] = [BigInt(toGo.value), BigInt(toGo.weight)];
    for (let x = a, y = b; ; [x, y] = [y, x % y]) if (!y) { a /= x || 1n; b /= x || 1n; break; }
    return { ...common, next: {
      kind: "check", check: place(problem.checks, next.check), opens: due.filter((at) => at < first), safe: due.filter((at) => at >= first).map((at) => at - first),
      change: next.state === null ? null : problem.states.indexOf(next.state), seconds: next.seconds, exact: toGo.exact, expected: [text(a), text(b)],
    } };
  }
  if (next.kind === "repair") {
    return { ...common, next: { kind: "repair", repair: place(problem.repairs, next.repair), causes: next.causes.map((id) => place(problem.causes, id)), shown: next.shown, cured: next.cured, inTurn: next.inTurn.map((id) => place(problem.repairs, id)) } };
  }
  if (next.kind === "cured") return { ...common, next: { kind: "cured", repair: place(problem.repairs, next.repair) } };
  return { ...common, next: next.kind === "exit" ? { kind: "exit" } : next };
}

/** Places in a fault, reached by moves that somebody could make. */
function places(problem, seed, count) {
  const d = dice(seed), list = [];
  while (list.length < count) {
    let moves = [];
    for (let steps = d.below(6); steps > 0; steps--) {
      const next = plan.next(problem, moves);
      if (["exit", "escalate", "cured"].includes(next.kind) && d.chance(90)) break;
      moves = [...moves, anyMove(problem, next, plan.left(problem, moves), d)];
    }
    list.push({ problem, moves });
  }
  return list;
}

function agree(cases) {
  const kinds = {};
  let proved = 0;
  theirs(cases).forEach((expected, n) => {
    const { problem, moves } = cases[n], found = ours(problem, moves);
    kinds[expected.next.kind] = (kinds[expected.next.kind] || 0) + 1;
    proved += expected.next.exact === true;
    assert.deepStrictEqual(found, expected, JSON.stringify(cases[n]));
  });
  return { kinds, proved };
}

test("2,000 places in invented faults", (t) => {
  const cases = [];
  for (let seed = 1; cases.length < 2000; seed++) cases.push(...places(anyFault(seed, seed % 4 ? 7 : 11), seed, 4));
  const { kinds } = agree(cases.slice(0, 2000));
  t.diagnostic(JSON.stringify(kinds));
  assert.ok(kinds.check > 500 && kinds.repair > 100 && kinds.exit > 10 && kinds.escalate > 100 && kinds.cured > 50, JSON.stringify(kinds));
});

test("places in faults as large as pages have", (t) => {
  const cases = [];
  for (let seed = 1; seed <= 8; seed++) for (const kind of ["mixed", "splitting"]) cases.push(...places(largeFault(seed, kind, 24, 36, 8, 4), seed, 3));
  t.diagnostic(JSON.stringify(agree(cases)));
});

test("numbers beyond 2^53, and more of everything than 31", () => {
  const cases = [], wide = largeFault(5, "mixed", 34, 70, 20, 3);
  for (let seed = 1; seed <= 40; seed++) {
    const problem = anyFault(seed, 7);
    problem.causes.forEach((cause) => { cause.weight = text(BigInt(cause.weight) * (2n ** 70n + 1n) + BigInt(cause.weight % 3)); });
    cases.push(...places(problem, seed, 3));
  }
  // Most of its causes are out, so that the search is short.
  const known = wide.checks.slice(0, 27).map((check) => ({ kind: "known", check: check.id, answer: 0 }));
  cases.push({ problem: wide, moves: known }, { problem: wide, moves: known.slice(1) });
  agree(cases);
});

test("places in the faults of the demo", (t) => {
  const cases = demoFaults().flatMap((problem, n) => places(problem, n + 1, 30));
  t.diagnostic(JSON.stringify(agree(cases)));
});
