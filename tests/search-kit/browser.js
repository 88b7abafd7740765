// Types into the search of an invented guide in Chromium, opened from disk, with the processor slowed down four times.
//
//   node browser.js [PAGES] [--builder PATH]     10,000 when left out; needs chromium (or CHROMIUM=path) and chromedriver
//
// PATH: the compiled example search_index; with it the scripts are as small as they are published, else as they are written.
//
// Prints the longest task while typing, the time to the first result (of questions that are typed as soon as the field is
// there, one of words of a title, one of words that stand together in none) since the page was asked for and since it was
// typed, and the memory of scripts. The page is a field and nothing else; what a front page adds is Chromium's. The browser
// has come to rest before it is asked for the page; what it takes while it starts itself is printed, and has no bar. A task is
// judged by the processor time of the page's main thread, taken from Chromium's trace: what other programs take from the
// processor meanwhile is not the page's. The wall clock is printed beside it.
"use strict";
const fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { execFileSync, spawn } = require("node:child_process");
const { parseArgs } = require("node:util");
const { build } = require("./lib/builder.js");
const { workshopGuide } = require("./lib/workshop.js");

// What the published scripts begin with.
const READ_AHEAD = "//# allFunctionsCalledOnLoad\n";
const SLOWDOWN = 4, OPENINGS = 21, REST = 1000, MARK = "typing begins", PORT = 9517 + (process.pid % 400);
const { values: { builder }, positionals: [pages = 10000] } = parseArgs({ options: { builder: { type: "string" } }, allowPositionals: true });
const theme = (name) => path.join(__dirname, "../../themes", name);
const script = (name) => (builder ? execFileSync(builder, ["slim", theme(`script/${name}`)], { encoding: "utf8" }) : fs.readFileSync(theme(`script/${name}`), "utf8"));
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

/** Lays the guide as published: what reads the index stands in front of it, with its words; a page types as soon as its field is there. */
function lay(folder, guide, questions) {
  const files = build(guide), entry = "search/index.js", put = (name, text) => fs.writeFileSync(path.join(folder, name), text);
  fs.mkdirSync(path.join(folder, "search"));
  files.set(entry, `${READ_AHEAD}${script("search-core.js")}var Bayleaf=Bayleaf||{};Bayleaf.searchWords=${fs.readFileSync(theme("words/search.en.json"), "utf8")};${files.get(entry)}`);
  files.forEach((text, name) => put(name, text));
  const watch = "self.tasks=[];new PerformanceObserver(function(l){l.getEntries().forEach(function(e){tasks.push([e.startTime,e.duration])})}).observe({type:'longtask',buffered:true});" +
    "new MutationObserver(function(){if(!self.shown&&document.querySelector('[data-search-results] a'))self.shown=performance.now()}).observe(document,{childList:true,subtree:true});";
  for (const [name, words] of Object.entries(questions)) {
    const type = `self.typedAt=performance.now();var field=document.querySelector("input");field.focus();field.value=${JSON.stringify(words)};field.dispatchEvent(new Event("input",{bubbles:true}));`;
    put(`${name}.js`, READ_AHEAD + watch + script("guide.js") + script("search-box.js") + type);
    put(`${name}.html`, `<!doctype html><meta charset="utf-8"><title>search</title><script src="${entry}" defer></script><script src="${name}.js" defer></script><form role="search" data-search="${entry}" data-loading="" data-failed="" action="list.html"><label>Search <input type="search"></label><div data-search-results></div></form>`);
  }
  put("bare.html", "<!doctype html><meta charset=\"utf-8\"><title>bare</title><form><label>Search <input type=\"search\"></label></form>");
}

