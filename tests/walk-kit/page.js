// A published page in a document without a browser, with its own scripts but those of the search.
"use strict";
const fs = require("node:fs"), path = require("node:path"), vm = require("node:vm");
const { afterEach } = require("node:test");
const { JSDOM, VirtualConsole } = require("jsdom");

/** The demo guide as the program publishes it; `run.sh` makes it before the tests. */
const SITE = process.env.GUIDE_SITE || path.join(__dirname, "../../target/script-tests/site");

/** Pages of the test that runs: one left open would go on with its timers and keep the tests from ending. */
const opened = [];
afterEach(() => opened.splice(0).forEach((dom) => dom.window.close()));

/**
 * @param {string} name the page's path in the site
 * @param {{kept?: Record<string, string>, refused?: boolean, sure?: boolean, idle?: boolean, hash?: string}} [how] what the device has kept; storage refused; what `confirm` says
 *   `idle`: false where what the page does while nobody waits is done only when the test calls `idle()`
 */
function open(name, how = {}) {
  const html = fs.readFileSync(path.join(SITE, name), "utf8"), errors = [], asked = [];
  const virtualConsole = new VirtualConsole().on("jsdomError", (error) => { if (!/Not implemented/.test(error.message)) errors.push(error); });
  const dom = new JSDOM(html, { url: `https://guide.invalid/${name}${how.hash || ""}`, runScripts: "outside-only", pretendToBeVisual: true, virtualConsole });
  opened.push(dom);
  const { window } = dom, { document } = window;
  Object.entries(how.kept || {}).forEach(([key, value]) => window.localStorage.setItem(key, value));
  if (how.refused) Object.defineProperty(window, "localStorage", { get() { throw new window.DOMException("refused", "SecurityError"); } });
  window.Element.prototype.scrollIntoView = () => {};
  // No moment passes while a page plans, so that a slow machine sees what a quick one sees.
  Object.defineProperty(window.performance, "now", { value: () => 0 });
  quicken(window);
  const waiting = new Map(), { setTimeout: later, clearTimeout: never } = window;
  if (how.idle === false) {
    // The document's own history is a timer without a wait.
    window.setTimeout = (act, wait) => { const number = later.call(window, wait ? () => {} : act, wait || 0); if (wait) waiting.set(number, act); return number; };
    window.clearTimeout = (number) => { waiting.delete(number); never.call(window, number); };
  }
  window.matchMedia = () => ({ matches: false });
  window.confirm = (text) => { asked.push(text); return how.sure !== false; };
  window.print = () => { page.printed.push(document.querySelector("#one-sheet")?.textContent); };
  window.URL.createObjectURL = (blob) => { page.saved.push(blob); return "blob:x"; };
  window.URL.revokeObjectURL = () => {};
  window.HTMLAnchorElement.prototype.click = () => {};
  const scripts = [...document.querySelectorAll("script[src]")].map((script) => script.getAttribute("src")).filter((src) => !/search/.test(src) || /plan/.test(src));
  for (const src of scripts) vm.runInContext(fs.readFileSync(path.join(SITE, path.dirname(name), src), "utf8"), dom.getInternalVMContext(), { filename: src });
  const page = {
    dom, window, document, errors, asked, printed: [], saved: [],
    one: (selector) => document.querySelector(selector), all: (selector) => [...document.querySelectorAll(selector)],
    text: (selector) => document.querySelector(selector)?.textContent.trim() ?? "",
    press: (thing) => { const element = typeof thing === "string" ? document.querySelector(thing) : thing; if (!element) throw new Error(`nothing to press: ${thing}`); element.click(); },
    write: (selector, value) => { const field = document.querySelector(selector); field.value = value; field.dispatchEvent(new window.Event("input", { bubbles: true })); },
    idle: () => { for (const [number, act] of waiting) { waiting.delete(number); act(); } },
    close: () => { opened.splice(opened.indexOf(dom), 1); window.close(); },
    kept: () => Object.fromEntries(Object.keys(window.localStorage).map((key) => [key, window.localStorage.getItem(key)])),
    until: async (is) => { for (let tries = 0; !is(); tries++) { if (tries > 400) throw new Error("it never came"); await page.settle(10); } },
    settle: (ms = 0) => new Promise((done) => setTimeout(done, ms)),
  };
  return page;
}

/** Finds what scripts look up again and again without a search through the whole document: an id, and a check's section, which stays where it is. */
function quicken(window) {
  const { querySelector } = window.Document.prototype, sections = new Map();
  window.Document.prototype.querySelector = function (selector) {
    const [, id, inside] = /^#([\w-]+)(?: (\[[\w-]+\]))?$/.exec(selector) || [], element = id && this.getElementById(id);
    if (id) return inside && element ? element.querySelector(inside) : element;
    if (!/^\[data-check="[\w-]+"\]$/.test(selector)) return querySelector.call(this, selector);
    if (!sections.has(selector)) sections.set(selector, querySelector.call(this, selector));
    return sections.get(selector);
  };
}

const faults = () => fs.readdirSync(path.join(SITE, "faults")).map((name) => name.replace(".html", ""));

module.exports = { open, faults, SITE };
