// The search field of a page: results while typing, by keyboard and touch. Everything is built as text nodes, never as markup.
// A form `data-search="PATH/search/index.js"` holds the field; an element `data-search-results` inside it receives the results.
// The words of the interface come from `search-words.js`, which the compiler writes.
var SearchBox = (function () {
  "use strict";

  /**
   * @typedef {{page: number, url: string, title: string, kind: string, tags: string[], variants: string[], hint: string, terms: string[], missing: string[], through: number}} Result
   * @typedef {{need: string[], results: Result[], total: number, kinds: [string, number][], read: [string, string][], unknown: string[], whole: boolean, phrase: boolean | null}} Answer
   * @typedef {{kinds: Object<string, string>, variants: Object<string, string>, [name: string]: any}} Words
   */

  const Core = /** @type {any} */ (window).SearchCore, BEST = 3, PER_KIND = 4, MOST = 40, KEPT = "guide-variant";
  // Work is cut into slices of so many milliseconds: a key is answered between two of them.
  const SLICE = 12;

  /** @param {string} name @param {(Node | string)[]} content @param {Object<string, string>} [attributes] @returns {HTMLElement} */
  const element = (name, content, attributes) => {
    const made = document.createElement(name);
    for (const key in attributes) made.setAttribute(key, attributes[key]);
    made.append(...content);
    return made;
  };
  /** @param {string} part of what was found @param {(Node | string)[]} content @param {string} [name] @returns {HTMLElement} */
  const found = (part, content, name) => element(name || "span", content, { class: "found-" + part });

  /** @param {string} text @param {() => void} choose @param {Object<string, string>} attributes @returns {HTMLElement} */
  const button = (text, choose, attributes) => {
    const made = element("button", [text], attributes);
    made.setAttribute("type", "button");
    on(made, "click", choose);
    return made;
  };

  /** @param {EventTarget} target @param {string} event @param {(event: any) => void} work */
  const on = (target, event, work) => { target.addEventListener(event, work, { passive: event === "touchmove" }); };

  /** Fills `{name}` in a sentence. @param {string} sentence @param {Object<string, any>} values @returns {string} */
  const fill = (sentence, values) => {
    return String(sentence).replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));
  };

  /** Loads a script file once. @param {string} url @param {(loaded: boolean) => void} done */
  const loadScript = (url, done) => {
    const script = document.createElement("script");
    script.charset = "utf-8";
    script.src = url;
    /** @param {boolean} loaded */
    const end = (loaded) => () => { script.remove(); done(loaded); };
    script.onload = end(true);
    script.onerror = end(false);
    document.head.appendChild(script);
  };

  /** Does something in a task of its own, soon: timers that call each other wait longer and longer. @param {() => void} work */
  const later = (work) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => { port1.close(); work(); };
    port2.postMessage(0);
  };

  /** Works until there is no more, never long at a time. @param {() => boolean} work whether there is more @param {() => void} done */
  const inSlices = (work, done) => {
    const end = Date.now() + SLICE;
    let more = true;
    while (more && Date.now() < end) more = work();
    if (more) later(() => inSlices(work, done)); else done();
  };

  /** @param {string} text @param {string[]} terms @returns {(Node | string)[]} */
  const marks = (text, terms) => {
    return Core.marked(text, terms).map((/** @type {string} */ piece, /** @type {number} */ n) => (n % 2 ? element("mark", [piece]) : piece));
  };

  /** @param {HTMLFormElement} form @param {Words} words */
  const mount = (form, words) => {
    const input = /** @type {HTMLInputElement} */ (form.querySelector("input[type=search]")), region = form.querySelector("[data-search-results]");
    const entry = form.getAttribute("data-search") || "search/index.js", folder = entry.replace(/[^/]*$/, ""), top = folder.replace(/search\/$/, "");
    const status = found("status", [], "p"), filters = found("filters", [], "div"), list = found("list", [], "div");
    const { kinds = {}, variants = {} } = words;
    /** @type {any} */ let index;
    /** Said while there is no index. */ let waiting = "";
    let kind = "", variant = "";
    /** How often was asked; an answer to an earlier question is dropped. */ let asked = 0;
    /** The chosen kind is to have the focus again. */ let refocus = false;
    /** The query whose first result is wanted. @type {string | null} */ let chosen = null;
    if (!input || !region) return;
    // The machine's variant is kept for the next page.
    try { variant = localStorage.getItem(KEPT) || ""; } catch (refused) { /* kept for this page only */ }

    /** Loads the index when it is first wanted. */
    const open = () => {
      if (index || waiting === words.loading) return;
      waiting = words.loading;
      /** @param {boolean} loaded */
      const begin = (loaded) => {
        const data = loaded && /** @type {any} */ (window).guideIndex;
        if (data) index = Core.begin(data);
        waiting = words.failed;
        find();
      };
      // In a guide of one file, and for a second field, the index is there already.
      if (/** @type {any} */ (window).guideIndex) begin(true);
      else loadScript(entry, begin);
    };

    const typed = () => {
      kind = "";
      chosen = null;
      const mine = ++asked;
      note();
      open();
      later(() => { if (asked === mine) find(); });
    };

    // ---- history: the first letter makes a step back to the page without results, later ones replace it ----

    const note = () => {
      const find = input.value;
      try {
        history[find && !kept(history).find ? "pushState" : "replaceState"]({ find, kind }, "");
      } catch (refused) { /* Some browsers refuse history on local files; the search works without. */ }
    };

    /** The question of a step of the history. @param {{state: any}} step @returns {{find: string, kind: string}} */
    const kept = ({ state }) => {
      /** @param {any} text @returns {string} */
      const textOf = (text) => (typeof text === "string" ? text : "");
      return { find: textOf(state && state.find), kind: textOf(state && state.kind) };
    };

    /** @param {{state: any}} step */
    const restore = (step) => {
      const query = kept(step).find;
      kind = kept(step).kind;
      if (!query && !input.value) return;
      input.value = query;
      if (query) open();
      find();
    };

    // ---- keys ----

    /** @returns {HTMLElement[]} */
    const links = () => Array.from(list.querySelectorAll("a"));

    /** @param {KeyboardEvent} event */
    const key = (event) => {
      if (event.isComposing || event.altKey || event.ctrlKey || event.metaKey) return;
      const all = links(), at = all.findIndex((link) => link === document.activeElement), inField = document.activeElement === input;
      const to = event.key === "ArrowDown" && (inField || at >= 0) ? all[at + 1] : event.key === "ArrowUp" && at >= 0 ? all[at - 1] || input : event.key === "Escape" ? input : null;
      if (!to) return;
      if (event.key === "Escape" && inField) { input.value = ""; note(); find(); }
      to.focus();
      event.preventDefault();
    };

    /** Enter in the field opens the first result. @param {Event} event */
    const enter = (event) => {
      event.preventDefault();
      chosen = input.value;
      open();
      find();
    };

    // ---- asking ----

    const find = () => {
      const query = input.value, mine = ++asked;
      if (!query.trim()) return say("");
      if (!index) return say(waiting);
      const steps = index.steps(query, { kind, variant, limit: MOST });
      let step = steps.next();
      inSlices(() => {
        if (asked !== mine) return false;
        if (!step.done) step = steps.next();
        return !step.done;
      }, () => { if (asked === mine) answered(step.value, query); });
    };

    /** @param {Answer} answer @param {string} query */
    const answered = (answer, query) => {
      const mine = asked;
      if (answer.need.length) return fetchShards(answer.need, query);
      lift(answer, query.trim());
      later(() => {
        if (asked !== mine) return;
        show(answer);
        if (chosen !== query) return;
        chosen = null;
        if (links()[0]) links()[0].click();
      });
    };

    /** Pages whose whole title was typed stand first, however many pages speak of the same. @param {Answer} answer @param {string} query */
    const lift = ({ results }, query) => {
      const folded = Core.fold(query);
      index.titles.forEach((/** @type {string} */ title, /** @type {number} */ page) => {
        if (title.length !== query.length || Core.fold(title) !== folded) return;
        const at = results.findIndex((result) => result.page === page);
        if (at >= 0) results.unshift(...results.splice(at, 1));
        else if (!kind && !variant) results.unshift(Object.assign(index.result(page), { terms: Core.indexTerms(title, true) }));
      });
    };

    /** Loads shards, then asks again. @param {string[]} names @param {string} query */
    const fetchShards = (names, query) => {
      let left = names.length, good = true;
      for (const name of names) loadScript(folder + name + ".js", (loaded) => {
        if (!loaded) good = false;
        if (--left) return;
        if (!good) say(words.failed);
        else if (input.value === query) find();
      });
    };

    // ---- showing ----

    /** @param {string} text */
    const say = (text) => {
      filters.textContent = list.textContent = "";
      status.textContent = text || "";
    };

    /** @param {Answer} answer */
    const show = (answer) => {
      say(summary(answer));
      showFilters(answer.kinds);
      if (answer.results.length) showResults(answer.results); else showNothing();
      if (!refocus) return;
      refocus = false;
      /** @type {HTMLElement} */ (filters.querySelector("[aria-pressed=true]") || input).focus();
    };

    /** @param {Answer} answer @returns {string} */
    const summary = ({ total, results, read, unknown, phrase, whole }) => {
      const any = results.length, parts = [any ? fill(total === 1 ? words.one : words.many, { count: total }) : words.none];
      for (const [typed, as] of read) parts.push(fill(words.readAs, { typed, read: as }));
      if (unknown.length) parts.push(fill(words.unknown, { words: unknown.join(", ") }));
      if (any && phrase === false) parts.push(/** @type {any} */ (window).guideIndex.root.body_pairs ? words.noPhrase : words.noPhraseInTitles);
      else if (any && !whole) parts.push(words.partly);
      return parts.join(" ");
    };

    /** @param {string} name @returns {string} */
    const kindName = (name) => kinds[name] || name;

    /** @param {[string, number][]} found */
    const showFilters = (found) => {
      const buttons = found.map(([name, count]) => button(`${kindName(name)} (${count})`, () => choose(name), pressed(name)));
      buttons.unshift(button(words.allKinds, () => choose(""), pressed("")));
      if (found.length > 1) filters.append(element("div", buttons, { role: "group", "aria-label": words.byKind }));
      const names = Object.keys(variants);
      if (names.length < 2) return;
      const select = /** @type {HTMLSelectElement} */ (element("select", [""].concat(names).map((name) => element("option", [name ? variants[name] : words.allVariants], { value: name }))));
      select.value = names.includes(variant) ? variant : "";
      on(select, "change", () => {
        variant = select.value;
        try { localStorage.setItem(KEPT, variant); } catch (refused) { /* kept for this page only */ }
        find();
      });
      filters.append(element("label", [words.byVariant + " ", select]));
    };
    /** @param {string} name @returns {Object<string, string>} */
    const pressed = (name) => ({ "aria-pressed": String(kind === name) });

    /** @param {string} name */
    const choose = (name) => {
      kind = name;
      note();
      refocus = true;
      find();
    };

    /** The best pages, what to choose from, then the others by kind, the kinds in the order of their best page. @param {Result[]} results */
    const showResults = (results) => {
      const best = new Set(results.map((result) => result.kind)).size > 1 ? BEST : 0, mine = asked;
      if (best) showGroup(words.best, results.slice(0, best), true);
      list.append(filters);
      // What follows waits its turn: the best are seen sooner.
      if (best) later(() => { if (asked === mine) showOthers(results, best); }); else showOthers(results, best);
    };

    /** @param {Result[]} results @param {number} best how many of them stand already */
    const showOthers = (results, best) => {
      for (const name of new Set(results.slice(best).map((result) => result.kind))) {
        const all = results.slice(best).filter((result) => result.kind === name), shown = best ? all.slice(0, PER_KIND) : all;
        showGroup(kindName(name), shown, false);
        if (shown.length < all.length) list.append(button(fill(words.more, { kind: kindName(name) }), () => choose(name), { class: "found-more" }));
      }
    };

    /** @param {string} name @param {Result[]} results @param {boolean} mixed of several kinds, so that each says its own */
    const showGroup = (name, results, mixed) => {
      list.append(element("div", [element("h3", [name]), element("ol", results.map((result) => item(result, mixed)))], { role: "group", "aria-label": name }));
    };

    /** @param {Result} result @param {boolean} mixed @returns {HTMLElement} */
    const item = (result, mixed) => {
      const { terms } = result, why = reason(result), lines = [found("title", marks(result.title, terms))];
      if (mixed) lines.push(found("kind", [kindName(result.kind)]));
      if (result.hint) lines.push(found("hint", marks(result.hint, terms)));
      for (const tag of result.tags) lines.push(found("tag", [tag]));
      if (result.variants.length) lines.push(found("variants", [result.variants.map((name) => variants[name] || name).join(", ")]));
      if (why) lines.push(found("reason", [why]));
      return element("li", [element("a", lines, { href: top + result.url })]);
    };

    /** What was found in the text, which words are missing, and which related page has them. @param {Result} result @returns {string} */
    const reason = ({ title, hint, terms, missing, through }) => {
      const seen = Core.indexTerms(title + " " + hint, true), parts = [], lost = missing.join(", ");
      const inText = Array.from(new Set(terms)).filter((term) => /^[^!#]/.test(term) && !seen.includes(term)).join(", ");
      if (inText) parts.push(fill(words.inText, { words: inText }));
      if (lost) parts.push(fill(through < 0 ? words.without : words.through, { words: lost, title: index.titles[through] }));
      return parts.join(" ");
    };

    const showNothing = () => {
      const listing = form.getAttribute("action");
      list.append(filters, element("ul", (words.tips || []).map((/** @type {string} */ tip) => element("li", [tip]))));
      if (listing) list.append(element("p", [element("a", [words.listing], { href: listing })]));
    };

    region.append(status, list);
    status.setAttribute("role", "status");
    on(input, "focus", open);
    on(input, "input", typed);
    on(input, "compositionend", typed);
    on(form, "submit", enter);
    on(form, "keydown", key);
    on(region, "touchmove", () => input.blur());
    on(window, "popstate", restore);
    restore(history);
  };

  /** Mounts every search form of the page. */
  const mountAll = () => {
    const words = (/** @type {any} */ (window).Bayleaf || {}).searchWords || {};
    document.querySelectorAll("form[data-search]").forEach((form) => mount(/** @type {HTMLFormElement} */ (form), words));
  };

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", mountAll); else mountAll();
  return { mount };
})();
