// The script and the compiler must agree bit for bit: terms, index bytes, answers and scores.
// SEARCH_INDEX names the compiled example: cargo build --example search_index; its usual place is tried without.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), os = require("node:os"), path = require("node:path"), vm = require("node:vm");
const { execFileSync } = require("node:child_process");
const core = require("../../themes/script/search-core.js");
const { build } = require("./lib/builder.js");
const { load, openIndex } = require("./entry.js");
const { workshopGuide } = require("./lib/workshop.js");
const { randomTexts } = require("./lib/random.js");
const { knownItems } = require("./lib/scores.js");

const RUST = process.env.SEARCH_INDEX || path.join(process.env.CARGO_TARGET_DIR || path.join(__dirname, "../../target"), "debug/examples/search_index");
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "search-parity-"));
test.after(() => fs.rmSync(folder, { recursive: true }));

function json(name, value) {
  const file = path.join(folder, name);
  fs.writeFileSync(file, JSON.stringify(value));
  return file;
}
const lines = (...args) => execFileSync(RUST, args, { maxBuffer: 2 ** 31 - 1 }).toString().split("\n").slice(0, -1).map((line) => JSON.parse(line));

/** The terms of an index as text. */
function everyTerm(index) {
  const texts = [];
  for (let term = index.termAt(0); term; term = index.termAt(texts.length)) texts.push(term.text);
  return texts;
}

test("terms of 100,000 random texts of all scripts", () => {
  const texts = randomTexts(1, 100000), theirs = lines("terms", json("texts.json", texts));
  assert.strictEqual(theirs.length, texts.length);
  texts.forEach((text, n) => assert.deepStrictEqual(core.indexTerms(text, true).filter(Boolean), theirs[n].filter(Boolean), JSON.stringify(text)));
});

test("the published script gives the same answers", () => {
  const slim = (name) => execFileSync(RUST, ["slim", path.join(__dirname, "../../themes/script", name)]).toString();
  const module = { exports: {} }, guide = workshopGuide(120), world = vm.createContext({});
  new Function("module", slim("search-core.js"))(module);
  new vm.Script(slim("search-box.js"));
  vm.runInContext(build(guide).get("search/index.js"), world);
  const theirs = openIndex(world.guideIndex, module.exports), { ask } = load(build(guide));
  for (const { query, misspelt } of knownItems(guide.documents, 60, 8)) {
    for (const text of [query, misspelt]) assert.strictEqual(JSON.stringify(theirs.search(text)), JSON.stringify(ask(text)));
  }
});

for (const pages of [300, Number(process.env.PARITY_PAGES || 1200)]) {
  const guide = workshopGuide(pages);
  guide.documents[7].title = "Насос <b>& “油圧” \u2028 </script>";
  guide.documents[7].also = randomTexts(9, 50).join(" ");
  test(`index bytes of ${pages} pages`, () => {
    execFileSync(RUST, ["build", json("guide.json", guide), folder]);
    const files = build(guide);
    assert.deepStrictEqual(fs.readdirSync(path.join(folder, "search")).sort(), [...files.keys()].map((name) => name.slice(7)).sort());
    for (const [name, text] of files) assert.ok(fs.readFileSync(path.join(folder, name), "utf8") === text, name);
    fs.rmSync(path.join(folder, "search"), { recursive: true });
  });
  test(`terms and answers of ${pages} pages`, () => {
    const { index, ask } = load(build(guide)), every = everyTerm(index), whole = pages === Number(process.env.PARITY_PAGES);
    const queries = [...every.filter((_, n) => n % Math.ceil(every.length / (whole ? every.length : 500)) === 0), ...knownItems(guide.documents, 300, 4).flatMap((item) => [item.query, item.misspelt])]
      .concat(randomTexts(2, 500)).map((query, n) => [query, n % 7 === 0 ? { variant: "b" } : n % 7 === 1 ? { kind: "fault" } : n % 7 === 2 ? { finished: true } : {}]);
    guide.documents.slice(0, 100).forEach((document) => queries.push([`"${document.title}" ${document.codes}`, {}], [`${document.title} power pack`, {}], [`not ${document.also}`, {}]));
    const theirs = lines("ask", json("guide.json", guide), json("queries.json", queries));
    queries.forEach(([query, options], n) => {
      const ours = ask(query, options), name = JSON.stringify([query, options]);
      const hits = ours.results.map((r) => ({ page: r.page, url: r.url, score: r.score, terms: r.terms, missing: r.missing, through: r.through < 0 ? null : r.through }));
      const { total, read, unknown, whole, phrase } = ours;
      assert.deepStrictEqual({ hits, total, read, unknown, whole, phrase }, theirs[n], name);
    });
  });
}
