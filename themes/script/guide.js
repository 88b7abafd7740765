// What every page can use, and small comforts for a page that works without them: tables that keep their meaning when
// stacked, the age of the copy, printing, a dark bay. Nothing is fetched and nothing leaves the device.
var Bayleaf = Bayleaf || {};
(() => {
  "use strict";
  var B = /** @type {any} */ (Bayleaf), doc = document, root = doc.documentElement;

  /** Does something with every element of a selector. @param {string} selector @param {(element: any, at: number) => void} act @param {any} [within] */
  const each = (selector, act, within) => (within || doc).querySelectorAll(selector).forEach(act);
  /** What is kept on this device; null where nothing is, or where storage is refused to local files. @param {string} key @returns {any} */
  function kept(key) {
    try { return JSON.parse(localStorage.getItem("bayleaf " + key) || "null"); } catch (refused) { return null; }
  }
  /** Keeps a value on this device, or forgets it where it is null. @param {string} key @param {any} value @returns {boolean} whether it is kept */
  function keep(key, value) {
    try {
      if (value === null) { localStorage.removeItem("bayleaf " + key); } else { localStorage.setItem("bayleaf " + key, JSON.stringify(value)); }
      return true;
    } catch (refused) { return false; }
  }
  /** An interface sentence with its words in braces filled in. @param {string} key @param {Object<string, any>} [values] @param {Object<string, string>} [words] */
  function say(key, values, words = (B.guide || {}).words || {}) {
    let text = words[key] || key;
    for (const name in values) { text = text.replace("{" + name + "}", () => values[name]); }
    return text;
  }
  /**
   * Makes an element. @param {string} tag "button.go" has the class go
   * @param {any[]} inside texts and elements, also in lists; what is empty is left out. The first may be an object of
   *   attributes instead: functions are listeners, true stands for an empty attribute
   */
  function make(tag, ...inside) {
    const [name, ...classes] = tag.split("."), element = /** @type {any} */ (doc.createElement(name)), first = inside[0];
    if (classes.length) { element.className = classes.join(" "); }
    if (name === "button") { element.type = name; }
    if (first && first.constructor === Object) {
      inside.shift();
      for (const trait in first) {
        const value = first[trait];
        if (typeof value === "function") { element.addEventListener(trait, value); } else if (value || value === 0) { element.setAttribute(trait, value === true ? "" : value); }
      }
    }
    element.append(...inside.flat(2).filter((part) => part || part === 0));
    return element;
  }
  /** A term and what holds for it, in a list of facts. @param {string} term @param {any} says */
  const fact = (term, says) => make("div", make("dt", say(term)), make("dd", says));
  Object.assign(B, { each, kept, keep, say, make, fact });

  // A stacked table is laid out as blocks; some engines then forget that it is a table.
  [["", "table"], [" thead, table.stack tbody", "rowgroup"], [" tr", "row"], [" td", "cell"], [" th[scope=col]", "columnheader"], [" th[scope=row]", "rowheader"]].forEach((pair) => {
    each("table.stack" + pair[0], (element) => { element.setAttribute("role", pair[1]); });
  });

  each("[data-age]", (line) => {
    var data = line.dataset, days = Math.floor((Date.now() - Date.parse(data.date)) / 86400000);
    if (!(days >= 0)) { return; }
    var late = +data.review > 0 && days > +data.review;
    line.textContent = data.says.replace("{days}", days) + (late ? " " + data.late : "");
    line.classList.toggle("age-late", late);
  });

  // Rows stand open where there is no script. Here the first does, and the one that a link leads to; in the one-file guide
  // the page stands before its place.
  each(".folds > details:not(#x1)", (row) => { row.open = false; });
  function unfold() {
    const row = /** @type {any} */ (doc.getElementById(location.hash.replace(/.*[#:]/, "")));
    if (row && row.matches("details")) {
      row.open = true;
      row.scrollIntoView();
    }
  }
  addEventListener("hashchange", unfold);
  unfold();
  // What is folded is printed too, also by a browser whose style cannot reach into it.
  const /** @type {any[]} */ shut = [];
  addEventListener("beforeprint", () => { each("main details:not([open])", (row) => { row.open = shut.push(row); }); });
  addEventListener("afterprint", () => { shut.splice(0).forEach((row) => { row.open = false; }); });

  each("[data-print]", (button) => {
    button.hidden = false;
    button.addEventListener("click", () => { print(); });
  });

  // The choice overrides what the device prefers, on this device only.
  var look = kept("look");
  if (look) { root.dataset.look = look; }
  each("[data-dim]", (button) => {
    button.hidden = false;
    button.addEventListener("click", () => {
      var now = root.dataset.look || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
      root.dataset.look = now === "dark" ? "light" : "dark";
      keep("look", root.dataset.look);
    });
  });
})();
