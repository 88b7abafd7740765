// The search field in a document without a browser: what is shown, keys, history, shards on demand, and that nothing is injected.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), path = require("node:path"), vm = require("node:vm");
const { JSDOM } = require("jsdom");
const { build } = require("./lib/builder.js");
const { workshopGuide, KINDS } = require("./lib/workshop.js");
const { randomTexts } = require("./lib/random.js");

const script = (name) => fs.readFileSync(path.join(__dirname, "../../themes/script", name), "utf8");
const WORDS = { ...JSON.parse(script("../words/search.en.json")), kinds: { fault: "Faults", procedure: "Procedures", part: "Parts" }, variants: { b: "Dunnock B", c: "Dunnock C" } };
const GUIDE = {
  kinds: KINDS, synonyms: [],
  documents: [
    { url: "faults/slow.html", kind: "fault", title: "The canopy rises slowly", also: "tired canopy", codes: "P-12", body: "Bleed it while warm.", variants: ["b"] },
    { url: "procedures/bleed.html", kind: "procedure", title: "Bleed the canopy circuit <img src=x onerror=alert(1)>", also: "", codes: "", body: "Open the screw.", tags: ["recalibration required"] },
    ...Array.from({ length: 9 }, (_, n) => ({ url: `parts/${n}.html`, kind: "part", title: `Canopy hose ${n}`, also: "", codes: `CH-${n}`, body: "" })),
  ],
};

/** A page with the form; script files are taken from `files` as a browser would load them beside the page. */
function pageWith(guide, address = "faults/x.html", typed = "") {
  const files = build(guide), entry = "search/index.js", loaded = [];
  // What reads the index stands in front of it.
  files.set(entry, script("search-core.js") + files.get(entry));
  const dom = new JSDOM(`<form role="search" data-search="../${entry}" data-loading="loading" data-failed="failed" action="../a-to-z.html"><label for="q">Search</label><input type="search" id="q"><div data-search-results></div></form>`, { url: `https://guide.invalid/${address}`, runScripts: "outside-only", pretendToBeVisual: true });
  const { window } = dom, { document } = window;
  dom.window.Bayleaf = { searchWords: JSON.parse(JSON.stringify(WORDS)) };
  // What every browser has, and this document without one has not.
  window.MessageChannel = function () { this.port1 = {}; this.port2 = { postMessage: () => setImmediate(() => this.port1.onmessage()) }; };
  const append = document.head.appendChild.bind(document.head);
  document.head.appendChild = (node) => {
    append(node);
    const name = node.src.split("/guide.invalid/")[1];
    setTimeout(() => { loaded.push(name); if (files.has(name)) { vm.runInContext(files.get(name), dom.getInternalVMContext()); node.onload(); } else node.onerror(); }, 1);
    return node;
  };
  const run = (name) => vm.runInContext(script(name), dom.getInternalVMContext());
  document.querySelector("input").value = typed;
  run("guide.js");
  run("search-box.js");
  const input = document.querySelector("input"), region = document.querySelector("[data-search-results]");
  const settle = () => new Promise((done) => setTimeout(done, 250));
  const type = async (text) => { input.focus(); input.value = text; input.dispatchEvent(new window.Event("input", { bubbles: true })); await settle(); };
  const key = (name) => { const event = new window.KeyboardEvent("keydown", { key: name, bubbles: true, cancelable: true }); (document.activeElement || input).dispatchEvent(event); return event.defaultPrevented; };
  const links = () => [...region.querySelectorAll("a")];
  return { dom, files, window, document, input, region, type, key, links, loaded, settle, status: () => region.querySelector("[role=status]").textContent };
}

