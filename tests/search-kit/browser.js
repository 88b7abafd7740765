// Types into the search of an invented guide in Chromium, opened from disk, with the processor slowed down four times.
//
//   node browser.js [PAGES]        10,000 when left out; needs chromium (or CHROMIUM=path) and chromedriver
//
// Prints the longest task while typing, the time to the first result (of a question that is typed as soon as the field is
// there) since the page was asked for and since it was typed, and the memory of scripts. A task is
// judged by the processor time of the page's main thread, taken from Chromium's trace: what other programs take from the
// processor meanwhile is not the page's. The wall clock is printed beside it.
"use strict";
const fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { spawn } = require("node:child_process");
const { build } = require("./lib/builder.js");
const { workshopGuide } = require("./lib/workshop.js");

const SLOWDOWN = 4, OPENINGS = 21, MARK = "typing begins", PORT = 9517 + (process.pid % 400), script = (name) => fs.readFileSync(path.join(__dirname, "../../themes/script", name), "utf8");
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

function lay(folder, guide, words) {
  const files = build(guide), entry = "search/index.js";
  fs.mkdirSync(path.join(folder, "search"));
  // As published: what reads the index stands in front of it, the field's script behind that of every page.
  files.set(entry, script("search-core.js") + files.get(entry));
  files.forEach((text, name) => fs.writeFileSync(path.join(folder, name), text));
  fs.writeFileSync(path.join(folder, "guide.js"), script("guide.js") + script("search-box.js"));
  const watch = "self.tasks=[];new PerformanceObserver(function(l){l.getEntries().forEach(function(e){tasks.push([e.startTime,e.duration])})}).observe({type:'longtask',buffered:true});" +
    "new MutationObserver(function(){if(!self.shown&&document.querySelector('[data-search-results] a'))self.shown=performance.now()}).observe(document,{childList:true,subtree:true});";
  // The scripts of a front page, in their order; the last one types as soon as the field is there.
  fs.writeFileSync(path.join(folder, "search-words.js"), `var Bayleaf = { searchWords: ${script("../words/search.en.json")} };`);
  fs.writeFileSync(path.join(folder, "watch.js"), watch);
  fs.writeFileSync(path.join(folder, "type.js"), `self.typedAt=performance.now();var field=document.querySelector("input");field.focus();field.value=${JSON.stringify(words)};field.dispatchEvent(new Event("input",{bubbles:true}));`);
  const scripts = ["watch.js", "search-words.js", entry, "guide.js"], tag = (name) => `<script src="${name}" defer></script>`;
  const page = (more) => `<!doctype html><meta charset="utf-8"><title>search</title>${[...scripts, ...more].map(tag).join("")}<form role="search" data-search="${entry}" action="list.html"><label>Search <input type="search"></label><div data-search-results></div></form>`;
  fs.writeFileSync(path.join(folder, "index.html"), page(["type.js"]));
  fs.writeFileSync(path.join(folder, "bare.html"), "<!doctype html><meta charset=\"utf-8\"><title>bare</title><form><label>Search <input type=\"search\"></label></form>");
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

/** A browser that has just been started, slowed down. */
async function begin() {
  const options = { binary: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--enable-precise-memory-info"], perfLoggingPrefs: { traceCategories: "toplevel,blink.user_timing" } };
  const { sessionId } = await call("POST", "/session", { capabilities: { alwaysMatch: { browserName: "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": { performance: "ALL" } } } });
  const at = (rest) => `/session/${sessionId}${rest}`, run = (text) => call("POST", at("/execute/sync"), { script: text, args: [] });
  const cdp = (cmd, params) => call("POST", at("/goog/cdp/execute"), { cmd, params });
  await cdp("Emulation.setCPUThrottlingRate", { rate: SLOWDOWN });
  return { at, run, cdp, open: (page) => call("POST", at("/url"), { url: `file://${page}` }), end: () => call("DELETE", at("")) };
}

/** The first result of a page that types by itself: milliseconds since it was asked for, and since it typed. */
async function firstResult({ run }) {
  for (let n = 0; n < 100; n++) {
    const { shown, typedAt } = await run("return { shown: self.shown, typedAt: self.typedAt }");
    if (shown) return { fromOpening: shown, fromTyping: shown - typedAt };
    await pause(50);
  }
  throw new Error("no result in five seconds");
}

/** Opens the guide, and a page with nothing but a field, each in a browser of its own, and gives the middle of so many times. */
async function openings(folder, times) {
  const found = [];
  for (let n = 0; n < times; n++) {
    const guide = await begin();
    await guide.open(`${folder}/index.html`);
    const first = await firstResult(guide);
    await guide.end();
    const bare = await begin();
    await bare.open(`${folder}/bare.html`);
    found.push({ ...first, bare: await bare.run("const { domContentLoadedEventEnd, navigationStart } = performance.timing; return domContentLoadedEventEnd - navigationStart") });
    await bare.end();
  }
  const part = (name, share) => found.map((one) => one[name]).sort((a, b) => a - b)[Math.floor(found.length * share)];
  return { fromOpening: part("fromOpening", 0.5), fromTyping: part("fromTyping", 0.5), bare: part("bare", 0.5), late: part("fromOpening", 0.95) };
}

async function measure(folder, words) {
  const first = await openings(folder, OPENINGS), browser = await begin(), { at, run, cdp } = browser;
  await browser.open(`${folder}/index.html`);
  await firstResult(browser);
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
  await browser.end();
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

async function main() {
  const pages = Number(process.argv[2] || 10000), folder = fs.mkdtempSync(path.join(os.tmpdir(), "search-browser-")), guide = workshopGuide(pages);
  const words = guide.documents[pages >> 1].title.split(" ").slice(1, 4).join(" ");
  lay(folder, guide, words);
  const driver = spawn(process.env.CHROMEDRIVER || "chromedriver", [`--port=${PORT}`], { stdio: "ignore" });
  try {
    await pause(1500);
    const found = await measure(folder, words), longest = (tasks) => Math.max(0, ...tasks.map((t) => t[1]));
    console.log(`${pages} pages in Chromium, ${SLOWDOWN} times slower; ${found.shown} links at the end`);
    const longestOf = (trace) => (trace.length ? trace[0] : NaN), list = (trace) => trace.slice(0, 5).map((ms) => ms.toFixed(0)).join(", ");
    console.log(`load ${os.loadavg()[0].toFixed(1)} on ${os.cpus().length} processors; longest tasks in processor ms while opening ${list(found.openedTrace)}; while typing ${list(found.typedTrace)} of ${found.typedTrace.length}; by the wall clock while typing ${longest(found.typed).toFixed(0)}`);
    console.log(`middle of ${OPENINGS} openings: first result ${found.first.fromOpening.toFixed(0)} ms after opening (one in twenty after ${found.first.late.toFixed(0)}), ${found.first.fromTyping.toFixed(0)} ms after typing; a page with nothing but a field is read after ${found.first.bare.toFixed(0)} ms; longest task while opening ${longest(found.opened).toFixed(0)} ms`);
    bar("longest task while typing", longestOf(found.typedTrace), 50, "ms");
    bar("first result after opening, typed at once", found.first.fromOpening, 300, "ms");
    bar("first result after typing into a page just opened", found.first.fromTyping, 300, "ms");
    bar("memory of scripts", found.memory, 60, "MB");
  } finally {
    driver.kill();
    fs.rmSync(folder, { recursive: true });
  }
}

main().catch((error) => { console.error(error); process.exitCode = 2; });
