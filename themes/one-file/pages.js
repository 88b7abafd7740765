// The whole guide in one file: shows one page at a time, as if it had been loaded from a folder. A page gets its own
// ids back, the frame around it is put up anew, and the scripts it asks for are run again, so that a script written for
// a page of its own needs to know nothing of the other pages. Without this script all pages stand below each other.
(function () {
  "use strict";
  var doc = document, main = /** @type {HTMLElement} */ (doc.getElementById("main")), FIRST = "index";
  /** @type {Object<string, HTMLElement>} */ var pages = {};
  /** @type {string[]} */ var scripts = [];
  /** The frame as it stands in the file, and as it stands now. @type {Element[]} */ var frame = [], /** @type {Element[]} */ standing = [];
  var now = "";
  /** What the scripts of the page that shows listen to beyond it: taken off when the next page comes. @type {[any, any[]][]} */ var heard = [];

  /** @param {any} thing the window or the document */
  function remember(thing) {
    var add = thing.addEventListener;
    thing.addEventListener = function () {
      heard.push([thing, Array.prototype.slice.call(arguments)]);
      return add.apply(thing, arguments);
    };
  }

  /** @param {string} selector @param {(element: any) => void} act @param {any} [within] */
  function each(selector, act, within) { Array.prototype.forEach.call((within || doc).querySelectorAll(selector), act); }

  /** Gives a page its own ids and links back. @param {HTMLElement} page @param {string} name */
  function own(page, name) {
    var start = name + ":", LISTS = ["for", "list", "headers", "aria-labelledby", "aria-describedby", "aria-controls", "aria-owns", "aria-details"];
    each("*", function (element) {
      Array.prototype.forEach.call(element.attributes, function (attribute) {
        var value = attribute.value;
        if (value.indexOf(start) < 0) { return; }
        if (attribute.name === "id") { attribute.value = value.slice(start.length); }
        else if (/^(xlink:)?href$/.test(attribute.name)) { attribute.value = value.replace("#" + start, "#"); }
        else if (LISTS.indexOf(attribute.name) >= 0) { attribute.value = value.split(" ").map(function (id) { return id.replace(start, ""); }).join(" "); }
        else { attribute.value = value.replace("url(#" + start, "url(#"); }
      });
    }, page);
  }

  /** Runs a script as a page would that names it. @param {string} number */
  function run(number) {
    var script = doc.createElement("script");
    script.textContent = scripts[Number(number)];
    doc.body.appendChild(script);
    script.remove();
  }

  /** @param {string} name */
  function show(name) {
    var page = /** @type {HTMLElement} */ (pages[name].cloneNode(true)), cell = page.querySelector("template");
    now = name;
    heard.splice(0).forEach(function (pair) { pair[0].removeEventListener.apply(pair[0], pair[1]); });
    own(page, name);
    page.removeAttribute("id");
    doc.body.className = page.className.replace("page ", "");
    doc.body.setAttribute("data-page", name + ".html");
    page.className = "page now";
    doc.title = page.getAttribute("data-title") || doc.title;
    frame.forEach(function (part, n) {
      var fresh = /** @type {Element} */ (part.cloneNode(true));
      doc.body.replaceChild(fresh, standing[n]);
      standing[n] = fresh;
    });
    var place = doc.querySelector(".cell-kind");
    if (place && cell) { place.textContent = ""; place.appendChild(cell.content.cloneNode(true)); }
    main.textContent = "";
    main.appendChild(page);
    (page.getAttribute("data-scripts") || "").split(" ").filter(Boolean).forEach(run);
  }

  /** @param {string} id */
  function goTo(id) {
    each(".target", function (element) { element.classList.remove("target"); });
    var place = id && doc.getElementById(id);
    if (place) { place.classList.add("target"); place.scrollIntoView(); } else { scrollTo(0, 0); }
    if (!place) { main.focus({ preventScroll: true }); }
  }

  /** Shows what the address asks for: a page, a place in a page, or a place in the page that is there. */
  function follow() {
    var asked = location.hash.slice(1);
    try { asked = decodeURIComponent(asked); } catch (odd) { /* taken as it is */ }
    var colon = asked.indexOf(":"), name = colon < 0 ? asked : asked.slice(0, colon), id = colon < 0 ? "" : asked.slice(colon + 1);
    if (pages[name]) {
      if (name !== now) { show(name); }
      goTo(id);
    } else if (now && asked) {
      goTo(asked);
      try { history.replaceState(history.state, "", "#" + now + ":" + asked); } catch (refused) { /* the place is kept all the same */ }
    } else {
      show(FIRST);
    }
  }

  function begin() {
    each("main > .page", function (page) { pages[page.id] = page; page.remove(); });
    each("script[data-held]", function (script) { scripts.push(script.textContent); script.remove(); });
    Array.prototype.forEach.call(doc.body.children, function (part) {
      if (part !== main && part.localName !== "script") { frame.push(part.cloneNode(true)); standing.push(part); }
    });
    addEventListener("hashchange", follow);
    // Links that scripts make lead to files of a folder; here they lead to pages of this file.
    addEventListener("click", function (event) {
      var from = /** @type {Element} */ (event.target), link = from.closest && from.closest("a[href]");
      var to = link && /^(?:\.\.\/)*([^#?:]+)\.html(?:#(.*))?$/.exec(link.getAttribute("href") || "");
      if (!to || !pages[to[1]]) { return; }
      event.preventDefault();
      location.hash = "#" + to[1] + (to[2] ? ":" + to[2] : "");
    });
    remember(window);
    remember(doc);
    follow();
  }
  if (doc.readyState === "loading") { doc.addEventListener("DOMContentLoaded", begin); } else { begin(); }
})();
