// Pair covering, a lower bound for the plan solver: every two units that must be told apart share a check that does it,
// on both their paths, so a feasible point of the dual bounds every tree from below. As in the compiler, and in the same
// order of additions: only the four operations and square roots are used, which are the same everywhere.
//
// Each budget (seconds of a check times weight of a unit, and a share of the extras the check needs) is shared out among
// the unit's partners; a pair is worth the least it was given by any check that can separate it.
var Bayleaf = Bayleaf || {};

Bayleaf.planCover = (function () {
  "use strict";
  /** Keeps a gift from vanishing; sweeps at one sharpness before the next; the sharpest. */
  var TINY = 1e-200, PATIENCE = 10, SHARPEST = 5;

  /** @param {number} top @param {number} bottom @returns {number} */
  function ratio(top, bottom) { return bottom > 0 ? top / bottom : 1; }

  /** Least seconds to enter each state of the machine from another; entering the present one is free. @param {number[][]} change @param {number} at @returns {number[]} */
  function entries(change, at) {
    return change.map(function (_, to) {
      if (to === at) return 0;
      var least = Infinity;
      change.forEach(function (row, from) { if (from !== to) least = Math.min(least, row[to]); });
      return least === Infinity ? 0 : least;
    });
  }

  /** Work space that no cover keeps: only one is improved at a time, and those above it keep what the next ones take over. */
  var own = new Float64Array(0), budget = own, scale = own, used = own, factor = own, keep = own, values = own, ones = own, twos = own, rows = new Int32Array(0);

  /** @param {number} count @param {number} width Units and probes. */
  function makeRoom(count, width) {
    if (own.length < count * width) {
      own = new Float64Array(count * width);
      budget = new Float64Array(own.length);
      scale = new Float64Array(own.length);
      used = new Float64Array(own.length);
      factor = new Float64Array(own.length);
    }
    var pairs = count * (count - 1) / 2;
    if (keep.length < width) keep = new Float64Array(width);
    if (values.length < pairs) values = new Float64Array(pairs);
    if (rows.length < pairs * width) {
      rows = new Int32Array(pairs * width);
      ones = new Float64Array(rows.length);
      twos = new Float64Array(rows.length);
    }
  }

  class Cover {
    /**
     * A feasible point of the dual at a position, started from the one above it or from even shares. It has to be done with
     * (swept, and asked for its values) before the next one is made.
     *
     * @param {Model} model @param {Position} state @param {number[]} probes @param {Cover | null} above
     */
    constructor(model, state, probes, above) {
      var units = model.members(state.set), count = units.length, weights = new Float64Array(count), unit;
      this.units = units;
      this.probes = probes;
      for (unit = 0; unit < count; unit++) weights[unit] = Number(model.weight(units[unit], state.done));
      this.weights = weights;
      this.prices = model.extras.map(function (seconds, extra) { return state.open & model.bits[extra] ? 0 : seconds; }).concat(entries(model.change, state.at));
      makeRoom(count, probes.length);
      /** Own cost times weight, per row (probe, unit). */
      this.size = count * probes.length;
      for (var place = 0, row = 0; place < probes.length; place++) {
        var cost = model.probes[probes[place]].cost;
        for (unit = 0; unit < count; unit++) own[row++] = weights[unit] * cost;
      }
      /** Per extra a check needs, its share of the extra's price, per unit. @type {{probe: number, extra: number, shares: Float64Array}[]} */
      this.fees = [];
      /** Units of each pair, its first gift, and the end. @type {number[]} */
      this.first = [];
      /** @type {number[]} */
      this.second = [];
      this.starts = [0];
      /** Per gift, the row of the first unit; that of the second is as far from it as the units are. */
      this.rows = rows;
      /** Per gift, what it is given from the budgets of its two units, before scaling. */
      this.one = own;
      this.two = own;
      this.addFees(model, above);
      this.setBudgets();
      this.addPairs(model, above);
    }

    /** @param {Model} model @param {Cover | null} above */
    addFees(model, above) {
      for (var place = 0; place < this.probes.length; place++) {
        var probe = model.probes[this.probes[place]];
        if (!probe.extras && probe.state < 0) continue;
        for (var extra = 0; extra < this.prices.length; extra++) {
          var needs = extra < model.extras.length ? probe.extras & model.bits[extra] : probe.state === extra - model.extras.length;
          if (needs && this.prices[extra] > 0) this.fees.push({ probe: place, extra: extra, shares: this.sharesAbove(this.probes[place], extra, above) });
        }
      }
      this.levelFees();
    }

    /** The shares of an extra at the position above, for these units; even where it had none. @param {number} probe @param {number} extra @param {Cover | null} above @returns {Float64Array} */
    sharesAbove(probe, extra, above) {
      var shares = new Float64Array(this.units.length).fill(1);
      for (var n = 0; above && n < above.fees.length; n++) {
        var fee = above.fees[n];
        if (fee.extra !== extra || above.probes[fee.probe] !== probe) continue;
        for (var unit = 0, place = 0; unit < shares.length; unit++) {
          while (above.units[place] !== this.units[unit]) place++;
          shares[unit] = fee.shares[place];
        }
        break;
      }
      return shares;
    }

    /** Makes the shares of each extra add up to its price. */
    levelFees() {
      var count = this.units.length, sums = new Float64Array(this.prices.length * count), n, unit, fee;
      for (n = 0; n < this.fees.length; n++) {
        fee = this.fees[n];
        for (unit = 0; unit < count; unit++) sums[fee.extra * count + unit] += fee.shares[unit];
      }
      for (n = 0; n < this.fees.length; n++) {
        fee = this.fees[n];
        for (unit = 0; unit < count; unit++) {
          var sum = sums[fee.extra * count + unit];
          fee.shares[unit] = sum > 0 ? fee.shares[unit] * (this.weights[unit] * this.prices[fee.extra]) / sum : 0;
        }
      }
    }

    setBudgets() {
      var count = this.units.length;
      for (var row = 0; row < this.size; row++) budget[row] = own[row];
      for (var n = 0; n < this.fees.length; n++) {
        var fee = this.fees[n], from = fee.probe * count;
        for (var unit = 0; unit < count; unit++) budget[from + unit] += fee.shares[unit];
      }
    }

    /** Pairs that must be told apart, and what each check that can gives to them. @param {Model} model @param {Cover | null} above */
    addPairs(model, above) {
      var gifts = above && this.takeOver(above);
      if (gifts === null) {
        gifts = this.startAnew(model);
        ones.fill(1, 0, gifts);
        twos.fill(1, 0, gifts);
      }
      this.rows = rows.slice(0, gifts);
      this.one = ones.slice(0, gifts);
      this.two = twos.slice(0, gifts);
      this.evenOut();
    }

    /** Finds the pairs and the checks that can tell them apart; a pair that one of them tells apart for nothing is left out. @param {Model} model @returns {number} */
    startAnew(model) {
      var count = this.units.length, width = this.probes.length, units = this.units, gifts = 0;
      for (var a = 0; a < count; a++) {
        var apart = model.must[units[a]], one = units[a];
        for (var b = a + 1; b < count; b++) {
          var two = units[b], from = gifts, free = false;
          if (!(apart & model.bits[two])) continue;
          for (var place = 0, row = a; place < width && !free; place++, row += count) {
            var kind = model.probes[this.probes[place]].kind;
            if (kind[one] === kind[two]) continue;
            rows[gifts++] = row;
            free = budget[row] + budget[row + b - a] <= 0;
          }
          gifts = this.addPair(a, b, from, free ? from : gifts);
        }
      }
      return gifts;
    }

    /** @param {number} a @param {number} b @param {number} from @param {number} end @returns {number} */
    addPair(a, b, from, end) {
      if (end > from) {
        this.first.push(a);
        this.second.push(b);
        this.starts.push(end);
      }
      return end;
    }

    /** Takes the pairs and gifts of the cover above as far as its units and checks are here too; null where it lacks a check. @param {Cover} above @returns {number | null} */
    takeOver(above) {
      var count = this.units.length, theirs = above.units.length, gifts = 0, n, unit;
      var place = new Int32Array(theirs).fill(-1), row = new Int32Array(above.probes.length).fill(-1);
      for (n = 0, unit = 0; unit < count; unit++) {
        while (above.units[n] !== this.units[unit]) n++;
        place[n] = unit;
      }
      for (n = 0, unit = 0; unit < this.probes.length; unit++) {
        while (n < row.length && above.probes[n] !== this.probes[unit]) n++;
        if (n === row.length) return null;
        row[n] = unit * count;
      }
      for (var pair = 0; pair < above.first.length; pair++) {
        var a = place[above.first[pair]], b = place[above.second[pair]], from = gifts, free = false;
        if (a < 0 || b < 0) continue;
        for (var gift = above.starts[pair], end = above.starts[pair + 1]; gift < end && !free; gift++) {
          var here = row[(above.rows[gift] - above.first[pair]) / theirs];
          if (here < 0) continue;
          here += a;
          rows[gifts] = here;
          ones[gifts] = above.one[gift];
          twos[gifts++] = above.two[gift];
          free = budget[here] + budget[here + b - a] <= 0;
        }
        gifts = this.addPair(a, b, from, free ? from : gifts);
      }
      return gifts;
    }

    /** Sets the scales that make the gifts use up the budgets. */
    evenOut() {
      used.fill(0, 0, this.size);
      for (var pair = 0; pair < this.first.length; pair++) {
        var apart = this.second[pair] - this.first[pair];
        for (var gift = this.starts[pair]; gift < this.starts[pair + 1]; gift++) {
          used[this.rows[gift]] += this.one[gift];
          used[this.rows[gift] + apart] += this.two[gift];
        }
      }
      this.rescale();
    }

    rescale() {
      for (var row = 0; row < this.size; row++) scale[row] = used[row] > 0 ? budget[row] / used[row] : 1;
    }

    /**
     * One sweep of re-sharing; returns the value of the point it started from.
     *
     * A pair divides one unit of demand over the checks that give it least, as the power `2^sharpness` of least over given;
     * each gift is multiplied by its part of that demand, to the power `2 / 2^sharpness`.
     *
     * @param {number} sharpness @returns {number}
     */
    sweep(sharpness) {
      var rows = this.rows, one = this.one, two = this.two, starts = this.starts;
      var sum = 0, gift, n;
      used.fill(0, 0, this.size);
      for (var pair = 0; pair < this.first.length; pair++) {
        var from = starts[pair], end = starts[pair + 1], apart = this.second[pair] - this.first[pair], least = Infinity, demand = 0;
        for (gift = from; gift < end; gift++) {
          one[gift] *= scale[rows[gift]];
          two[gift] *= scale[rows[gift] + apart];
          var given = one[gift] + two[gift];
          if (given < least) least = given;
        }
        sum += least;
        for (gift = from; gift < end; gift++) {
          var all = one[gift] + two[gift], part = least / (all > TINY ? all : TINY), square = part * part, power = square;
          for (n = 1; n < sharpness; n++) power *= power;
          demand += power;
          keep[gift - from] = square > 1e-6 ? square : 1e-6;
        }
        var root = demand > 1 ? demand : 1;
        for (n = 1; n < sharpness; n++) root = Math.sqrt(root);
        root = 1 / root;
        for (gift = from; gift < end; gift++) {
          var first = one[gift] * keep[gift - from] * root, second = two[gift] * keep[gift - from] * root;
          one[gift] = first > TINY ? first : TINY;
          two[gift] = second > TINY ? second : TINY;
          used[rows[gift]] += one[gift];
          used[rows[gift] + apart] += two[gift];
        }
      }
      if (this.fees.length) this.shareFees();
      this.rescale();
      return sum;
    }

    /** Moves the extras' prices to the checks that used up their budgets. */
    shareFees() {
      var count = this.units.length;
      for (var n = 0; n < this.fees.length; n++) {
        var fee = this.fees[n], row = fee.probe * count;
        for (var unit = 0; unit < count; unit++) fee.shares[unit] *= Math.max(1e-6, ratio(used[row + unit], budget[row + unit]));
      }
      this.levelFees();
      this.setBudgets();
    }

    /** Sweeps until the bound reaches `target`; returns the best value seen. @param {number} from @param {number} sweeps @param {number} target @returns {number} */
    improve(from, sweeps, target) {
      var best = 0;
      for (var sweep = 0; sweep < sweeps; sweep++) {
        var value = this.sweep(Math.min(SHARPEST, from + Math.floor(sweep / PATIENCE)));
        if (value > best) best = value;
        if (value >= target || !this.first.length) break;
      }
      return best;
    }

    /** What each pair would still be worth with more extras open and the machine in another state (-1: in the same), as a square table over the places of the units. @param {Model} model @param {Bits} opened @param {number} entered @returns {Float64Array} */
    valuesWith(model, opened, entered) {
      var count = this.units.length, row, n;
      factor.fill(0, 0, this.size);
      for (n = 0; n < this.fees.length; n++) {
        var fee = this.fees[n], state = fee.extra - model.extras.length;
        if (state < 0 ? !(opened & model.bits[fee.extra]) : state !== entered) continue;
        for (var unit = 0; unit < count; unit++) factor[fee.probe * count + unit] += fee.shares[unit];
      }
      for (row = 0; row < this.size; row++) factor[row] = scale[row] * Math.min(1, Math.max(0, ratio(budget[row] - factor[row], budget[row])));
      for (var pair = 0; pair < this.first.length; pair++) {
        var apart = this.second[pair] - this.first[pair], least = Infinity;
        for (var gift = this.starts[pair]; gift < this.starts[pair + 1]; gift++) {
          row = this.rows[gift];
          var given = this.one[gift] * factor[row] + this.two[gift] * factor[row + apart];
          if (given < least) least = given;
        }
        values[pair] = least;
      }
      var table = new Float64Array(count * count);
      for (pair = 0; pair < this.first.length; pair++) table[this.first[pair] * count + this.second[pair]] = values[pair];
      return table;
    }
  }

  return Cover;
})();

(typeof module === "object" ? module : {}).exports = Bayleaf.planCover;
