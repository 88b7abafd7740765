// Scores of ranked lists.
"use strict";
const { chance, pick, misspell } = require("./chance.js");

/** One over the place of the first wanted page, 0 beyond the first ten. @param {number[]} ranked @param {Set<number>} wanted */
function reciprocal(ranked, wanted) {
  const at = ranked.slice(0, 10).findIndex((page) => wanted.has(page));
  return at < 0 ? 0 : 1 / (at + 1);
}

const STOP = new Set("the a of to and with until then from at on off in out up down not only after before if when there is it this each both same other more less than again by".split(" "));
const strong = (text) => (text.match(/[\p{L}\p{N}][\p{L}\p{N}-]*/gu) || []).filter((word) => word.length > 2 && !STOP.has(word.toLowerCase()));

/** Words that stand on more than a tenth of the pages tell nobody which page is meant. @param {object[]} documents @returns {(word: string) => boolean} */
function telling(documents) {
  const pages = new Map();
  for (const document of documents) {
    for (const word of new Set(strong(Object.values(document).filter((v) => typeof v === "string").join(" ")).map((w) => w.toLowerCase()))) pages.set(word, (pages.get(word) || 0) + 1);
  }
  const most = Math.max(2, documents.length / 10);
  return (word) => (pages.get(word.toLowerCase()) || 0) <= most;
}

/**
 * Known-item questions: two words of a page's title and two telling words of its other text, pages in turn until there are enough.
 * @param {object[]} documents @param {number} most @param {number} seed
 * @returns {{query: string, misspelt: string, wanted: Set<number>}[]}
 */
function knownItems(documents, most, seed) {
  const next = chance(seed), questions = [], step = Math.max(1, Math.floor(documents.length / most)), tells = telling(documents);
  for (let nth = 0; nth < most * 2 && questions.length < most; nth++) {
    const page = (nth * step) % documents.length;
    const title = strong(documents[page].title || ""), text = strong(`${documents[page].also || ""} ${documents[page].body || ""}`).filter((word) => tells(word) && !title.includes(word));
    if (!title.length || text.length < 2) continue;
    const words = [...new Set([pick(next, title), pick(next, title), pick(next, text), pick(next, text)])];
    const long = words.map((word, n) => n).filter((n) => words[n].length > 4 && /^\p{L}+$/u.test(words[n]));
    const bad = words.slice();
    if (long.length) { const n = pick(next, long); bad[n] = misspell(next, bad[n]); }
    questions.push({ query: words.join(" "), misspelt: bad.join(" "), wanted: new Set([page]) });
  }
  return questions;
}

/** @param {(query: string) => number[]} ask @param {{query: string, wanted: Set<number>}[]} questions @returns {{mrr: number, first: number}} */
function score(ask, questions) {
  let mrr = 0, first = 0;
  for (const { query, wanted } of questions) {
    const value = reciprocal(ask(query), wanted);
    mrr += value;
    if (value === 1) first++;
  }
  return { mrr: mrr / questions.length, first: first / questions.length };
}

module.exports = { knownItems, score, reciprocal };
