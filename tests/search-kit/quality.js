// Prints how well pages are found, beside the libraries, on the same pages in the same run.
//
//   node quality.js                                      known items on 1,000 invented pages, 1,000 questions each of five draws
//   node quality.js DOCUMENTS.json [QUESTIONS.tsv]...    known items and judged questions on a guide
//   node quality.js --held ...                           the held-out half too (look once, at the end)
//
// DOCUMENTS.json holds { documents, kinds, synonyms } as the index builder reads it.
"use strict";
const fs = require("node:fs");
const { libraries } = require("./lib/engines.js");
const { build } = require("./lib/builder.js");
const { load } = require("./entry.js");
const { workshopGuide } = require("./lib/workshop.js");
const { knownItems, score } = require("./lib/scores.js");
const { readQuestions } = require("./lib/judged.js");

const flags = process.argv.slice(2).filter((a) => a.startsWith("--")), files = process.argv.slice(2).filter((a) => !a.startsWith("--"));
const guide = files[0] ? JSON.parse(fs.readFileSync(files[0], "utf8")) : workshopGuide(1000);
const documents = guide.documents, at = new Map(documents.map((document, n) => [document.url, n]));
const { ask } = load(build(guide));
const engines = [{ name: "ours", query: (q) => ask(q).results.map((r) => at.get(r.url)) }, ...libraries(documents)];
const percent = (x) => (100 * x).toFixed(1).padStart(6);

function table(title, columns, rows) {
  console.log(`\n${title}\n${"".padEnd(20)}${columns.map((c) => c.padStart(12)).join("")}`);
  rows.forEach(([name, ...cells]) => console.log(name.padEnd(20) + cells.map((c) => String(c).padStart(12)).join("")));
}

function bar(name, value, least) {
  console.log(`${value >= least ? "met   " : "MISSED"} ${name}: ${value.toFixed(3)} against ${least.toFixed(3)} (${value >= least ? "+" : ""}${(value - least).toFixed(3)})`);
  if (value < least) process.exitCode = 1;
}

// One draw alone moves by as much as the engines are apart: twins on a left and a right side are told by luck.
const DRAWS = [5, 105, 205, 305, 405].map((seed) => knownItems(documents, 1000, seed)), items = DRAWS.flat();
const mean = (scores) => Object.fromEntries(["mrr", "first"].map((name) => [name, scores.reduce((sum, one) => sum + one[name], 0) / scores.length]));
const known = engines.map(({ name, query }) => {
  const clean = DRAWS.map((draw) => score(query, draw));
  return [name, mean(clean), mean(DRAWS.map((draw) => score(query, draw.map((item) => ({ ...item, query: item.misspelt }))))), clean];
});
table(`Known items, ${items.length} questions on ${documents.length} pages`, ["MRR", "first %", "typo MRR", "first %"],
  known.map(([name, a, b]) => [name, a.mrr.toFixed(3), percent(a.first), b.mrr.toFixed(3), percent(b.first)]));
table("Clean MRR by draw", DRAWS.map((_, nth) => String(nth + 1)), known.map(([name, , , clean]) => [name, ...clean.map((one) => one.mrr.toFixed(3))]));
const best = (n) => Math.max(...known.slice(1).map((row) => row[n].mrr));
bar("known items, clean, beside the best library", known[0][1].mrr, best(1));
bar("known items, clean", known[0][1].mrr, 0.95);
bar("known items, one typing error, beside the best library", known[0][2].mrr, best(2));
bar("known items, one typing error", known[0][2].mrr, 0.94);

const questions = files.slice(1).map((file) => readQuestions(fs.readFileSync(file, "utf8")));
// Only of the first list is a half held out; of the others what is marked as put aside.
questions.forEach((list, nth) => judge(nth ? list.map((one) => ({ ...one, held: one.aside })) : list, !nth));

/** @param {{query: string, pages: string[], group: string, held: boolean}[]} questions @param {boolean} barred its groups must reach the bars */
function judge(questions, barred) {
  const lost = questions.filter((q) => !q.pages.some((page) => at.has(page)));
  if (lost.length) console.log(`\nno such page: ${lost.map((q) => `${q.query} -> ${q.pages}`).join("; ")}`);
  const asked = questions.map((q) => ({ ...q, wanted: new Set(q.pages.map((page) => at.get(page)).filter((n) => n !== undefined)) }));
  const halves = flags.includes("--held") && asked.some((q) => q.held) ? [false, true] : [false];
  for (const held of halves) {
    const half = asked.filter((q) => q.held === held), groups = [...new Set(half.map((q) => q.group))].sort();
    table(`Judged questions, ${held ? "held-out" : "tuning"} half (${half.length}): first place in %`, [...groups, "all"],
      engines.map((engine) => [engine.name, ...groups.map((g) => percent(score(engine.query, half.filter((q) => q.group === g)).first)), percent(score(engine.query, half).first)]));
    const ours = (list) => score(engines[0].query, list).first;
    const which = held ? ", held out," : "";
    if (barred) bar(`judged questions${which} in first place`, ours(half), 0.9);
    if (barred) for (const g of ["code", "negated"]) if (groups.includes(g)) bar(`group ${g}${which} in first place`, ours(half.filter((q) => q.group === g)), 1);
    if (flags.includes("--list")) half.filter((q) => ours([q]) < 1).forEach((q) => console.log(`  not first: ${q.group}: ${q.query} -> ${q.pages}; got ${ask(q.query).results.slice(0, 3).map((r) => r.url)}`));
  }
}
