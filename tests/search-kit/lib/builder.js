// Builds the search index in Node, byte for byte as the compiler does; a test holds the two together.
// Only for judging the search on a collection of one's own: a guide's index is built by the compiler.
"use strict";
const core = require("../../../themes/script/search-core.js"), tables = require("../../../src/render/search/tables.json"), opposites = require("../../../src/render/search/opposites.json"), alike = require("../../../src/render/search/alike.json");
core.use(tables);

const FIELDS = ["title", "also", "codes", "body"];
// The short numbers in codes are a field of their own, after the others: 12 is less than P-12 and more than 12 V in a text, 4471 is as good as DN-4471.
// A code among other names is a code.
const SHORT = /^[0-9]{1,3}$/, NAMED = 6, ALL = [...FIELDS, "parts"], WEIGHTS = [10, 4, 8, 1, 2], LENGTH = [0.6, 0.5, 0.2, 0.85, 0], SATURATION = 2, LEVELS = 8;
const CODED = WEIGHTS.map((weight, f) => (f === 1 ? NAMED : weight));
const ONE_FILE = 1000, SHARD = 8 * 1024, HINT = 160, STRETCH = 128, RARE = 8, LARGEST = 72 + 19 * 92 + 92 ** 3 - 1;

const digit = (value) => { const v = value % 92; return String.fromCharCode(32 + v + (v > 57 ? 3 : v > 26 ? 2 : v > 1 ? 1 : 0)); };
function number(value) {
  if (value < 72) return digit(value);
  if (value < 72 + 19 * 92) return digit(72 + Math.floor((value - 72) / 92)) + digit(value - 72);
  const rest = Math.min(value, LARGEST) - 72 - 19 * 92;
  return digit(91) + digit(Math.floor(rest / 8464)) + digit(Math.floor(rest / 92)) + digit(rest);
}
/** A number in at least so many digits. */
const digits = (value, width) => (value > 91 || width > 1 ? digits(Math.floor(value / 92), width - 1) : "") + digit(value);
function frontCoded(before, word) {
  let shared = 0;
  for (const c of word) {
    if (shared + c.length >= 92 || before.slice(shared, shared + c.length) !== c) break;
    shared += c.length;
  }
  return digit(shared) + word.slice(shared);
}
/** Order of code points, which is the order of UTF-8 bytes. */
function byCodePoint(a, b) {
  const x = Array.from(a), y = Array.from(b);
  for (let i = 0; i < x.length && i < y.length; i++) if (x[i] !== y[i]) return x[i].codePointAt(0) - y[i].codePointAt(0);
  return x.length - y.length;
}
const listOrder = (a, b) => { for (let i = 0; i < a.length && i < b.length; i++) if (a[i] !== b[i]) return byCodePoint(a[i], b[i]); return a.length - b.length; };

/** The terms of one field. */
function termsOf(document, field, surfaces) {
  const parts = core.words(document.codes || "").flatMap((word) => word.parts).filter((part) => SHORT.test(part));
  if (field === "parts") return parts;
  const list = core.indexTerms(document[field] || "", field !== "body", surfaces).filter(Boolean);
  if (field === "codes") for (const part of parts) list.splice(list.indexOf(part), 1);
  return list;
}

/** Term, then page, then times per field; lengths; words as written. */
function count(documents) {
  const terms = new Map(), surfaces = new Set();
  const lengths = documents.map((document, page) => ALL.map((field, f) => {
    const list = termsOf(document, field, surfaces);
    for (const term of list) {
      let pages = terms.get(term);
      if (!pages) terms.set(term, (pages = new Map()));
      let times = pages.get(page);
      if (!times) pages.set(page, (times = ALL.map(() => 0)));
      times[f]++;
    }
    return list.length;
  }));
  // A field of codes is as long as it was with its parts.
  for (const length of lengths) length[2] += length[4];
  // Weak words of bodies tell something only where few pages have them.
  for (const [term, pages] of terms) if (term[0] === "~" && pages.size > Math.floor(documents.length / RARE)) terms.delete(term);
  return { terms, surfaces, lengths };
}

