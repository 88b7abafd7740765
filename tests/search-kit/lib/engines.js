// The libraries of the comparison, each fed the same pages and asked the same way: a query in, page numbers out.
"use strict";
const elasticlunr = require("elasticlunr");
const lunr = require("lunr");
const MiniSearch = require("minisearch");

const FIELDS = { title: 3, also: 2, codes: 2, body: 1 };
const NAMES = Object.keys(FIELDS);

/** @typedef {{name: string, bytes: number, query: (text: string) => number[]}} Engine */

/** The pages as a library wants them. @param {object[]} documents */
function rows(documents) {
  return documents.map((document, id) => ({ id, title: document.title || "", also: document.also || "", codes: document.codes || "", body: document.body || "" }));
}

/** @param {object[]} documents @returns {Engine} */
function elasticlunrEngine(documents) {
  const built = elasticlunr(function () {
    NAMES.forEach((name) => this.addField(name));
    this.setRef("id");
    this.saveDocument(false);
  });
  rows(documents).forEach((row) => built.addDoc(row));
  const text = JSON.stringify(built), index = elasticlunr.Index.load(JSON.parse(text));
  const fields = Object.fromEntries(NAMES.map((name) => [name, { boost: FIELDS[name] }]));
  return { name: "elasticlunr", bytes: Buffer.byteLength(text), text, load: (t) => elasticlunr.Index.load(JSON.parse(t)), query: (q) => index.search(q, { fields, expand: true }).map((hit) => Number(hit.ref)) };
}

/** @param {object[]} documents @param {boolean} lenient allow one typing error and open ends @returns {Engine} */
function lunrEngine(documents, lenient) {
  const built = lunr(function () {
    this.ref("id");
    NAMES.forEach((name) => this.field(name, { boost: FIELDS[name] }));
    rows(documents).forEach((row) => this.add(row));
  });
  const text = JSON.stringify(built), index = lunr.Index.load(JSON.parse(text));
  const ask = (q) => index.query((query) => {
    lunr.tokenizer(q).forEach((token) => {
      query.term(token.toString(), { boost: 10 });
      if (lenient) query.term(token.toString(), { boost: 1, usePipeline: false, editDistance: token.toString().length > 3 ? 1 : 0, wildcard: lunr.Query.wildcard.NONE });
    });
  });
  return { name: lenient ? "lunr, 1 edit" : "lunr", bytes: Buffer.byteLength(text), text, load: (t) => lunr.Index.load(JSON.parse(t)), query: (q) => ask(q).map((hit) => Number(hit.ref)) };
}

/** @param {object[]} documents @param {boolean} lenient @returns {Engine} */
function minisearchEngine(documents, lenient) {
  const options = { fields: NAMES, searchOptions: { boost: FIELDS, ...(lenient ? { prefix: true, fuzzy: 0.2 } : {}) } };
  const built = new MiniSearch(options);
  built.addAll(rows(documents));
  const text = JSON.stringify(built), index = MiniSearch.loadJSON(text, options);
  return { name: lenient ? "minisearch, fuzzy" : "minisearch", bytes: Buffer.byteLength(text), text, load: (t) => MiniSearch.loadJSON(t, options), query: (q) => index.search(q).map((hit) => hit.id) };
}

/** All of them. @param {object[]} documents @returns {Engine[]} */
function libraries(documents) {
  return [elasticlunrEngine(documents), lunrEngine(documents, false), lunrEngine(documents, true), minisearchEngine(documents, false), minisearchEngine(documents, true)];
}

module.exports = { libraries, elasticlunrEngine, lunrEngine, minisearchEngine };
