// The quote sheet: minutes times a rate that is typed on this device and stays there.
(() => {
  "use strict";
  var form = /** @type {any} */ (doc.querySelector("[data-rate]"));
  if (!form) { return; }
  var rate = form.querySelector("#rate"), currency = form.querySelector("#currency"), says = /** @type {any} */ (doc.querySelector("[data-rate-says]"));
  var old = kept("rate") || {};
  rate.value = old.rate || "";
  currency.value = old.currency || "";
  function costs() {
    // A comma before three digits may part thousands.
    var typed = rate.value.replace(/\s/g, ""), price = /^\d{1,6}([.,]\d{1,4})?$/.test(typed) && !/,\d{3}$/.test(typed) ? +typed.replace(",", ".") : 0;
    var wrong = typed !== "" && !price, last = "", unit = currency.value ? "\u00a0" + currency.value : "";
    each("[data-min]", (/** @type {any} */ cell) => {
      var cost = cell.querySelector(".cost");
      if (cost) { cell.removeChild(cost); }
      if (!price) { return; }
      var amount = (cell.dataset.min * price / 60).toFixed(2) + unit;
      if (cell.closest(".all")) { last += (last ? ", " : "") + amount; }
      cell.appendChild(make("b.cost", " " + amount));
    });
    rate.setAttribute("aria-invalid", wrong);
    says.replaceChildren(wrong ? make("b", say("rate_wrong")) : price ? say("at_rate", { rate: price.toFixed(2) + unit, sums: last }) : "");
    if (!wrong) { keep("rate", { rate: rate.value, currency: currency.value }); }
  }
  form.hidden = false;
  form.addEventListener("input", costs);
  form.addEventListener("submit", (/** @type {any} */ event) => { event.preventDefault(); });
  costs();
})();
