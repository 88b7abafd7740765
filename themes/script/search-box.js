// The search field of a page: results while typing, by keyboard and touch. Everything is built as text nodes, never as markup.
// A form `data-search="PATH/search/index.js"` holds the field; an element `data-search-results` inside it receives the results.
// The words of the interface come from the page: a JSON block `data-search-words`.
var SearchBox = (function () {
  "use strict";

  /**
   * @typedef {{page: number, url: string, title: string, kind: string, tags: string[], variants: string[], hint: string, terms: string[], missing: string[], through: number}} Result
   * @typedef {{need: string[], results: Result[], total: number, kinds: [string, number][], read: [string, string][], unknown: string[], whole: boolean, phrase: boolean | null}} Answer
   * @typedef {{kinds: Object<string, string>, variants: Object<string, string>, [name: string]: any}} Words
   */

  var Core = /** @type {any} */ (window).SearchCore, BEST = 3, PER_KIND = 4, MOST = 40;

  /** @param {string} name @param {Object<string, string>} [attributes] @param {(Node | string)[]} [content] @returns {HTMLElement} */
  function element(name, attributes, content) {
    var made = document.createElement(name);
    Object.keys(attributes || {}).forEach(function (key) { made.setAttribute(key, (attributes || {})[key]); });
    (content || []).forEach(function (part) { made.appendChild(typeof part === "string" ? document.createTextNode(part) : part); });
    return made;
  }

  /** Fills `{name}` in a sentence. @param {string} sentence @param {Object<string, string | number>} values @returns {string} */
  function fill(sentence, values) {
    return String(sentence).replace(/\{(\w+)\}/g, function (whole, name) { return name in values ? String(values[name]) : whole; });
  }

  /** Loads a script file once. @param {string} url @param {(loaded: boolean) => void} done */
  function loadScript(url, done) {
    var script = document.createElement("script");
    script.charset = "utf-8";
    script.src = url;
    script.onload = function () { script.remove(); done(true); };
    script.onerror = function () { script.remove(); done(false); };
    document.head.appendChild(script);
  }

  // Work is cut into slices of so many milliseconds: a key is answered between two of them.
  var SLICE = 12;

  /** Does something in a task of its own, soon: timers that call each other wait longer and longer. @param {() => void} work */
  function later(work) {
    if (typeof MessageChannel !== "function") { window.setTimeout(work, 0); return; }
    var channel = new MessageChannel();
    channel.port1.onmessage = function () { channel.port1.close(); work(); };
    channel.port2.postMessage(0);
  }

  /** Works until there is no more, never long at a time. @param {() => boolean} work whether there is more @param {() => void} done */
  function inSlices(work, done) {
    var end = Date.now() + SLICE, more = true;
    while (more && Date.now() < end) more = work();
    if (more) later(function () { inSlices(work, done); }); else done();
  }

  /** @constructor @param {HTMLFormElement} form @param {Words} words */
  function Box(form, words) {
    var self = this, path = form.getAttribute("data-search") || "search/index.js";
    this.form = form;
    this.words = words;
    this.input = /** @type {HTMLInputElement} */ (form.querySelector("input[type=search]"));
    this.region = /** @type {HTMLElement} */ (form.querySelector("[data-search-results]"));
    this.entry = path;
    this.folder = path.slice(0, path.lastIndexOf("/") + 1);
    this.root = this.folder.replace(/search\/$/, "");
    /** @type {any} */ this.index = null;
    /** @type {"no" | "loading" | "ready" | "failed"} */ this.state = "no";
    this.kind = "";
    this.variant = remembered();
    this.timer = 0;
    /** How often was asked; an answer to an earlier question is dropped. */ this.asked = 0;
    /** The chosen kind is to have the focus again. */ this.refocus = false;
    /** The query whose first result is wanted. @type {string | null} */ this.chosen = null;
    this.status = element("p", { role: "status", class: "found-status" });
    this.filters = element("div", { class: "found-filters" });
    this.list = element("div", { class: "found-list" });
    [this.status, this.filters, this.list].forEach(function (part) { self.region.appendChild(part); });
    this.listen();
    this.restore(window.history.state);
  }

  Box.prototype.listen = function () {
    var self = this;
    this.input.addEventListener("focus", function () { self.open(); });
    this.input.addEventListener("input", function () { self.typed(); });
    this.input.addEventListener("compositionend", function () { self.typed(); });
    this.form.addEventListener("submit", function (event) { event.preventDefault(); self.enter(); });
    this.form.addEventListener("keydown", function (event) { self.key(event); });
    this.region.addEventListener("touchmove", function () { self.input.blur(); }, { passive: true });
    window.addEventListener("popstate", function (event) { self.restore(event.state); });
  };

  /** Loads the index when it is first wanted. */
  Box.prototype.open = function () {
    var self = this;
    /** @param {boolean} loaded */
    function begin(loaded) {
      var data = /** @type {any} */ (window).guideIndex;
      if (loaded && data && data.root) { self.index = Core.begin(data); self.advance(); return; }
      self.state = "failed";
      self.find();
    }
    if (this.state !== "no" && this.state !== "failed") return;
    this.state = "loading";
    // In a guide of one file the index is there already.
    if (document.body.hasAttribute("data-one-file")) begin(true);
    else loadScript(this.entry, begin);
  };

  /** Reads the index slice by slice, so that typing is never held up. */
  Box.prototype.advance = function () {
    var self = this, index = this.index;
    inSlices(function () { return !index.advance(); }, function () { self.state = "ready"; self.find(); });
  };

  Box.prototype.typed = function () {
    var self = this;
    this.kind = "";
    this.chosen = null;
    this.asked += 1;
    this.note();
    this.open();
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(function () { self.find(); }, 40);
  };

  // ---- history: the first letter makes a step back to the page without results, later ones replace it ----

  Box.prototype.note = function () {
    var query = this.input.value, state = window.history.state, has = state && typeof state.find === "string" && state.find !== "";
    try {
      if (query && !has) window.history.pushState({ find: query, kind: this.kind }, "");
      else window.history.replaceState({ find: query, kind: this.kind }, "");
    } catch (refused) { /* Some browsers refuse history on local files; the search works without. */ }
  };

  /** @param {any} state */
  Box.prototype.restore = function (state) {
    var query = state && typeof state.find === "string" ? state.find : "";
    this.kind = state && typeof state.kind === "string" ? state.kind : "";
    if (query === this.input.value && !query) return;
    this.input.value = query;
    if (query) this.open();
    this.find();
  };

  // ---- keys ----

  /** @returns {HTMLElement[]} */
  Box.prototype.links = function () { return Array.prototype.slice.call(this.list.querySelectorAll("a")); };

  /** @param {KeyboardEvent} event */
  Box.prototype.key = function (event) {
    if (event.isComposing || event.altKey || event.ctrlKey || event.metaKey) return;
    var links = this.links(), at = links.indexOf(/** @type {HTMLElement} */ (document.activeElement)), inField = document.activeElement === this.input;
    if (event.key === "Escape") { this.input.value = inField ? "" : this.input.value; this.input.focus(); if (inField) { this.note(); this.find(); } }
    else if (event.key === "ArrowDown" && (inField || at >= 0) && links[at + 1]) links[at + 1].focus();
    else if (event.key === "ArrowUp" && at > 0) links[at - 1].focus();
    else if (event.key === "ArrowUp" && at === 0) this.input.focus();
    else return;
    event.preventDefault();
  };

  /** Enter in the field opens the first result. */
  Box.prototype.enter = function () {
    window.clearTimeout(this.timer);
    this.chosen = this.input.value;
    this.open();
    this.find();
  };

  Box.prototype.openFirst = function () {
    var first = this.links()[0];
    this.chosen = null;
    if (first) first.click();
  };

  // ---- asking ----

  Box.prototype.find = function () {
    var query = this.input.value;
    this.asked += 1;
    if (!query.trim()) { this.clear(); return; }
    if (this.state === "failed") { this.say(this.words.failed); return; }
    if (this.state !== "ready") { this.say(this.words.loading); return; }
    var self = this, asked = this.asked, steps = this.index.steps(query, { kind: this.kind, variant: this.variant, limit: MOST }), step = steps.next();
    inSlices(function () {
      if (self.asked !== asked) return false;
      if (!step.done) step = steps.next();
      return !step.done;
    }, function () { if (self.asked === asked) self.answered(/** @type {Answer} */ (step.value), query); });
  };

  /** @param {Answer} answer @param {string} query */
  Box.prototype.answered = function (answer, query) {
    var self = this, asked = this.asked;
    if (answer.need.length) { this.fetch(answer.need, query); return; }
    this.lift(answer, query);
    later(function () {
      if (self.asked !== asked) return;
      self.show(answer);
      if (self.chosen === query) self.openFirst();
    });
  };

  /** Pages whose whole title was typed stand first, however many pages speak of the same. @param {Answer} answer @param {string} query */
  Box.prototype.lift = function (answer, query) {
    var self = this, index = this.index, asked = query.trim(), folded = Core.fold(asked);
    index.titles.forEach(function (/** @type {string} */ title, /** @type {number} */ page) {
      if (title.length !== asked.length || Core.fold(title) !== folded) return;
      var at = answer.results.findIndex(function (result) { return result.page === page; });
      if (at >= 0) answer.results.unshift(answer.results.splice(at, 1)[0]);
      else if (!self.kind && !self.variant) answer.results.unshift({
        page: page, url: index.urls.word(page), title: title, kind: index.kindOf(page), hint: index.hints[page] || "",
        tags: [], variants: [], terms: Core.indexTerms(title, true), missing: [], through: -1
      });
    });
  };

  /** Loads shards, then asks again. @param {string[]} names @param {string} query */
  Box.prototype.fetch = function (names, query) {
    var self = this, left = names.length, good = true;
    names.forEach(function (name) {
      loadScript(self.folder + name + ".js", function (loaded) {
        good = good && loaded;
        left -= 1;
        if (left > 0) return;
        if (!good) self.say(self.words.failed);
        else if (self.input.value === query) self.find();
      });
    });
  };

  Box.prototype.clear = function () {
    this.status.textContent = "";
    this.filters.textContent = "";
    this.list.textContent = "";
  };

  /** @param {string} text */
  Box.prototype.say = function (text) {
    this.clear();
    this.status.textContent = text || "";
  };

  // ---- showing ----

  /** @param {Answer} answer */
  Box.prototype.show = function (answer) {
    this.clear();
    this.status.textContent = this.summary(answer);
    this.showFilters(answer);
    if (answer.results.length) this.showResults(answer); else this.showNothing();
    if (!this.refocus) return;
    this.refocus = false;
    var pressed = /** @type {HTMLElement | null} */ (this.filters.querySelector("[aria-pressed=true]"));
    (pressed || this.input).focus();
  };

  /** @param {Answer} answer @returns {string} */
  Box.prototype.summary = function (answer) {
    var words = this.words, parts = [];
    if (answer.results.length) parts.push(fill(answer.total === 1 ? words.one : words.many, { count: answer.total }));
    else parts.push(words.none);
    answer.read.forEach(function (pair) { parts.push(fill(words.readAs, { typed: pair[0], read: pair[1] })); });
    if (answer.unknown.length) parts.push(fill(words.unknown, { words: answer.unknown.join(", ") }));
    if (answer.results.length && answer.phrase === false) parts.push(this.index.data.root.body_pairs ? words.noPhrase : words.noPhraseInTitles);
    else if (answer.results.length && !answer.whole) parts.push(words.partly);
    return parts.join(" ");
  };

  /** @param {Answer} answer */
  Box.prototype.showFilters = function (answer) {
    var self = this, words = this.words;
    if (answer.kinds.length > 1) {
      var all = /** @type {[string, number][]} */ ([["", 0]]).concat(answer.kinds);
      var buttons = all.map(function (kind) {
        var text = kind[0] ? words.kinds[kind[0]] || kind[0] : words.allKinds, count = kind[0] ? " (" + kind[1] + ")" : "";
        var button = element("button", { type: "button", "aria-pressed": String(self.kind === kind[0]) }, [text + count]);
        button.addEventListener("click", function () { self.choose(kind[0]); });
        return button;
      });
      this.filters.appendChild(element("div", { role: "group", "aria-label": words.byKind }, buttons));
    }
    this.showVariants();
  };

  Box.prototype.showVariants = function () {
    var self = this, words = this.words, names = Object.keys(words.variants || {});
    if (names.length < 2) return;
    var select = /** @type {HTMLSelectElement} */ (element("select", {}, [""].concat(names).map(function (name) {
      return element("option", { value: name }, [name ? words.variants[name] : words.allVariants]);
    })));
    select.value = names.indexOf(this.variant) >= 0 ? this.variant : "";
    select.addEventListener("change", function () { self.variant = remember(select.value); self.find(); });
    this.filters.appendChild(element("label", {}, [words.byVariant + " ", select]));
  };

  /** @param {string} kind */
  Box.prototype.choose = function (kind) {
    this.kind = kind;
    this.note();
    this.refocus = true;
    this.find();
  };

  /** The best pages, then the others by kind, the kinds in the order of their best page. @param {Answer} answer */
  Box.prototype.showResults = function (answer) {
    var self = this, /** @type {Map<string, Result[]>} */ kinds = new Map();
    var all = new Set(answer.results.map(function (result) { return result.kind; })), best = all.size > 1 ? BEST : 0;
    if (best) this.list.appendChild(this.group(this.words.best, answer.results.slice(0, best), true));
    answer.results.slice(best).forEach(function (result) {
      var list = kinds.get(result.kind) || [];
      list.push(result);
      kinds.set(result.kind, list);
    });
    kinds.forEach(function (results, kind) {
      var shown = best ? results.slice(0, PER_KIND) : results, name = self.words.kinds[kind] || kind;
      self.list.appendChild(self.group(name, shown, false));
      if (results.length > shown.length) self.list.appendChild(self.more(kind, name));
    });
  };

  /** @param {string} name @param {Result[]} results @param {boolean} mixed of several kinds, so that each says its own @returns {HTMLElement} */
  Box.prototype.group = function (name, results, mixed) {
    var self = this, items = results.map(function (result) {
      var item = self.item(result);
      if (mixed && item.firstElementChild) item.firstElementChild.appendChild(element("span", { class: "found-kind" }, [self.words.kinds[result.kind] || result.kind]));
      return item;
    });
    return element("section", { "aria-label": name }, [element("h3", {}, [name]), element("ol", {}, items)]);
  };

  /** @param {string} kind @param {string} name @returns {HTMLElement} */
  Box.prototype.more = function (kind, name) {
    var self = this, button = element("button", { type: "button", class: "found-more" }, [fill(this.words.more, { kind: name })]);
    button.addEventListener("click", function () { self.choose(kind); });
    return button;
  };

  /** @param {Result} result @returns {HTMLElement} */
  Box.prototype.item = function (result) {
    var words = this.words, lines = [element("span", { class: "found-title" }, marks(result.title, result.terms))];
    if (result.hint) lines.push(element("span", { class: "found-hint" }, marks(result.hint, result.terms)));
    result.tags.forEach(function (tag) { lines.push(element("span", { class: "found-tag" }, [tag])); });
    if (result.variants.length) lines.push(element("span", { class: "found-variants" }, [result.variants.map(function (v) { return (words.variants || {})[v] || v; }).join(", ")]));
    var reason = this.reason(result);
    if (reason) lines.push(element("span", { class: "found-reason" }, [reason]));
    return element("li", {}, [element("a", { href: this.root + result.url }, lines)]);
  };

  /** What was found in the text, which words are missing, and which related page has them. @param {Result} result @returns {string} */
  Box.prototype.reason = function (result) {
    var words = this.words, parts = [], seen = marksOf(result.title + " " + result.hint, result.terms);
    var inText = result.terms.filter(function (term, at, all) { return /^[^!#]/.test(term) && !seen.has(term) && all.indexOf(term) === at; });
    if (inText.length) parts.push(fill(words.inText, { words: inText.join(", ") }));
    if (result.missing.length && result.through >= 0) parts.push(fill(words.through, { words: result.missing.join(", "), title: this.index.titles[result.through] }));
    else if (result.missing.length) parts.push(fill(words.without, { words: result.missing.join(", ") }));
    return parts.join(" ");
  };

  Box.prototype.showNothing = function () {
    var tips = /** @type {string[]} */ (this.words.tips || []).map(function (tip) { return element("li", {}, [tip]); });
    this.list.appendChild(element("ul", {}, tips));
    var listing = this.form.getAttribute("action");
    if (listing) this.list.appendChild(element("p", {}, [element("a", { href: listing }, [this.words.listing])]));
  };

  /** @param {string} text @param {string[]} terms @returns {(Node | string)[]} */
  function marks(text, terms) {
    return Core.marked(text, terms).map(function (/** @type {{text: string, hit: boolean}} */ piece) { return piece.hit ? element("mark", {}, [piece.text]) : piece.text; });
  }

  /** The terms that a text shows. @param {string} text @param {string[]} terms @returns {Set<string>} */
  function marksOf(text, terms) {
    var shown = new Set(Core.indexTerms(text, true));
    return new Set(terms.filter(function (term) { return shown.has(term); }));
  }

  // ---- the machine's variant is kept for the next page ----

  /** @returns {string} */
  function remembered() {
    try { return window.localStorage.getItem("guide-variant") || ""; } catch (refused) { return ""; }
  }
  /** @param {string} variant @returns {string} */
  function remember(variant) {
    try { window.localStorage.setItem("guide-variant", variant); } catch (refused) { /* kept for this page only */ }
    return variant;
  }

  /** Mounts every search form of the page. */
  function mountAll() {
    var block = document.querySelector("script[data-search-words]"), words = JSON.parse((block && block.textContent) || "{}");
    words.kinds = words.kinds || {};
    document.querySelectorAll("form[data-search]").forEach(function (form) { mount(/** @type {HTMLFormElement} */ (form), words); });
  }

  /** @param {HTMLFormElement} form @param {Words} words @returns {Box | null} */
  function mount(form, words) {
    return form.querySelector("input[type=search]") && form.querySelector("[data-search-results]") ? new Box(form, words) : null;
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", mountAll); else mountAll();
  return { mount: mount };
})();
