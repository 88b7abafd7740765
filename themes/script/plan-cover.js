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

  class Cover {
    /**
     * A feasible point of the dual at a position, started from the one above it or from even shares.
     *
     * @param {Model} model @param {Position} state @param {number[]} probes @param {Cover | null} above
     */
    constructor(model, state, probes, above) {
      var units = model.members(state.set), count = units.length;
      this.units = units;
      this.probes = probes;
      var weights = units.map(function (unit) { return Number(model.weight(unit, state.done)); });
      var prices = model.extras.map(function (seconds, extra) { return state.open & model.bits[extra] ? 0 : seconds; }).concat(entries(model.change, state.at));
      this.weights = weights;
      this.prices = prices;
      /** Per extra a check needs, its share of the extra's price, per unit. @type {{probe: number, extra: number, shares: Float64Array}[]} */
      this.fees = [];
      /** Own cost times weight, per row (probe, unit). */
      this.own = new Float64Array(count * probes.length);
      probes.forEach((at, place) => {
        for (var unit = 0; unit < count; unit++) this.own[place * count + unit] = weights[unit] * model.probes[at].cost;
      });
      this.budget = new Float64Array(this.own.length);
      this.scale = new Float64Array(this.own.length);
      this.used = new Float64Array(this.own.length);
      /** Units of each pair, its first gift, and the end. @type {number[]} */
      this.first = [];
      /** @type {number[]} */
      this.second = [];
      this.starts = [0];
      /** Per gift, the row of the first unit; that of the second is as far from it as the units are. */
      this.rows = new Int32Array(0);
      /** Per gift, what it is given from the budgets of its two units, before scaling. */
      this.one = new Float64Array(0);
      this.two = this.one;
      /** Value of each pair; work space of a sweep. */
      this.values = this.one;
      this.keep = this.one;
      /** Place of each pair of units, from 1; made when it is first asked for. @type {Int32Array | null} */
      this.places = null;
      this.addFees(model, above);
      this.setBudgets();
      this.addPairs(model, above);
    }

    /** @param {Model} model @param {Cover | null} above */
    addFees(model, above) {
      this.probes.forEach((at, place) => {
        var probe = model.probes[at];
        for (var extra = 0; extra < this.prices.length; extra++) {
          var needs = extra < model.extras.length ? probe.extras & model.bits[extra] : probe.state === extra - model.extras.length;
          if (needs && this.prices[extra] > 0) this.fees.push({ probe: place, extra: extra, shares: this.sharesAbove(at, extra, above) });
        }
      });
      this.levelFees();
    }

    /** The shares of an extra at the position above, for these units; even where it had none. @param {number} probe @param {number} extra @param {Cover | null} above @returns {Float64Array} */
    sharesAbove(probe, extra, above) {
      var shares = new Float64Array(this.units.length).fill(1);
      var fee = above && above.fees.find(function (fee) { return fee.extra === extra && above.probes[fee.probe] === probe; });
      if (above && fee) for (var unit = 0; unit < shares.length; unit++) shares[unit] = fee.shares[above.units.indexOf(this.units[unit])];
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
      this.budget.set(this.own);
      for (var n = 0; n < this.fees.length; n++) {
        var fee = this.fees[n], row = fee.probe * count;
        for (var unit = 0; unit < count; unit++) this.budget[row + unit] += fee.shares[unit];
      }
    }

    /** Pairs that must be told apart, and what each check that can gives to them. @param {Model} model @param {Cover | null} above */
    addPairs(model, above) {
      var count = this.units.length, width = this.probes.length, units = this.units, probes = this.probes;
      var most = count * (count - 1) / 2 * width, rows = new Int32Array(most), gifts = 0;
      var kinds = probes.map(function (at) { return model.probes[at].kind; });
      for (var a = 0; a < count; a++) {
        var apart = model.must[units[a]];
        for (var b = a + 1; b < count; b++) {
          if (!(apart & model.bits[units[b]])) continue;
          var from = gifts, free = false;
          for (var place = 0; place < width && !free; place++) {
            if (kinds[place][units[a]] === kinds[place][units[b]]) continue;
            rows[gifts++] = place * count + a;
            free = this.budget[place * count + a] + this.budget[place * count + b] <= 0;
          }
          if (free) gifts = from;
          if (gifts === from) continue;
          this.first.push(a);
          this.second.push(b);
          this.starts.push(gifts);
        }
      }
      this.rows = rows.subarray(0, gifts);
      this.one = new Float64Array(gifts).fill(1);
      this.two = new Float64Array(gifts).fill(1);
      this.values = new Float64Array(this.first.length);
      this.keep = new Float64Array(width);
      if (above) this.takeOver(above);
      this.evenOut();
    }

    /** Takes the gifts of the cover above for the same pairs and checks. @param {Cover} above */
    takeOver(above) {
      var count = this.units.length, theirs = above.units.length, table = above.pairTable(), probes = this.probes;
      var places = this.units.map(function (unit) { return above.units.indexOf(unit); });
      for (var pair = 0; pair < this.first.length; pair++) {
        var same = table[places[this.first[pair]] * theirs + places[this.second[pair]]] - 1;
        if (same < 0) continue;
        var mine = above.starts[same], end = above.starts[same + 1];
        for (var gift = this.starts[pair]; gift < this.starts[pair + 1]; gift++) {
          var probe = probes[Math.floor(this.rows[gift] / count)];
          for (; mine < end; mine++) {
            var other = above.probes[Math.floor(above.rows[mine] / theirs)];
            if (other > probe) break;
            if (other === probe) { this.one[gift] = above.one[mine]; this.two[gift] = above.two[mine]; }
          }
        }
      }
    }

    /** @returns {Int32Array} */
    pairTable() {
      if (this.places) return this.places;
      var count = this.units.length, table = new Int32Array(count * count);
      for (var pair = 0; pair < this.first.length; pair++) table[this.first[pair] * count + this.second[pair]] = pair + 1;
      this.places = table;
      return table;
    }

    /** Sets the scales that make the gifts use up the budgets. */
    evenOut() {
      this.used.fill(0);
      for (var pair = 0; pair < this.first.length; pair++) {
        var apart = this.second[pair] - this.first[pair];
        for (var gift = this.starts[pair]; gift < this.starts[pair + 1]; gift++) {
          this.used[this.rows[gift]] += this.one[gift];
          this.used[this.rows[gift] + apart] += this.two[gift];
        }
      }
      this.rescale();
    }

    rescale() {
      var scale = this.scale, used = this.used, budget = this.budget;
      for (var row = 0; row < scale.length; row++) scale[row] = used[row] > 0 ? budget[row] / used[row] : 1;
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
      var rows = this.rows, one = this.one, two = this.two, scale = this.scale, used = this.used, keep = this.keep, starts = this.starts;
      var sum = 0, gift, n;
      used.fill(0);
      for (var pair = 0; pair < this.first.length; pair++) {
        var from = starts[pair], end = starts[pair + 1], apart = this.second[pair] - this.first[pair], least = Infinity, demand = 0;
        for (gift = from; gift < end; gift++) {
          one[gift] *= scale[rows[gift]];
          two[gift] *= scale[rows[gift] + apart];
          var given = one[gift] + two[gift];
          if (given < least) least = given;
        }
        this.values[pair] = least;
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
        for (var unit = 0; unit < count; unit++) fee.shares[unit] *= Math.max(1e-6, ratio(this.used[row + unit], this.budget[row + unit]));
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

    /** What each pair would still be worth with more extras open and the machine in another state (-1: in the same). @param {Model} model @param {Bits} opened @param {number} entered @returns {Float64Array} */
    valuesWith(model, opened, entered) {
      var count = this.units.length, factor = new Float64Array(this.budget.length), values = new Float64Array(this.first.length), row, n;
      for (n = 0; n < this.fees.length; n++) {
        var fee = this.fees[n], state = fee.extra - model.extras.length;
        if (state < 0 ? !(opened & model.bits[fee.extra]) : state !== entered) continue;
        for (var unit = 0; unit < count; unit++) factor[fee.probe * count + unit] += fee.shares[unit];
      }
      for (row = 0; row < factor.length; row++) factor[row] = this.scale[row] * Math.min(1, Math.max(0, ratio(this.budget[row] - factor[row], this.budget[row])));
      for (var pair = 0; pair < values.length; pair++) {
        var apart = this.second[pair] - this.first[pair], least = Infinity;
        for (var gift = this.starts[pair]; gift < this.starts[pair + 1]; gift++) {
          row = this.rows[gift];
          var given = this.one[gift] * factor[row] + this.two[gift] * factor[row + apart];
          if (given < least) least = given;
        }
        values[pair] = least;
      }
      return values;
    }

    /** Values of pairs as a square table over the places of the units. @param {Float64Array} values @returns {Float64Array} */
    table(values) {
      var count = this.units.length, table = new Float64Array(count * count);
      for (var pair = 0; pair < values.length; pair++) table[this.first[pair] * count + this.second[pair]] = values[pair];
      return table;
    }
  }

  return Cover;
})();

(typeof module === "object" ? module : {}).exports = Bayleaf.planCover;
