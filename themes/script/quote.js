// The quote sheet: minutes times a rate that is typed on this device and stays there.
(() => {
  "use strict";
  var form = /** @type {any} */ (doc.querySelector("[data-rate]"));
  if (!form) { return; }
  var rate = form.querySelector("#rate"), currency = form.querySelector("#currency"), says = /** @type {any} */ (doc.querySelector("[data-rate-says]"));
  var old = kept("rate") || {};
  rate.value = old.rate || "";
  currency.value = old.currency || "";
  /** @param {boolean} silent */
  function costs(silent) {
    var price = parseFloat(rate.value.replace(/\s/g, "").replace(",", ".")), last = "";
    each("[data-min]", (/** @type {any} */ cell) => {
      var cost = cell.querySelector(".cost");
      if (cost) { cell.removeChild(cost); }
      if (!(price > 0 && price < 1e6)) { return; }
      var amount = (cell.dataset.min * price / 60).toFixed(2) + (currency.value ? "\u00a0" + currency.value : "");
      if (cell.closest(".all")) { last += (last ? ", " : "") + amount; }
      cell.appendChild(make("b.cost", " " + amount));
    });
    says.textContent = silent ? "" : last;
    keep("rate", { rate: rate.value, currency: currency.value });
  }
  form.hidden = false;
  form.addEventListener("input", () => { costs(false); });
  form.addEventListener("submit", (/** @type {any} */ event) => { event.preventDefault(); });
  costs(true);
})();
