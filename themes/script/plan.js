// The plan of a fault, carried on from wherever the reader stands: answers given, checks known or impossible, repairs made.
// Pure: no page, no network, no clock; runs in any browser and in Node. States are frozen and may be kept as JSON.
// The search itself is in plan-search.js; both agree with the compiler to the last unit, which a test holds them to.
var Bayleaf = Bayleaf || {};

/**
 * A fault as the compiler writes it into `walks/<fault>.js`. Lists refer to each other by position; ids are the guide's.
 * Left out: false, empty, nothing. Whole numbers beyond 2^53 stand as text.
 *
 * @typedef {{id: string, weight: number | string, repair: number, eliminable?: boolean}} PlanCause
 *   `repair`: its place among the repairs. `eliminable`: it may be found by elimination.
 * @typedef {{id: string, seconds: number, recalibration?: string, at?: string[]}} PlanRepair
 *   `id`: of the procedure. `recalibration`: "conditional" or "required". `at`: ids of the page's endings with it.
 * @typedef {{id: string, seconds: number, needs?: number[]}} PlanAccess
 * @typedef {{id: string, seconds: number}} PlanTask  What makes safe; `id`: of the procedure.
 * @typedef {{leaves?: number[], exit?: string, none?: boolean, wrong?: number}} PlanAnswer
 *   `leaves`: the causes it leaves. `exit`: the fault it leads to. `none`: a machine with none of the causes gives it.
 *   `wrong`: how often, per million, another answer comes in its place.
 * @typedef {{id: string, seconds: number, access?: number[], makeSafe?: number[], state?: number, after?: number[],
 *   first?: boolean, cures?: number[], at?: string[], answers: PlanAnswer[]}} PlanCheck
 *   `cures`: the repair that it makes, and the answer that says it cured. `at`: ids of the page's sections with it.
 * @typedef {{fault: string, causes: PlanCause[], none?: number | string, repairs: PlanRepair[], accesses?: PlanAccess[],
 *   tasks?: PlanTask[], states: string[], change: number[][], start: number, checks: PlanCheck[]}} PlanProblem
 *   `none`: weight of "none of these". `states`: ids, the first may be empty. `change`: seconds from row to column.
 *
 * What the reader did, in order. A state is nothing else, so a kept one leads to the same place again.
 * @typedef {{kind: "answer" | "known", check: string, answer: number} | {kind: "skip", check: string}
 *   | {kind: "tried", repair: string, cured: boolean}} PlanMove
 * @typedef {{readonly moves: readonly PlanMove[]}} PlanState
 *
 * A cause still possible. `weight`: in proportion to the others, exact. `share`: per mille of the listed causes.
 * @typedef {{cause: string, weight: number | bigint, share: number}} PlanLeft
 *
 * What comes next.
 * @typedef {{access: string[], makeSafe: string[], state: string | null}} PlanPrepare
 *   What is still to be opened (in order), made safe, and the state to bring the machine into (null: it is in it).
 * @typedef {{seconds: number, exact: boolean, gap: number, value: number | bigint, weight: number | bigint}} PlanToGo
 *   `seconds`: expected until the cause is found, rounded. `exact`: proved least; else `gap` is how much more than the
 *   least it may be, per mille. `value` / `weight`: the seconds as an exact fraction.
 * @typedef {{kind: "check", check: string, prepare: PlanPrepare, seconds: number, toGo: PlanToGo}} PlanNextCheck
 *   `seconds`: of the check with everything to be done for it here.
 * @typedef {{kind: "repair", repair: string, causes: string[], shown: boolean, seconds: number, cured: boolean,
 *   inTurn: string[]}} PlanNextRepair
 *   `shown`: some answer left only causes with this repair; else it was inferred. `cured`: a swap has made it already.
 *   `inTurn`: where no check tells the causes apart, all repairs in the order to try them; else empty.
 * @typedef {{kind: "exit", fault: string}} PlanNextExit
 * @typedef {{kind: "cured", repair: string}} PlanNextCured  A repair was made and cured.
 * @typedef {{kind: "escalate", why: "none" | "contradiction" | "skipped"}} PlanNextEscalate
 *   `none`: only "none of these" is left. `contradiction`: the answers and repairs leave nothing. `skipped`: only a check
 *   that cannot be done now would tell what is left apart.
 * @typedef {PlanNextCheck | PlanNextRepair | PlanNextExit | PlanNextCured | PlanNextEscalate} PlanNext
 */