function levels({ terms, lengths }) {
  const mean = ALL.map((_, f) => { const filled = lengths.filter((l) => l[f] > 0); return filled.length ? filled.reduce((sum, l) => sum + l[f], 0) / filled.length : 1; });
  const level = (weights, times, page) => {
    let weight = 0;
    for (let f = 0; f < ALL.length; f++) weight += (weights[f] * times[f]) / (1 - LENGTH[f] + (LENGTH[f] * lengths[page][f]) / mean[f]);
    return Math.min(LEVELS, Math.max(1, Math.ceil((weight / (weight + SATURATION)) * LEVELS))) - 1;
  };
  return new Map([...terms].map(([term, pages]) => [term, [...pages].map(([page, times]) => [page, level(/[0-9]/.test(term) ? CODED : WEIGHTS, times, page)])]));
}

function postingsText(postings) {
  let text = "";
  for (let level = 0; level < 8; level++) {
    const pages = postings.filter((p) => p[1] === level).map((p) => p[0]);
    if (!pages.length) continue;
    text += number((pages.length - 1) * 8 + level);
    pages.reduce((before, page) => { text += number(page - before); return page; }, 0);
  }
  return text;
}

/** Where a word with the postings of a stem stands beside it, or 0. */
function sameBeside(sorted, at) {
  const stem = sorted[at], same = (place) => sorted[place] && sorted[place].written && sorted[place].text === stem.text;
  if (stem.written || stem.text.length <= 4) return 0;
  for (let distance = 1; distance <= 16; distance++) {
    if (same(at + distance)) return distance * 2;
    if (same(at - distance)) return distance * 2 + 1;
  }
  return 0;
}

function sets(documents, name) {
  const keys = new Map(documents.map((document) => [JSON.stringify(document[name] || []), document[name] || []]));
  const lists = [...keys.values()].sort(listOrder), at = new Map(lists.map((list, n) => [JSON.stringify(list), n]));
  const width = digits(lists.length - 1, 1).length;
  return { lists, of: documents.map((document) => digits(at.get(JSON.stringify(document[name] || [])), width)).join("") };
}

