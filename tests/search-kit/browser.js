// Types into the search of an invented guide in Chromium, opened from disk, with the processor slowed down four times.
//
//   node browser.js [PAGES]        10,000 when left out; needs chromium (or CHROMIUM=path) and chromedriver
//
// Prints the longest task while typing, the time from opening to the first result, and the memory of scripts. A task is
// judged by the processor time of the page's main thread, taken from Chromium's trace: what other programs take from the
// processor meanwhile is not the page's. The wall clock is printed beside it.
"use strict";
const fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { spawn } = require("node:child_process");
const { build } = require("./lib/builder.js");
const { workshopGuide } = require("./lib/workshop.js");

const SLOWDOWN = 4, MARK = "typing begins", PORT = 9517 + (process.pid % 400), script = (name) => fs.readFileSync(path.join(__dirname, "../../themes/script", name), "utf8");
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

function lay(folder, guide) {
  const files = build(guide), entry = "search/index.js";
  fs.mkdirSync(path.join(folder, "search"));
  files.forEach((text, name) => fs.writeFileSync(path.join(folder, name), text));
  ["search-core.js", "search-box.js"].forEach((name) => fs.writeFileSync(path.join(folder, name), script(name)));
  const watch = "self.tasks=[];new PerformanceObserver(function(l){l.getEntries().forEach(function(e){tasks.push([e.startTime,e.duration])})}).observe({type:'longtask',buffered:true});" +
    "new MutationObserver(function(){if(!self.shown&&document.querySelector('[data-search-results] a'))self.shown=performance.now()}).observe(document,{childList:true,subtree:true});";
  fs.writeFileSync(path.join(folder, "index.html"), `<!doctype html><meta charset="utf-8"><title>search</title><script>${watch}</script><form role="search" data-search="${entry}" action="list.html"><label>Search <input type="search" autofocus></label><div data-search-results></div></form><script>var Bayleaf = { searchWords: ${script("../words/search.en.json")} };</script><script src="search-core.js"></script><script src="search-box.js"></script>`);
}

async function call(method, at, body) {
  const answer = await fetch(`http://127.0.0.1:${PORT}${at}`, { method, body: body && JSON.stringify(body), headers: { "content-type": "application/json" } });
  const { value } = await answer.json();
  if (value && value.error) throw new Error(value.message);
  return value;
}

function bar(name, value, most, unit) {
  console.log(`${value <= most ? "met   " : "MISSED"} ${name}: ${value.toFixed(0)} ${unit} against ${most} (${value <= most ? "" : "+"}${(value - most).toFixed(0)})`);
  if (value > most) process.exitCode = 1;
}

