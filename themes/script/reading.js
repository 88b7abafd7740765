// Calculators for readings: what a value means, values added up, a level against the rods that are out, what is lost
// between test points, units. It works out what the compiler works out, on the same examples, in whole-number
// fractions, so that no limit is missed by a rounding error. Nothing is fetched and nothing leaves the device.
//
// For other scripts (`Bayleaf.reading`):
//   find(id)             the data of a reading from the page's block `<script type="application/json" data-readings>`, else
//                        from `Bayleaf.readings`
//   mount(element, data, variant) puts a calculator for that reading into an element, for a variant where one is known
// A mounted element gets the event "reading" whenever what is typed changes; its `detail` is null, or
// { verdict, band, text, links }: `band` is the id of the band, empty where no one band is sure yet.
var Bayleaf = Bayleaf || {};

Bayleaf.reading = (() => {
  "use strict";

  /**
   * @typedef {{n: bigint, d: bigint}} Fraction  In lowest terms, the lower part above nothing.
   * @typedef {{symbol: string, factor: Fraction, offset: Fraction, ways: string[], anyCase: boolean}} Unit
   * @typedef {{value: Fraction, unit: Unit, written: Fraction, digits: number, places: number}} Typed
   * @typedef {{id: string, verdict: string, says: string, from: string | null, to: string | null, variants: string[] | null, then: {href: string, text: string}[]}} Band
   * @typedef {{name: string, kind: string, unit: string, offers: string[], state: string | null, least: string | null, most: string | null, bands: Band[], variants: [string, string][], sum: {places: [string, string[] | null][], total: string} | null, of: string | null, level: {surface: string, rods: [string, string][]} | null}} Data
   * @typedef {{says: string, input: any, mark: any, label: any}} Field
   */

  const JOIN = "\u00a0", MOST_DIGITS = 15, MOST_IN_FRACTION = 9;
  /** @type {Object<string, string>} */
  const LETTERS = { "\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4", "\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8", "\u2153": "1/3", "\u2154": "2/3", "\u2212": "-", "\u2013": "-", "\u2033": "\"", "\u201d": "\"", "\u2044": "/" };

  /** @param {bigint} n @param {bigint} [d] @returns {Fraction} */
  function fraction(n, d = 1n) {
    let [a, b] = [n, d];
    while (b) { [a, b] = [b, a % b]; }
    return a < 0n === d < 0n ? { n: n / a, d: d / a } : { n: -n / a, d: -d / a };
  }
  /** @param {string} text "1/25" or "3" */
  function exact(text) {
    const [n, d] = text.split("/");
    return fraction(BigInt(n), BigInt(d || 1));
  }
  /** An end of a range, where there is one. @param {string | null} text */
  const end = (text) => text === null ? null : exact(text);
  /** @param {Fraction} a @param {Fraction} b */
  const plus = (a, b) => fraction(a.n * b.d + b.n * a.d, a.d * b.d);
  /** @param {Fraction} a @param {Fraction} b */
  const minus = (a, b) => plus(a, { n: -b.n, d: b.d });
  /** @param {Fraction} a @param {Fraction} b */
  const times = (a, b) => fraction(a.n * b.n, a.d * b.d);
  /** @param {Fraction} a @param {Fraction} b */
  const over = (a, b) => fraction(a.n * b.d, a.d * b.n);
  /** @param {Fraction} a @param {Fraction} b */
  const less = (a, b) => a.n * b.d < b.n * a.d;
  /** @param {Fraction} a */
  const size = ({ n, d }) => ({ n: n < 0n ? -n : n, d });
  const NOTHING = fraction(0n);

  // Units and what is typed.

  /** @param {any[]} row symbol, factor, offset, ways, any case @returns {Unit} */
  const unitOf = ([symbol, factor, offset, ways, anyCase]) => ({ symbol, factor: exact(factor), offset: exact(offset), ways, anyCase });
  /** @param {Unit} unit @param {Fraction} base */
  const inUnit = (unit, base) => minus(over(base, unit.factor), unit.offset);
  /** @param {string} written @param {Unit[]} units */
  function unitNamed(written, units) {
    // Without blanks and multiplication signs, raised digits lowered, look-alike letters made one.
    const tight = written.replace(/[\s\u00b7*\u22c5]/g, "").replace(/[\u00b2\u00b3\u03bc\u2126\u2206]/g, (letter) => "23\u00b5\u03a9\u0394"["\u00b2\u00b3\u03bc\u2126\u2206".indexOf(letter)]);
    for (const name of [tight, "\u00b0" + tight]) {
      const low = name.toLowerCase(), unit = units.find((unit) => unit.ways.includes(name)) || units.find((unit) => unit.anyCase && unit.ways.some((way) => way.toLowerCase() === low));
      if (unit) { return unit; }
    }
  }

  /** Reads what was typed, in one of some units; without a unit it is in the usual one. @param {string} text @param {Unit[]} units @param {Unit} usual @returns {Typed | {error: string}} */
  function read(text, units, usual) {
    let tidy = "";
    for (const letter of text.trim()) { tidy += (/\d$/.test(tidy) && /\//.test((LETTERS[letter] || "").slice(1)) ? " " : "") + (LETTERS[letter] || letter); }
    const [, sign, said] = /** @type {string[]} */ (/^([-+]?)\s*([^]*)/.exec(tidy.replace(/\s+/g, " ")));
    if (!tidy) { return { error: "empty" }; }
    if (!/^[\d.,]/.test(said)) { return { error: "no_number" }; }
    const parts = /^(?:(\d+)[ -])?(\d+)\/(\d+)/.exec(said), plain = /** @type {string[]} */ (/^(\d*)(?:([.,])(\d*))?/.exec(said));
    const [, whole, mark, places = ""] = plain, digits = (whole || "0") + places, number = { value: NOTHING, digits: 3, places: 1 };
    let error = "";
    if (parts) {
      if ((parts[1] || "").length > MOST_DIGITS || parts[2].length > MOST_IN_FRACTION || parts[3].length > MOST_IN_FRACTION) { error = "too_large"; }
      else if (!+parts[3]) { error = "bad_number"; }
      else { number.value = plus(exact(parts[2] + "/" + parts[3]), exact(parts[1] || "0")); }
    } else {
      if (mark && !places) { return { error: "bad_number" }; }
      // Three digits behind a comma may be thousands, unless a zero stands before it.
      if (mark === "," && places.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) { return { error: "comma" }; }
      if (digits.length > MOST_DIGITS) { error = "too_large"; }
      Object.assign(number, { value: fraction(BigInt(digits), 10n ** BigInt(places.length)), digits: digits.replace(/^0+/, "").length || 1, places: places.length });
    }
    const rest = said.slice((parts || plain)[0].length).trim(), unit = rest ? unitNamed(rest, units) : usual;
    if (/^[\d.,\/'+-]/.test(rest)) { return { error: "bad_number" }; }
    if (!unit || error) { return { error: unit ? error : "unit" }; }
    const written = sign === "-" ? minus(NOTHING, number.value) : number.value;
    return { ...number, value: times(plus(written, unit.offset), unit.factor), unit, written };
  }

  /** Whether a value can be. @param {Fraction} value @param {Fraction | null} least @param {Fraction | null} most @returns {string | null} */
  const outside = (value, least, most) => least && less(value, least) ? "below" : most && less(most, size(value)) ? "far" : null;

  // What it means.

  /** The place of the band that holds a value: `from` is in it, `to` is not. @param {{from: string | null, to: string | null, variants?: string[] | null}[]} bands @param {string | null} machine @param {Fraction} value @returns {number} -1 where none does */
  const bandOf = (bands, machine, value) => bands.findIndex(({ from, to, variants }) =>
    (!machine || !variants || variants.includes(machine)) && !(from && less(value, exact(from))) && (!to || less(value, exact(to))));
  /** @param {(Fraction | null)[]} values */
  const sum = (values) => ({ total: values.reduce((/** @type {Fraction} */ total, value) => value ? plus(total, value) : total, NOTHING), missing: values.filter((value) => !value).length });
  /** The level with every rod in, in metres. @param {Fraction} level @param {Fraction} rodsOut cubic metres @param {Fraction} surface square metres */
  const withRodsIn = (level, rodsOut, surface) => surface.n > 0n ? plus(level, over(rodsOut, surface)) : null;
  /** @param {(Fraction | null)[]} volts */
  const lost = (volts) => volts.slice(1).flatMap((second, after) => {
    const first = volts[after];
    return first && second ? [{ after, lost: minus(first, second) }] : [];
  });
  /** The stretch that loses most beyond what its wires may. @param {{after: number, lost: Fraction}[]} stretches @param {Fraction[]} may @returns {number} -1 where none does */
  function worst(stretches, may) {
    let most = NOTHING, place = -1;
    for (const { after, lost } of stretches) {
      const beyond = may[after] ? minus(lost, may[after]) : NOTHING;
      if (less(most, beyond)) { most = beyond; place = after; }
    }
    return place;
  }

  // Values as text.

  /** @param {Fraction} value @param {number} places behind the point, before it where negative; halves go to even */
  function toPlaces(value, places) {
    const ten = 10n ** BigInt(Math.abs(places)), { n, d } = size(places > 0 ? times(value, fraction(ten)) : over(value, fraction(ten)));
    const twice = 2n * n + d, rest = twice % (2n * d), up = (twice - rest) / (2n * d), whole = rest || up % 2n === 0n ? up : up - 1n;
    const sign = value.n < 0n && whole ? "-" : "", digits = String(whole).padStart(places + 1, "0");
    return sign + (places > 0 ? digits.slice(0, -places) + "." + digits.slice(-places) : String(whole * ten));
  }
  /** @param {Fraction} value @param {number} digits that count */
  function rounded(value, digits) {
    let { n, d } = size(value), magnitude = String(n / d).length - 1;
    if (!n) { return "0"; }
    for (; n < d; magnitude--) { n *= 10n; }
    const wanted = digits - 1 - magnitude, text = toPlaces(value, wanted);
    // 9.96 to two digits is 10, not 10.0: rounding up may add a digit.
    return wanted > 0 && text.replace(/\D/g, "").replace(/^0+/, "").length > digits ? toPlaces(value, wanted - 1) : text;
  }
  /** @param {Fraction} value */
  const firstDigit = (value) => +(/[1-9]/.exec(rounded(value, 3)) || [0])[0];
  /** At most so many places, without zeros at the end. @param {Fraction} value @param {number} places */
  const plain = (value, places) => toPlaces(value, places).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "");
  /** The number of a value in another unit, as precise as it was written. @param {Typed} typed @param {Unit} unit */
  function shownIn(typed, unit) {
    const value = inUnit(unit, typed.value), more = firstDigit(value) < firstDigit(typed.written) ? 1 : 0;
    return unit.offset.n ? toPlaces(value, typed.places) : rounded(value, Math.max(typed.digits + more, 2));
  }

  // On the page.

  const { make, each } = /** @type {any} */ (Bayleaf);
  /** @type {any} */
  let block = null;
  /** The page's data, read once. @returns {{words: Object<string, string>, units: Object<string, any[][]>, readings: Object<string, Data>, path?: any}} */
  function page() {
    const holder = document.querySelector("script[data-readings]");
    return block = block || (holder ? JSON.parse(holder.textContent || "") : /** @type {any} */ (Bayleaf).readings || { words: {}, units: {}, readings: {} });
  }
  /** @param {string} id */
  const find = (id) => page().readings[id];
  /** @param {string} key @param {Object<string, any>} [values] */
  const say = (key, values) => /** @type {any} */ (Bayleaf).say(key, values, page().words);
  /** @param {string} kind */
  const unitsOf = (kind) => (page().units[kind] || []).map(unitOf);
  /** @param {Unit[]} units @param {string} symbol */
  const named = (units, symbol) => /** @type {Unit} */ (units.find((unit) => unit.symbol === symbol));
  /** A choice, inside its label. @param {string} says @param {string[][]} choices value and text */
  function choice(says, choices) {
    const select = choiceOf(choices);
    make("label", make("span", says), select);
    return select;
  }
  /** @param {Unit[]} units */
  const unitChoice = (units) => choice(say("unit_word"), units.map(({ symbol }) => [symbol, symbol]));
  /** A field for one value, with room for what it means. @param {string} says @returns {Field} */
  function field(says) {
    const input = make("input", { type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", maxlength: 30 }), mark = make("span.calc-mark");
    return { says, input, mark, label: make("label", make("span", says), input, mark) };
  }
  /** The value in a field, or null; what is wrong with it goes to the list. @param {Field} field @param {Unit[]} units @param {Unit} usual @param {Fraction | null} least @param {Fraction | null} most @param {any[]} errors @returns {Typed | null} */
  function typedIn({ says, input }, units, usual, least, most, errors) {
    const typed = /** @type {any} */ (read(input.value, units, usual)), error = typed.error || outside(typed.value, least, most), wrong = error && error !== "empty";
    input.setAttribute("aria-invalid", !!wrong);
    if (wrong) { errors.push(make("p.calc-wrong", make("b", says + ": "), say(error, { units: units.map(({ symbol }) => symbol).join(", ") }))); }
    return error ? null : typed;
  }
  /** Puts a form into an element; it works whenever something in it changes. @param {any} into @param {string} name @param {any[]} inside @param {() => void} work @param {any} [before] */
  function fill(into, name, inside, work, before) {
    into.replaceChildren(...(before || []), make("form.calc", { "aria-label": name, input: work, submit: (/** @type {Event} */ event) => event.preventDefault() }, inside));
    into.hidden = false;
    work();
  }
  /** @param {string} verdict */
  const meaning = (verdict) => make("b.meaning.meaning-" + verdict, say(verdict));
  /** @param {any} band */
  const gravity = (band) => band ? ["fine", "tolerable", "act"].indexOf(band.verdict) : -1;

  /** Puts a calculator for a reading into an element; a total gets a field for each value that counts towards it. @param {any} into @param {Data} data @param {string} [known] the variant */
  function mount(into, data, known) {
    const parts = data.of ? find(data.of) : data.sum ? data : null, total = data.of ? data : parts && parts.sum ? find(parts.sum.total) : null, single = parts || data;
    const units = unitsOf(data.kind), own = named(units, data.unit), other = data.offers[1] ? named(units, data.offers[1]) : null;
    const unit = unitChoice(data.offers.map((symbol) => named(units, symbol))), machine = single.variants.length ? choice(say("variant"), [["", "\u2013"], ...single.variants]) : null;
    const box = make("div.calc-fields"), status = make("div.calc-result", { role: "status" });
    const rods = (data.level ? data.level.rods : []).map(([says, volume]) => ({ says, tick: make("input", { type: "checkbox" }), volume: exact(volume) }));
    const state = data.state && make("p.calc-state", say("state") + ": " + data.state), rodsOut = () => rods.filter(({ tick }) => tick.checked);
    let fields = /** @type {Field[]} */ ([]), laid = /** @type {string | null | undefined} */ (undefined), now = /** @type {any} */ (null), chosen = own;

    if (machine) {
      machine.dataset.variant = "";
      machine.value = known || "";
    }
    const variant = () => machine ? machine.value : null;
    /** A field for each place that the machine chosen has; what was typed stays. */
    function lay() {
      const places = parts && parts.sum ? parts.sum.places.filter(([, variants]) => !variant() || !variants || variants.includes(variant())).map(([says]) => says) : [data.name];
      fields = places.map((says) => fields.find((field) => field.says === says) || field(says));
      laid = variant();
      box.className = "calc-fields" + (fields.length > 1 ? " calc-many" : "");
      box.replaceChildren(...fields.map(({ label }) => label));
    }
    /** @param {Data} of @param {Fraction} value @returns {Band | undefined} */
    const judged = (of, value) => of.bands[bandOf(of.bands, variant(), value)];
    /** A value in the unit chosen and in that of the other system; one that was typed is as precise there as it was written. @param {Fraction} base @param {number} [places] @param {Typed | null} [typed] */
    function both(base, places = 3, typed) {
      const second = chosen === own ? other : own, /** @type {(unit: Unit) => string} */ shown = (unit) => (typed && typed.unit !== unit ? shownIn(typed, unit) : plain(inUnit(unit, base), places)) + JOIN + unit.symbol;
      return shown(chosen) + (second && places ? " (" + shown(second) + ")" : "");
    }

    function work() {
      let line = /** @type {Band | undefined} */ (undefined);
      const errors = /** @type {any[]} */ ([]), open = /** @type {string[]} */ ([]);
      chosen = named(units, unit.value);
      // With a rod out the machine is not in the state that the limits are for.
      if (state) { state.hidden = rodsOut().length > 0; }
      if (laid !== variant()) { lay(); }
      // Fractions and signs need more than the number keys.
      const keys = own.offset.n || /in|ft|mi/.test(unit.value) || single.least === null ? "text" : "decimal";
      const values = fields.map((field) => {
        const typed = typedIn(field, units, chosen, end(single.least), end(single.most), errors), band = typed && variant() !== "" ? judged(single, typed.value) : undefined;
        field.input.setAttribute("inputmode", keys);
        field.mark.replaceChildren(...(parts && band ? [meaning(band.verdict)] : []));
        if (!typed) { open.push(field.says); }
        if (gravity(band) > gravity(line)) { line = band; }
        return typed;
      });
      now = null;
      status.replaceChildren(...errors, ...(!values.some(Boolean) ? [] : variant() === "" ? [make("p.calc-missing", say("which_variant"))] : total ? summed(values.map((typed) => typed && typed.value), line, open) : alone(/** @type {Typed} */ (values[0]))));
      into.dispatchEvent(new CustomEvent("reading", { detail: now, bubbles: true }));
    }
    /** @param {Typed} typed */
    function alone(typed) {
      const { value } = typed, out = rodsOut().map(({ volume }) => volume);
      if (!data.level || !out.length) { return verdict(both(value, 3, typed), judged(data, value)); }
      const level = withRodsIn(value, sum(out).total, exact(data.level.surface)) || value;
      return [make("p", say("with_rods_in", { value: both(level, 0) })), ...verdict(both(level, 0), judged(data, level))];
    }
    /** @param {(Fraction | null)[]} values @param {Band | undefined} line @param {string[]} open */
    function summed(values, line, open) {
      const all = sum(values).total, band = judged(/** @type {Data} */ (total), all), acts = gravity(line) === 2, shown = say("total") + ": " + both(all);
      // While places are missing, a total can only grow: what it means so far counts where it asks for action.
      const unsure = open.length > 0 && gravity(band) < 2, worse = band && gravity(line) > gravity(band) ? line : band;
      const said = !unsure ? verdict(shown, worse, worse !== line && acts ? line : undefined) : [
        make("p", shown), make("p.calc-missing", say("missing", { places: open.join(", ") }) + " " + say("so_far")), ...(acts ? verdict("", line) : [])
      ], sure = data.of ? !unsure && band : line;
      if (now) { now.band = sure ? sure.id : ""; }
      return said;
    }
    /** @param {string} shown @param {Band | undefined} band @param {Band} [also] */
    function verdict(shown, band, also) {
      if (!band) { return [make("p.calc-verdict", shown), make("p", say("no_band"))]; }
      const links = band.then.concat(also ? also.then : []).filter((link, place, all) => all.findIndex(({ href }) => href === link.href) === place);
      now = { verdict: band.verdict, band: band.id, text: shown, links };
      return [make("p.calc-verdict", shown && shown + " ", meaning(band.verdict), " " + band.says),
        ...(links.length ? [make("ul.links", links.map(({ href, text }) => make("li", make("a", { href }, text))))] : [])];
    }
    function clear() {
      fields.forEach(({ input }) => { input.value = ""; });
      rods.forEach(({ tick }) => { tick.checked = false; });
      work();
      fields[0].input.focus();
    }
    fill(into, data.name, [
      make("p.calc-options", unit.parentNode, machine && machine.parentNode), box,
      rods.length > 0 && make("fieldset.calc-rods", make("legend", say("rods_out")), rods.map(({ says, tick }) => make("label.calc-tick", tick, make("span", says)))),
      state, status, make("p.calc-clear", make("button", { click: clear }, say("clear")))
    ], work);
  }

  /** What is lost between the test points of a path. @param {any} into @param {{points: string[], may: (string | null)[], budget: string | null}} path */
  function mountPath(into, path) {
    const units = unitsOf("voltage"), fields = path.points.slice(0, -1).map(field), status = make("div.calc-result", { role: "status" });
    /** @param {Fraction} value */
    const volts = (value) => plain(value, 3) + JOIN + "V";
    function work() {
      const errors = /** @type {any[]} */ ([]), values = fields.map((field) => (typedIn(field, units, named(units, "V"), null, exact("1000"), errors) || { value: null }).value);
      // The last point is ground itself.
      const stretches = lost([...values, NOTHING]).filter(({ after }) => path.may[after] !== null), may = path.may.map((it) => exact(it || "0")), most = worst(stretches, may);
      const rows = stretches.map(({ after, lost }) => make("li", `${path.points[after]} \u2192 ${path.points[after + 1]}: ${volts(lost)} ` +
        (lost.n < 0n ? say("gains") : say("may_lose", { value: volts(may[after]) })), after === most && [" ", make("b", say("worst"))]));
      const all = sum(stretches.map(({ lost }) => lost)).total, budget = end(path.budget), over = budget && less(budget, all);
      status.replaceChildren(...errors, ...(rows.length ? [make("ul.plain", rows)] : []), ...(rows.length && budget ? [
        make("p.calc-verdict", say("lost_all") + ": " + volts(all) + " ", meaning(over ? "act" : "fine"), " " + say(over ? "over" : "within", { value: volts(budget) }))
      ] : []));
    }
    fill(into, say("lost_all"), [make("div.calc-fields", fields.map(({ label }) => label)), status], work, [make("h3", into.dataset.says), make("p", into.dataset.how)]);
  }

  /** A value in every unit of its kind. @param {any} into */
  function mountUnits(into) {
    const { units: kind, says, usual } = into.dataset, units = unitsOf(kind), made = field(says), unit = unitChoice(units), status = make("div", { role: "status" });
    made.input.setAttribute("inputmode", "text");
    if (usual) { unit.value = usual; }
    function work() {
      const errors = /** @type {any[]} */ ([]), typed = typedIn({ ...made, says: made.input.value }, units, named(units, unit.value), null, null, errors);
      status.replaceChildren(...errors, make("dl.calc-units", typed ? units.filter((it) => it !== typed.unit).map((it) => make("div", make("dt", it.symbol), make("dd", shownIn(typed, it) + JOIN + it.symbol))) : []));
    }
    fill(into, says, [make("p.calc-options", made.label, unit.parentNode), status], work);
  }

  each("div[data-reading]", (/** @type {any} */ into) => { if (find(into.dataset.reading)) { mount(into, find(into.dataset.reading)); } });
  each("[data-path]", (/** @type {any} */ into) => mountPath(into, page().path));
  each("[data-units]", mountUnits);

  return { find, mount, exact, unitOf, read, outside, bandOf, sum, withRodsIn, lost, worst, plain, shownIn, inUnit };
})();
