// The search field of a page: results while typing, by keyboard and touch. Everything is built as text nodes, never as markup.
// A form `data-search="PATH/search/index.js"` holds the field; an element `data-search-results` inside it receives the results.
// The first search of a page loads the index and, in front of it, the words of its results and what reads it
// (`search-core.js`). A page opened with `?q=` and words is searched for them.
(() => {
  "use strict";

  /**
   * @typedef {{page: number, url: string, title: string, kind: string, tags: string[], variants: string[], hint: string, terms: string[], missing: string[], through: number}} Result
   * @typedef {{need: string[], results: Result[], total: number, kinds: [string, number][], read: [string, string][], unknown: string[], whole: boolean, phrase: boolean | null}} Answer
   * @typedef {{kinds: Object<string, string>, variants: Object<string, string>, [name: string]: any}} Words
   */

  const { make, say, keep, kept, each } = /** @type {any} */ (window).Bayleaf, BEST = 3, PER_KIND = 4, MOST = 40;
  /** What reads the index; it comes with it. @type {any} */ let Core;
  // Work is cut into slices of so many milliseconds: a key is answered between two of them.
  const SLICE = 12;

  /** @param {string} part of what was found @param {any} content @param {string} [name] @returns {HTMLElement} */
  const found = (part, content, name) => make((name || "span") + ".found-" + part, content);

  /** @param {EventTarget} target @param {string} event @param {(event: any) => void} work */
  const on = (target, event, work) => { target.addEventListener(event, work, { passive: event === "touchmove" }); };

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

  const /** @type {(() => void)[]} */ turns = [];
  let /** @type {MessageChannel} */ channel;
  /** Does something in a task of its own, soon: timers that call each other wait longer and longer. @param {() => void} work */
  const later = (work) => {
    if (!channel) {
      channel = new MessageChannel();
      channel.port1.onmessage = () => /** @type {() => void} */ (turns.shift())();
    }
    turns.push(work);
    channel.port2.postMessage(0);
  };

  /** Works until there is no more, never long at a time. @param {() => boolean} work whether there is more @param {() => void} done */
  const inSlices = (work, done) => {
    const end = Date.now() + SLICE;
    let more = true;
    while (more && Date.now() < end) more = work();
    if (more) later(() => inSlices(work, done)); else done();
  };

  /** @param {string} text @param {string[]} terms @returns {any[]} texts and elements */
  const marks = (text, terms) => {
    return terms[0] ? Core.marked(text, terms).map((/** @type {string} */ piece, /** @type {number} */ n) => (n % 2 ? make("mark", piece) : piece)) : [text];
  };

  /** @param {HTMLFormElement} form */
  const mount = (form) => {
    const input = /** @type {HTMLInputElement} */ (form.querySelector("input[type=search]")), region = form.querySelector("[data-search-results]");
    const { search: entry = "search/index.js", failed = "" } = form.dataset, folder = entry.replace(/[^/]*$/, ""), top = folder.replace(/search\/$/, "");
    const status = found("status", "", "p"), filters = found("filters", "", "div"), list = found("list", "", "div");
    /** They come with the index. */ let words = /** @type {Words} */ ({});
    /** A sentence of these words with its braces filled in. @param {string} key @param {Object<string, any>} [values] @returns {string} */
    const tell = (key, values) => say(key, values, words);
    /** @type {any} */ let index;
    /** Said while there is no index. */ let waiting = "", loading = false;
    let kind = "", variant = kept("variant") || "";
    /** How often was asked; an answer to an earlier question is dropped. */ let asked = 0;
    /** Nothing has been asked of the index yet. */ let fresh = true;
    /** The chosen kind is to have the focus again. */ let refocus = false;
    /** The query whose first result is wanted. @type {string | null} */ let chosen = null;
    if (!input || !region) return;

    /** Takes the index, if it is there. */
    const begin = () => {
      const { guideIndex, SearchCore, Bayleaf } = /** @type {any} */ (window);
      if (!guideIndex) return;
      words = Bayleaf.searchWords;
      Core = SearchCore;
      index = Core.begin(guideIndex);
    };

    /** Loads the index when it is first wanted. */
    const open = () => {
      // In a guide of one file, on the front page, and for a second field, it is there already.
      if (!index) begin();
      if (index || loading) return;
      waiting = /** @type {string} */ (form.dataset.loading);
      loading = true;
      loadScript(entry, () => {
        loading = false;
        waiting = failed;
        begin();
        ask();
      });
    };

    const typed = () => {
      kind = "";
      chosen = null;
      busy(true);
      open();
      ask();
      later(note);
    };

    // ---- history: the first letter makes a step back to the page without results, later ones replace it ----

    const note = () => {
      const find = input.value, first = find && !noted(history).find;
      // Results stand below the field: on a small screen there must be room for them above the keys.
      if (first && innerHeight < 600) input.scrollIntoView();
      try {
        history[first ? "pushState" : "replaceState"]({ find, kind }, "");
      } catch (refused) { /* Some browsers refuse history on local files; the search works without. */ }
    };

    /**
     * The question of a step of the history; a step of another script has none, that of a page just opened may have one in
     * its address. @param {{state: any}} step @returns {{find: string, kind: string}}
     */
    const noted = ({ state }) => ({ find: !state && !location.hash && new URLSearchParams(location.search).get("q") || "", kind: "", ...state });

    /** @param {{state: any}} step */
    const restore = (step) => {
      const { find: query, kind: of } = noted(step);
      kind = of;
      if (!query && !input.value) return;
      input.value = query;
      if (query) open();
      ask();
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

    /** Where nothing is shown, what can be shown at once comes first. The first question does not wait for the letter to be drawn: its shards are to be on their way. */
    const ask = () => {
      const mine = ++asked;
      if (list.querySelector("ol") || glance() || !fresh) later(() => { if (asked === mine) find(); }); else find();
    };

    const find = () => {
      const query = input.value, mine = ++asked;
      if (!query.trim()) return clear("");
      if (!index) return clear(waiting, loading);
      fresh = false;
      const steps = index.steps(query, { kind, variant, limit: MOST });
      let step = steps.next();
      inSlices(() => {
        if (asked !== mine) return false;
        if (!step.done) step = steps.next();
        return !step.done;
      }, () => { if (asked === mine) answered(step.value, query); });
    };

    /** Shows pages by their titles alone. @returns {boolean} whether there are any */
    const glance = () => {
      const seen = index && !kind ? index.glance(input.value, variant, BEST) : [];
      if (seen[0]) {
        clear("", true);
        showGroup(words.best, seen, true);
      }
      return !!seen[0];
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
      for (const page of index.entitled(query)) {
        const at = results.findIndex((result) => result.page === page);
        if (at >= 0) results.unshift(...results.splice(at, 1));
        else if (!kind && !variant) results.unshift(Object.assign(index.result(page), { terms: Core.indexTerms(query, true) }));
      }
    };

    /** Loads shards, then asks again. @param {string[]} names @param {string} query */
    const fetchShards = (names, query) => {
      let left = names.length, good = true;
      for (const name of names) loadScript(folder + name + ".js", (loaded) => {
        if (!loaded) good = false;
        if (--left) return;
        if (!good) clear(failed);
        else if (input.value === query) find();
      });
    };

    // ---- showing ----

    /** Whether results are still to come. @param {boolean} is */
    const busy = (is) => region.setAttribute("aria-busy", String(is));

    /** Takes away what was shown and says something instead. @param {string} text @param {boolean} [more] there is more to come */
    const clear = (text, more = false) => {
      busy(more);
      filters.textContent = list.textContent = "";
      status.textContent = text || "";
    };

    /** @param {Answer} answer */
    const show = (answer) => {
      const focused = links().find((link) => link === document.activeElement);
      clear(summary(answer), true);
      showFilters(answer.kinds);
      if (answer.results.length) showResults(answer.results); else showNothing();
      if (focused) (links().find((link) => String(link) === String(focused)) || input).focus();
      if (!refocus) return;
      refocus = false;
      /** @type {HTMLElement} */ (filters.querySelector("[aria-pressed=true]") || input).focus();
    };

    /** @param {Answer} answer @returns {string} */
    const summary = ({ total, results, read, unknown, phrase, whole }) => {
      const any = results.length, parts = [tell(!any ? "none" : total > 1 ? "many" : "one", { count: total })];
      for (const [typed, as] of read) parts.push(tell("readAs", { typed, read: as }));
      if (unknown.length) parts.push(tell("unknown", { words: unknown.join(", ") }));
      if (any && phrase === false) parts.push(/** @type {any} */ (window).guideIndex.root.body_pairs ? words.noPhrase : words.noPhraseInTitles);
      else if (any && !whole) parts.push(words.partly);
      return parts.join(" ");
    };

    /** @param {string} name @returns {string} */
    const kindName = (name) => words.kinds[name] || name;

    /** @param {[string, number][]} found */
    const showFilters = (found) => {
      /** @param {string} name @param {string} says */
      const filter = (name, says) => make("button", { click: () => choose(name), "aria-pressed": String(kind === name) }, says);
      const buttons = found.map(([name, count]) => filter(name, `${kindName(name)} (${count})`));
      if (found.length > 1) filters.append(make("div", { role: "group", "aria-label": words.byKind }, filter("", words.allKinds), buttons));
      const { variants } = words, names = Object.keys(variants);
      if (names.length < 2) return;
      const select = make("select", make("option", words.allVariants), names.map((name) => make("option", variants[name])));
      select.selectedIndex = names.indexOf(variant) + 1;
      on(select, "change", () => {
        variant = names[select.selectedIndex - 1] || "";
        keep("variant", variant);
        find();
      });
      filters.append(make("label", words.byVariant + " ", select));
    };

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
        if (shown.length < all.length) list.append(make("button.found-more", { click: () => choose(name) }, tell("more", { kind: kindName(name) })));
      }
      busy(false);
    };

    /** @param {string} name @param {Result[]} results @param {boolean} mixed of several kinds, so that each says its own */
    const showGroup = (name, results, mixed) => {
      list.append(make("div", { role: "group", "aria-label": name }, make("h3", name), make("ol", results.map((result) => item(result, mixed)))));
    };

    /** @param {Result} result @param {boolean} mixed @returns {HTMLElement} */
    const item = (result, mixed) => {
      const { terms, hint, tags } = result, why = terms[0] && reason(result), holdsFor = result.variants.map((name) => words.variants[name] || name).join(", ");
      return make("li", make("a", { href: top + result.url }, found("title", marks(result.title, terms)), mixed && found("kind", kindName(result.kind)),
        hint && found("hint", marks(hint, terms)), tags.map((tag) => found("tag", tag)), holdsFor && found("variants", holdsFor), why && found("reason", why)));
    };

    /** What was found in the text, which words are missing, and which related page has them. @param {Result} result @returns {string} */
    const reason = ({ title, hint, terms, missing, through }) => {
      const seen = Core.indexTerms(title + " " + hint, true), parts = [], lost = missing.join(", ");
      const inText = Array.from(new Set(terms)).filter((term) => /^[^!#~]/.test(term) && !seen.includes(term)).join(", ");
      if (inText) parts.push(tell("inText", { words: inText }));
      if (lost) parts.push(through < 0 ? tell("without", { words: lost }) : tell("through", { words: lost, title: index.result(through).title }));
      return parts.join(" ");
    };

    const showNothing = () => {
      const listing = form.getAttribute("action");
      list.append(filters, make("ul", (words.tips || []).map((/** @type {string} */ tip) => make("li", tip))));
      if (listing) list.append(make("p", make("a", { href: listing }, words.listing)));
      busy(false);
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
    // What was typed before there was a script is not lost.
    if (input.value) typed(); else restore(history);
  };

  each("form[data-search]", mount);
})();
