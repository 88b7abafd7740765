// The calculator's script, on the examples that the compiler is held to as well.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), path = require("node:path"), vm = require("node:vm");
const file = path.join(__dirname, "../../themes/script/reading.js");
// A page without calculators.
vm.runInThisContext("var Bayleaf = { each() {} }");
vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
const reading = vm.runInThisContext("Bayleaf.reading");
const vectors = JSON.parse(fs.readFileSync(path.join(__dirname, "vectors.json"), "utf8"));

const kinds = Object.values(vectors.units).map((rows) => rows.map(reading.unitOf));
const unitsOf = (symbol) => kinds.find((units) => units.some((unit) => unit.symbol === symbol));
const unit = (symbol) => unitsOf(symbol).find((unit) => unit.symbol === symbol);
const read = (text, symbol) => reading.read(text, unitsOf(symbol), unit(symbol));
const value = (text, symbol) => { const typed = read(text, symbol); return typed.error ? null : typed.value; };
const written = (fraction) => `${fraction.n}/${fraction.d}`;
const decimal = (text) => value(`${text} V`, "V");
const base = (text) => text === null ? null : written(value(text, Object.values(vectors.units).flat().map((row) => row[0]).sort((a, b) => b.length - a.length).find((symbol) => text.endsWith(` ${symbol}`))));

test("what is typed is read", () => {
  for (const [text, symbol, wanted] of vectors.typed) assert.strictEqual(written(read(text, symbol).value), wanted, text);
});

test("what is no value is refused with its reason", () => {
  for (const [text, symbol, error] of vectors.refused) {
    const typed = read(text, symbol), least = vectors.units["temperature"].some((row) => row[0] === symbol) ? reading.exact("0") : null;
    assert.strictEqual(typed.error || reading.outside(typed.value, least, null), error, text);
  }
});

test("a band holds its lower edge and not its upper", () => {
  for (const [symbol, edges, pairs] of vectors.bands) {
    const bands = edges.map(([from, to]) => ({ from: base(from), to: base(to) }));
    for (const [text, place] of pairs) {
      const typed = read(text, symbol);
      if (text === "9,525 mm") assert.strictEqual(typed.error, "comma");
      else assert.strictEqual(reading.bandOf(bands, null, typed.value), place === null ? -1 : place, `${text} in ${JSON.stringify(edges)}`);
    }
  }
});

test("values add up and missing ones are counted", () => {
  for (const [texts, symbol, total, missing] of vectors.sums) {
    const sum = reading.sum(texts.map((text) => value(text, symbol)));
    assert.deepStrictEqual([reading.plain(reading.inUnit(unit(symbol), sum.total), 3), sum.missing], [total, missing]);
  }
});

test("a level is brought to rods in", () => {
  for (const [text, rods, surface, wanted, symbol] of vectors.levels) {
    const level = reading.withRodsIn(value(text, symbol), reading.exact(`${rods}/1000000000`), reading.exact(`${surface}/1000000`));
    assert.strictEqual(level && reading.plain(reading.inUnit(unit(symbol), level), 1), wanted, text);
  }
});

test("what is lost between test points is found", () => {
  for (const [volts, may, losses, worst] of vectors.drops) {
    const stretches = reading.lost(volts.map((text) => value(text, "V")));
    const wanted = losses.flatMap((lost, after) => lost === null ? [] : [{ after, lost: decimal(lost) }]);
    assert.deepStrictEqual(stretches, wanted);
    assert.strictEqual(reading.worst(stretches, may.map(decimal)), worst === null ? -1 : worst);
  }
});

test("values are shown in other units", () => {
  for (const [text, symbol, wanted] of vectors.converted) assert.strictEqual(reading.shownIn(read(text, symbol), unit(symbol)), wanted, text);
  for (const [fraction, places, wanted] of vectors.plain) assert.strictEqual(reading.plain(reading.exact(fraction), places), wanted, fraction);
});

test("a value outside what is possible is refused", () => {
  for (const [symbol, , text, error, [least, most]] of vectors.ranges) {
    assert.strictEqual(reading.outside(value(text, symbol), least && reading.exact(least), most && reading.exact(most)), error, text);
  }
});
