// A question put ready for the plan solver: sorted by id, causes that no check tells apart merged, weights scaled so that
// every even split is whole; and what one position of the search means. As in the compiler.
//
// Sets are bit masks and weights whole numbers. Both are plain numbers where 31 bits, or 2^53, suffice for everything
// that can come up, and BigInts otherwise; the same code serves both, since no operation ever mixes them.
var Bayleaf = Bayleaf || {};

/**
 * @typedef {{id: string, weight: bigint, repair: number, eliminable: boolean}} QuestionCause
 * @typedef {{leaves: number[], none: boolean, exit: boolean}} QuestionAnswer
 * @typedef {{id: string, seconds: number, access: number[], makeSafe: number[], state: number, first: boolean,
 *   after: number[], answers: QuestionAnswer[]}} QuestionCheck  `state`: -1 for any.
 * @typedef {{causes: QuestionCause[], none: bigint | null, repairs: {id: string, seconds: number}[],
 *   accesses: {seconds: number, needs: number[]}[], tasks: number[], change: number[][], start: number,
 *   checks: QuestionCheck[]}} Question  At least one cause; `tasks`: their seconds.
 * @typedef {{check: string | null, repairs: number[], value: number | bigint, weight: number | bigint, exact: boolean,
 *   gap: number, nodes: number}} Found
 *   The check to take, or else the repairs to try in turn; the expected seconds to go as `value` / `weight`.
 *
 * A set of bits: a number, or a BigInt where the problem is large; never both in one problem.
 * @typedef {number} Bits
 * A whole number: a number, or a BigInt where the problem is large; never both in one problem.
 * @typedef {number} Whole
 *
 * @typedef {{weight: Whole, members: number[], repair: number, none: boolean, eliminable: boolean}} Unit
 *   Causes that every check treats alike; the number of causes stands for "none of these". `repair`: of all real members,
 *   -1 for several or for none.
 * @typedef {{id: string, cost: number, extras: Bits, state: number, after: Bits, tracked: Bits, sets: Bits[],
 *   exits: boolean[], kind: Uint8Array, parts: Uint8Array}} Probe
 *   A check. `tracked`: its own bit where it is not sharp or another comes after it. `sets`: units each answer leaves.
 *   `kind`: per unit, equal where the answers are the same. `parts`: per unit, number of answers.
 * @typedef {{set: Bits, done: Bits, open: Bits, at: number}} Position
 *   Units still possible, tracked checks taken, extras paid for, state of the machine.
 */