test("results as one types, by kind, with marks, tags and relative addresses", async () => {
  const page = pageWith(GUIDE);
  await page.type("bleed canop");
  assert.strictEqual(page.links()[0].getAttribute("href"), "../procedures/bleed.html");
  assert.deepStrictEqual([...page.links()[0].querySelectorAll("mark")].map((m) => m.textContent), ["Bleed", "canopy"]);
  assert.strictEqual(page.region.querySelector(".found-tag").textContent, "recalibration required");
  await page.type("canopy");
  const headings = [...page.region.querySelectorAll("h3")].map((h) => h.textContent);
  assert.ok(headings[0] === WORDS.best && headings.includes("Parts"), headings.join());
  assert.strictEqual(page.region.querySelectorAll(`[role=group][aria-label=${WORDS.best}] .found-kind`).length, 3);
  assert.strictEqual(page.region.querySelectorAll("[role=group][aria-label=Parts] li").length, 4);
  assert.match(page.status(), /11 pages/);
});
test("titles with markup stay text", async () => {
  const page = pageWith(GUIDE);
  await page.type("bleed");
  assert.ok(page.links()[0].textContent.includes("<img src=x onerror=alert(1)>"));
  assert.strictEqual(page.document.querySelectorAll("img").length, 0);
});
test("what was found in the text is said as it reads", async () => {
  const page = pageWith(GUIDE);
  await page.type("canopy warm while ");
  const reasons = [...page.region.querySelectorAll(".found-reason")].map((reason) => reason.textContent);
  assert.ok(reasons[0].includes("warm") && !reasons.join().includes("~"), reasons[0]);
});
test("filters by kind and by variant, and keeps the variant", async () => {
  const page = pageWith(GUIDE);
  await page.type("canopy");
  [...page.region.querySelectorAll("button")].find((b) => b.textContent.startsWith("Parts (")).click();
  await page.settle();
  assert.strictEqual(page.links().length, 9);
  assert.strictEqual(page.region.querySelector("[aria-pressed=true]").textContent, "Parts (9)");
  await page.type("canopy");
  const select = page.region.querySelector("select");
  select.value = "Dunnock C";
  select.dispatchEvent(new page.window.Event("change"));
  await page.settle();
  assert.ok(!page.links().some((a) => a.href.endsWith("slow.html")));
  assert.strictEqual(page.window.localStorage.getItem("bayleaf variant"), JSON.stringify("c"));
});
test("says what was read, what is unknown and what to try", async () => {
  const page = pageWith(GUIDE);
  await page.type("canpoy slow");
  assert.match(page.status(), /“canpoy” was read as “canopy”/);
  await page.type("qqzzqq");
  assert.match(page.status(), /Nothing found.*Not in this guide: qqzzqq/);
  assert.strictEqual(page.links()[0].getAttribute("href"), "../a-to-z.html");
  assert.strictEqual(page.region.querySelectorAll("ul li").length, WORDS.tips.length);
});
test("keys: down and up walk the results, escape goes back and then clears", async () => {
  const page = pageWith(GUIDE);
  await page.type("canopy");
  assert.ok(page.key("ArrowDown"));
  assert.strictEqual(page.document.activeElement, page.links()[0]);
  page.key("ArrowDown");
  assert.strictEqual(page.document.activeElement, page.links()[1]);
  page.key("ArrowUp");
  page.key("ArrowUp");
  assert.strictEqual(page.document.activeElement, page.input);
  page.key("ArrowDown");
  page.key("Escape");
  assert.strictEqual(page.document.activeElement, page.input);
  assert.strictEqual(page.input.value, "canopy");
  page.key("Escape");
  assert.deepStrictEqual([page.input.value, page.links().length], ["", 0]);
  assert.ok(!page.key("a"));
});
test("enter opens the first result", async () => {
  const page = pageWith(GUIDE);
  await page.type("p12");
  let opened = "";
  page.links()[0].addEventListener("click", (event) => { event.preventDefault(); opened = event.currentTarget.getAttribute("href"); });
  const find = page.document.querySelector("form");
  page.region.addEventListener("click", (event) => { const a = event.target.closest("a"); if (a) { event.preventDefault(); opened = a.getAttribute("href"); } });
  find.dispatchEvent(new page.window.Event("submit", { bubbles: true, cancelable: true }));
  await page.settle();
  assert.strictEqual(opened, "../faults/slow.html");
});
test("a key drops the question before it", async () => {
  const page = pageWith(workshopGuide(1200)), shown = [];
  await page.type("canopy");
  new page.window.MutationObserver(() => shown.push(page.status())).observe(page.region, { childList: true, subtree: true });
  for (const text of ["pmup", "pmup u", "zzzzqq"]) {
    page.input.value = text;
    page.input.dispatchEvent(new page.window.Event("input", { bubbles: true }));
    page.input.form.dispatchEvent(new page.window.Event("submit", { bubbles: true, cancelable: true }));
  }
  await page.settle();
  assert.match(page.status(), /zzzzqq/);
  assert.ok(!shown.some((text) => /pmup/.test(text)), shown.join());
});
test("back goes to the page without results, forward brings them again", async () => {
  const page = pageWith(GUIDE), before = page.window.history.length;
  await page.type("can");
  await page.type("canopy");
  assert.strictEqual(page.window.history.length, before + 1);
  page.window.history.back();
  await page.settle();
  assert.deepStrictEqual([page.input.value, page.links().length], ["", 0]);
  page.window.history.forward();
  await page.settle();
  assert.strictEqual(page.input.value, "canopy");
  assert.ok(page.links().length > 0);
});
test("an address with a question is answered once, and back from another brings it again", async () => {
  const page = pageWith(GUIDE, "faults/x.html?q=bleed%20canopy");
  await page.settle();
  assert.strictEqual(page.input.value, "bleed canopy");
  assert.strictEqual(page.links()[0].getAttribute("href"), "../procedures/bleed.html");
  await page.type("");
  assert.strictEqual(page.links().length, 0);
  const place = pageWith(GUIDE, "faults/x.html?q=bleed#cause-air");
  await place.settle();
  assert.deepStrictEqual([place.input.value, place.loaded.length], ["", 0]);
});
test("a large guide loads shards as they are wanted", async () => {
  const guide = workshopGuide(1100), page = pageWith(guide);
  await page.type(guide.documents[600].title);
  await page.settle();
  assert.strictEqual(page.links()[0].getAttribute("href"), `../${guide.documents[600].url}`);
  assert.ok(page.loaded.length > 1 && page.loaded.length < 30, page.loaded.join(" "));
  assert.strictEqual(page.document.querySelectorAll("head script").length, 0);
});
test("pages are shown by their titles while shards are on their way, and keep the focus when the others come", async () => {
  const guide = workshopGuide(1100), page = pageWith(guide), wanted = guide.documents[600];
  // The first question of the page only loads the index.
  await page.type("q");
  page.input.value = wanted.title;
  page.input.dispatchEvent(new page.window.Event("input", { bubbles: true }));
  const loaded = page.loaded.length, seen = page.links().map((link) => link.getAttribute("href"));
  assert.ok(seen.length > 0 && seen.length <= 3 && seen.includes(`../${wanted.url}`), seen.join());
  assert.deepStrictEqual([page.status().includes("page"), page.region.getAttribute("aria-busy")], [false, "true"]);
  const link = page.links().find((one) => one.getAttribute("href") === `../${wanted.url}`);
  link.focus();
  await page.settle();
  assert.ok(page.loaded.length > loaded && page.links().length > 3);
  assert.ok(page.document.activeElement !== link, "the list was built anew");
  assert.strictEqual(page.document.activeElement.getAttribute("href"), `../${wanted.url}`);
});
test("what was typed before there was a script is answered", async () => {
  const page = pageWith(GUIDE, "faults/x.html", "canopy");
  await page.settle();
  assert.deepStrictEqual([page.input.value, page.links().length > 0], ["canopy", true]);
});
test("a missing index is said", async () => {
  const page = pageWith(GUIDE);
  page.files.clear();
  await page.type("canopy");
  assert.strictEqual(page.status(), "failed");
});
test("fuzzed queries inject nothing", async () => {
  const page = pageWith({ ...GUIDE, documents: [...GUIDE.documents, ...randomTexts(5, 60).map((text, n) => ({ url: `n/${n}`, kind: "part", title: `canopy ${text}`, also: text, codes: "", body: "" }))] });
  await page.type("canopy");
  const allowed = new Set("P DIV BUTTON LABEL SELECT OPTION SECTION H3 OL LI A SPAN MARK UL".split(" "));
  for (const text of [...randomTexts(6, 300), "<b>canopy</b>", "\u202ecanopy", "canopy ".repeat(2000), "\ud83d\ude80".repeat(3000)]) {
    page.input.value = text;
    page.document.querySelector("form").dispatchEvent(new page.window.KeyboardEvent("keydown", { key: "x", bubbles: true }));
    page.input.dispatchEvent(new page.window.Event("compositionend", { bubbles: true }));
    await new Promise((done) => setTimeout(done, 0));
    page.window.dispatchEvent(new page.window.PopStateEvent("popstate", { state: { find: text, kind: "" } }));
    for (const node of page.region.querySelectorAll("*")) assert.ok(allowed.has(node.tagName), node.tagName);
  }
});
