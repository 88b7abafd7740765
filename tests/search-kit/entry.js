// Judge the search on a collection of your own:
//
//   const { open } = require("./entry.js");
//   const search = open([{ title: "Bleed the circuit", body: "Open the screw ..." }, ...]);
//   search("bleeding circut")   // [{ document: 0, title, score, terms, missing }, ...], best first
//
// A document may also have `also` (other words for it), `codes`, `kind`, `variants`, `related` (urls), `tags`, `url`.
// The second argument may give `kinds` ([{ id, boost }]) and `synonyms` ([{ preferred, avoided, said }]).
// From a shell: node entry.js DOCUMENTS.json QUERY... prints the first ten of each query.
"use strict";
const vm = require("node:vm");
const core = require("../../themes/script/search-core.js");
const { build } = require("./lib/builder.js");

/** Loads index files as a page would, without one: shards as they are asked for. @param {Map<string, string>} files */
function load(files) {
  const world = vm.createContext({}), loaded = { names: [], bytes: 0 };
  vm.runInContext(files.get("search/index.js") || files.get("search/root.js"), world);
  const index = core.open(world.guideIndex);
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

/** @param {object[]} documents @param {{kinds?: object[], synonyms?: object[]}} [more] @returns {(query: string, options?: object) => object[]} */
function open(documents, more) {
  const named = documents.map((document, n) => ({ url: `page/${String(n).padStart(7, "0")}`, ...document }));
  const at = new Map(named.map((document, n) => [document.url, n])), { ask } = load(build({ documents: named, ...more }));
  return (query, options) => ask(query, options).results.map((result) => ({ ...result, document: at.get(result.url) }));
}

module.exports = { open, load };

if (require.main === module) {
  const [file, ...queries] = process.argv.slice(2);
  const search = open(JSON.parse(require("node:fs").readFileSync(file, "utf8")));
  for (const query of queries) {
    console.log(`\n${query}`);
    search(query, { limit: 10 }).forEach((hit, n) => console.log(`${String(n + 1).padStart(3)}  ${hit.score.toFixed(2)}  ${hit.title}`));
  }
}
