// Job records: what was checked and found on one job. They stay on this device until they are printed, saved as a table
// (which the guide's `results/` takes as it is), or deleted.
(() => {
  "use strict";
  var B = /** @type {any} */ (Bayleaf), say = B.say, make = B.make, doc = document, guide = B.guide;
  if (!guide) { return; }
  var KEY = "records", shown = /** @type {any[]} */ ([]);
  var HOW_SURE = /** @type {Object<string, string>} */ ({ shown: "outcome_shown", inferred: "outcome_inferred", unconfirmed: "outcome_unconfirmed" });
  /** The columns of the table, in their order. */
  var COLUMNS = ["date", "machine", "variant", "serial", "edition", "fault", "cause", "outcome", "cured", "minutes", "name", "answers", "guide", "readings"];

  function all() { var records = B.kept(KEY); return Array.isArray(records) ? records : []; }

  // ---- the table ----

  /** A cell after RFC 4180 (from memory); line ends inside would make rows hard to read for people. @param {any} value */
  function cell(value) {
    var text = String(value === null || value === undefined ? "" : value).replace(/\s+/g, " ").trim();
    return /[",]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text;
  }
  /** @param {any[]} pairs */
  const joined = (pairs) => (pairs || []).map((/** @type {any} */ pair) => pair.join(": ").replace(/;/g, ",")).join("; ");
  /** @param {any[]} records */
  const csv = (records) => [COLUMNS].concat(records.map((/** @type {any} */ record) => COLUMNS.map((name) => {
        if (name === "answers" || name === "readings") { return joined(record[name]); }
        return name === "cured" ? record.cured === null ? "" : record.cured ? "yes" : "no" : record[name];
      }))).map((row) => row.map(cell).join(",") + "\r\n").join("");
  /** @param {any[]} records */
  function save(records) {
    var link = make("a", { href: URL.createObjectURL(new Blob([csv(records)], { type: "text/csv" })), download: "jobs-" + today() + ".csv" });
    link.click();
    setTimeout(() => { URL.revokeObjectURL(link.href); }, 1000);
  }

  // ---- one sheet of paper ----

  /** @param {any} record */
  function print(record) {
    var sheet = make("div", { id: "one-sheet" }, sheetOf(record));
    doc.body.appendChild(sheet);
    doc.body.classList.add("only-sheet");
    window.print();
    doc.body.classList.remove("only-sheet");
    doc.body.removeChild(sheet);
  }
  /** @param {string} term @param {any} value */
  const row = (term, value) => value || value === 0 ? make("div", make("dt", say(term)), make("dd", value)) : null;
  /** A record in words. @param {any} record */
  function sheetOf(record) {
    var invented = doc.querySelector(".invented");
    return make("article.record", make("h3", record.title), invented && invented.cloneNode(true), make("dl.facts", row("day", record.date), row("machine", record.machine), row("serial", record.serial), row("edition", record.edition + " \u00b7 " + record.guide), row("name", record.name), row("took", record.minutes + "\u00a0" + say("min")), row("cause", record.causeSays || say("none_found")), row("how_sure", say(HOW_SURE[record.outcome])), row("did_it_cure", record.cured === null ? "" : say(record.cured ? "yes" : "no"))), make("ol", record.told.map((/** @type {any} */ told) => make("li", told[0] + " ", make("b", told[1])))), record.readings.length ? make("p", make("b", say("readings_taken") + ": "), joined(record.readings)) : null);
  }

  // ---- the form at the end of a walk ----

  function today() {
    var now = new Date(), two = (/** @type {number} */ number) => (number < 10 ? "0" : "") + number;
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }
  /** @param {string} id @param {string} key @param {any} element */
  const field = (id, key, element) => make("p.field", make("label", { "for": id }, say(key)), element);
  /** @param {string} id @param {string[][]} options @param {string} chosen */
  const choice = (id, options, chosen) => make("select", { id: id }, options.map((/** @type {any} */ option) => {
      var made = make("option", { selected: option[0] === chosen }, option[1]);
      made.value = option[0];
      return made;
    }));
  /** The variant a serial number belongs to: letters alike, number within the range. @param {string} serial */
  function variantOf(serial) {
    var split = /^(.*?)(\d+)$/, own = split.exec(serial.trim().toUpperCase()), found = "";
    guide.variants.forEach((/** @type {any} */ variant) => {
      variant.serials.forEach((/** @type {any} */ range) => {
        var first = split.exec(range[0].toUpperCase()), last = split.exec(range[1]);
        if (own && first && own[1] === first[1] && +own[2] >= +first[2] && (!last || +own[2] <= +last[2])) { found = variant.id; }
      });
    });
    return found;
  }
  /**
   * Puts the form of a record into a room. @param {any} room @param {any} job what the walk knows of the job
   * @param {() => void} done called once the record is kept
   */
  function form(room, job, done) {
    var variants = guide.variants.map((/** @type {any} */ variant) => [variant.id, variant.name]);
    var serial = make("input", { id: "record-serial", autocomplete: "off", autocapitalize: "characters" }), variant = choice("record-variant", [["", "\u2013"]].concat(variants), "");
    var name = make("input", { id: "record-name", autocomplete: "name", value: B.kept("name") || "" }), date = make("input", { id: "record-date", type: "date", value: today() });
    var clock = job.begun ? Math.round((Date.now() - job.begun) / 60000) : 0;
    var minutes = make("input", { id: "record-minutes", inputmode: "numeric", value: String(job.minutes) });
    var cause = job.causes.length > 1 ? choice("record-cause", job.causes.map((/** @type {any} */ each) => [each.id, each.says]), job.causes[0].id) : null;
    var hint = make("small", { role: "status" }), says = make("div", { role: "status" });
    serial.addEventListener("input", () => {
      var found = variantOf(serial.value);
      if (found) { variant.value = found; }
      hint.textContent = serial.value && !found && variants.length ? say("serial_unknown") : "";
    });
    function record() {
      var chosen = job.causes.filter((/** @type {any} */ each) => !cause || each.id === cause.value)[0], named = guide.variants.filter((/** @type {any} */ each) => each.id === variant.value)[0];
      return {
        id: Date.now().toString(36) + Math.random().toString(36).slice(2, 6), title: job.title, date: /^\d{4}-\d\d-\d\d$/.test(date.value) ? date.value : today(),
        machine: named ? named.name : guide.title, variant: variant.value, serial: serial.value.trim(), edition: guide.edition, guide: guide.hash, fault: job.fault,
        cause: chosen ? chosen.id : "", causeSays: chosen ? chosen.says : "", outcome: chosen ? job.outcome : "unconfirmed", cured: job.cured,
        minutes: Math.max(0, Math.round(+minutes.value.replace(",", ".")) || 0), name: name.value.trim(), answers: job.answers, told: job.told, readings: job.readings, moves: job.moves
      };
    }
    room.appendChild(make("h3", { id: "record-h" }, say("record")));
    room.appendChild(make("p", say("record_says")));
    room.appendChild(make("form.record-form", { submit: (/** @type {any} */ event) => {
      event.preventDefault();
      var kept = record(), isKept = B.keep(KEY, all().concat([kept]));
      B.keep("name", kept.name || null);
      if (!isKept) { shown.push(kept); }
      event.target.hidden = true;
      says.textContent = say(isKept ? "record_kept" : "record_not_kept");
      entries(here, isKept ? all() : shown);
      if (isKept) { done(); }
    } }, field("record-serial", "serial", serial), hint, field("record-variant", "variant", variant), cause && field("record-cause", "cause", cause), field("record-date", "day", date), field("record-minutes", "minutes_taken", minutes), clock > 0 && clock < 1440 ? make("small", say("by_the_clock", { minutes: clock })) : null, field("record-name", "name_optional", name), make("button", { id: "record-keep", type: "submit" }, say("keep_record"))));
    var here = make("div", { "data-records": "" });
    room.appendChild(says);
    room.appendChild(here);
  }

  // ---- the list ----

  /** @param {any} room @param {any[]} records */
  function entries(room, records) {
    room.textContent = "";
    if (!records.length) { room.appendChild(make("p", say("no_records"))); return; }
    records.slice().reverse().forEach((/** @type {any} */ record) => {
      room.appendChild(make("details.kept", make("summary", record.date + " \u00b7 " + (record.serial || record.machine) + " \u00b7 " + record.title), sheetOf(record), make("p.walk-ways", make("button", { click: () => { print(record); } }, say("print_sheet")), " ", make("button.plain-button", { click: () => { remove(room, record); } }, say("delete")))));
    });
    room.appendChild(make("p.walk-ways", make("button", { "data-save": true, click: () => { save(records); } }, say("save_table"))));
    room.appendChild(make("details", make("summary", say("table_text")), make("p", say("table_says")), make("textarea", { rows: 6, readonly: true, "aria-label": say("table_text"), "data-csv": true }, csv(records))));
  }
  /** @param {any} room @param {any} record */
  function remove(room, record) {
    if (!confirm(say("delete_sure"))) { return; }
    shown = shown.filter((each) => each.id !== record.id);
    B.keep(KEY, all().filter((each) => each.id !== record.id));
    entries(room, all().concat(shown));
    var next = room.querySelector("summary") || room;
    next.tabIndex = next === room ? -1 : 0;
    next.focus();
  }

  B.record = { form: form, csv: csv, sheet: sheetOf };
  B.each("[data-records]", (/** @type {any} */ room) => { entries(room, all()); });
})();
