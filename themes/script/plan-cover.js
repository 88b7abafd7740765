// The pair bound of the plan solver: two causes that must be told apart share a check that does it, on both their paths, so a
// feasible point of the dual bounds every tree from below.
//
// Each budget (seconds of a check times weight of a cause, and a share of the extras the check needs) is given away among the
// cause's partners; a pair is worth the least that it was given by any check that can separate it. A position starts from what
// was given at the one above it, and its budgets only scale that: any point will do, and the two have much in common.
//
// This script and those of the plan and the walk are published as one, so each sees what the others declare at their top.

/**
 * @param {Probe[]} probes @param {Bits[]} bit of the members of a set @param {number} count of causes
 * @param {(a: number, b: number) => number[]} telling places of the probes that can tell two causes apart, none where they need not be
 * @param {number[]} seconds of the extras @param {number[][]} change
 */
const planCover = (probes, bit, count, telling, seconds, change) => {
  "use strict";
  /** Keeps a gift from vanishing; sweeps at the first position and below it, at one sharpness before the next; the sharpest. */
  const TINY = 1e-30, FIRST = 30, BELOW = 1, PATIENCE = 10, SHARPEST = 5;
  const width = probes.length, room = () => new Float64Array(count * width);
  /** Per cause and probe: own seconds times weight with the shares of its extras, what was given away, and their ratio. */
  const budget = room(), used = room(), scale = room(), factor = room();
  /** Per pair of causes, the probes that can tell them apart. @type {number[][]} */
  const told = [];
  /** Per depth, cause, partner and probe, what the cause gives; and per extra, cause and probe, the share of the extra's price. */
  const from = count * width, levels = /** @type {Float64Array[]} */ ([]);
  let gifts = /** @type {Float64Array} */ ( new Float64Array((count + seconds.length + change.length) * from).fill(1));
  levels[0] = gifts;

  /** Pairs of the position, and where their probes begin in `rows`. */
  const rows = new Int32Array(count * count * width / 2), given = new Float64Array(width);
  let firsts = /** @type {number[]} */ ([]), seconds2 = /** @type {number[]} */ ([]), starts = [0];
  const /** @type {Map<string, Float64Array>} */ tables = new Map(), /** @type {Float64Array[]} */ pool = [];
  let units = /** @type {number[]} */ ([]), weights = /** @type {number[]} */ ([]), active = /** @type {number[]} */ ([]);
  /** Extras that are still to be paid, and the probes that need them; where their shares begin. @type {{extra: number, price: number, ats: number[], shares: number}[]} */
  let fees = [];

  /** Least seconds to enter each state of the machine from another; entering the present one is free. @param {number} at */
  const entries = (at) => change.map((_, to) => {
    const least = Math.min(...change.map((row, from) => from === to ? Infinity : row[to]));
    return to === at || least === Infinity ? 0 : least;
  });

  /** Makes the shares of each extra add up to one, and puts its price on the budgets. */
  function level() {
    for (const unit of units) {
      const row = unit * width;
      for (const at of active) budget[row + at] = weights[unit] * probes[at].cost;
      for (const { price, ats, shares } of fees) {
        let sum = 0;
        for (const at of ats) sum += gifts[shares + row + at];
        for (const at of ats) budget[row + at] += (gifts[shares + row + at] /= sum) * weights[unit] * price;
      }
    }
  }
  function rescale() {
    for (const unit of units) for (const at of active) {
      const row = unit * width + at;
      scale[row] = used[row] > 0 ? budget[row] / used[row] : 1;
    }
  }
  function unused() { for (const unit of units) used.fill(0, unit * width, unit * width + width); }

  /** Finds the pairs; one that some check tells apart for nothing is left out. @param {Float64Array} above Gifts to start from. */
  function pairUp(above) {
    const is = new Uint8Array(width);
    let end = 0;
    for (const at of active) is[at] = 1;
    firsts = [];
    seconds2 = [];
    starts = [0];
    unused();
    for (let i = 0; i < units.length; i++) for (let j = i + 1; j < units.length; j++) {
      const a = units[i], b = units[j], begin = end;
      let free = false;
      for (const at of told[a * count + b] = told[a * count + b] || telling(a, b)) if (is[at]) {
        rows[end++] = at;
        free = free || budget[a * width + at] + budget[b * width + at] <= 0;
      }
      if (free) end = begin;
      if (end === begin) continue;
      for (let n = begin; n < end; n++) {
        const to = a * from + b * width + rows[n], back = b * from + a * width + rows[n];
        used[a * width + rows[n]] += gifts[to] = above[to];
        used[b * width + rows[n]] += gifts[back] = above[back];
      }
      firsts.push(a);
      seconds2.push(b);
      starts.push(end);
    }
    rescale();
  }

  /**
   * One sweep of re-sharing; returns the value of the point it started from.
   *
   * A pair divides one unit of demand over the checks that give it least, as the power `2^sharpness` of least over given;
   * each gift is multiplied by its part of that demand, to the power `2 / 2^sharpness`.
   *
   * @param {number} sharpness @param {boolean} moves Whether the shares of the extras are moved as well.
   */
  function sweep(sharpness, moves) {
    let sum = 0;
    unused();
    for (let pair = 0; pair < firsts.length; pair++) {
      const a = firsts[pair], b = seconds2[pair], one = a * width, two = b * width, to = a * from + two, back = b * from + one, begin = starts[pair], end = starts[pair + 1];
      let least = Infinity, demand = 0;
      for (let n = begin; n < end; n++) {
        const at = rows[n], all = (gifts[to + at] *= scale[one + at]) + (gifts[back + at] *= scale[two + at]);
        given[at] = all;
        if (all < least) least = all;
      }
      sum += least;
      for (let n = begin; n < end; n++) {
        const part = least / Math.max(given[rows[n]], TINY), square = part * part;
        let power = square;
        for (let k = 1; k < sharpness; k++) power *= power;
        demand += power;
        given[rows[n]] = Math.max(square, 1e-6);
      }
      let root = Math.max(demand, 1);
      for (let k = 1; k < sharpness; k++) root = Math.sqrt(root);
      for (let n = begin; n < end; n++) {
        const at = rows[n], keep = given[at] / root;
        used[one + at] += gifts[to + at] = Math.max(gifts[to + at] * keep, TINY);
        used[two + at] += gifts[back + at] = Math.max(gifts[back + at] * keep, TINY);
      }
    }
    // The extras' prices move to the checks that used up their budgets.
    if (moves) for (const { ats, shares } of fees) for (const unit of units) for (const at of ats) {
      const row = unit * width + at;
      gifts[shares + row] = Math.max(gifts[shares + row] * (budget[row] > 0 ? used[row] / budget[row] : 1), TINY);
    }
    if (moves && fees.length) level();
    rescale();
    return sum;
  }

  return {
    /**
     * Sweeps at a position until the bound reaches `target`; returns the best value seen.
     * @param {Position} state @param {number[]} members @param {Whole[]} weighed @param {Probe[]} list @param {number} target @param {number} depth
     */
    improve(state, members, weighed, list, target, depth) {
      let best = 0;
      units = members;
      weights = weighed.map(Number);
      active = list.map((probe) => probe.place);
      fees = seconds.map((price, extra) => state.open & bit[extra] ? 0 : price).concat(entries(state.at)).map((price, extra) => ({
        extra, price, shares: (count + extra) * from,
        ats: active.filter((at) => price > 0 && (extra < seconds.length ? probes[at].extras & bit[extra] : probes[at].state === extra - seconds.length))
      })).filter((fee) => fee.ats.length);
      gifts = levels[depth + 1] = levels[depth + 1] || new Float64Array(gifts.length).fill(1);
      for (const { ats, shares } of fees) for (const unit of units) for (const at of ats) gifts[shares + unit * width + at] = levels[depth][shares + unit * width + at];
      tables.clear();
      level();
      pairUp(levels[depth]);
      for (let n = 0; n < (depth ? BELOW : FIRST) && best < target && firsts.length; n++) {
        best = Math.max(best, sweep(Math.min(SHARPEST, (depth ? 3 : 1) + Math.floor(n / PATIENCE)), !depth));
      }
      return best;
    },

    /** What each pair would still be worth with more extras open and the machine in another state. @param {Bits} opened @param {number | undefined} entered */
    table(opened, entered) {
      const name = opened + "," + entered;
      let table = tables.get(name);
      if (table) return table;
      table = pool[tables.size] || (pool[tables.size] = new Float64Array(count * count));
      tables.set(name, table.fill(0));
      factor.set(scale);
      for (const { extra, price, ats, shares } of fees) if (extra < seconds.length ? opened & bit[extra] : extra - seconds.length === entered) {
        for (const unit of units) for (const at of ats) {
          const row = unit * width + at;
          if (budget[row] > 0) factor[row] -= scale[row] * gifts[shares + row] * weights[unit] * price / budget[row];
        }
      }
      for (let pair = 0; pair < firsts.length; pair++) {
        const a = firsts[pair], b = seconds2[pair], one = a * width, two = b * width, to = a * from + two, back = b * from + one;
        let least = Infinity;
        for (let n = starts[pair], end = starts[pair + 1]; n < end; n++) {
          const at = rows[n], all = gifts[to + at] * Math.max(factor[one + at], 0) + gifts[back + at] * Math.max(factor[two + at], 0);
          if (all < least) least = all;
        }
        table[a * count + b] = least;
      }
      return table;
    },

    /** What the pairs among some causes, in their order, are worth. @param {Float64Array} table @param {number[]} members */
    within(table, members) {
      let sum = 0;
      for (let i = 0; i < members.length; i++) for (let j = i + 1; j < members.length; j++) sum += table[members[i] * count + members[j]];
      return sum;
    }
  };
};