// White_Space of the Unicode Character Database, as the compiler splits lines.
const SPACE = /[\t-\r \u0085\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/;
function filter(document, small) {
  const pairs = new Set();
  FIELDS.filter((field) => small || field !== "body").forEach((field) => core.pairHashes(document[field] || "").forEach((hash) => pairs.add(hash)));
  const marks = [...pairs].map((hash) => hash % (pairs.size * 700)).sort((a, b) => a - b);
  const steps = number(marks.length) + marks.map((mark, n) => number(mark - (n ? marks[n - 1] : 0))).join("");
  return number(steps.length) + steps;
}
const line = (text) => text.split(SPACE).filter(Boolean).join(" ");
function cutLine(text) {
  const chars = Array.from(text);
  return chars.length > HINT ? chars.slice(0, HINT).join("") + "…" : text;
}
function hint(document) {
  const names = [document.codes, document.also].flatMap((text) => (text || "").split("\n")).map((name) => cutLine(line(name))).filter(Boolean);
  return cutLine(names.join(" · "));
}
/** The roots of a phrase, and the other phrases for it with how well they stand for it. @param {object[]} entries @param {{has: (term: string) => boolean}} terms those of the pages */
function synonymTable(entries, terms) {
  const table = new Map();
  for (const [one, other] of opposites) for (const [from, to] of [[one, other], [other, one]]) {
    const key = "!" + core.root(core.words(from)[0]);
    table.set(key, [...(table.get(key) || []), [[to], 0.8]]);
  }
  const add = (from, to, weight) => {
    const key = core.words(from).map(core.root).join(" "), terms = core.words(to).map((word) => word.term);
    if (key && terms.length && key !== terms.join(" ")) table.set(key, [...(table.get(key) || []), [terms, weight]]);
  };
  for (const { preferred, avoided, said } of entries) {
    const others = [...(avoided || []), ...(said || [])];
    for (const other of others) {
      add(other, preferred, 0.95);
      add(preferred, other, 0.25);
      for (const third of others) if (third !== other) add(other, third, 0.25);
    }
  }
  const known = (phrase) => core.words(phrase).every((word) => terms.has(word.term) || terms.has(core.root(word)));
  for (const group of alike) for (const to of group.filter(known)) for (const from of group) if (from !== to) add(from, to, 0.5);
  return [...table].sort((a, b) => byCodePoint(a[0], b[0]));
}
const script = (value) => JSON.stringify(value).replace(/</g, "\\u003c").replace(/\u2028/g, "\\u2028").replace(/\u2029/g, "\\u2029");

/** @param {{documents: object[], kinds?: object[], synonyms?: object[]}} guide @returns {Map<string, string>} path to text */
function build(guide) {
  const kinds = guide.kinds || [], seen = new Set();
  const documents = guide.documents.slice().sort((a, b) => byCodePoint(a.url, b.url)).filter((d) => !seen.has(d.url) && seen.add(d.url));
  const counted = count(documents), postings = levels(counted), small = documents.length <= ONE_FILE;
  const shards = [], firsts = [];
  let before = "", nth = 0;
  const lines = [];
  const sorted = [...postings.keys()].sort((a, b) => (a < b ? -1 : 1)).map((term) => ({ term, text: postingsText(postings.get(term)), written: counted.surfaces.has(term) }));
  for (const { term, text, written } of sorted) {
    if (!shards.length || shards[shards.length - 1].length >= SHARD) { shards.push(""); lines.push(""); firsts.push(nth); before = ""; }
    const distance = sameBeside(sorted, nth);
    lines[lines.length - 1] += frontCoded(before, term) + " " + (distance ? number(1) + number(distance) : number(text.length * 2 + (written ? 0 : 1)));
    if (!distance) shards[shards.length - 1] += text;
    before = term;
    nth++;
  }
  const at = new Map(documents.map((document, n) => [document.url, n]));
  const related = documents.map((document) => {
    const list = [...new Set((document.related || []).map((url) => at.get(url)).filter((n) => n !== undefined))].sort((a, b) => a - b);
    return number(list.length) + list.map((n, i) => number(n - (i ? list[i - 1] : 0))).join("");
  }).join("");
  const cut = (list) => Array.from({ length: Math.ceil(list.length / STRETCH) }, (_, nth) => list.slice(nth * STRETCH, (nth + 1) * STRETCH));
  const stretches = (lineOf) => cut(documents.map(lineOf)).map((lines) => lines.join("\n"));
  const kindOf = (document) => { const n = kinds.findIndex((kind) => kind.id === document.kind); return digit(n < 0 ? kinds.length : n); };
  const root = {
    pages: documents.length, urls: stretches((d, n) => frontCoded(n % STRETCH ? documents[n - 1].url : "", d.url)),
    titles: stretches((d) => line(d.title || "")), hints: small ? stretches(hint) : [],
    kinds: kinds.map((kind) => [kind.id, kind.boost, kind.is_work || false]), kind: documents.map(kindOf).join(""), variants: sets(documents, "variants"), tags: sets(documents, "tags"), related,
    synonyms: synonymTable(guide.synonyms || [], postings), tables, terms: lines, shards: firsts, stretch: STRETCH, body_pairs: small,
  };
  const head = `var guideIndex=guideIndex||{};guideIndex.root=${script(root)};\n`, filters = cut(documents).map((part) => part.map((d) => filter(d, small)).join(""));
  const named = (letter, list) => list.map((text, n) => [`${letter}${n}`, `guideIndex.${letter}${n}="${text}";\n`]);
  const texts = [...named("s", shards), ...named("p", filters)];
  if (small) return new Map([["search/index.js", head + texts.map(([, text]) => text).join("")]]);
  return new Map([["search/index.js", head], ...texts.map(([name, text]) => [`search/${name}.js`, text])]);
}

module.exports = { build };
