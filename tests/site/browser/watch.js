// Stands in front of a page's own scripts and notes what goes wrong, for engines whose drivers do not tell.
(function () {
  "use strict";
  function note(what) {
    var said = JSON.parse(sessionStorage.getItem("watched") || "[]");
    said.push(String(what));
    sessionStorage.setItem("watched", JSON.stringify(said));
  }
  addEventListener("error", function (event) {
    var from = event.target && (event.target.src || event.target.href);
    note(from ? "did not load: asked for " + from : "console: " + event.message);
  }, true);
  addEventListener("unhandledrejection", function (event) { note("console: " + event.reason); });
  document.addEventListener("securitypolicyviolation", function (event) { note("console: refused " + event.violatedDirective + " " + event.blockedURI); });
  ["error", "warn"].forEach(function (level) {
    var usual = console[level];
    console[level] = function () { note("console: " + Array.prototype.join.call(arguments, " ")); usual.apply(console, arguments); };
  });
  new PerformanceObserver(function (list) {
    list.getEntries().forEach(function (entry) { if (entry.name.indexOf("file:") !== 0) note("asked for " + entry.name); });
  }).observe({ type: "resource", buffered: true });
})();
