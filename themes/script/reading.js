// Calculators for readings: what a value means, values added up, a level against the rods that are out, what is lost
// between test points, units. It works out what the compiler works out, on the same examples, in whole-number
// fractions, so that no limit is missed by a rounding error. Nothing is fetched and nothing leaves the device.
//
// For other scripts (`Bayleaf.reading`):
//   find(id)             the data of a reading from `Bayleaf.readings`, else from the page's block
//                        `<script type="application/json" data-readings>`
//   mount(element, data) puts a calculator for that reading into an element; returns { result, element }
//   result()             null, or { verdict, band, text, links } of what is typed now; `band` is the id of the band
// A mounted element gets the event "reading" with that result as its `detail` whenever it changes.
var Bayleaf = typeof window === "undefined" ? {} : /** @type {any} */ (window).Bayleaf || (/** @type {any} */ (window).Bayleaf = {});

Bayleaf.reading = (() => {
  "use strict";

  /**
   * @typedef {{n: bigint, d: bigint}} Fraction
   * @typedef {{symbol: string, factor: Fraction, offset: Fraction, ways: string[], anyCase: boolean}} Unit
   * @typedef {{value: Fraction, unit: Unit, written: Fraction, digits: number, places: number}} Typed
   * @typedef {{id: string, verdict: string, says: string, from: string | null, to: string | null, variants: string[] | null, then: {href: string, text: string}[]}} Band
   * @typedef {{name: string, kind: string, unit: string, offers: string[], state: string | null, least: string | null, most: string | null, bands: Band[], variants: [string, string][], sum: {places: [string, string[] | null][], total: string} | null, of: string | null, level: {surface: string, rods: [string, string][]} | null}} Data
   * @typedef {{verdict: string, band: string, text: string, links: {href: string, text: string}[]}} Result  `band` is empty where no one band is sure yet
   */

  var big = typeof BigInt === "undefined" ? null : BigInt;
  var ZERO = big ? big(0) : /** @type {any} */ (0), ONE = big ? big(1) : /** @type {any} */ (1), TEN = big ? big(10) : /** @type {any} */ (10);
  var JOIN = "\u00a0", MOST_DIGITS = 15, MOST_IN_FRACTION = 9;
  var ONE_LETTER = /** @type {Object<string, string>} */ ({ "\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4", "\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8", "\u2153": "1/3", "\u2154": "2/3" });

  // Fractions, always in lowest terms with a positive lower part.

  /** @param {bigint} n @param {bigint} d @returns {Fraction} */
  function fraction(n, d) {
    var a = n < ZERO ? -n : n, b = d < ZERO ? -d : d, rest;
    while (b) { rest = a % b; a = b; b = rest; }
    if (!a) { return { n: ZERO, d: ONE }; }
    return d < ZERO ? { n: -n / a, d: -d / a } : { n: n / a, d: d / a };
  }
  /** @param {string} text "1/25" or "3" @returns {Fraction} */
  function exact(text) {
    var parts = text.split("/");
    return fraction(BigInt(parts[0]), BigInt(parts[1] || "1"));
  }
  /** @param {Fraction} a @param {Fraction} b */
  const plus = (a, b) => fraction(a.n * b.d + b.n * a.d, a.d * b.d);
  /** @param {Fraction} a @param {Fraction} b */
  const minus = (a, b) => fraction(a.n * b.d - b.n * a.d, a.d * b.d);
  /** @param {Fraction} a @param {Fraction} b */
  const times = (a, b) => fraction(a.n * b.n, a.d * b.d);
  /** @param {Fraction} a @param {Fraction} b */
  const over = (a, b) => fraction(a.n * b.d, a.d * b.n);
  /** @param {Fraction} a @param {Fraction} b @returns {number} below, at or above nothing */
  function compare(a, b) { var left = a.n * b.d, right = b.n * a.d; return left < right ? -1 : left > right ? 1 : 0; }
  /** @param {Fraction} a */
  const size = (a) => ({ n: a.n < ZERO ? -a.n : a.n, d: a.d });

  // Units.

  /** @param {any[]} row symbol, factor, offset, ways, any case @returns {Unit} */
  const unitOf = (row) => ({ symbol: row[0], factor: exact(row[1]), offset: exact(row[2]), ways: row[3], anyCase: row[4] });
  /** @param {Unit} unit @param {Fraction} value */
  const toBase = (unit, value) => times(plus(value, unit.offset), unit.factor);
  /** @param {Unit} unit @param {Fraction} base */
  const inUnit = (unit, base) => minus(over(base, unit.factor), unit.offset);
  /** Without blanks and multiplication signs, raised digits lowered, look-alike letters made one. @param {string} text */
  const squeezed = (text) => text.replace(/[\s\u00b7*\u22c5]/g, "").replace(/\u00b2/g, "2").replace(/\u00b3/g, "3")
      .replace(/\u03bc/g, "\u00b5").replace(/\u2126/g, "\u03a9").replace(/\u2206/g, "\u0394");
  /** @param {string} written @param {Unit[]} units @returns {Unit | null} */
  function unitNamed(written, units) {
    var tight = squeezed(written), tries = [tight, "\u00b0" + tight];
    for (var t = 0; t < tries.length; t++) {
      for (var u = 0; u < units.length; u++) { if (units[u].ways.indexOf(tries[t]) >= 0) { return units[u]; } }
      var low = tries[t].toLowerCase();
      for (u = 0; u < units.length; u++) {
        if (units[u].anyCase && units[u].ways.some((way) => way.toLowerCase() === low)) { return units[u]; }
      }
    }
    return null;
  }

  // What is typed.

  /** @param {string} text */
  function tidied(text) {
    var tidy = "";
    Array.from(text.trim()).forEach((letter) => {
      if (ONE_LETTER[letter]) { tidy += (/[0-9]$/.test(tidy) ? " " : "") + ONE_LETTER[letter]; return; }
      if (letter === "\u2212" || letter === "\u2013") { tidy += "-"; } else if (letter === "\u2033" || letter === "\u201d") { tidy += "\""; } else if (letter === "\u2044") { tidy += "/"; } else if (/\s/.test(letter)) { if (!/ $/.test(tidy)) { tidy += " "; } } else { tidy += letter; }
    });
    return tidy;
  }

  /** Reads what was typed, in one of some units; without a unit it is in the usual one. @param {string} text @param {Unit[]} units @param {Unit} usual @returns {Typed | {error: string}} */
  function read(text, units, usual) {
    var tidy = tidied(text), sign = "", found, number, rest, unit;
    if (!tidy) { return { error: "empty" }; }
    if (tidy.charAt(0) === "-") { sign = "-"; tidy = tidy.slice(1); } else if (tidy.charAt(0) === "+") { tidy = tidy.slice(1); }
    tidy = tidy.trim();
    if (!/^[0-9.,]/.test(tidy)) { return { error: "no_number" }; }
    if ((found = /^(?:([0-9]+)[ -])?([0-9]+)\/([0-9]+)/.exec(tidy))) {
      if ((found[1] || "").length > MOST_DIGITS || found[2].length > MOST_IN_FRACTION || found[3].length > MOST_IN_FRACTION) { number = "too_large"; }
      else if (!BigInt(found[3])) { number = "bad_number"; }
      else { number = { value: plus(fraction(BigInt(found[2]), BigInt(found[3])), fraction(BigInt(found[1] || "0"), ONE)), digits: 3, places: 1 }; }
    } else {
      found = /^([0-9]*)(?:([.,])([0-9]*))?/.exec(tidy) || [""];
      number = decimal(found[1], found[2], found[3]);
      if (number === "bad_number" || number === "comma") { return { error: number }; }
    }
    rest = tidy.slice(found[0].length).trim();
    if (/^[0-9.,\/'+-]/.test(rest)) { return { error: "bad_number" }; }
    unit = rest ? unitNamed(rest, units) : usual;
    if (!unit) { return { error: "unit" }; }
    if (typeof number === "string") { return { error: number }; }
    var written = sign ? fraction(-number.value.n, number.value.d) : number.value;
    return { value: toBase(unit, written), unit: unit, written: written, digits: number.digits, places: number.places };
  }

  /** @param {string} whole @param {string | undefined} mark @param {string | undefined} places @returns {string | {value: Fraction, digits: number, places: number}} */
  function decimal(whole, mark, places) {
    places = places || "";
    if (mark && !places) { return "bad_number"; }
    // Three digits behind a comma may be thousands, unless a zero stands before it.
    if (mark === "," && places.length === 3 && whole.length >= 1 && whole.length <= 3 && whole.charAt(0) !== "0") { return "comma"; }
    if ((whole || "0").length + places.length > MOST_DIGITS) { return "too_large"; }
    var all = (whole || "0") + places;
    return { value: fraction(BigInt(all), power(places.length)), digits: Math.max(all.replace(/^0+/, "").length, 1), places: places.length };
  }
  /** @param {number} places @returns {bigint} */
  function power(places) { var value = ONE; while (places-- > 0) { value *= TEN; } return value; }

  /** Whether a value can be. @param {Fraction} value @param {Fraction | null} least @param {Fraction | null} most @returns {string | null} */
  function outside(value, least, most) {
    if (least && compare(value, least) < 0) { return "below"; }
    return most && compare(size(value), most) > 0 ? "far" : null;
  }

  // What it means.

  /** The place of the band that holds a value: `from` is in it, `to` is not. @param {{from: string | null, to: string | null, variants?: string[] | null}[]} bands @param {string | null} machine @param {Fraction} value @returns {number} -1 where none does */
  function bandOf(bands, machine, value) {
    for (var b = 0; b < bands.length; b++) {
      var band = bands[b], here = !machine || !band.variants || band.variants.indexOf(machine) >= 0;
      if (here && (!band.from || compare(value, exact(band.from)) >= 0) && (!band.to || compare(value, exact(band.to)) < 0)) { return b; }
    }
    return -1;
  }
  /** @param {(Fraction | null)[]} values @returns {{total: Fraction, missing: number}} */
  function sum(values) {
    var total = { n: ZERO, d: ONE }, missing = 0;
    values.forEach((value) => { if (value) { total = plus(total, value); } else { missing++; } });
    return { total: total, missing: missing };
  }
  /** The level with every rod in, in metres. @param {Fraction} level @param {Fraction} rodsOut cubic metres @param {Fraction} surface square metres @returns {Fraction | null} */
  const withRodsIn = (level, rodsOut, surface) => surface.n > ZERO ? plus(level, over(rodsOut, surface)) : null;
  /** @param {(Fraction | null)[]} volts @returns {{after: number, lost: Fraction}[]} */
  function lost(volts) {
    var found = /** @type {{after: number, lost: Fraction}[]} */ ([]);
    for (var p = 0; p + 1 < volts.length; p++) {
      var first = volts[p], second = volts[p + 1];
      if (first && second) { found.push({ after: p, lost: minus(first, second) }); }
    }
    return found;
  }
  /** The stretch that loses most beyond what its wires may. @param {{after: number, lost: Fraction}[]} stretches @param {Fraction[]} may @returns {number} -1 where none does */
  function worst(stretches, may) {
    var most = { n: ZERO, d: ONE }, place = -1;
    stretches.forEach((stretch) => {
      if (!may[stretch.after]) { return; }
      var beyond = minus(stretch.lost, may[stretch.after]);
      if (compare(beyond, most) > 0) { most = beyond; place = stretch.after; }
    });
    return place;
  }

  // Values as text.

  /** @param {Fraction} value @returns {bigint} the nearest whole number, halves to even */
  function nearest(value) {
    var whole = value.n / value.d, rest = value.n % value.d;
    if (rest < ZERO) { whole -= ONE; rest += value.d; }
    var other = value.d - rest;
    return rest > other || (rest === other && whole % (ONE + ONE)) ? whole + ONE : whole;
  }
  /** @param {Fraction} value @param {number} places behind the point, before it where negative */
  function toPlaces(value, places) {
    if (places <= 0) { return String(nearest(fraction(value.n, value.d * power(-places))) * power(-places)); }
    var whole = nearest(fraction(value.n * power(places), value.d)), digits = String(whole < ZERO ? -whole : whole);
    while (digits.length <= places) { digits = "0" + digits; }
    return (whole < ZERO ? "-" : "") + digits.slice(0, -places) + "." + digits.slice(-places);
  }
  /** @param {Fraction} value above nothing @returns {number} its power of ten */
  function magnitude(value) {
    var power10 = String(value.n / value.d).length - 1;
    if (value.n >= value.d) { return power10; }
    for (power10 = 0; value.n < value.d; power10--) { value = { n: value.n * TEN, d: value.d }; }
    return power10;
  }
  /** @param {Fraction} value @param {number} digits that count */
  function rounded(value, digits) {
    if (!value.n) { return "0"; }
    var wanted = digits - 1 - magnitude(size(value)), text = toPlaces(value, wanted);
    // 9.96 to two digits is 10, not 10.0: rounding up may add a digit.
    return wanted > 0 && text.replace(/[^0-9]/g, "").replace(/^0+/, "").length > digits ? toPlaces(value, wanted - 1) : text;
  }
  /** @param {Fraction} value */
  const firstDigit = (value) => Number((/[1-9]/.exec(rounded(size(value), 3)) || ["0"])[0]);
  /** At most so many places, without zeros at the end. @param {Fraction} value @param {number} places */
  function plain(value, places) {
    var text = toPlaces(value, places);
    if (text.indexOf(".") < 0) { return text; }
    text = text.replace(/0+$/, "").replace(/\.$/, "");
    return text === "-0" || text === "" ? "0" : text;
  }
  /** The number of a value in another unit, as precise as it was written. @param {Typed} typed @param {Unit} unit */
  function shownIn(typed, unit) {
    var value = inUnit(unit, typed.value);
    if (unit.offset.n) { return toPlaces(value, typed.places); }
    var more = firstDigit(value) < firstDigit(typed.written) ? 1 : 0;
    return rounded(value, Math.max(typed.digits + more, 2));
  }

  // On the page.

  /** @type {{words: Object<string, string>, units: Object<string, any[][]>, readings: Object<string, Data>, path?: any} | null} */
  var block = null;

  /** The page's data, read once. @returns {any} */
  function page() {
    if (!block) {
      var holder = document.querySelector("script[data-readings]");
      block = Bayleaf.readings || (holder ? JSON.parse(holder.textContent || "{}") : { words: {}, units: {}, readings: {} });
    }
    return block;
  }
  /** @param {string} id @returns {Data | null} */
  const find = (id) => page().readings[id] || null;
  /** @param {string} key @param {Object<string, string>} [values] */
  const say = (key, values) => String(page().words[key] || key).replace(/\{(\w+)\}/g, (whole, name) => values && name in values ? values[name] : whole);
  /** @param {string} kind @returns {Unit[]} */
  const unitsOf = (kind) => (page().units[kind] || []).map(unitOf);
  /** @param {Unit[]} units @param {string} symbol @returns {Unit} */
  const named = (units, symbol) => units.filter((unit) => unit.symbol === symbol)[0];

  /** @param {string} name @param {Object<string, string>} [attributes] @param {(Node | string)[]} [content] @returns {HTMLElement} */
  function element(name, attributes, content) {
    var made = document.createElement(name);
    Object.keys(attributes || {}).forEach((key) => { made.setAttribute(key, (attributes || {})[key]); });
    (content || []).forEach((part) => { made.appendChild(typeof part === "string" ? document.createTextNode(part) : part); });
    return made;
  }
  /** @param {string} says @param {[string, string][]} choices value and text @returns {{label: HTMLElement, select: HTMLSelectElement}} */
  function choice(says, choices) {
    var select = /** @type {HTMLSelectElement} */ (element("select", {}, choices.map((it) => element("option", { value: it[0] }, [it[1]]))));
    return { label: element("label", {}, [element("span", {}, [says]), select]), select: select };
  }
  /** A field for one value, with room for what it means. @param {string} says */
  function field(says) {
    var input = /** @type {HTMLInputElement} */ (element("input", { type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", maxlength: "30" }));
    var mark = element("span", { "class": "calc-mark" });
    return { input: input, mark: mark, label: element("label", {}, [element("span", {}, [says]), input, mark]) };
  }
  /** @param {Element} into @param {(Node | string)[]} content */
  function fill(into, content) {
    while (into.firstChild) { into.removeChild(into.firstChild); }
    content.forEach((part) => { into.appendChild(typeof part === "string" ? document.createTextNode(part) : part); });
  }
  /** @param {string} verdict */
  const meaning = (verdict) => element("b", { "class": "meaning meaning-" + verdict }, [say(verdict)]);
  /** A value in the unit chosen and in that of the other system. @param {Fraction} base @param {Unit[]} units @param {Unit} unit @param {Unit | null} other @param {number} [places] */
  function both(base, units, unit, other, places) {
    var first = plain(inUnit(unit, base), places === undefined ? 3 : places) + JOIN + unit.symbol;
    return other && other !== unit ? first + " (" + plain(inUnit(other, base), 3) + JOIN + other.symbol + ")" : first;
  }
  /** @param {string} error @param {Unit[]} units */
  const wrong = (error, units) => say(error, { units: units.map((unit) => unit.symbol).join(", ") });

  var GRAVITY = ["fine", "tolerable", "act"];

  /**
   * Puts a calculator for a reading into an element; a total gets a field for each value that counts towards it.
   * @param {HTMLElement} into @param {Data} data
   * @returns {{result: () => Result | null, element: HTMLElement}}
   */
  function mount(into, data) {
    if (!big || !data) { return { result: () => null, element: into }; }
    var parts = data.of ? find(data.of) : data.sum ? data : null, total = data.of ? data : parts && parts.sum ? find(parts.sum.total) : null;
    var units = unitsOf(data.kind), own = named(units, data.unit), other = data.offers[1] ? named(units, data.offers[1]) : null;
    var single = parts || data, now = /** @type {Result | null} */ (null);
    var unit = choice(say("unit_word"), data.offers.map((symbol) => /** @type {[string, string]} */ ([symbol, symbol])));
    var machine = single.variants.length ? choice(say("variant"), single.variants) : null;
    var options = element("p", { "class": "calc-options" }, [unit.label].concat(machine ? [machine.label] : []));
    var fields = /** @type {any[]} */ ([]), box = element("div", { "class": "calc-fields" }), status = element("div", { "class": "calc-result", role: "status" });
    var rods = (data.level ? data.level.rods : []).map((rod) => {
      var tick = /** @type {HTMLInputElement} */ (element("input", { type: "checkbox" }));
      return { tick: tick, volume: exact(rod[1]), label: element("label", { "class": "calc-tick" }, [tick, element("span", {}, [rod[0]])]) };
    });
    var clear = element("button", { type: "button" }, [say("clear")]);
    var form = element("form", { "class": "calc", "aria-label": data.name }, [options, box]);
    if (rods.length) { form.appendChild(element("fieldset", { "class": "calc-rods" }, /** @type {(Node | string)[]} */ ([element("legend", {}, [say("rods_out")])]).concat(rods.map((rod) => rod.label)))); }
    if (data.state) { form.appendChild(element("p", { "class": "calc-state" }, [say("state") + ": " + data.state])); }
    [status, element("p", { "class": "calc-clear" }, [clear])].forEach((part) => { form.appendChild(part); });

    /** @returns {string | null} */
    const variant = () => machine ? machine.select.value : null;
    function lay() {
      var kept = /** @type {Object<string, string>} */ ({});
      fields.forEach((it) => { kept[it.says] = it.input.value; });
      var places = !parts || !parts.sum ? [data.name] : parts.sum.places.filter((/** @type {any} */ place) => !variant() || !place[1] || place[1].indexOf(variant()) >= 0).map((/** @type {any} */ place) => place[0]);
      fields = places.map((/** @type {string} */ says) => {
        var made = /** @type {any} */ (field(says));
        made.says = says;
        made.input.value = kept[says] || "";
        return made;
      });
      box.className = "calc-fields" + (fields.length > 1 ? " calc-many" : "");
      fill(box, fields.map((it) => it.label));
      keys();
      work();
    }
    /** Fractions and signs need more than the number keys. */
    function keys() {
      var words = own.offset.n || /in|ft|mi/.test(unit.select.value) || single.least === null;
      fields.forEach((it) => { it.input.setAttribute("inputmode", words ? "text" : "decimal"); });
    }
    /** @param {Data} of @param {Fraction} value @returns {Band | null} */
    const judged = (of, value) => of.bands[bandOf(of.bands, variant(), value)] || null;

    function work() {
      var chosen = named(units, unit.select.value) || own, worstBand = /** @type {Band | null} */ (null), errors = /** @type {Node[]} */ ([]), open = /** @type {string[]} */ ([]);
      var values = fields.map((it) => {
        var typed = /** @type {any} */ (read(it.input.value, units, chosen));
        var error = typed.error || outside(typed.value, single.least === null ? null : exact(single.least), single.most === null ? null : exact(single.most));
        it.input.setAttribute("aria-invalid", error && error !== "empty" ? "true" : "false");
        fill(it.mark, []);
        if (error) {
          open.push(it.says);
          if (error !== "empty") { errors.push(element("p", { "class": "calc-wrong" }, [element("b", {}, [it.says + ": "]), wrong(error, units)])); }
          return null;
        }
        var band = judged(single, typed.value);
        if (parts && band) { fill(it.mark, [meaning(band.verdict)]); }
        if (band && (!worstBand || GRAVITY.indexOf(band.verdict) > GRAVITY.indexOf(worstBand.verdict))) { worstBand = band; }
        return typed.value;
      });
      var said = values.some(Boolean) ? (parts && total ? summed(values, chosen, worstBand, open) : alone(values[0], chosen)) : [];
      if (!values.some(Boolean)) { now = null; }
      fill(status, errors.concat(said));
      into.dispatchEvent(new CustomEvent("reading", { detail: now, bubbles: true }));
    }

    /** @param {Fraction | null} value @param {Unit} chosen @returns {Node[]} */
    function alone(value, chosen) {
      var said = /** @type {Node[]} */ ([]), places = /** @type {number | undefined} */ (undefined);
      if (!value) { return said; }
      if (data.level && rods.some((rod) => rod.tick.checked)) {
        var out = sum(rods.map((rod) => rod.tick.checked ? rod.volume : null)).total;
        value = withRodsIn(value, out, exact(data.level.surface)) || value;
        places = 0;
        said.push(element("p", {}, [say("with_rods_in", { value: plain(inUnit(chosen, value), 0) + JOIN + chosen.symbol })]));
      }
      return said.concat(verdict(both(value, units, chosen, places === 0 ? null : chosen === own ? other : own, places), judged(data, value), []));
    }
    /** @param {(Fraction | null)[]} values @param {Unit} chosen @param {Band | null} line @param {string[]} open @returns {Node[]} */
    function summed(values, chosen, line, open) {
      var all = sum(values), of = /** @type {Data} */ (total), band = judged(of, all.total), /** @type {Node[]} */ said = [];
      var shown = say("total") + ": " + both(all.total, units, chosen, chosen === own ? other : own);
      var worse = line && band && GRAVITY.indexOf(line.verdict) > GRAVITY.indexOf(band.verdict) ? line : band;
      // While places are missing, a total can only grow: what it means so far counts where it asks for action.
      if (open.length && !(band && band.verdict === "act")) {
        said.push(element("p", {}, [shown]));
        said.push(element("p", { "class": "calc-missing" }, [say("missing", { places: open.join(", ") }) + " " + say("so_far")]));
        if (line && line.verdict === "act") { said = said.concat(verdict("", line, [])); } else { now = null; }
      } else { said = verdict(shown, worse, worse === line ? [] : line && line.verdict === "act" ? [line] : []); }
      if (now) { now.band = data.of ? (open.length && !(band && band.verdict === "act") ? "" : band ? band.id : "") : line ? line.id : ""; }
      return said;
    }
    /** @param {string} shown @param {Band | null} band @param {Band[]} also @returns {Node[]} */
    function verdict(shown, band, also) {
      now = null;
      if (!band) { return [element("p", { "class": "calc-verdict" }, [shown]), element("p", {}, [say("no_band")])]; }
      var links = band.then.concat.apply(band.then, also.map((other) => other.then));
      links = links.filter((link, place) => links.map((it) => it.href).indexOf(link.href) === place);
      now = { verdict: band.verdict, band: band.id, text: shown, links: links };
      var said = [element("p", { "class": "calc-verdict" }, (shown ? [shown + " ", meaning(band.verdict)] : [meaning(band.verdict)]).concat([" " + band.says]))];
      if (links.length) { said.push(element("ul", { "class": "links" }, links.map((link) => element("li", {}, [element("a", { href: link.href }, [link.text])])))); }
      return said;
    }

    fill(into, [form]);
    into.hidden = false;
    form.addEventListener("input", work);
    form.addEventListener("submit", (event) => { event.preventDefault(); });
    unit.select.addEventListener("change", () => { keys(); work(); });
    if (machine) { machine.select.addEventListener("change", lay); }
    clear.addEventListener("click", () => {
      fields.forEach((it) => { it.input.value = ""; });
      rods.forEach((rod) => { rod.tick.checked = false; });
      work();
      fields[0].input.focus();
    });
    lay();
    return { result: () => now, element: form };
  }

  /** What is lost between the test points of a path. @param {HTMLElement} into @param {{points: string[], may: (string | null)[], budget: string | null}} path */
  function mountPath(into, path) {
    if (!big || !path) { return; }
    var units = unitsOf("voltage"), volt = named(units, "V"), fields = path.points.slice(0, -1).map(field);
    var status = element("div", { "class": "calc-result", role: "status" });
    var form = element("form", { "class": "calc", "aria-label": say("lost_all") }, [element("div", { "class": "calc-fields" }, fields.map((it) => it.label)), status]);
    /** @param {Fraction} value */
    const volts = (value) => plain(value, 3) + JOIN + "V";
    function work() {
      var errors = /** @type {Node[]} */ ([]);
      var values = fields.map((it, place) => {
        var typed = /** @type {any} */ (read(it.input.value, units, volt)), error = typed.error || outside(typed.value, null, exact("1000"));
        it.input.setAttribute("aria-invalid", error && error !== "empty" ? "true" : "false");
        if (error && error !== "empty") { errors.push(element("p", { "class": "calc-wrong" }, [element("b", {}, [path.points[place] + ": "]), wrong(error, units)])); }
        return error ? null : typed.value;
      });
      // The last point is ground itself.
      var stretches = lost(values.concat([{ n: ZERO, d: ONE }])).filter((it) => path.may[it.after] !== null);
      var may = path.may.map((it) => exact(it === null ? "0" : it)), most = worst(stretches, may);
      var rows = stretches.map((it) => {
        var gains = it.lost.n < ZERO;
        return element("li", {}, /** @type {(string | HTMLElement)[]} */ ([path.points[it.after] + " \u2192 " + path.points[it.after + 1] + ": " + volts(it.lost) + " " + (gains ? say("gains") : say("may_lose", { value: volts(may[it.after]) }))]).concat(it.after === most ? [" ", element("b", {}, [say("worst")])] : []));
      });
      var all = sum(stretches.map((it) => it.lost)).total, said = /** @type {Node[]} */ ([]);
      if (rows.length) {
        said.push(element("ul", { "class": "plain" }, rows));
        var over = path.budget !== null && compare(all, exact(path.budget)) > 0;
        if (path.budget !== null) { said.push(element("p", { "class": "calc-verdict" }, [say("lost_all") + ": " + volts(all) + " ", meaning(over ? "act" : "fine"), " " + say(over ? "over" : "within", { value: volts(exact(path.budget)) })])); }
      }
      fill(status, errors.concat(said));
    }
    fill(into, [element("h3", {}, [into.getAttribute("data-says") || ""]), element("p", {}, [into.getAttribute("data-how") || ""]), form]);
    into.hidden = false;
    form.addEventListener("input", work);
    form.addEventListener("submit", (event) => { event.preventDefault(); });
  }

  /** A value in every unit of its kind. @param {HTMLElement} into @param {string} kind @param {string} says @param {string | null} [usual] */
  function mountUnits(into, kind, says, usual) {
    if (!big) { return; }
    var units = unitsOf(kind), made = field(says), list = element("dl", { "class": "calc-units" });
    var unit = choice(say("unit_word"), units.map((it) => /** @type {[string, string]} */ ([it.symbol, it.symbol])));
    var form = element("form", { "class": "calc", "aria-label": says }, [element("p", { "class": "calc-options" }, [made.label, unit.label]), element("div", { role: "status" }, [list])]);
    function work() {
      var chosen = named(units, unit.select.value), typed = /** @type {any} */ (read(made.input.value, units, chosen));
      made.input.setAttribute("aria-invalid", typed.error && typed.error !== "empty" ? "true" : "false");
      if (typed.error) { fill(list, typed.error === "empty" ? [] : [element("div", { "class": "calc-wrong" }, [element("dt", {}, [made.input.value]), element("dd", {}, [wrong(typed.error, units)])])]); return; }
      fill(list, units.filter((it) => it !== typed.unit).map((it) => element("div", {}, [element("dt", {}, [it.symbol]), element("dd", {}, [shownIn(typed, it) + JOIN + it.symbol])])));
    }
    made.input.setAttribute("inputmode", "text");
    if (usual) { unit.select.value = usual; }
    fill(into, [form]);
    into.hidden = false;
    form.addEventListener("input", work);
    unit.select.addEventListener("change", work);
    form.addEventListener("submit", (event) => { event.preventDefault(); });
  }

  /** Mounts what the page asks for: `div data-reading="id"`, `data-path`, `data-units="kind"`. */
  function begin() {
    Array.prototype.forEach.call(document.querySelectorAll("div[data-reading]"), (into) => {
      var data = find(into.getAttribute("data-reading"));
      if (data) { mount(into, data); }
    });
    Array.prototype.forEach.call(document.querySelectorAll("[data-path]"), (into) => { mountPath(into, page().path); });
    Array.prototype.forEach.call(document.querySelectorAll("[data-units]"), (into) => {
      mountUnits(into, into.getAttribute("data-units"), into.getAttribute("data-says"), into.getAttribute("data-usual"));
    });
  }
  if (typeof document !== "undefined") { begin(); }

  return {
    find: find, mount: mount, mountPath: mountPath, mountUnits: mountUnits,
    exact: exact, unitOf: unitOf, read: read, outside: outside, bandOf: bandOf, sum: sum, withRodsIn: withRodsIn, lost: lost, worst: worst,
    plain: plain, shownIn: shownIn, inUnit: inUnit
  };
})();

if (typeof module !== "undefined") { module.exports = Bayleaf.reading; }
