// The plan of a fault, carried on from wherever the reader stands: answers given, checks known or impossible, repairs made.
// No page and no network; runs in any browser and in Node. The search itself is in plan-search.js; both agree with the compiler
// to the last unit, which a test holds them to.

/**
 * A fault as the compiler writes it into `walks/<fault>.js`. Lists refer to each other by position; ids are the guide's.
 * Left out: false, empty, nothing. Whole numbers beyond 2^53 stand as text.
 *
 * @typedef {{id: string, weight: number | string, repair: number, eliminable?: boolean}} PlanCause
 *   `repair`: its place among the repairs. `eliminable`: it may be found by elimination.
 * @typedef {{id: string, seconds: number, recalibration?: string, at?: string[]}} PlanRepair
 *   `id`: of the procedure. `recalibration`: "conditional" or "required". `at`: ids of the page's endings with it.
 * @typedef {{id: string, seconds: number, safe?: boolean}} PlanExtra
 *   Paid once: what is opened, each behind what it needs, and then what makes safe; `id`: of the access or the procedure.
 * @typedef {{leaves?: number[], exit?: string, none?: boolean, wrong?: number}} PlanAnswer
 *   `leaves`: the causes it leaves. `exit`: the fault it leads to. `none`: a machine with none of the causes gives it.
 *   `wrong`: how often, per million, another answer comes in its place.
 * @typedef {{id: string, seconds: number, extras?: number[], state?: number, after?: number[], first?: boolean,
 *   cures?: number[], at?: string[], answers: PlanAnswer[]}} PlanCheck
 *   `extras`: in order, with all that they need. `cures`: the repair that it makes, and the answer that says it cured. `at`: ids of the page's sections with it.
 * @typedef {{fault: string, causes: PlanCause[], none?: number | string, repairs: PlanRepair[], extras?: PlanExtra[],
 *   states: string[], change: number[][], start: number, checks: PlanCheck[]}} PlanProblem
 *   `none`: weight of "none of these". `states`: ids, the first may be empty. `change`: seconds from row to column.
 *
 * What the reader did, in order; nothing else is kept, so kept moves lead to the same place again.
 * @typedef {{kind: "answer" | "known", check: string, answer: number} | {kind: "skip", check: string}
 *   | {kind: "tried", repair: string, cured: boolean}} PlanMove
 *   A check was taken; its answer was known before, which takes no time and opens nothing; it cannot be done now, nor can
 *   those that come after it; a repair was made.
 *
 * A cause still possible. `weight`: in proportion to the others, exact. `share`: per mille of the listed causes.
 * @typedef {{cause: string, weight: number | bigint, share: number}} PlanLeft
 *
 * What comes next.
 * @typedef {{seconds: number, exact: boolean, value: number | bigint, weight: number | bigint}} PlanToGo
 *   `seconds`: expected until the cause is found, rounded. `exact`: proved least. `value` / `weight`: the seconds as an
 *   exact fraction.
 * @typedef {{kind: "check", check: string, due: number[], state: string | null, seconds: number, toGo: PlanToGo}} PlanNextCheck
 *   `due`: extras still to be paid, in order. `state`: to bring the machine into (null: it is in it). `seconds`: of the check
 *   with everything to be done for it here.
 * @typedef {{kind: "repair", repair: string, causes: string[], shown: boolean, cured: boolean, inTurn: string[]}} PlanNextRepair
 *   `shown`: some answer left only causes with this repair; else it was inferred. `cured`: a swap has made it already.
 *   `inTurn`: where no check tells the causes apart, all repairs in the order to try them; else empty.
 * @typedef {{kind: "exit", fault: string}} PlanNextExit
 * @typedef {{kind: "cured", repair: string}} PlanNextCured  A repair was made and cured.
 * @typedef {{kind: "escalate", why: "none" | "contradiction" | "skipped"}} PlanNextEscalate
 *   `none`: only "none of these" is left. `contradiction`: the answers and repairs leave nothing. `skipped`: only a check
 *   that cannot be done now would tell what is left apart.
 * @typedef {PlanNextCheck | PlanNextRepair | PlanNextExit | PlanNextCured | PlanNextEscalate} PlanNext
 *
 * Where the moves lead: causes still possible ("none of these" last), checks taken, of those the ones that have
 * parted the causes, checks skipped, and extras paid, by place; the state of the machine, seconds spent; what ended it; the
 * answer given last; all answers given.
 * @typedef {{alive: number[], taken: number[], split: number[], skipped: number[], open: number[], at: number, spent: number,
 *   ended: PlanNext | null, last: number[], given: number[][]}} PlanPlace
 */

