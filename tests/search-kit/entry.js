// Judge the search on a collection of your own:
//
//   const { open } = require("./entry.js");
//   const search = open([{ title: "Bleed the circuit", body: "Open the screw ..." }, ...]);
//   search("bleeding circut")   // [{ document: 0, title, score, terms, missing }, ...], best first
//
// A document may also have `also` (other words for it), `codes`, `kind`, `variants`, `related` (urls), `tags`, `url`;
// what is no text is taken as text. The second argument may give `kinds` ([{ id, boost, is_work }]) and `synonyms` ([{ preferred, avoided, said }]).
// From a shell: node entry.js DOCUMENTS.json QUERY... prints the first ten of each query.
"use strict";
const vm = require("node:vm");
const core = require("../../themes/script/search-core.js");
const { build } = require("./lib/builder.js");

/** Reads an index at once. @param {object} data */
function openIndex(data, engine = core) {
  const index = engine.begin(data);
  /** Looks for pages at once. */
  const search = (query, options) => {
    const steps = index.steps(query, options);
    for (let step = steps.next(); ; step = steps.next()) if (step.done) return step.value;
  };
  return { ...index, search };
}

/** Loads index files as a page would, without one: shards as they are asked for. @param {Map<string, string>} files */
function load(files) {
  const world = vm.createContext({}), loaded = { names: [], bytes: 0 };
  vm.runInContext(files.get("search/index.js"), world);
  const index = openIndex(world.guideIndex);
  const ask = (query, options) => {
    for (let rounds = 0; rounds < 8; rounds++) {
      const answer = index.search(query, options);
      if (!answer.need.length) return answer;
      for (const name of answer.need) {
        const text = files.get(`search/${name}.js`);
        loaded.names.push(name);
        loaded.bytes += Buffer.byteLength(text);
        vm.runInContext(text, world);
      }
    }
    throw new Error("the index keeps asking for shards");
  };
  return { index, ask, loaded, world };
}

/** Any value as the text that a reader would see. */
function textOf(value) {
  return value === null || value === undefined ? "" : Array.isArray(value) ? value.map(textOf).join(" ") : typeof value === "object" ? textOf(Object.values(value)) : String(value);
}

/**
 * @param {object[]} documents any number, none too; what is no text is taken as text, and half of a letter beyond U+FFFF as no letter
 * @param {{kinds?: object[], synonyms?: object[]}} [more]
 * @returns {(query: string, options?: object) => object[]}
 */
function open(documents, more) {
  if (!Array.isArray(documents)) throw new TypeError("the collection is no list of { title, body }");
  const own = new Map(documents.map((document, n) => [document && document.url, `page/${String(n).padStart(7, "0")}`]));
  const named = documents.map((given, n) => {
    const document = given && typeof given === "object" ? given : { body: given }, made = { ...document, url: `page/${String(n).padStart(7, "0")}` };
    for (const name of ["title", "also", "codes", "body", "kind"]) made[name] = textOf(document[name]).toWellFormed();
    for (const name of ["variants", "tags"]) made[name] = [document[name] || []].flat().map(textOf);
    // Relations are told by the collection's own addresses.
    made.related = [document.related || []].flat().map((url) => own.get(url)).filter(Boolean);
    return made;
  });
  const { ask } = load(build({ documents: named, ...more }));
  return (query, options) => ask(textOf(query).toWellFormed(), options).results.map((result) => {
    const document = Number(result.url.slice(5));
    return { ...result, url: (documents[document] && documents[document].url) || result.url, document };
  });
}

module.exports = { open, openIndex, load };

if (require.main === module) {
  const [file, ...queries] = process.argv.slice(2);
  const search = open(JSON.parse(require("node:fs").readFileSync(file, "utf8")));
  for (const query of queries) {
    console.log(`\n${query}`);
    search(query, { limit: 10 }).forEach((hit, n) => console.log(`${String(n + 1).padStart(3)}  ${hit.score.toFixed(2)}  ${hit.title}`));
  }
}