/** A question whose words a title has, and one whose words stand together in no title, only in the text of a page. */
function questionsOf({ documents }) {
  const { title, body } = documents[documents.length >> 1], words = body.split(/[^a-z]+/i).filter((word) => word.length > 4);
  const inNoTitle = (part) => !documents.some((document) => part.every((word) => document.title.toLowerCase().includes(word.toLowerCase())));
  const text = words.map((_, at) => words.slice(at, at + 3)).find((part) => part.length === 3 && inNoTitle(part));
  return { title: title.split(" ").slice(1, 4).join(" "), text: text.join(" ") };
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

/** A browser, slowed down. @param {number} rest milliseconds between its start and the first page */
async function begin(rest) {
  const options = { binary: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--enable-precise-memory-info"], perfLoggingPrefs: { traceCategories: "toplevel,blink.user_timing" } };
  const { sessionId } = await call("POST", "/session", { capabilities: { alwaysMatch: { browserName: "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": { performance: "ALL" } } } });
  const at = (rest) => `/session/${sessionId}${rest}`, run = (text) => call("POST", at("/execute/sync"), { script: text, args: [] });
  const cdp = (cmd, params) => call("POST", at("/goog/cdp/execute"), { cmd, params });
  await cdp("Emulation.setCPUThrottlingRate", { rate: SLOWDOWN });
  await pause(rest);
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

/** Opens each page in a browser of its own, so many times, each after a rest, and gives the middle of what was found of each. */
async function openings(folder, names, times, rest) {
  const found = { bare: [] };
  for (const name of names) found[name] = [];
  for (let n = 0; n < times; n++) for (const name in found) {
    const browser = await begin(rest);
    await browser.open(`${folder}/${name}.html`);
    if (name !== "bare") found[name].push(await firstResult(browser));
    else found[name].push({ fromOpening: await browser.run("const { domContentLoadedEventEnd, navigationStart } = performance.timing; return domContentLoadedEventEnd - navigationStart"), fromTyping: 0 });
    await browser.end();
  }
  const part = (list, key, share) => list.map((one) => one[key]).sort((a, b) => a - b)[Math.floor(list.length * share)];
  return Object.fromEntries(Object.entries(found).map(([name, list]) => [name, { fromOpening: part(list, "fromOpening", 0.5), fromTyping: part(list, "fromTyping", 0.5), late: part(list, "fromOpening", 0.95) }]));
}

async function measure(folder, questions) {
  const names = Object.keys(questions), first = await openings(folder, names, OPENINGS, REST), hasty = await openings(folder, names, 7, 0);
  const words = questions.title, browser = await begin(REST), { at, run, cdp } = browser;
  await browser.open(`${folder}/title.html`);
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
  return { first, hasty, opened, typed, memory, shown, openedTrace, typedTrace };
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
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "search-browser-")), guide = workshopGuide(Number(pages));
  const questions = questionsOf(guide);
  lay(folder, guide, questions);
  const driver = spawn(process.env.CHROMEDRIVER || "chromedriver", [`--port=${PORT}`], { stdio: "ignore" });
  try {
    await pause(1500);
    const found = await measure(folder, questions), longest = (tasks) => Math.max(0, ...tasks.map((t) => t[1]));
    console.log(`${pages} pages in Chromium, ${SLOWDOWN} times slower, scripts ${builder ? "as published" : "as written"}; ${found.shown} links at the end`);
    const longestOf = (trace) => (trace.length ? trace[0] : NaN), list = (trace) => trace.slice(0, 5).map((ms) => ms.toFixed(0)).join(", ");
    console.log(`load ${os.loadavg()[0].toFixed(1)} on ${os.cpus().length} processors; longest tasks in processor ms while opening ${list(found.openedTrace)}; while typing ${list(found.typedTrace)} of ${found.typedTrace.length}; by the wall clock while typing ${longest(found.typed).toFixed(0)}`);
    for (const [name, { fromOpening, fromTyping, late }] of Object.entries(found.first)) {
      console.log(`middle of ${OPENINGS} openings, ${questions[name] || "nothing but a field"}: ${fromOpening.toFixed(0)} ms after opening (one in twenty after ${late.toFixed(0)}), ${fromTyping.toFixed(0)} after typing; ` +
        `in a browser that is still starting ${found.hasty[name].fromOpening.toFixed(0)} and ${found.hasty[name].fromTyping.toFixed(0)}`);
    }
    console.log(`longest task while opening, by the wall clock ${longest(found.opened).toFixed(0)} ms`);
    bar("longest task while typing", longestOf(found.typedTrace), 50, "ms");
    bar("first result after opening, words of a title", found.first.title.fromOpening, 300, "ms");
    bar("first result after typing, words of a title", found.first.title.fromTyping, 300, "ms");
    bar("first result after opening, words of no title", found.first.text.fromOpening, 300, "ms");
    bar("first result after typing, words of no title", found.first.text.fromTyping, 300, "ms");
    bar("memory of scripts", found.memory, 60, "MB");
  } finally {
    driver.kill();
    fs.rmSync(folder, { recursive: true });
  }
}

main().catch((error) => { console.error(error); process.exitCode = 2; });
