// The plan solver: branch and bound over memoised positions. One solver is made for a fault and the checks that can be taken,
// and every place that a reader comes to is a position of it, so what was worked out for one place serves the next.
//
// Where the answer is proved it hangs on no order of search and no bound, only on costs and ties, which go by the seconds of
// the step and then by id: so it is the compiler's, though this searches with fewer bounds.
//
// Sets are bit masks and weights whole numbers. Both are plain numbers where 31 bits, or 2^53, suffice for everything that can
// come up, and BigInts otherwise; the same code serves both, since no operation ever mixes them.

/**
 * A set of bits: a number, or a BigInt where the problem is large; never both in one problem.
 * @typedef {number} Bits
 * A whole number: a number, or a BigInt where the problem is large; never both in one problem.
 * @typedef {number} Whole
 *
 * @typedef {{at: number, place: number, cost: number, state: number | undefined, extras: Bits, tracked: Bits, after: Bits, loose: Bits,
 *   sets: Bits[], exits: boolean[], parts: number[]}} Probe
 *   A check. `tracked`: its own bit where it is not sharp or another comes after it. `loose`: causes for which it is not sharp.
 *   `sets`: causes each answer leaves. `parts`: per cause, how many those are.
 * @typedef {{set: Bits, done: Bits, open: Bits, at: number}} Position
 *   Causes still possible, tracked checks taken, extras paid for, state of the machine.
 * @typedef {{atLeast: Whole, solved: boolean, best: Probe | null}} Known  `best`: null where the path ends.
 * @typedef {{probe: Probe, step: number, atLeast: Whole, branches: {state: Position, atLeast: Whole, size: number}[]}} Candidate
 */

