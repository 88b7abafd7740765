// What every page can use, and small comforts for a page that works without them: tables that keep their meaning when
// stacked, the age of the copy, printing, a dark bay. Nothing is fetched and nothing leaves the device.
var Bayleaf = Bayleaf || {};
(function () {
  "use strict";
  var B = /** @type {any} */ (Bayleaf), doc = document, root = doc.documentElement;

  /** Does something with every element of a selector. @param {string} selector @param {(element: any) => void} act @param {any} [within] */
  function each(selector, act, within) {
    Array.prototype.forEach.call((within || doc).querySelectorAll(selector), act);
  }
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
  /** An interface sentence with its words in braces filled in. @param {string} key @param {Object<string, any>} [values] */
  function say(key, values) {
    var text = ((B.guide || {}).words || {})[key] || key;
    for (var name in values) { text = text.replace("{" + name + "}", values[name]); }
    return text;
  }
  /**
   * Makes an element. @param {string} tag "button.go" has the class go
   * @param {Object<string, any> | null} traits attributes; functions are listeners, true stands for an empty attribute
   * @param {any[]} inside texts and elements; what is empty is left out
   */
  function make(tag, traits, inside) {
    var parts = tag.split("."), element = /** @type {any} */ (doc.createElement(parts[0])), classes = parts.slice(1).join(" ");
    if (classes) { element.className = classes; }
    if (element.localName === "button") { element.type = "button"; }
    for (var name in traits) {
      var trait = traits[name];
      if (typeof trait === "function") { element.addEventListener(name, trait); } else if (trait || trait === 0) { element.setAttribute(name, trait === true ? "" : trait); }
    }
    /** @type {any[]} */ ([]).concat(inside || []).forEach(function (part) {
      if (part || part === 0) { element.appendChild(typeof part === "object" ? part : doc.createTextNode(part)); }
    });
    return element;
  }
  B.each = each;
  B.kept = kept;
  B.keep = keep;
  B.say = say;
  B.make = make;

  // A stacked table is laid out as blocks; some engines then forget that it is a table.
  [["", "table"], [" thead, table.stack tbody", "rowgroup"], [" tr", "row"], [" td", "cell"], [" th[scope=col]", "columnheader"], [" th[scope=row]", "rowheader"]].forEach(function (pair) {
    each("table.stack" + pair[0], function (element) { element.setAttribute("role", pair[1]); });
  });

  each("[data-age]", function (line) {
    var data = line.dataset, days = Math.floor((Date.now() - Date.parse(data.date)) / 86400000);
    if (!(days >= 0)) { return; }
    var late = +data.review > 0 && days > +data.review;
    line.textContent = data.says.replace("{days}", days) + (late ? " " + data.late : "");
    line.classList.toggle("age-late", late);
  });

  each("[data-print]", function (button) {
    button.hidden = false;
    button.addEventListener("click", function () { print(); });
  });

  // The choice overrides what the device prefers, on this device only.
  var look = kept("look");
  if (look) { root.dataset.look = look; }
  each("[data-dim]", function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var now = root.dataset.look || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
      root.dataset.look = now === "dark" ? "light" : "dark";
      keep("look", root.dataset.look);
    });
  });
})();
