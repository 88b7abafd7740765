// Prints size, time and memory of the search beside the libraries, on invented guides, in one run.
//
//   node scale.js [--builder PATH] [PAGES ...]     1,000 and 10,000 pages when left out
//
// `--builder` names the compiled example `search_index`, whose time and memory are then printed too; without it the
// index is built in Node, byte for byte the same.
"use strict";
const fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { execFileSync } = require("node:child_process");
const { build } = require("./lib/builder.js");
const { load } = require("./entry.js");
const { elasticlunrEngine, lunrEngine, minisearchEngine } = require("./lib/engines.js");
const { workshopGuide } = require("./lib/workshop.js");
const { knownItems } = require("./lib/scores.js");

const MAKERS = { elasticlunr: elasticlunrEngine, lunr: (d) => lunrEngine(d, true), minisearch: (d) => minisearchEngine(d, true) };
const milliseconds = (work) => { const start = process.hrtime.bigint(); const result = work(); return [Number(process.hrtime.bigint() - start) / 1e6, result]; };
const part = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];

/** Three words, as a technician types them; every second question has a typing error. */
function questions(documents) {
  return knownItems(documents, 300, 3).map((item, n) => (n % 2 ? item.misspelt : item.query).split(" ").slice(0, 3).join(" "));
}

/** Times of all questions after ten to warm up, sorted. */
function times(ask, list) {
  list.slice(0, 10).forEach(ask);
  return list.map((q) => milliseconds(() => ask(q))[0]).sort((a, b) => a - b);
}

function heap() { global.gc && global.gc(); return process.memoryUsage().heapUsed / 1e6; }

/** One engine in a process of its own, so that memory is its own. */
function measure(name, pages, folder) {
  const guide = workshopGuide(pages), list = questions(guide.documents);
  if (name === "ours") return measureOurs(list, folder);
  const [build, engine] = milliseconds(() => MAKERS[name](guide.documents)), text = engine.text;
  const before = heap(), [loading, held] = milliseconds(() => engine.load(text)), memory = heap() - before;
  const sorted = times(engine.query, list);
  return { name, bytes: engine.bytes, build, load: loading, memory: held && memory, median: part(sorted, 0.5), p95: part(sorted, 0.95), worst: sorted[sorted.length - 1] };
}

function measureOurs(list, folder) {
  const files = new Map(fs.readdirSync(path.join(folder, "search")).map((name) => [`search/${name}`, fs.readFileSync(path.join(folder, "search", name), "utf8")]));
  const bytes = [...files.values()].reduce((sum, text) => sum + Buffer.byteLength(text), 0), before = heap();
  const [loading, search] = milliseconds(() => load(files)), memory = heap() - before;
  const fetched = list.map((q) => { const fresh = load(files); fresh.ask(q); return fresh.loaded.bytes; }).sort((a, b) => a - b);
  const sorted = times((q) => search.ask(q), list);
  const root = Buffer.byteLength(files.get("search/index.js"));
  return { name: "ours", bytes, root, load: loading, memory, full: heap() - before, median: part(sorted, 0.5), p95: part(sorted, 0.95), worst: sorted[sorted.length - 1], fetched: part(fetched, 0.5), fetchedWorst: fetched[fetched.length - 1], files: files.size };
}

function child(name, pages, folder) {
  const out = execFileSync(process.execPath, ["--expose-gc", "--max-old-space-size=6000", __filename, "--child", name, String(pages), folder], { maxBuffer: 1e8 });
  return JSON.parse(out.toString());
}

function buildInto(folder, guide, builder) {
  if (builder) {
    const input = path.join(folder, "guide.json");
    fs.writeFileSync(input, JSON.stringify(guide));
    return JSON.parse(execFileSync(builder, ["build", input, folder]).toString());
  }
  const [ms, files] = milliseconds(() => build(guide));
  fs.mkdirSync(path.join(folder, "search"));
  files.forEach((text, name) => fs.writeFileSync(path.join(folder, name), text));
  return { ms, kb_before: 0, kb_peak: process.memoryUsage().rss / 1024 };
}

function bar(name, value, most, unit) {
  const good = value <= most;
  console.log(`${good ? "met   " : "MISSED"} ${name}: ${value.toFixed(1)} ${unit} against ${most.toFixed(1)} (${good ? "" : "+"}${(value - most).toFixed(1)})`);
  if (!good) process.exitCode = 1;
}

function report(pages, builder) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "search-scale-"));
  const built = buildInto(folder, workshopGuide(pages), builder);
  const rows = ["ours", ...Object.keys(MAKERS)].map((name) => child(name, pages, folder)), ours = rows[0];
  ours.build = built.ms;
  fs.rmSync(folder, { recursive: true });
  console.log(`\n${pages} pages (${ours.files} files; built by the ${builder ? `compiler, peak ${(built.kb_peak / 1024).toFixed(0)} MB with the input` : "kit"})`);
  console.log(`${"".padEnd(12)}${["MB", "build ms", "load ms", "heap MB", "median ms", "p95 ms", "worst ms"].map((c) => c.padStart(11)).join("")}`);
  for (const row of rows) console.log(row.name.padEnd(12) + [row.bytes / 1e6, row.build, row.load, row.memory, row.median, row.p95, row.worst].map((v) => v.toFixed(2).padStart(11)).join(""));
  console.log(`ours: root ${(ours.root / 1e3).toFixed(0)} KB; fetched per query after it: median ${(ours.fetched / 1e3).toFixed(0)} KB, most ${(ours.fetchedWorst / 1e3).toFixed(0)} KB; heap with all read ${ours.full.toFixed(1)} MB`);
  const size = (name) => rows.find((row) => row.name === name).bytes / 1e3;
  if (pages >= 10000) {
    bar("bytes, 1/7.5 of elasticlunr", ours.bytes / 1e3, size("elasticlunr") / 7.5, "KB");
    bar("bytes, 1/3.5 of minisearch", ours.bytes / 1e3, size("minisearch") / 3.5, "KB");
    bar("fetched per query, most", ours.fetchedWorst / 1e3, 100, "KB");
    bar("heap", ours.full, 60, "MB");
  }
  bar(`p95 of a query, ${pages} pages`, ours.p95, 30, "ms");
}

const arguments_ = process.argv.slice(2);
if (arguments_[0] === "--child") {
  console.log(JSON.stringify(measure(arguments_[1], Number(arguments_[2]), arguments_[3])));
} else {
  const at = arguments_.indexOf("--builder"), builder = at >= 0 ? arguments_.splice(at, 2)[1] : null;
  (arguments_.length ? arguments_.map(Number) : [1000, 10000]).forEach((pages) => report(pages, builder));
}