const planSearch = (() => {
  "use strict";
  /** What a search found: the exact cost; more than the limit; or it had to stop. Then the cost is a lower bound. */
  const EXACT = 0, OVER = 1, SPENT = 2;
  /** Up to how many causes a position is tried out without the pair bound; positions the quick policy may open. */
  const FEW = 3, MOST_QUICK = 20000;

  /** @param {Whole} a @param {Whole} b */
  const byValue = (a, b) => a < b ? -1 : a > b ? 1 : 0;
  /** @param {bigint} a @param {bigint} b */
  const divisor = (a, b) => { while (b) [a, b] = [b, a % b]; return a; };
  /** @param {PlanAnswer} answer @param {number} cause @param {number} none "None of these" stands behind the causes. */
  const leaves = (answer, cause, none) => cause === none ? !!answer.none : !!answer.leaves && answer.leaves.includes(cause);

  /**
   * A solver of a fault. @param {PlanProblem} problem @param {bigint[]} given weights of the causes and, last, of "none of these" where that may be
   * @param {number[]} usable places of the checks that are taken or can be
   */
  function solver(problem, given, usable) {
    const none = problem.causes.length, { repairs, extras = [] } = problem, one = BigInt(1);
    const places = usable.slice().sort((a, b) => problem.checks[a].id < problem.checks[b].id ? -1 : 1), checks = places.map((at) => problem.checks[at]), earlier = new Set(checks.flatMap((check) => check.after || []));
    const parts = checks.map((check) => given.map((_, cause) => check.answers.filter((answer) => leaves(answer, cause, none)).length || 1));
    // Weights without their common divisor, times the least number that every even split divides.
    const scale = given.reduce((scale, _, cause) => {
      const product = parts.reduce((product, parts) => product * BigInt(parts[cause]), one);
      return scale / divisor(scale, product) * product;
    }, one), common = given.reduce(divisor);
    const exact = given.map((weight) => weight / (common || one) * scale), sum = exact.reduce((sum, weight) => sum + weight);
    const longest = checks.concat(/** @type {any} */ (extras), /** @type {any} */ (repairs)).reduce((sum, { seconds }) => sum + seconds, 1) + checks.length * Math.max(...problem.change.flat());
    const followed = places.filter((at, n) => earlier.has(at) || parts[n].some((parts) => parts > 1));
    const large = Math.max(given.length, followed.length, extras.length) > 31 || sum * BigInt(8 * longest) > BigInt(Number.MAX_SAFE_INTEGER);
    /** A whole number of the problem's kind. @type {(value: number | bigint) => Whole} */
    const whole = /** @type {any} */ (large ? BigInt : Number);
    const zero = whole(0), base = exact.map(whole), most = whole(large ? one << BigInt(126) : Number.MAX_SAFE_INTEGER);
    /** The bits of sets. */
    const bit = Array.from({ length: Math.max(none + 1, followed.length, extras.length) }, (_, at) => whole(1) << whole(at));
    /** @param {number[]} list @returns {Bits} */
    const bits = (list) => list.reduce((all, at) => all | bit[at], zero);
    const causes = given.map((_, cause) => cause);

    /** @type {Probe[]} */
    const probes = checks.map((check, n) => {
      const at = places[n], loose = bits(causes.filter((cause) => parts[n][cause] > 1));
      const sets = check.answers.map((answer) => bits(causes.filter((cause) => leaves(answer, cause, none))));
      return {
        at, place: n, cost: check.seconds, state: check.state, extras: bits(check.extras || []), loose, sets, parts: parts[n],
        tracked: bits([followed.indexOf(at)].filter((n) => n >= 0)), after: bits((check.after || []).map((before) => followed.indexOf(before)).filter((n) => n >= 0)),
        exits: check.answers.map((answer) => answer.exit !== undefined)
      };
    });

    /** Per cause, those with its repair. */
    const alike = causes.map((cause) => bits(causes.filter((other) => other < none && cause < none && problem.causes[other].repair === problem.causes[cause].repair)));
    const eliminable = bits(causes.filter((cause) => cause < none && problem.causes[cause].eliminable));
    /** Some repair is the same for all of these, and the search may end on it. @param {Bits} set */
    function mayEnd(set) {
      const real = set & ~bit[none];
      let at = 0;
      while (real && !(real & bit[at])) at++;
      return !real || !(real & ~alike[at]) && !(real !== set && real & ~eliminable);
    }
    /** Places of the probes that can tell two causes apart; none where the two may share the end of a path, or where no probe does so surely. @param {number} a @param {number} b */
    function telling(a, b) {
      const one = bit[a], two = bit[b], both = one | two;
      const must = !mayEnd(both) && probes.some((probe) => probe.sets.every((set) => (set & both) !== both));
      return probes.filter((probe) => must && probe.sets.some((set) => !(set & one) !== !(set & two))).map((probe) => probe.place);
    }

    // ---- what a position means ----

    const /** @type {Map<Bits, Whole[]>} */ weights = new Map();
    /** Weights after the checks in `done`: what several answers leave is split evenly over them. @param {Bits} done */
    function weighed(done) {
      let found = weights.get(done);
      if (!found) weights.set(done, found = base.map((weight, cause) => probes.reduce((weight, probe) => probe.tracked & done ? weight / whole(probe.parts[cause]) : weight, weight)));
      return found;
    }
    /** @param {Bits} set */
    const members = (set) => causes.filter((cause) => set & bit[cause]);
    /** @param {Position} state @param {Bits} [set] */
    const mass = (state, set = state.set) => weighed(state.done).reduce((sum, weight, cause) => set & bit[cause] ? sum + weight : sum, zero);
    /** Some answer would leave some, but not all. @param {Probe} probe @param {Position} state */
    function tells(probe, { set, done }) {
      if (probe.tracked & done) return false;
      for (const leaves of probe.sets) if (leaves & set && (leaves & set) !== set) return true;
      return false;
    }
    /** Of some probes those that tell something, and those that must come before one of them. @param {Position} state @param {Probe[]} among */
    function useful(state, among) {
      for (let before = zero; ;) {
        const list = among.filter((probe) => tells(probe, state) || probe.tracked & before);
        const missing = list.reduce((all, probe) => all | probe.after & ~state.done, zero);
        if (missing === before) return list;
        before = missing;
      }
    }
    /** All seconds of taking a check here. @param {Probe} probe @param {Position} state */
    const stepOf = (probe, state) => extras.reduce((sum, extra, at) => probe.extras & ~state.open & bit[at] ? sum + extra.seconds : sum,
      probe.cost + (probe.state === undefined ? 0 : problem.change[state.at][probe.state]));
    /** Forgets what no later check can need: the largest saving of positions. @param {Position} state @param {Probe[]} among */
    function settled({ set, done, open, at }, among) {
      if (!done && !open && !at) return { set, done, open, at };
      let needs = zero, before = zero, bound = false, kept = zero;
      for (const probe of useful({ set, done, open, at }, among)) {
        needs |= probe.extras;
        before |= probe.after;
        bound = bound || probe.state !== undefined;
      }
      if (done) for (const probe of probes) if (probe.tracked & before || probe.loose & set) kept |= probe.tracked;
      return { set, done: done & kept, open: open & needs, at: bound ? at : 0 };
    }
    /** What follows each possible answer that stays in this fault; not settled. @param {Probe} probe @param {Position} state @returns {Position[]} */
    const branches = (probe, state) => probe.sets.filter((set, n) => set & state.set && !probe.exits[n]).map((set) => ({
      set: set & state.set, done: state.done | probe.tracked, open: state.open | probe.extras, at: probe.state === undefined ? state.at : probe.state
    }));
    /** Order and cost of the repairs tried one after the other on causes that nothing tells apart. @param {Position} state */
    function tried(state) {
      const weight = weighed(state.done);
      let left = mass(state), cost = zero;
      const list = repairs.map(({ id, seconds }, at) => {
        const mine = members(state.set & ~bit[none]).filter((cause) => problem.causes[cause].repair === at);
        return { at, id, some: mine.length, seconds: whole(seconds), weight: mine.reduce((sum, cause) => sum + weight[cause], zero) };
      }).filter((repair) => repair.some);
      list.sort((a, b) => +!a.weight - +!b.weight || a.weight && byValue(a.seconds * b.weight, b.seconds * a.weight) || byValue(a.seconds, b.seconds) || (a.id < b.id ? -1 : 1));
      for (const repair of list) {
        cost += repair.seconds * left;
        left -= repair.weight;
      }
      return { order: list.map((repair) => repair.at), cost };
    }

    // ---- branch and bound ----

    const cover = planCover(probes, bit, causes.length, telling, extras.map((extra) => extra.seconds), problem.change);
    /** Positions a search may open, by size: about the same effort for every fault. */
    const budget = Math.min(100000, Math.max(300, Math.floor(600000000 / (given.length * given.length * Math.max(1, probes.length)))));
    const /** @type {Map<string | number, Known>} */ memory = new Map();
    /** What the cost returned last means; positions opened, and to be opened whatever the time; the position they are for; when to stop, and whether it came to that. */
    let found = EXACT, nodes = 0, least = 0, asked = /** @type {string | number} */ (""), until = Infinity, late = false;

    const bulk = given.length + extras.length + followed.length + 8;
    const [times, more, shift] = large || bulk > 53 ? [0, 0, 0] : [given.length, followed.length, extras.length].map((bits) => Math.pow(2, bits));
    /** A name for a position. @param {Position} state @returns {string | number} */
    const nameOf = ({ set, done, open, at }) => times ? ((at * shift + open) * more + done) * times + set : [set, done, open, at].join();
    /** @param {number} meaning @param {Whole} value */
    const say = (meaning, value) => { found = meaning; return value; };
    /** Takes off more than the rounding of any sum, and rounds up: the true value is whole. @param {number} value */
    const floor = (value) => whole(Math.max(0, Math.ceil(value * (1 - 1e-9))));

    /** The exact cost of a settled position if it is at most `limit`. @param {Position} state @param {Whole} limit @param {number} depth @returns {Whole} */
    function solve(state, limit, depth) {
      if (mayEnd(state.set)) return say(EXACT, zero);
      const name = nameOf(state);
      let known = memory.get(name);
      if (known && (known.solved || known.atLeast > limit)) return say(known.atLeast > limit ? OVER : EXACT, known.atLeast);
      if (!known) memory.set(name, known = { atLeast: zero, solved: false, best: null });
      if (nodes >= budget || late) return say(SPENT, known.atLeast);
      const list = useful(state, probes);
      if (!list.some((probe) => tells(probe, state))) {
        known.solved = true;
        known.atLeast = tried(state).cost;
        return say(known.atLeast > limit ? OVER : EXACT, known.atLeast);
      }
      nodes++;
      late = nodes > least && performance.now() > until;
      const few = members(state.set).length <= FEW;
      if (!few) {
        const lower = floor(cover.improve(state, members(state.set), weighed(state.done), list, Number(limit) * (1 + 2e-9) + 1, depth));
        if (lower > known.atLeast) known.atLeast = lower;
        if (known.atLeast > limit) return say(OVER, known.atLeast);
      }
      return tryAll(state, candidates(state, list, !few, limit), known, limit, depth + 1);
    }

    /** The ready probes with a first lower bound each, the most promising first. @param {Position} state @param {Probe[]} list @param {boolean} covered @param {Whole} limit @returns {Candidate[]} */
    function candidates(state, list, covered, limit) {
      const all = mass(state);
      return list.filter((probe) => !(probe.after & ~state.done)).map((probe) => {
        const step = stepOf(probe, state), table = covered ? cover.table(probe.extras & ~state.open, probe.state) : null;
        let lower = all * whole(step);
        const after = (lower > limit ? [] : branches(probe, state)).filter((branch) => !mayEnd(branch.set)).map((behind) => {
          const branch = settled(behind, list), known = memory.get(nameOf(branch)), inside = members(branch.set);
          let least = known ? known.atLeast : zero;
          if (!known && table) least = floor(cover.within(table, inside) / Math.max(...inside.map((cause) => probe.parts[cause])));
          lower += least;
          return { state: branch, atLeast: least, size: inside.length };
        });
        return { probe, step, atLeast: lower, branches: after.sort((a, b) => a.size - b.size) };
      }).sort((a, b) => byValue(a.atLeast, b.atLeast) || a.step - b.step || a.probe.place - b.probe.place);
    }

    /** @param {Position} state @param {Candidate[]} list @param {Known} known @param {Whole} limit @param {number} depth @returns {Whole} */
    function tryAll(state, list, known, limit, depth) {
      let best = /** @type {Candidate | null} */ (null), spent = false, cost = zero, lower = most;
      for (const candidate of list) {
        // Of equal costs the one with the shorter step counts, or with the smaller id.
        const first = !best || candidate.step < best.step || candidate.step === best.step && candidate.probe.place < best.probe.place;
        const cap = !best ? limit : first ? cost : cost - whole(1);
        const value = candidate.atLeast > cap ? say(OVER, candidate.atLeast) : descend(candidate, cap, depth);
        if (found === EXACT) {
          best = candidate;
          cost = value;
        } else {
          spent = spent || found === SPENT;
          if (value < lower) lower = value;
        }
      }
      if (best && (!spent || lower >= cost)) {
        known.atLeast = cost;
        known.solved = true;
        known.best = best.probe;
        return say(EXACT, cost);
      }
      if (best && cost < lower) lower = cost;
      if (lower > known.atLeast) known.atLeast = lower;
      return say(best || spent ? SPENT : OVER, known.atLeast);
    }

    /** Solves what follows one candidate, the smallest branch first, as long as the sum may stay within `cap`. @param {Candidate} candidate @param {Whole} cap @param {number} depth @returns {Whole} */
    function descend(candidate, cap, depth) {
      let sum = candidate.atLeast, spent = false;
      for (const branch of candidate.branches) {
        const cost = solve(branch.state, cap - sum + branch.atLeast, depth);
        spent = spent || found === SPENT;
        if (cost > branch.atLeast) sum += cost - branch.atLeast;
        if (sum > cap) return say(OVER, sum);
      }
      return say(spent ? SPENT : EXACT, sum);
    }

    // ---- where it had to stop: what tells most per second ----

    const /** @type {Map<string | number, {cost: Whole, probe: Probe | null}>} */ costs = new Map();
    /** The quick policy from a settled position, or the proved plan where there is one. @param {Position} state @returns {{cost: Whole, probe: Probe | null}} */
    function quick(state) {
      const name = nameOf(state), proved = memory.get(name), known = costs.get(name);
      if (mayEnd(state.set)) return { cost: zero, probe: null };
      if (proved && proved.solved) return { cost: proved.atLeast, probe: proved.best };
      if (known) return known;
      const list = useful(state, probes), all = Number(mass(state));
      let found = { cost: tried(state).cost, probe: /** @type {Probe | null} */ (null) }, most = -1;
      for (const probe of costs.size < MOST_QUICK && list.some((probe) => tells(probe, state)) ? list : []) {
        const told = probe.sets.reduce((left, set) => left - Math.pow(Number(mass(state, set & state.set)), 2), all * all) / Math.max(1, stepOf(probe, state));
        if (told > most && !(probe.after & ~state.done)) { most = told; found.probe = probe; }
      }
      costs.set(name, found);
      if (found.probe) found.cost = branches(found.probe, state).reduce((sum, branch) => sum + quick(settled(branch, list)).cost, mass(state) * whole(stepOf(found.probe, state)));
      return found;
    }

    /**
     * The first step of the plan of least expected seconds from a position, of which `pinned` checks come first.
     * Null when it has not been found by the time `end`; asked again, it goes on from there.
     *
     * @param {Position} root @param {number[]} pinned places of checks @param {number} end
     * @returns {{check: number, repairs: number[], value: Whole, weight: Whole, exact: boolean} | null} `check` is -1 where none is left.
     */
    function plan(root, pinned, end) {
      const name = nameOf(root), first = pinned.map((at) => probes.find((probe) => probe.at === at));
      if (asked !== name) nodes = 0;
      asked = name;
      until = end;
      // A small fault is planned at one go on any machine.
      least = nodes + budget / 1000;
      late = false;
      let value = zero, exact = true, best = /** @type {Probe | null | undefined} */ (first[0]);
      for (const open = [{ state: root, n: 0 }]; open.length;) {
        const { state, n } = /** @type {{state: Position, n: number}} */ (open.pop()), probe = first[n];
        if (probe) {
          value += mass(state) * whole(stepOf(probe, state));
          for (const branch of branches(probe, state)) open.push({ state: branch, n: n + 1 });
          continue;
        }
        const here = settled(state, probes), cost = solve(here, most, 0), proved = found === EXACT;
        if (late) return null;
        exact = exact && proved;
        value += proved ? cost : quick(here).cost;
        if (!first.length) best = mayEnd(here.set) ? null : quick(here).probe;
      }
      return { check: best ? best.at : -1, repairs: tried(root).order, value, weight: mass(root), exact };
    }

    return { plan, bits, mass, weighed, tracked: (/** @type {number[]} */ list) => probes.reduce((all, probe) => list.includes(probe.at) ? all | probe.tracked : all, zero) };
  }

  return { solver, leaves, divisor };
})();