Bayleaf.plan = (function () {
  "use strict";
  var load = typeof require === "function" ? require : null;
  /** @type {typeof Bayleaf.planSearch} */
  var search = load ? load("./plan-search.js") : Bayleaf.planSearch;

  // ---- moves ----

  /** @param {readonly PlanMove[]} moves @returns {PlanState} */
  function stateOf(moves) { return Object.freeze({ moves: Object.freeze(moves) }); }

  /** @param {PlanState} state @param {PlanMove} move @returns {PlanState} */
  function add(state, move) { return stateOf(state.moves.concat([Object.freeze(move)])); }

  /** Nothing answered. @param {PlanProblem} problem @returns {PlanState} */
  function begin(problem) { return stateOf([]); }

  /** A check was taken. @param {PlanProblem} problem @param {PlanState} state @param {string} check @param {number} answer @returns {PlanState} */
  function answer(problem, state, check, answer) { return add(state, { kind: "answer", check: check, answer: answer }); }

  /** An answer that was known before: it takes no time and opens nothing. @param {PlanProblem} problem @param {PlanState} state @param {string} check @param {number} answer @returns {PlanState} */
  function known(problem, state, check, answer) { return add(state, { kind: "known", check: check, answer: answer }); }

  /** A check that cannot be done now, nor can those that come after it. @param {PlanProblem} problem @param {PlanState} state @param {string} check @returns {PlanState} */
  function skip(problem, state, check) { return add(state, { kind: "skip", check: check }); }

  /** A repair was made. @param {PlanProblem} problem @param {PlanState} state @param {string} repair @param {boolean} cured @returns {PlanState} */
  function tried(problem, state, repair, cured) { return add(state, { kind: "tried", repair: repair, cured: cured }); }

  /** The state without one of its moves. @param {PlanProblem} problem @param {PlanState} state @param {number} move @returns {PlanState} */
  function without(problem, state, move) { return stateOf(state.moves.filter(function (_, at) { return at !== move; })); }

  // ---- where the moves lead ----

  /**
   * @typedef {{alive: boolean[], none: boolean, parts: bigint[], taken: boolean[], skipped: boolean[], open: boolean[],
   *   safe: boolean[], at: number, spent: number, exit: string | null, cured: number, last: number[] | null,
   *   given: number[][]}} Place
   *   Causes still possible, in how many even parts each was split, what was taken, skipped, opened and made safe, the
   *   state of the machine, seconds spent; the repair that cured, or -1; the answer given last; all answers given.
   */

  /** @param {{id: string}[]} list @param {string} id @returns {number} */
  function placeOf(list, id) { return list.findIndex(function (entry) { return entry.id === id; }); }

  /** @template T @param {T[]} list @param {boolean} value @returns {boolean[]} */
  function all(list, value) { return list.map(function () { return value; }); }

  /** Whatever does not belong to the problem is passed over: a kept state may be of another edition. @param {PlanProblem} problem @param {PlanState} state @returns {Place} */
  function follow(problem, state) {
    /** @type {Place} */
    var place = {
      alive: all(problem.causes, true), none: problem.none !== undefined,
      parts: problem.causes.map(function () { return BigInt(1); }),
      taken: all(problem.checks, false), skipped: all(problem.checks, false),
      open: all(problem.accesses || [], false), safe: all(problem.tasks || [], false),
      at: problem.start, spent: 0, exit: null, cured: -1, last: null, given: []
    };
    state.moves.forEach(function (move) { step(problem, place, move); });
    return place;
  }

  /** @param {PlanProblem} problem @param {Place} place @param {PlanMove} move */
  function step(problem, place, move) {
    if (move.kind === "tried") { repaired(problem, place, placeOf(problem.repairs, move.repair), move.cured); return; }
    var at = placeOf(problem.checks, move.check), check = problem.checks[at];
    if (!check || place.taken[at]) return;
    if (move.kind === "skip") { place.skipped[at] = true; return; }
    var given = check.answers[move.answer];
    if (!given) return;
    if (move.kind === "answer") pay(problem, place, check);
    place.taken[at] = true;
    place.skipped[at] = false;
    place.last = [at, move.answer];
    place.given.push(place.last);
    if (given.exit !== undefined) { place.exit = given.exit; return; }
    place.none = place.none && given.none === true;
    place.alive.forEach(function (alive, cause) {
      place.alive[cause] = alive && leaves(given, cause);
      var parts = check.answers.filter(function (other) { return leaves(other, cause); }).length;
      if (place.alive[cause]) place.parts[cause] *= BigInt(parts);
    });
  }

  /** @param {PlanAnswer} answer @param {number} cause @returns {boolean} */
  function leaves(answer, cause) { return answer.leaves !== undefined && answer.leaves.indexOf(cause) >= 0; }

  /** @param {PlanProblem} problem @param {Place} place @param {number} repair @param {boolean} cured */
  function repaired(problem, place, repair, cured) {
    if (repair < 0) return;
    if (swapped(problem, place) !== repair) place.spent += problem.repairs[repair].seconds;
    if (cured) { place.cured = repair; return; }
    problem.causes.forEach(function (cause, at) { if (cause.repair === repair) place.alive[at] = false; });
    place.last = null;
  }

  /** The repair that the last answer says was made and cured, or -1. @param {PlanProblem} problem @param {Place} place @returns {number} */
  function swapped(problem, place) {
    var cures = place.last && problem.checks[place.last[0]].cures;
    return cures && place.last && cures[1] === place.last[1] ? cures[0] : -1;
  }

  /** Accesses still closed, those that others need first. @param {PlanProblem} problem @param {Place} place @param {PlanCheck} check @returns {number[]} */
  function toOpen(problem, place, check) {
    var accesses = problem.accesses || [], /** @type {number[]} */ wanted = (check.access || []).slice();
    for (var n = 0; n < wanted.length; n++) {
      (accesses[wanted[n]].needs || []).forEach(function (need) { if (wanted.indexOf(need) < 0) wanted.push(need); });
    }
    wanted = wanted.filter(function (access, at) { return !place.open[access] && wanted.indexOf(access) === at; });
    wanted.sort(function (a, b) { return a - b; });
    var /** @type {number[]} */ opens = [];
    /** @param {number} access @returns {boolean} */
    function ready(access) {
      return opens.indexOf(access) < 0 && (accesses[access].needs || []).every(function (need) { return wanted.indexOf(need) < 0 || opens.indexOf(need) >= 0; });
    }
    for (var next = wanted.find(ready); next !== undefined; next = wanted.find(ready)) opens.push(next);
    return opens;
  }

  /** @param {PlanProblem} problem @param {Place} place @param {PlanCheck} check @returns {{opens: number[], safe: number[], change: number | null, seconds: number}} */
  function cost(problem, place, check) {
    var opens = toOpen(problem, place, check), tasks = problem.tasks || [], accesses = problem.accesses || [];
    var safe = tasks.map(function (_, at) { return at; }).filter(function (at) { return !place.safe[at] && (check.makeSafe || []).indexOf(at) >= 0; });
    var seconds = check.seconds;
    opens.forEach(function (at) { seconds += accesses[at].seconds; });
    safe.forEach(function (at) { seconds += tasks[at].seconds; });
    if (check.state !== undefined) seconds += problem.change[place.at][check.state];
    var change = check.state !== undefined && check.state !== place.at ? check.state : null;
    return { opens: opens, safe: safe, change: change, seconds: seconds };
  }

  /** @param {PlanProblem} problem @param {Place} place @param {PlanCheck} check */
  function pay(problem, place, check) {
    var due = cost(problem, place, check);
    place.spent += due.seconds;
    due.opens.forEach(function (at) { place.open[at] = true; });
    due.safe.forEach(function (at) { place.safe[at] = true; });
    if (check.state !== undefined) place.at = check.state;
  }

  // ---- what is left ----

  /** @param {bigint} a @param {bigint} b @returns {bigint} */
  function divisor(a, b) { while (b) { var rest = a % b; a = b; b = rest; } return a; }

  /** Weights of the causes still possible and of "none of these", whole and without a common divisor. @param {PlanProblem} problem @param {Place} place @returns {{causes: bigint[], none: bigint}} */
  function weights(problem, place) {
    var zero = BigInt(0), whole = BigInt(1);
    place.parts.forEach(function (parts, at) { if (place.alive[at]) whole = whole / divisor(whole, parts) * parts; });
    var causes = problem.causes.map(function (cause, at) { return place.alive[at] ? BigInt(cause.weight) * (whole / place.parts[at]) : zero; });
    var none = place.none ? BigInt(problem.none || 0) * whole : zero;
    var common = causes.reduce(divisor, none);
    return common ? { causes: causes.map(function (weight) { return weight / common; }), none: none / common } : { causes: causes, none: none };
  }

  /** @param {bigint} whole @returns {number | bigint} */
  function plain(whole) { return whole <= BigInt(Number.MAX_SAFE_INTEGER) ? Number(whole) : whole; }

  /** The causes still possible, in the order of the guide. @param {PlanProblem} problem @param {PlanState} state @returns {PlanLeft[]} */
  function left(problem, state) {
    var place = follow(problem, state), weight = weights(problem, place).causes;
    var total = weight.reduce(function (sum, one) { return sum + one; }, BigInt(0));
    var counted = place.alive.filter(Boolean).length, /** @type {PlanLeft[]} */ list = [];
    problem.causes.forEach(function (cause, at) {
      if (!place.alive[at]) return;
      // Where nothing left has a weight, all are taken as equally likely.
      var top = total ? weight[at] : BigInt(1), bottom = total || BigInt(counted);
      list.push({ cause: cause.id, weight: plain(weight[at]), share: Number((top * BigInt(2000) + bottom) / (bottom * BigInt(2))) });
    });
    return list;
  }

  /** Seconds so far. @param {PlanProblem} problem @param {PlanState} state @returns {number} */
  function spent(problem, state) { return follow(problem, state).spent; }

  // ---- what comes next ----

  /** Checks that are skipped, or come after one that is. @param {PlanProblem} problem @param {Place} place @returns {boolean[]} */
  function blocked(problem, place) {
    var found = place.skipped.slice();
    for (var again = true; again;) {
      again = false;
      problem.checks.forEach(function (check, at) {
        var waits = !found[at] && !place.taken[at] && (check.after || []).some(function (earlier) { return found[earlier]; });
        if (waits) { found[at] = true; again = true; }
      });
    }
    return found;
  }

  /** The question that is left: what is open, safe or known costs nothing any more, what is skipped is not there. @param {PlanProblem} problem @param {Place} place @returns {Question} */
  function rest(problem, place) {
    var weight = weights(problem, place), out = blocked(problem, place);
    var causes = numbers(problem.causes).filter(function (at) { return place.alive[at]; });
    var checks = numbers(problem.checks).filter(function (at) { return !place.taken[at] && !out[at]; });
    return {
      causes: causes.map(function (at) {
        var cause = problem.causes[at];
        return { id: cause.id, weight: weight.causes[at], repair: cause.repair, eliminable: cause.eliminable === true };
      }),
      none: place.none ? weight.none : null,
      repairs: problem.repairs,
      accesses: (problem.accesses || []).map(function (access, at) { return { seconds: place.open[at] ? 0 : access.seconds, needs: access.needs || [] }; }),
      tasks: (problem.tasks || []).map(function (task, at) { return place.safe[at] ? 0 : task.seconds; }),
      change: problem.change, start: place.at,
      checks: checks.map(function (at) {
        var check = problem.checks[at];
        return {
          id: check.id, seconds: check.seconds, access: check.access || [], makeSafe: check.makeSafe || [],
          state: check.state === undefined ? -1 : check.state, first: check.first === true,
          after: (check.after || []).map(function (earlier) { return checks.indexOf(earlier); }).filter(function (earlier) { return earlier >= 0; }),
          answers: check.answers.map(function (given) {
            return {
              leaves: numbers(causes).filter(function (cause) { return leaves(given, causes[cause]); }),
              none: place.none && given.none === true, exit: given.exit !== undefined
            };
          })
        };
      })
    };
  }

  /** @template T @param {T[]} list @returns {number[]} */
  function numbers(list) { return list.map(function (_, at) { return at; }); }

  /** What was worked out last: a page asks for the same place again and again. @type {WeakMap<PlanProblem, Map<string, PlanNext>>} */
  var memory = new WeakMap(), MOST_KEPT = 200;

  /** What comes next. @param {PlanProblem} problem @param {PlanState} state @returns {PlanNext} */
  function next(problem, state) {
    var kept = memory.get(problem) || new Map(), name = JSON.stringify(state.moves), found = kept.get(name);
    if (found) return found;
    found = nextAt(problem, state);
    if (kept.size >= MOST_KEPT) kept.clear();
    memory.set(problem, kept.set(name, found));
    return found;
  }

  /** @param {PlanProblem} problem @param {PlanState} state @returns {PlanNext} */
  function nextAt(problem, state) {
    var place = follow(problem, state);
    if (place.cured >= 0) return { kind: "cured", repair: problem.repairs[place.cured].id };
    if (place.exit !== null) return { kind: "exit", fault: place.exit };
    if (place.alive.indexOf(true) < 0) return { kind: "escalate", why: place.none ? "none" : "contradiction" };
    var found = search.plan(rest(problem, place));
    if (found.check !== null) return checkNext(problem, place, found.check, found);
    return repairNext(problem, place, found.repairs);
  }

  /** @param {PlanProblem} problem @param {Place} place @param {string} id @param {Found} found @returns {PlanNextCheck} */
  function checkNext(problem, place, id, found) {
    var check = problem.checks[placeOf(problem.checks, id)], due = cost(problem, place, check);
    var accesses = problem.accesses || [], tasks = problem.tasks || [];
    var rounded = (BigInt(found.value) * BigInt(2) + BigInt(found.weight)) / (BigInt(found.weight) * BigInt(2));
    return {
      kind: "check", check: id,
      prepare: {
        access: due.opens.map(function (at) { return accesses[at].id; }),
        makeSafe: due.safe.map(function (at) { return tasks[at].id; }),
        state: due.change === null ? null : problem.states[due.change]
      },
      seconds: due.seconds,
      toGo: { seconds: Number(rounded), exact: found.exact, gap: found.gap, value: found.value, weight: found.weight }
    };
  }

  /** @param {PlanProblem} problem @param {Place} place @param {number[]} repairs @returns {PlanNextRepair | PlanNextEscalate} */
  function repairNext(problem, place, repairs) {
    // Trying on a guess is for causes that no check tells apart, not for want of a check that is skipped.
    if (!mayEnd(problem, place) && skippedTells(problem, place)) return { kind: "escalate", why: "skipped" };
    var repair = repairs[0], cured = swapped(problem, place) === repair;
    var causes = problem.causes.filter(function (cause, at) { return place.alive[at] && cause.repair === repair; });
    return {
      kind: "repair", repair: problem.repairs[repair].id, causes: causes.map(function (cause) { return cause.id; }),
      shown: cured || (repairs.length === 1 && shows(problem, place, repair)),
      seconds: cured ? 0 : problem.repairs[repair].seconds, cured: cured,
      inTurn: repairs.length > 1 ? repairs.map(function (at) { return problem.repairs[at].id; }) : []
    };
  }

  /** All that is left shares one repair, and the search may end on it. @param {PlanProblem} problem @param {Place} place @returns {boolean} */
  function mayEnd(problem, place) {
    var causes = problem.causes.filter(function (_, at) { return place.alive[at]; });
    return causes.every(function (cause) { return cause.repair === causes[0].repair && (!place.none || cause.eliminable === true); });
  }

  /** Some check that cannot be done now has an answer that leaves some of what is left, but not all. @param {PlanProblem} problem @param {Place} place @returns {boolean} */
  function skippedTells(problem, place) {
    var out = blocked(problem, place);
    return problem.checks.some(function (check, at) {
      return out[at] && !place.taken[at] && check.answers.some(function (given) {
        var kept = numbers(problem.causes).filter(function (cause) { return place.alive[cause]; }).map(function (cause) { return leaves(given, cause); });
        if (place.none) kept.push(given.none === true);
        return kept.indexOf(true) >= 0 && kept.indexOf(false) >= 0;
      });
    });
  }

  /** Some answer given left only causes with this repair. @param {PlanProblem} problem @param {Place} place @param {number} repair @returns {boolean} */
  function shows(problem, place, repair) {
    return place.given.some(function (given) {
      var answer = problem.checks[given[0]].answers[given[1]], causes = answer.leaves || [];
      return causes.length > 0 && !(answer.none === true && problem.none !== undefined) &&
        causes.every(function (cause) { return problem.causes[cause].repair === repair; });
    });
  }

  return { begin: begin, answer: answer, known: known, skip: skip, tried: tried, without: without, left: left, next: next, spent: spent };
})();

(typeof module === "object" ? module : {}).exports = Bayleaf.plan;
