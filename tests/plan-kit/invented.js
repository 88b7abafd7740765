// Invented faults and moves for testing the plan solver of the pages, with everything a fault can have.
"use strict";

/** A small deterministic generator. */
function dice(seed) {
  let state = (seed * 2654435761 + 12345) >>> 0 || 1;
  const next = () => { state ^= state << 13; state >>>= 0; state ^= state >>> 17; state ^= state << 5; state >>>= 0; return state; };
  for (let n = 0; n < 8; n++) next();
  const below = (end) => next() % Math.max(1, end);
  return { below, chance: (percent) => below(100) < percent, pick: (list) => list[below(list.length)] };
}

const upTo = (n) => Array.from({ length: n }, (_, at) => at);
const some = (d, n, percent) => upTo(n).filter(() => d.chance(percent));
const id = (letter, at) => letter + (at < 10 ? "0" : "") + at;
/** Empty lists and false are left out, as in the files of a guide. */
const lean = (object) => Object.fromEntries(Object.entries(object).filter(([, value]) => value !== undefined && value !== false && !(Array.isArray(value) && !value.length)));

/** A fault of up to `most` causes with every feature there is; small numbers, so that ties are common. */
function anyFault(seed, most) {
  const d = dice(seed), n = 1 + d.below(most), repairs = 1 + d.below(n), states = d.chance(50) ? 1 + d.below(3) : 1;
  const problem = {
    fault: "f" + seed,
    causes: upTo(n).map((at) => lean({ id: id("c", at), weight: d.chance(10) ? 0 : 1 + d.below(30), repair: d.below(repairs), eliminable: d.chance(60) })),
    none: d.chance(60) ? (d.chance(50) ? 0 : d.below(6)) : undefined,
    repairs: upTo(repairs).map((at) => ({ id: id("r", at), seconds: d.below(9) })),
    accesses: upTo(d.below(4)).map((at) => ({ id: id("a", at), seconds: d.below(15), needs: some(d, at, 30) })),
    tasks: upTo(d.below(3)).map((at) => ({ id: id("m", at), seconds: d.below(12), safe: true })),
    states: upTo(states).map((at) => id("s", at)),
    change: upTo(states).map((from) => upTo(states).map((to) => (from === to ? 0 : d.below(8)))),
    start: d.below(states), checks: [],
  };
  for (let at = 0, checks = d.chance(5) ? 0 : 2 + d.below(most); at < checks; at++) problem.checks.push(anyCheck(problem, at, d));
  return paged(problem);
}

/** A fault as the pages have it: what is opened and what makes safe in one list, and per check all of it that it needs. */
function paged({ accesses, tasks, ...problem }) {
  const closed = [];
  accesses.forEach((access, at) => { closed[at] = [at, ...access.needs.flatMap((need) => closed[need])]; });
  const extras = [...accesses.map(({ id, seconds }) => ({ id, seconds })), ...tasks];
  const checks = problem.checks.map(({ access = [], makeSafe = [], ...check }) => {
    const needs = new Set([...access.flatMap((at) => closed[at]), ...makeSafe.map((task) => accesses.length + task)]);
    return lean({ ...check, extras: [...needs].sort((a, b) => a - b) });
  });
  return { ...lean({ ...problem, extras }), checks };
}

function anyCheck(problem, at, d) {
  const swap = d.chance(12), repair = d.below(problem.repairs.length), count = swap ? 2 : 2 + d.below(2);
  const answers = upTo(count).map(() => ({ leaves: [] }));
  problem.causes.forEach((cause, place) => {
    const home = swap ? Number(cause.repair === repair) : d.below(count), other = d.below(count);
    answers[home].leaves.push(place);
    if (!swap && other !== home && d.chance(15)) answers[other].leaves.push(place);
  });
  const none = swap ? 0 : d.below(count), exit = d.chance(10), outside = exit && !swap && d.chance(50);
  if (exit) answers.push(lean({ exit: "other-fault", none: outside }));
  if (!outside) answers[none].none = true;
  return lean({
    id: id("t", at), seconds: d.below(12), access: some(d, problem.accesses.length, 35), makeSafe: some(d, problem.tasks.length, 35),
    state: problem.states.length > 1 && d.chance(60) ? d.below(problem.states.length) : undefined,
    after: some(d, at, Math.min(10, 40 / (at + 1))), first: d.chance(8), cures: swap ? [repair, 1] : undefined, answers,
  });
}

/** A fault as large as pages have, of the families that the bench of the compiler has: half of the checks confirm one cause each (mixed), or all of them part the causes at random (splitting). */
function largeFault(seed, kind, causes, checks, repairs, accesses) {
  const d = dice(seed), mixed = kind === "mixed";
  const problem = {
    fault: kind + seed,
    causes: upTo(causes).map((at) => lean({ id: id("c", at), weight: 1 + Math.floor(d.below(100) * d.below(100) / 100), repair: at < repairs ? at : d.below(repairs), eliminable: !mixed })),
    none: mixed ? 0 : undefined,
    repairs: upTo(repairs).map((at) => ({ id: id("r", at), seconds: 600 })),
    accesses: upTo(accesses).map((at) => ({ id: id("a", at), seconds: 60 * (3 + d.below(13)), needs: [] })), tasks: [],
    states: [""], change: [[0]], start: 0, checks: [],
  };
  for (let at = 0; at < checks; at++) {
    const wide = d.chance(10) ? 3 : 2, share = 20 + d.below(50), alone = mixed && at < checks / 2;
    const answers = upTo(alone ? 2 : wide).map((answer) => lean({ leaves: undefined, none: answer === 0 }));
    answers.forEach((answer) => { answer.leaves = []; });
    for (let cause = 0; cause < causes; cause++) answers[alone ? Number(cause === at % causes) : d.chance(share) ? 1 + d.below(wide - 1) : 0].leaves.push(cause);
    problem.checks.push(lean({ id: id("t", at), seconds: 30 * (1 + d.below(30)), access: accesses && d.chance(60) ? [d.below(accesses)] : [], answers }));
  }
  return paged(problem);
}

/** A move that somebody could make at a state, of which it is told what comes next and which causes are left: mostly what is asked, sometimes anything. */
function anyMove(problem, next, left, d) {
  const what = d.below(100), checks = problem.checks, repair = d.pick(problem.repairs).id;
  if (next.kind === "repair" && what < 80) return { kind: "tried", repair: next.repair, cured: d.chance(20) };
  const check = next.kind === "check" && d.chance(75) ? checks.find((one) => one.id === next.check) : d.pick(checks);
  if (!check || what >= 96) return { kind: "tried", repair, cured: d.chance(10) };
  if (what >= 82) return { kind: "skip", check: check.id };
  const all = upTo(check.answers.length), likely = all.filter((at) => (check.answers[at].leaves || []).some((cause) => left.some((one) => one.cause === problem.causes[cause].id)));
  return { kind: what < 60 ? "answer" : "known", check: check.id, answer: d.pick(likely.length && d.chance(75) ? likely : all) };
}

module.exports = { dice, anyFault, largeFault, anyMove };