Bayleaf.planModel = (function () {
  "use strict";

  /** @param {Whole} a @param {Whole} b @returns {number} */
  function byValue(a, b) { return a < b ? -1 : a > b ? 1 : 0; }

  /** @template T @param {T[]} list @returns {number[]} */
  function numbers(list) { return list.map(function (_, at) { return at; }); }

  /** Places in the order of the ids. @param {{id: string}[]} list @returns {number[]} */
  function byId(list) {
    return numbers(list).sort(function (a, b) { return list[a].id < list[b].id ? -1 : list[a].id > list[b].id ? 1 : 0; });
  }

  /** @param {bigint} a @param {bigint} b @returns {bigint} */
  function divisor(a, b) { while (b) { var rest = a % b; a = b; b = rest; } return a; }

  class Model {
    /** @param {Question} question */
    constructor(question) {
      var order = byId(question.checks), count = question.causes.length;
      var given = order.map(function (at) { return answersOf(question, question.checks[at]); });
      var groups = merge(question, given);
      var weights = scaled(question, given, groups);
      var total = weights.reduce(function (sum, weight) { return sum + weight; }, BigInt(0));
      this.large = tooMany(question, groups, given) || total * BigInt(8) * longest(question) > BigInt(Number.MAX_SAFE_INTEGER);
      /** A whole number of the problem's kind. @type {(value: number | bigint) => Whole} */
      this.whole = this.large ? /** @type {any} */ (BigInt) : Number;
      /** @type {Whole[]} */
      this.weightOf = weights.map(this.whole);
      this.total = this.whole(total);
      this.zero = this.whole(0);
      this.most = /** @type {Whole} */ (this.large ? /** @type {any} */ (BigInt(1) << BigInt(126)) : Number.MAX_SAFE_INTEGER);
      /** @type {Bits[]} */
      this.bits = [];
      var bits = Math.max(groups.length, order.length, question.accesses.length + question.tasks.length);
      for (var bit = 0; bit < bits; bit++) this.bits.push(this.large ? /** @type {any} */ (BigInt(1) << BigInt(bit)) : 1 << bit);
      /** What each part of a position's name counts for; null where they do not fit a number. @type {{set: number, done: number, open: number} | null} */
      this.bulk = null;
      this.noneAt = count;
      this.repairOf = question.causes.map(function (cause) { return cause.repair; });
      this.repairs = question.repairs.map(function (repair) { return repair.seconds; });
      /** @type {number[]} */
      this.repairRank = [];
      byId(question.repairs).forEach((at, rank) => { this.repairRank[at] = rank; });
      this.extras = question.accesses.map(function (access) { return access.seconds; }).concat(question.tasks);
      this.change = question.change;
      this.units = groups.map((members) => { return unit(question, members, this); });
      this.probes = probes(question, order, given, groups, this);
      var tracked = this.probes.filter(function (probe) { return probe.tracked; }).length;
      if (!this.large && groups.length + tracked + this.extras.length + 8 <= 53) {
        this.bulk = { set: Math.pow(2, groups.length), done: Math.pow(2, tracked), open: Math.pow(2, this.extras.length) };
      }
      this.pinned = pinned(question).map(function (at) { return order.indexOf(at); });
      /** For each unit, the probes that are not sharp for it. @type {{bit: Bits, parts: Whole}[][]} */
      this.splits = this.units.map((_, at) => {
        var loose = this.probes.filter(function (probe) { return probe.parts[at] > 1; });
        return loose.map((probe) => { return { bit: probe.tracked, parts: this.whole(probe.parts[at]) }; });
      });
      /** Units that must not share the end of a path with each one. @type {Bits[]} */
      this.must = this.units.map((_, a) => { return this.apart(a); });
      /** What trying a unit's repairs one after the other costs; 0 where the search may end on it. @type {Whole[]} */
      this.grouped = this.units.map((_, at) => { return this.mayEnd(this.bits[at]) ? this.zero : this.tried(this.bits[at], this.zero).value; });
      this.start = question.start;
    }

    /** The members of a set, smallest first. @param {Bits} set @returns {number[]} */
    members(set) {
      var list = [];
      for (var at = 0; at < this.units.length; at++) if (set & this.bits[at]) list.push(at);
      return list;
    }

    /** @param {Bits} set @returns {number} */
    size(set) {
      var size = 0;
      for (var at = 0; at < this.units.length; at++) if (set & this.bits[at]) size++;
      return size;
    }

    /** @param {number} a @returns {Bits} */
    apart(a) {
      var found = this.zero, mine = this.bits[a];
      for (var b = 0; b < this.units.length; b++) {
        var theirs = this.bits[b], both = mine | theirs;
        if (b === a || this.mayEnd(both)) continue;
        var told = this.probes.some(function (probe) { return probe.sets.every(function (set) { return (set & both) !== both; }); });
        if (told) found |= theirs;
      }
      return found;
    }

    /** These units share one repair and the search may end on it. @param {Bits} set @returns {boolean} */
    mayEnd(set) {
      var none = false, eliminable = true, repair = -1;
      for (var at = 0; at < this.units.length; at++) {
        if (!(set & this.bits[at])) continue;
        var unit = this.units[at];
        none = none || unit.none;
        if (unit.none && unit.members.length === 1) continue;
        eliminable = eliminable && unit.eliminable;
        if (unit.repair < 0 || (repair >= 0 && repair !== unit.repair)) return false;
        repair = unit.repair;
      }
      return repair < 0 || !none || eliminable;
    }

    /** The search may stop here on one repair. @param {Bits} set @returns {boolean} */
    ended(set) {
      for (var at = 0; !(set & this.bits[at]);) at++;
      return !(set & this.must[at]) && this.mayEnd(set);
    }

    /** In how many even parts the checks in `done` have split a unit. @param {number} unit @param {Bits} done @returns {Whole} */
    share(unit, done) {
      var share = this.whole(1), splits = this.splits[unit];
      for (var n = 0; n < splits.length; n++) if (splits[n].bit & done) share *= splits[n].parts;
      return share;
    }

    /** A unit's weight after the checks in `done`: scaled so that it is whole. @param {number} unit @param {Bits} done @returns {Whole} */
    weight(unit, done) {
      return done ? this.units[unit].weight / this.share(unit, done) : this.units[unit].weight;
    }

    /** @param {Position} state @returns {Whole} */
    mass(state) {
      var sum = this.zero;
      for (var at = 0; at < this.units.length; at++) if (state.set & this.bits[at]) sum += this.weight(at, state.done);
      return sum;
    }

    /** Order and value of the repairs tried one after the other on units that nothing tells apart. @param {Bits} set @param {Bits} done @returns {{order: number[], value: Whole}} */
    tried(set, done) {
      var model = this, /** @type {Map<number, Whole>} */ weights = new Map(), left = this.zero;
      this.members(set).forEach(function (unit) {
        var share = model.share(unit, done);
        model.units[unit].members.forEach(function (member) {
          var weight = model.weightOf[member] / share;
          left += weight;
          if (member !== model.noneAt) weights.set(model.repairOf[member], (weights.get(model.repairOf[member]) || model.zero) + weight);
        });
      });
      var order = Array.from(weights.entries()).sort(function (a, b) {
        var ca = model.whole(model.repairs[a[0]]), cb = model.whole(model.repairs[b[0]]);
        var ratio = a[1] > 0 && b[1] > 0 ? byValue(ca * b[1], cb * a[1]) : Number(a[1] <= 0) - Number(b[1] <= 0);
        return ratio || byValue(ca, cb) || model.repairRank[a[0]] - model.repairRank[b[0]];
      });
      var value = this.zero;
      order.forEach(function (entry) { value += model.whole(model.repairs[entry[0]]) * left; left -= entry[1]; });
      return { order: order.map(function (entry) { return entry[0]; }), value: value };
    }

    /** Some answer would leave some, but not all. @param {Probe} probe @param {Position} state @returns {boolean} */
    tells(probe, state) {
      if (probe.tracked & state.done) return false;
      for (var n = 0; n < probe.sets.length; n++) {
        var left = probe.sets[n] & state.set;
        if (left && left !== state.set) return true;
      }
      return false;
    }

    /** Places of the probes that split the state, and of those that must come before one of them. @param {Position} state @returns {number[]} */
    useful(state) {
      var model = this, list = numbers(this.probes).filter(function (at) { return model.tells(model.probes[at], state); });
      for (var n = 0; n < list.length; n++) {
        var missing = this.probes[list[n]].after & ~state.done;
        if (!missing) continue;
        for (var at = 0; at < this.probes.length; at++) if (this.probes[at].tracked & missing && list.indexOf(at) < 0) list.push(at);
      }
      return list.sort(function (a, b) { return a - b; });
    }

    /** All seconds of taking a check here. @param {Probe} probe @param {Position} state @returns {number} */
    step(probe, state) {
      var seconds = probe.cost, wanted = probe.extras & ~state.open;
      for (var at = 0; wanted && at < this.extras.length; at++) if (wanted & this.bits[at]) seconds += this.extras[at];
      return probe.state < 0 ? seconds : seconds + this.change[state.at][probe.state];
    }

    /** What follows each possible answer that stays in this fault; not settled. @param {Probe} probe @param {Position} state @returns {Position[]} */
    branches(probe, state) {
      var done = state.done | probe.tracked, open = state.open | probe.extras, at = probe.state < 0 ? state.at : probe.state, list = [];
      for (var n = 0; n < probe.sets.length; n++) {
        var left = probe.sets[n] & state.set;
        if (left && !probe.exits[n]) list.push({ set: left, done: done, open: open, at: at });
      }
      return list;
    }

    /** Forgets what no later check can need: the largest saving of positions. @param {Position} state @param {number[]} useful @returns {Position} */
    settle(state, useful) {
      var open = this.zero, done = this.zero, bound = false;
      for (var n = 0; n < useful.length; n++) {
        var probe = this.probes[useful[n]];
        open |= probe.extras;
        done |= probe.after | probe.tracked;
        bound = bound || probe.state >= 0;
      }
      if (state.done & ~done) {
        for (var unit = 0; unit < this.units.length; unit++) {
          if (state.set & this.bits[unit]) this.splits[unit].forEach(function (split) { done |= split.bit; });
        }
      }
      return { set: state.set, done: state.done & done, open: state.open & open, at: bound ? state.at : 0 };
    }
  }

  /** Per cause ("none of these" last, if it is possible), the answers that leave it. @param {Question} question @param {QuestionCheck} check @returns {number[][]} */
  function answersOf(question, check) {
    var list = question.causes.map(function (_, cause) {
      return numbers(check.answers).filter(function (at) { return check.answers[at].leaves.indexOf(cause) >= 0; });
    });
    if (question.none !== null) list.push(numbers(check.answers).filter(function (at) { return check.answers[at].none; }));
    return list;
  }

  /** Groups of causes with the same answers to every check, in the order of their first ids. @param {Question} question @param {number[][][]} given @returns {number[][]} */
  function merge(question, given) {
    var order = byId(question.causes), /** @type {Map<string, number[]>} */ groups = new Map();
    if (question.none !== null) order.push(question.causes.length);
    order.forEach(function (cause) {
      var signature = given.map(function (answers) { return answers[cause].join(); }).join(";"), group = groups.get(signature);
      if (group) group.push(cause); else groups.set(signature, [cause]);
    });
    return Array.from(groups.values());
  }

  /** Weights without their common divisor, all equal when none was given, times the least number that every split divides. @param {Question} question @param {number[][][]} given @param {number[][]} groups @returns {bigint[]} */
  function scaled(question, given, groups) {
    var weights = question.causes.map(function (cause) { return cause.weight; }).concat([question.none || BigInt(0)]);
    var common = weights.reduce(divisor, BigInt(0)), factor = BigInt(1);
    groups.forEach(function (members) {
      var parts = given.reduce(function (all, answers) { return all * BigInt(answers[members[0]].length || 1); }, BigInt(1));
      factor = factor / divisor(factor, parts) * parts;
    });
    return weights.map(function (weight, at) {
      return common ? weight / common * factor : BigInt(at < question.causes.length ? 1 : 0) * factor;
    });
  }

  /** More than 31 bits of anything. @param {Question} question @param {number[][]} groups @param {number[][][]} given @returns {boolean} */
  function tooMany(question, groups, given) {
    var loose = given.filter(function (answers, at) { return answers.some(function (list) { return list.length > 1; }); }).length;
    var before = new Set();
    question.checks.forEach(function (check) { check.after.forEach(function (earlier) { before.add(earlier); }); });
    return groups.length > 31 || loose + before.size > 31 || question.accesses.length + question.tasks.length > 31;
  }

  /** Seconds of the longest path anyone could walk. @param {Question} question @returns {bigint} */
  function longest(question) {
    var change = question.change.reduce(function (most, row) { return row.reduce(function (a, b) { return Math.max(a, b); }, most); }, 0);
    var all = question.checks.map(function (check) { return check.seconds + change; }).concat(question.tasks);
    all = all.concat(question.accesses.map(function (access) { return access.seconds; }), question.repairs.map(function (repair) { return repair.seconds; }));
    return all.reduce(function (sum, seconds) { return sum + BigInt(seconds); }, BigInt(1));
  }

  /** @param {Question} question @param {number[]} members @param {Model} model @returns {Unit} */
  function unit(question, members, model) {
    var real = members.filter(function (member) { return member < model.noneAt; });
    var repair = real.length ? model.repairOf[real[0]] : -1;
    return {
      weight: members.reduce(function (sum, member) { return sum + model.weightOf[member]; }, model.zero),
      members: members, none: real.length < members.length,
      repair: real.every(function (member) { return model.repairOf[member] === repair; }) ? repair : -1,
      eliminable: real.every(function (member) { return question.causes[member].eliminable; })
    };
  }

  /** @param {Question} question @param {number[]} order @param {number[][][]} given @param {number[][]} groups @param {Model} model @returns {Probe[]} */
  function probes(question, order, given, groups, model) {
    var zero = /** @type {Bits} */ (model.zero), closed = closures(question, model), tracked = 0;
    var own = order.map(function (at, place) {
      var before = question.checks.some(function (check) { return check.after.indexOf(at) >= 0; });
      var loose = given[place].some(function (answers) { return answers.length > 1; });
      return before || loose ? model.bits[tracked++] : zero;
    });
    return order.map(function (at, place) {
      var check = question.checks[at], kinds = new Map(), exits = check.answers.map(function (answer) { return answer.exit; });
      var sets = check.answers.map(function () { return zero; }), kind = new Uint8Array(groups.length), parts = new Uint8Array(groups.length);
      groups.forEach(function (members, unit) {
        var answers = given[place][members[0]], name = answers.join();
        answers.forEach(function (answer) { sets[answer] |= model.bits[unit]; });
        if (!kinds.has(name)) kinds.set(name, kinds.size);
        kind[unit] = kinds.get(name);
        parts[unit] = answers.length;
      });
      var extras = check.access.reduce(function (all, access) { return all | closed[access]; }, zero);
      extras = check.makeSafe.reduce(function (all, task) { return all | model.bits[question.accesses.length + task]; }, extras);
      var after = check.after.reduce(function (all, earlier) { return all | own[order.indexOf(earlier)]; }, zero);
      return { id: check.id, cost: check.seconds, extras: extras, state: check.state, after: after, tracked: own[place], sets: sets, exits: exits, kind: kind, parts: parts };
    });
  }

  /** For each access, itself and everything it needs. @param {Question} question @param {Model} model @returns {Bits[]} */
  function closures(question, model) {
    var closed = question.accesses.map(function (_, at) { return model.bits[at]; });
    question.accesses.forEach(function () {
      question.accesses.forEach(function (access, at) { access.needs.forEach(function (need) { closed[at] |= closed[need]; }); });
    });
    return closed;
  }

  /** Pinned checks in the order given, each after those it comes after. @param {Question} question @returns {number[]} */
  function pinned(question) {
    var /** @type {number[]} */ list = [];
    /** @param {number} at */
    function pin(at) {
      if (list.indexOf(at) >= 0) return;
      question.checks[at].after.forEach(pin);
      list.push(at);
    }
    question.checks.forEach(function (check, at) { if (check.first) pin(at); });
    return list;
  }

  return { Model: Model, byValue: byValue };
})();

(typeof module === "object" ? module : {}).exports = Bayleaf.planModel;
