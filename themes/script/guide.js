// Small comforts for a page that works without them: ticks that stay, tables that keep their meaning when stacked,
// the age of the copy, printing, a dark bay. Nothing is fetched and nothing leaves the device.
(function () {
  "use strict";
  var doc = document;
  function each(selector, act) {
    Array.prototype.forEach.call(doc.querySelectorAll(selector), act);
  }
  // Storage may be refused to local files, so every use is guarded.
  function kept(key) {
    try { return localStorage.getItem(key); } catch (refused) { return null; }
  }
  function keep(key, value) {
    try {
      if (value === null) { localStorage.removeItem(key); } else { localStorage.setItem(key, value); }
    } catch (refused) { /* the page works without it */ }
  }

  // A stacked table is laid out as blocks; some engines then forget that it is a table.
  function role(name) {
    return function (element) { element.setAttribute("role", name); };
  }
  each("table.stack", role("table"));
  each("table.stack thead, table.stack tbody", role("rowgroup"));
  each("table.stack tr", role("row"));
  each("table.stack td", role("cell"));
  each("table.stack th[scope=col]", role("columnheader"));
  each("table.stack th[scope=row]", role("rowheader"));

  // Ticks belong to one page of one edition.
  var time = doc.querySelector(".block time");
  var place = "bayleaf " + (time ? time.dateTime : "") + " " + location.pathname + " ";
  each("[data-tick]", function (box) {
    box.checked = kept(place + box.id) === "1";
    box.addEventListener("change", function () { keep(place + box.id, box.checked ? "1" : null); });
  });

  each("[data-age]", function (line) {
    var day = Date.parse(line.getAttribute("data-date"));
    var days = Math.floor((Date.now() - day) / 86400000);
    if (!(days >= 0)) { return; }
    var text = line.getAttribute("data-says").replace("{days}", String(days));
    var review = Number(line.getAttribute("data-review"));
    if (review > 0 && days > review) {
      text += " " + line.getAttribute("data-late");
      line.className += " age-late";
    }
    line.textContent = text;
  });

  each("[data-print]", function (button) {
    button.hidden = false;
    button.addEventListener("click", function () { window.print(); });
  });

  // The choice overrides what the device prefers, on this device only.
  var root = doc.documentElement;
  function look(name) {
    if (name) { root.setAttribute("data-look", name); }
  }
  look(kept("bayleaf look"));
  each("[data-dim]", function (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var dark = root.getAttribute("data-look") || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
      var next = dark === "dark" ? "light" : "dark";
      look(next);
      keep("bayleaf look", next);
    });
  });
})();
