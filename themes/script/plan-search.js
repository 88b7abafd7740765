// The plan solver: branch and bound over memoised positions, as in the compiler, with the same budget and tie-breaks.
// Where the answer is proved it does not depend on the order of the search: ties go by seconds of the step, then by id.
var Bayleaf = Bayleaf || {};

/** @typedef {InstanceType<typeof Bayleaf.planModel.Model>} Model */
/** @typedef {InstanceType<typeof Bayleaf.planCover>} Cover */

Bayleaf.planSearch = (function () {
  "use strict";
  var load = typeof require === "function" ? require : null;
  /** @type {typeof Bayleaf.planModel} */
  var parts = load ? load("./plan-model.js") : Bayleaf.planModel;
  /** @type {typeof Bayleaf.planCover} */
  var Cover = load ? load("./plan-cover.js") : Bayleaf.planCover;
  var Model = parts.Model, byValue = parts.byValue;

  /** Useful probes without those that another makes pointless: as fine, no dearer in any way, bound to nothing. @param {Model} model @param {Position} state @param {number[]} useful @returns {number[]} */
  function undominated(model, state, useful) {
    var /** @type {{at: number, probe: Probe, parts: Bits[]}[]} */ kept = [], probes = model.probes;
    useful.slice().sort(function (a, b) { return probes[a].cost - probes[b].cost || a - b; }).forEach(function (at) {
      var mine = probes[at], parts = mine.sets.map(function (set) { return set & state.set; }).filter(Boolean);
      var free = !mine.tracked && !mine.after;
      var beaten = free && kept.some(function (other) {
        var theirs = other.probe;
        return !theirs.tracked && !theirs.after && theirs.state === mine.state && theirs.cost <= mine.cost &&
          !(theirs.extras & ~state.open & ~mine.extras) && finer(other.parts, parts);
      });
      if (!beaten) kept.push({ at: at, probe: mine, parts: parts });
    });
    return kept.map(function (one) { return one.at; }).sort(function (a, b) { return a - b; });
  }

  /** Every part of `fine` lies within a part of `coarse`. @param {Bits[]} fine @param {Bits[]} coarse @returns {boolean} */
  function finer(fine, coarse) {
    if (fine.length < coarse.length) return false;
    return fine.every(function (part) { return coarse.some(function (whole) { return !(part & ~whole); }); });
  }

  // ---- Huffman's bound: groups must be told apart, and each step down a path needs another check ----

  /** Weights of the groups that must end on different leaves. @param {Model} model @param {Position} state @returns {Whole[]} */
  function groupWeights(model, state) {
    var left = model.members(state.set), /** @type {Whole[]} */ weights = [];
    while (left.length) {
      // The units connected to the first one by "need not be told apart".
      var sum = model.zero, fresh = [left[0]];
      left = left.slice(1);
      for (var n = 0; n < fresh.length; n++) {
        var must = model.must[fresh[n]], /** @type {number[]} */ rest = [];
        sum += model.weight(fresh[n], state.done);
        for (var k = 0; k < left.length; k++) (must & model.bits[left[k]] ? rest : fresh).push(left[k]);
        left = rest;
      }
      weights.push(sum);
    }
    return weights;
  }

  /** Least cost of telling `weights` apart with checks of these seconds (cheapest first), `arity` answers each. @param {Model} model @param {Whole[]} weights @param {number[]} costs @param {number} arity @returns {Whole} */
  function huffman(model, weights, costs, arity) {
    var sum = model.zero;
    if (weights.length < 2 || !costs.length || arity < 2) return sum;
    var short = (weights.length - 1) % (arity - 1);
    if (short) for (var fill = short; fill < arity - 1; fill++) weights.push(model.zero);
    weights.sort(byValue);
    var leaf = 0, inner = 0, /** @type {Whole[]} */ merged = [];
    while (weights.length - leaf + merged.length - inner > 1) {
      var both = model.zero;
      for (var n = 0; n < arity; n++) {
        if (leaf < weights.length && (inner >= merged.length || weights[leaf] <= merged[inner])) both += weights[leaf++];
        else if (inner < merged.length) both += merged[inner++];
      }
      merged.push(both);
    }
    for (var at = merged.length - 1, level = 0, width = 1, used = 0; at >= 0; at--, used++) {
      if (used === width) { level++; width *= arity; used = 0; }
      sum += merged[at] * model.whole(costs[Math.min(level, costs.length - 1)]);
    }
    return sum;
  }

  // ---- branch and bound ----

  /** Sweeps of re-sharing per position and at the first one, sharpness to start from below it, and up to how many units a position is tried out without the pair bound. */
  var SWEEPS = 2, FIRST_SWEEPS = 30, START = 3, FEW = 3;
  /** What a search found: the exact cost; more than the limit; or the budget ran out. Then the cost is a lower bound. */
  var EXACT = 0, OVER = 1, SPENT = 2;

  /**
   * @typedef {{lower: Whole, best: number, solved: boolean}} Known  `best`: the probe, -1 where the path ends.
   * @typedef {{probe: number, step: number, branches: {state: Position, lower: Whole, size: number}[], lower: Whole}} Candidate
   * @typedef {{state: Position, useful: number[], probes: number[], telling: boolean}} Scene
   */

  /** Work space: places of units. */
  var places = new Int32Array(256);

  class Search {
    /** @param {Model} model @param {number} budget */
    constructor(model, budget) {
      this.model = model;
      this.budget = budget;
      this.nodes = 0;
      /** @type {Map<string | number, Known>} */
      this.known = new Map();
      /** What the cost returned last means. */
      this.found = EXACT;
    }

    /** @param {Whole} value @param {Whole} limit @returns {Whole} */
    judge(value, limit) {
      this.found = value <= limit ? EXACT : OVER;
      return value;
    }

    /** @param {number} found @param {Whole} value @returns {Whole} */
    say(found, value) { this.found = found; return value; }

    /** Takes off more than the rounding of any sum, and rounds up: the true value is whole. @param {number} value @returns {Whole} */
    floor(value) { return this.model.whole(Math.max(0, Math.ceil(value * (1 - 1e-9)))); }

    /** The exact cost of a settled position if it is at most `limit`. @param {Position} state @param {Whole} limit @param {Cover | null} above @returns {Whole} */
    solve(state, limit, above) {
      if (this.model.ended(state.set)) return this.say(EXACT, this.model.zero);
      var name = key(this.model, state), known = this.known.get(name);
      if (known && known.solved) return this.judge(known.lower, limit);
      if (known && known.lower > limit) return this.say(OVER, known.lower);
      var scene = sceneAt(this.model, state);
      if (scene.telling) return this.open(scene, name, limit, above);
      var value = this.model.tried(state.set, state.done).value;
      this.known.set(name, { lower: value, best: -1, solved: true });
      return this.judge(value, limit);
    }

    /** @param {string | number} name @param {Whole} lower @returns {Whole} */
    raise(name, lower) {
      var known = this.known.get(name);
      if (!known) this.known.set(name, { lower: lower, best: -1, solved: false });
      else if (known.lower < lower) known.lower = lower;
      return known ? known.lower : lower;
    }

    /** @param {Scene} scene @param {string | number} name @param {Whole} limit @param {Cover | null} above @returns {Whole} */
    open(scene, name, limit, above) {
      var lower = this.raise(name, this.cheap(scene));
      if (lower > limit) return this.say(OVER, lower);
      if (this.nodes >= this.budget) return this.say(SPENT, lower);
      this.nodes++;
      if (this.model.size(scene.state.set) <= FEW) return this.tryAll(scene, name, null, limit);
      var cover = new Cover(this.model, scene.state, scene.probes, above), base = this.groupedAt(scene.state);
      var target = Number(limit > base ? limit - base + this.model.whole(1) : this.model.whole(1)) * (1 + 2e-9);
      var value = above ? cover.improve(START, SWEEPS, target) : cover.improve(1, FIRST_SWEEPS, target);
      lower = this.raise(name, this.floor(value) + base);
      if (lower > limit) return this.say(OVER, lower);
      return this.tryAll(scene, name, cover, limit);
    }

    /** A bound that needs no sweeps. @param {Scene} scene @returns {Whole} */
    cheap(scene) {
      var model = this.model, state = scene.state, /** @type {number[]} */ costs = [], arity = 2;
      scene.probes.forEach(function (at) {
        var probe = model.probes[at];
        if (!model.tells(probe, state)) return;
        costs.push(probe.cost);
        arity = Math.max(arity, probe.sets.filter(function (set) { return set & state.set; }).length);
      });
      costs.sort(function (a, b) { return a - b; });
      return huffman(model, groupWeights(model, state), costs, arity) + this.groupedAt(state);
    }

    /** What trying repairs costs for the units that hold causes nothing tells apart, whatever the tree. @param {Position} state @returns {Whole} */
    groupedAt(state) {
      var model = this.model, sum = model.zero;
      for (var at = 0; at < model.units.length; at++) {
        if (state.set & model.bits[at] && model.grouped[at]) sum += model.grouped[at] / model.share(at, state.done);
      }
      return sum;
    }

    /** @param {Scene} scene @param {string | number} name @param {Cover | null} cover @param {Whole} limit @returns {Whole} */
    tryAll(scene, name, cover, limit) {
      var candidates = this.candidates(scene, cover), /** @type {Candidate | null} */ best = null, spent = false;
      var cost = this.model.zero, lower = this.model.most;
      for (var n = 0; n < candidates.length; n++) {
        var candidate = candidates[n], cap = limit;
        if (best) {
          var first = candidate.step < best.step || (candidate.step === best.step && candidate.probe < best.probe);
          cap = first ? cost : cost > 0 ? cost - this.model.whole(1) : cost;
          if (!first && candidate.lower >= cost) { if (candidate.lower < lower) lower = candidate.lower; continue; }
        }
        if (candidate.lower > cap) { if (candidate.lower < lower) lower = candidate.lower; continue; }
        var value = this.descend(candidate, cover, cap);
        if (this.found === EXACT) { best = candidate; cost = value; continue; }
        if (this.found === SPENT) spent = true;
        if (value < lower) lower = value;
      }
      if (best && (!spent || lower >= cost)) {
        this.known.set(name, { lower: cost, best: best.probe, solved: true });
        return this.say(EXACT, cost);
      }
      return this.say(best || spent ? SPENT : OVER, this.raise(name, best && cost < lower ? cost : lower));
    }

    /** Solves what follows one candidate, the smallest branch first, as long as the sum may stay within `cap`. @param {Candidate} candidate @param {Cover | null} cover @param {Whole} cap @returns {Whole} */
    descend(candidate, cover, cap) {
      var sum = candidate.lower, spent = false;
      if (sum > cap) return this.say(OVER, sum);
      for (var n = 0; n < candidate.branches.length; n++) {
        var branch = candidate.branches[n], cost = this.solve(branch.state, cap - sum + branch.lower, cover);
        spent = spent || this.found === SPENT;
        if (cost > branch.lower) sum += cost - branch.lower;
        if (sum > cap) return this.say(OVER, sum);
      }
      return this.say(spent ? SPENT : EXACT, sum);
    }

    /** The ready probes with a first lower bound each, the most promising first. @param {Scene} scene @param {Cover | null} cover @returns {Candidate[]} */
    candidates(scene, cover) {
      var search = this, model = this.model, state = scene.state, mass = model.mass(state);
      var /** @type {Map<string, Float64Array>} */ tables = new Map(), /** @type {Candidate[]} */ list = [];
      scene.probes.forEach(function (at) {
        var probe = model.probes[at];
        if (probe.after & ~state.done) return;
        var opened = probe.extras & ~state.open, entered = probe.state === state.at ? -1 : probe.state;
        var name = opened + "," + entered, table = tables.get(name) || null;
        if (cover && !table) { table = cover.valuesWith(model, opened, entered); tables.set(name, table); }
        list.push(search.candidate(scene, at, mass, cover, table));
      });
      return list.sort(function (a, b) { return byValue(a.lower, b.lower) || a.step - b.step || a.probe - b.probe; });
    }

    /** @param {Scene} scene @param {number} at @param {Whole} mass @param {Cover | null} cover @param {Float64Array | null} table @returns {Candidate} */
    candidate(scene, at, mass, cover, table) {
      var model = this.model, probe = model.probes[at], step = model.step(probe, scene.state), lower = mass * model.whole(step);
      var branches = model.branches(probe, scene.state), /** @type {Candidate["branches"]} */ list = [];
      for (var n = 0; n < branches.length; n++) {
        if (model.ended(branches[n].set)) continue;
        var state = behind(model, scene, branches[n]), least = this.inherited(scene.state, state, probe.tracked, cover, table);
        lower += least;
        list.push({ state: state, lower: least, size: model.size(state.set) });
      }
      list.sort(function (a, b) { return a.size - b.size; });
      return { probe: at, step: step, branches: list, lower: lower };
    }

    /** The dual point above restricted to a position below, or what is already known of it. @param {Position} parent @param {Position} child @param {Bits} tracked @param {Cover | null} cover @param {Float64Array | null} table @returns {Whole} */
    inherited(parent, child, tracked, cover, table) {
      var model = this.model, known = this.known.get(key(model, child));
      if (known) return known.lower;
      if (!cover || !table) return this.groupedAt(child);
      var units = cover.units, count = units.length, size = 0, sum = 0;
      for (var at = 0; at < count; at++) if (child.set & model.bits[units[at]]) places[size++] = at;
      for (var a = 0; a + 1 < size; a++) {
        for (var row = places[a] * count, b = a + 1; b < size; b++) sum += table[row + places[b]];
      }
      if (tracked) {
        var most = model.whole(1);
        for (var n = 0; n < size; n++) {
          var unit = units[places[n]], now = model.share(unit, child.done | tracked), before = model.share(unit, parent.done);
          var parts = (now - now % before) / before;
          if (parts > most) most = parts;
        }
        sum /= Number(most);
      }
      return this.floor(sum) + this.groupedAt(child);
    }
  }

  /** A name for a position: a number where one can hold all of it. @param {Model} model @param {Position} state @returns {string | number} */
  function key(model, state) {
    if (!model.bulk) return state.set + "," + state.done + "," + state.open + "," + state.at;
    return ((state.at * model.bulk.open + state.open) * model.bulk.done + state.done) * model.bulk.set + state.set;
  }

  /** @param {Model} model @param {Position} state @returns {Scene} */
  function sceneAt(model, state) {
    var useful = model.useful(state);
    var telling = useful.some(function (at) { return model.tells(model.probes[at], state); });
    return { state: state, useful: useful, probes: undominated(model, state, useful), telling: telling };
  }

  /** The settled position behind a branch of one of a scene's probes. @param {Model} model @param {Scene} scene @param {Position} state @returns {Position} */
  function behind(model, scene, state) {
    var waits = state.done || scene.useful.some(function (at) { return model.probes[at].after; });
    if (waits) return model.settle(state, model.useful(state));
    return model.settle(state, scene.useful.filter(function (at) { return model.tells(model.probes[at], state); }));
  }



  // ---- where the budget does not suffice: information per second, and one step of looking ahead over it ----

  /** Checks tried out, best information per second first, and positions the quick policy may open. */
  var WIDTH = 10, MOST_POSITIONS = 20000;

  class Rollout {
    /** @param {Model} model @param {Search} search */
    constructor(model, search) {
      this.model = model;
      this.search = search;
      /** @type {Map<string | number, Whole>} */
      this.costs = new Map();
      /** Units by repair; each with several repairs, and "none of these", stand alone. @type {Bits[]} */
      this.goals = [];
      var /** @type {Map<number, number>} */ places = new Map();
      model.units.forEach((unit, at) => {
        var place = unit.repair < 0 ? undefined : places.get(unit.repair);
        if (place !== undefined) { this.goals[place] |= model.bits[at]; return; }
        if (unit.repair >= 0) places.set(unit.repair, this.goals.length);
        this.goals.push(model.bits[at]);
      });
    }

    /** Mass times entropy over repairs, with a grain of entropy over causes to break ties; by count where all weigh 0. @param {Position} state @param {Bits} set @param {boolean} weightless @returns {number} */
    doubt(state, set, weightless) {
      var model = this.model, count = model.size(set);
      if (count < 2) return 0;
      /** @param {Bits} set @returns {number} */
      function weigh(set) {
        return model.members(set).reduce(function (sum, unit) { return sum + (weightless ? 1 : Number(model.weight(unit, state.done)) / Number(model.total)); }, 0);
      }
      var goals = this.goals.reduce(function (sum, goal) { return sum + timesLog(weigh(goal & set)); }, 0);
      return timesLog(weigh(set)) - goals + 1e-9 * timesLog(count);
    }

    /** Ready probes by information per second, best first; a check that waits lends its rank to the one it waits for. @param {Position} state @returns {number[]} */
    ranked(state) {
      var rollout = this, model = this.model, weightless = model.mass(state) <= 0, before = this.doubt(state, state.set, weightless);
      var /** @type {{worth: number, step: number, place: number, first: number}[]} */ list = [];
      model.probes.forEach(function (probe, place) {
        if (!model.tells(probe, state)) return;
        var after = probe.sets.reduce(function (sum, set) { return sum + rollout.doubt(state, set & state.set, weightless); }, 0);
        var first = rollout.first(state, place), step = model.step(probe, state) + first.wait;
        list.push({ worth: Math.max(0, before - after) / Math.max(1, step), step: step, place: place, first: first.now });
      });
      list.sort(function (a, b) { return b.worth - a.worth || a.step - b.step || a.place - b.place; });
      return list.map(function (one) { return one.first; }).filter(function (first, at, all) { return all.indexOf(first) === at; });
    }

    /** The check to take now so that `place` can be taken, and the seconds of all it waits for. @param {Position} state @param {number} place @returns {{now: number, wait: number}} */
    first(state, place) {
      var model = this.model, now = place, wait = 0, list = [place];
      for (var n = 0; n < list.length; n++) {
        var missing = model.probes[list[n]].after & ~state.done;
        for (var at = 0; missing && at < model.probes.length; at++) {
          var probe = model.probes[at];
          if (!(probe.tracked & missing) || list.indexOf(at) >= 0) continue;
          list.push(at);
          wait += probe.cost;
          if (!(probe.after & ~state.done) && (now === place || at < now)) now = at;
        }
      }
      return { now: now, wait: wait };
    }

    /** Cost of the quick policy from a settled position, or of the proved plan where there is one. @param {Position} state @returns {Whole} */
    cost(state) {
      var model = this.model;
      if (model.ended(state.set)) return model.zero;
      var name = key(this.model, state), proved = this.search.known.get(name), known = proved && proved.solved ? proved.lower : this.costs.get(name);
      if (known !== undefined) return known;
      var place = this.costs.size < MOST_POSITIONS ? this.ranked(state)[0] : undefined;
      var cost = place === undefined ? model.tried(state.set, state.done).value : this.costOf(state, place);
      this.costs.set(name, cost);
      return cost;
    }

    /** @param {Position} state @param {number} place @returns {Whole} */
    costOf(state, place) {
      var rollout = this, model = this.model, probe = model.probes[place];
      return model.branches(probe, state).reduce(function (sum, branch) {
        return sum + rollout.cost(model.settle(branch, model.useful(branch)));
      }, model.mass(state) * model.whole(model.step(probe, state)));
    }

    /** The probe that is best when the quick policy follows it, with its cost. @param {Position} state @returns {{probe: number, cost: Whole}} */
    ahead(state) {
      var best = { probe: -1, step: 0, cost: this.model.most };
      this.ranked(state).slice(0, WIDTH).forEach((place) => {
        var cost = this.costOf(state, place), step = this.model.step(this.model.probes[place], state);
        var better = byValue(cost, best.cost) || step - best.step || place - best.probe;
        if (best.probe < 0 || better < 0) best = { probe: place, step: step, cost: cost };
      });
      return best;
    }
  }

  /** @param {number} x @returns {number} */
  function timesLog(x) { return x > 0 ? x * Math.log2(x) : 0; }

  // ---- the plan ----

  /** Positions a search may open, by size: about the same effort for every fault. @param {Model} model @returns {number} */
  function defaultNodes(model) {
    var units = Math.max(1, model.units.length);
    return Math.min(100000, Math.max(300, Math.floor(600000000 / (units * units * Math.max(1, model.probes.length)))));
  }

  /** The first step of the plan of least expected seconds; `budget`: positions it may open. @param {Question} question @param {number} [budget] @returns {Found} */
  function plan(question, budget) {
    var model = new Model(question), search = new Search(model, budget || defaultNodes(model));
    var root = { set: model.zero, done: model.zero, open: model.zero, at: model.start };
    model.units.forEach(function (_, at) { root.set |= model.bits[at]; });
    var costs = pinnedCosts(model, search, root), first = model.pinned.length ? model.pinned[0] : -1;
    if (first < 0 && costs.exact && !model.ended(root.set)) {
      var known = search.known.get(key(model, model.settle(root, model.useful(root))));
      first = known ? known.best : -1;
    }
    if (first < 0 && !costs.exact) first = new Rollout(model, search).ahead(root).probe;
    var gap = costs.exact || costs.lower <= 0 ? 0 : Math.ceil(Number(costs.value - costs.lower) * 1000 / Number(costs.lower));
    return {
      check: first < 0 ? null : model.probes[first].id, repairs: first < 0 ? model.tried(root.set, root.done).order : [],
      value: costs.value, weight: model.total, exact: costs.exact, gap: gap, nodes: search.nodes
    };
  }

  /** The cost of the pinned checks and of what follows every answer to them, with a lower bound. @param {Model} model @param {Search} search @param {Position} root @returns {{value: Whole, lower: Whole, exact: boolean}} */
  function pinnedCosts(model, search, root) {
    var value = model.zero, lower = model.zero, exact = true, open = [{ state: root, pinned: 0 }];
    for (var here = open.pop(); here; here = open.pop()) {
      if (here.pinned < model.pinned.length) {
        var probe = model.probes[model.pinned[here.pinned]], own = model.mass(here.state) * model.whole(model.step(probe, here.state));
        value += own;
        lower += own;
        var branches = model.branches(probe, here.state);
        for (var n = 0; n < branches.length; n++) open.push({ state: branches[n], pinned: here.pinned + 1 });
        continue;
      }
      var state = model.settle(here.state, model.useful(here.state)), cost = search.solve(state, model.most, null);
      lower += cost;
      if (search.found !== EXACT) { exact = false; cost = new Rollout(model, search).ahead(state).cost; }
      value += cost;
    }
    return { value: value, lower: lower, exact: exact };
  }

  return { plan: plan };
})();

(typeof module === "object" ? module : {}).exports = Bayleaf.planSearch;