async function measure(folder, guide) {
  const options = { binary: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--enable-precise-memory-info"], perfLoggingPrefs: { traceCategories: "toplevel,blink.user_timing" } };
  const { sessionId } = await call("POST", "/session", { capabilities: { alwaysMatch: { browserName: "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": { performance: "ALL" } } } });
  const at = (rest) => `/session/${sessionId}${rest}`, run = (text) => call("POST", at("/execute/sync"), { script: text, args: [] });
  const cdp = (cmd, params) => call("POST", at("/goog/cdp/execute"), { cmd, params });
  await cdp("Emulation.setCPUThrottlingRate", { rate: SLOWDOWN });
  const title = guide.documents[guide.documents.length >> 1].title, words = title.split(" ").slice(1, 4).join(" ");
  // The first result: the first word is in the field as soon as the page is there.
  const first = await firstResult({ at, run, folder, words });
  await pause(1500);
  const opened = await run("return tasks");
  const field = Object.values(await call("POST", at("/element"), { using: "css selector", value: "input" }))[0];
  await run(`tasks.length=0;performance.mark(${JSON.stringify(MARK)})`);
  for (const text of [words, "canpoy slowly", "will not lok", `"${words}"`, "P-12", "pmup unit pressre", "8 N m"]) {
    await call("POST", at(`/element/${field}/clear`), {});
    for (const letter of text) { await call("POST", at(`/element/${field}/value`), { text: letter }); await pause(120); }
    await pause(700);
  }
  const typed = await run("return tasks"), [openedTrace, typedTrace] = await traced(at), shown = await run("return document.querySelectorAll('[data-search-results] a').length");
  await cdp("HeapProfiler.collectGarbage", {});
  const memory = await run("return performance.memory.usedJSHeapSize / 1e6");
  await call("DELETE", at(""));
  return { first, opened, typed, memory, shown, openedTrace, typedTrace };
}

/** Processor milliseconds of the main thread's tasks before the mark and after it, the longest first; the trace is given once. */
async function traced(at) {
  const events = (await call("POST", at("/se/log"), { type: "performance" })).map((entry) => JSON.parse(entry.message).message).filter((message) => message.method === "Tracing.dataCollected").map((message) => message.params);
  const main = new Set(events.filter((event) => event.name === "thread_name" && event.args.name === "CrRendererMain").map((event) => `${event.pid} ${event.tid}`));
  const mark = events.find((event) => event.name === MARK), tasks = events.filter((event) => event.ph === "X" && /RunTask/.test(event.name) && main.has(`${event.pid} ${event.tid}`));
  if (!mark) throw new Error("the trace has no mark where typing begins");
  return [(task) => task.ts < mark.ts, (task) => task.ts >= mark.ts].map((when) => {
    const part = tasks.filter(when).map((task) => task.tdur / 1000).sort((a, b) => b - a);
    if (!part.length) throw new Error("the trace has no tasks on one side of the mark");
    return part;
  });
}

async function firstResult({ at, run, folder, words }) {
  await call("POST", at("/url"), { url: `file://${folder}/index.html` });
  await run(`var i=document.querySelector('input');i.focus();i.value=${JSON.stringify(words)};i.dispatchEvent(new Event('input',{bubbles:true}));self.typedAt=performance.now();`);
  for (let n = 0; n < 100; n++) {
    const shown = await run("return self.shown || 0");
    if (shown) return { fromOpening: shown, fromTyping: shown - (await run("return typedAt")) };
    await pause(50);
  }
  throw new Error("no result in five seconds");
}

async function main() {
  const pages = Number(process.argv[2] || 10000), folder = fs.mkdtempSync(path.join(os.tmpdir(), "search-browser-")), guide = workshopGuide(pages);
  lay(folder, guide);
  const driver = spawn(process.env.CHROMEDRIVER || "chromedriver", [`--port=${PORT}`], { stdio: "ignore" });
  try {
    await pause(1500);
    const found = await measure(folder, guide), longest = (tasks) => Math.max(0, ...tasks.map((t) => t[1]));
    console.log(`${pages} pages in Chromium, ${SLOWDOWN} times slower; ${found.shown} links at the end`);
    const longestOf = (trace) => (trace.length ? trace[0] : NaN), list = (trace) => trace.slice(0, 5).map((ms) => ms.toFixed(0)).join(", ");
    console.log(`load ${os.loadavg()[0].toFixed(1)} on ${os.cpus().length} processors; longest tasks in processor ms while opening ${list(found.openedTrace)}; while typing ${list(found.typedTrace)} of ${found.typedTrace.length}; by the wall clock while typing ${longest(found.typed).toFixed(0)}`);
    console.log(`first result ${found.first.fromOpening.toFixed(0)} ms after opening, ${found.first.fromTyping.toFixed(0)} ms after typing; longest task while opening ${longest(found.opened).toFixed(0)} ms`);
    bar("longest task while typing", longestOf(found.typedTrace), 50, "ms");
    bar("first result after typing into a page just opened", found.first.fromTyping, 300, "ms");
    bar("memory of scripts", found.memory, 60, "MB");
  } finally {
    driver.kill();
    fs.rmSync(folder, { recursive: true });
  }
}

main().catch((error) => { console.error(error); process.exitCode = 2; });