const plan = (() => {
  "use strict";
  const { solver, leaves, divisor } = planSearch;

  // ---- where the moves lead ----

  /** @param {{id: string}[]} list @param {string} id */
  const placeOf = (list, id) => list.findIndex((entry) => entry.id === id);

  /** What belongs to no problem is passed over: kept moves may be of another edition. @param {PlanProblem} problem @param {readonly PlanMove[]} moves */
  function follow(problem, moves) {
    const { causes, repairs, checks } = problem, /** @type {PlanPlace} */ place = {
      alive: [...causes.keys()].concat(problem.none === undefined ? [] : causes.length),
      taken: [], split: [], skipped: [], open: [], at: problem.start, spent: 0, ended: null, last: [], given: []
    };
    for (const move of moves) {
      if (move.kind === "tried") {
        const repair = placeOf(repairs, move.repair);
        if (repair < 0) continue;
        if (swapped(problem, place) !== repair) place.spent += repairs[repair].seconds;
        if (move.cured) place.ended = { kind: "cured", repair: move.repair };
        else place.alive = place.alive.filter((cause) => cause === causes.length || causes[cause].repair !== repair);
        if (!move.cured) place.last = [];
        continue;
      }
      const at = placeOf(checks, move.check), check = checks[at];
      if (!check || place.taken.includes(at)) continue;
      if (move.kind === "skip") { place.skipped.push(at); continue; }
      const answer = check.answers[move.answer];
      if (!answer) continue;
      if (move.kind === "answer") {
        place.spent += cost(problem, place, check);
        place.open = place.open.concat(check.extras || []);
        if (check.state !== undefined) place.at = check.state;
      }
      place.taken.push(at);
      place.skipped = place.skipped.filter((other) => other !== at);
      place.given.push(place.last = [at, move.answer]);
      if (answer.exit !== undefined) { place.ended = place.ended || { kind: "exit", fault: answer.exit }; continue; }
      place.split.push(at);
      place.alive = place.alive.filter((cause) => leaves(answer, cause, causes.length));
    }
    return place;
  }

  /** The repair that the last answer says was made and cured. @param {PlanProblem} problem @param {PlanPlace} place */
  function swapped(problem, { last: [check, answer] }) {
    const cures = check === undefined ? undefined : problem.checks[check].cures;
    return cures && cures[1] === answer ? cures[0] : -1;
  }

  /** Extras still to be paid for a check. @param {PlanPlace} place @param {PlanCheck} check */
  const dueFor = (place, check) => (check.extras || []).filter((extra) => !place.open.includes(extra));
  /** Seconds of a check with everything to be done for it. @param {PlanProblem} problem @param {PlanPlace} place @param {PlanCheck} check */
  const cost = (problem, place, check) => dueFor(place, check).reduce((sum, extra) => sum + (problem.extras || [])[extra].seconds,
    check.seconds + (check.state === undefined ? 0 : problem.change[place.at][check.state]));

  /** Seconds so far. @param {PlanProblem} problem @param {readonly PlanMove[]} moves */
  const spent = (problem, moves) => follow(problem, moves).spent;

  /** Checks that are skipped, or come after one that is. @param {PlanProblem} problem @param {PlanPlace} place */
  function blocked(problem, place) {
    const found = place.skipped.slice();
    for (let before = -1; before < found.length;) {
      before = found.length;
      problem.checks.forEach((check, at) => {
        if (!found.includes(at) && !place.taken.includes(at) && (check.after || []).some((earlier) => found.includes(earlier))) found.push(at);
      });
    }
    return found;
  }

  // ---- what is left ----

  /** The solvers of the pages' faults, by what the reader said that changes more than the position. @type {WeakMap<PlanProblem, Map<string, ReturnType<typeof solver>>>} */
  const solvers = new WeakMap(), MOST_KEPT = 8;

  /** The solver for a place, and its position. @param {PlanProblem} problem @param {PlanPlace} place */
  function situation(problem, place) {
    const out = blocked(problem, place), { causes, checks } = problem, none = causes.length, kept = solvers.get(problem) || new Map();
    const weights = causes.map((cause) => BigInt(cause.weight)).concat(problem.none === undefined ? [] : BigInt(problem.none));
    // Where nothing left has a weight, all are taken as equally likely, and nothing splits them further.
    const weightless = !place.alive.some((cause) => weights[cause]), usable = [...checks.keys()].filter((at) => !out.includes(at) && !(weightless && place.taken.includes(at)));
    if (weightless) weights.fill(BigInt(1), 0, none);
    // The answers so far have not split what "none of these" weighs.
    if (weights[none]) for (const at of place.split) weights[none] *= BigInt(checks[at].answers.filter((answer) => answer.none).length || 1);
    const name = [usable, weights].join(";"), made = kept.get(name) || solver(problem, weights, usable);
    if (kept.size > MOST_KEPT) kept.clear();
    solvers.set(problem, kept.set(name, made));
    const position = { set: made.bits(place.alive), done: made.tracked(place.split), open: made.bits([...new Set(place.open)]), at: place.at };
    return { solver: made, position, weightless };
  }

  /** The causes still possible, in the order of the guide. @param {PlanProblem} problem @param {readonly PlanMove[]} moves @returns {PlanLeft[]} */
  function left(problem, moves) {
    const place = follow(problem, moves), { solver, position, weightless } = situation(problem, place), weights = solver.weighed(position.done);
    const common = place.alive.reduce((all, cause) => /** @type {any} */ (divisor)(all, weights[cause]), solver.bits([]));
    const listed = place.alive.filter((cause) => cause < problem.causes.length), all = listed.reduce((sum, cause) => sum + Number(weights[cause]), 0);
    return listed.map((cause) => ({
      cause: problem.causes[cause].id, weight: weightless ? 0 : weights[cause] / common,
      share: Math.round(all ? Number(weights[cause]) * 1000 / all : 1000 / listed.length)
    }));
  }

  // ---- what comes next ----

  /** What comes next; null when it has not been worked out by the time `end`: asked again, it goes on from there. @param {PlanProblem} problem @param {readonly PlanMove[]} moves @param {number} [end] @returns {PlanNext | null} */
  function next(problem, moves, end = Infinity) {
    const place = follow(problem, moves), { causes, checks, repairs } = problem, none = causes.length;
    if (place.ended) return place.ended;
    const listed = place.alive.filter((cause) => cause < none);
    if (!listed.length) return { kind: "escalate", why: place.alive.length ? "none" : "contradiction" };
    const { solver, position } = situation(problem, place);
    const found = solver.plan(position, pinned(problem, place), end);
    if (!found) return null;
    const check = checks[found.check];
    if (check) {
      return {
        kind: "check", check: check.id, due: dueFor(place, check), state: check.state === undefined || check.state === place.at ? null : problem.states[check.state],
        seconds: cost(problem, place, check),
        toGo: { seconds: Math.round(Number(found.value) / Number(found.weight)), exact: found.exact, value: found.value, weight: found.weight }
      };
    }
    // Trying on a guess is for causes that no check tells apart, not for want of a check that is skipped.
    const repair = found.repairs[0], cured = swapped(problem, place) === repair;
    const sure = listed.every((cause) => causes[cause].repair === repair && (listed.length === place.alive.length || causes[cause].eliminable));
    const tells = (/** @type {number} */ at) => checks[at].answers.some((answer) => {
      const kept = place.alive.filter((cause) => leaves(answer, cause, none)).length;
      return kept > 0 && kept < place.alive.length;
    });
    if (!sure && blocked(problem, place).some(tells)) return { kind: "escalate", why: "skipped" };
    const shows = place.given.some(([at, n]) => {
      const answer = checks[at].answers[n], all = answer.leaves || [];
      return all.length > 0 && !(answer.none && problem.none !== undefined) && all.every((cause) => causes[cause].repair === repair);
    });
    return {
      kind: "repair", repair: repairs[repair].id, causes: listed.filter((cause) => causes[cause].repair === repair).map((cause) => causes[cause].id),
      shown: cured || found.repairs.length === 1 && shows, cured, inTurn: found.repairs.length > 1 ? found.repairs.map((/** @type {number} */ at) => repairs[at].id) : []
    };
  }

  /** Pinned checks still to be taken, in the order given, each after those it comes after. @param {PlanProblem} problem @param {PlanPlace} place */
  function pinned(problem, place) {
    const /** @type {number[]} */ list = [], out = blocked(problem, place).concat(place.taken);
    /** @param {number} at */
    function pin(at) {
      if (list.includes(at) || out.includes(at)) return;
      (problem.checks[at].after || []).forEach(pin);
      list.push(at);
    }
    problem.checks.forEach((check, at) => { if (check.first) pin(at); });
    return list;
  }

  /** Places of the extras that have been done: what was opened and made safe. @param {PlanProblem} problem @param {readonly PlanMove[]} moves */
  const opened = (problem, moves) => follow(problem, moves).open;

  return { left, next, opened, spent };
})();
