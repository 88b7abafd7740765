// Job records: what was checked and found on one job. They stay on this device until they are printed, saved as a table
// (which the guide's `results/` takes as it is), or deleted.
(() => {
  "use strict";
  if (!guide) { return; }
  const KEY = "records", HOW_SURE = /** @type {Object<string, string>} */ ({ shown: "outcome_shown", inferred: "outcome_inferred", unconfirmed: "outcome_unconfirmed" });
  /** The columns of the table, in their order. */
  const COLUMNS = ["date", "machine", "variant", "serial", "edition", "fault", "cause", "outcome", "cured", "minutes", "name", "answers", "guide", "readings"];
  /** Records that could not be kept. */
  let shown = /** @type {any[]} */ ([]);

  /** @returns {any[]} */
  function all() {
    const records = kept(KEY);
    return Array.isArray(records) ? records : [];
  }

  // ---- the table ----

  /** A cell after RFC 4180 (from memory); line ends inside would make rows hard to read for people. @param {any} value */
  function cell(value) {
    const text = String(value === null || value === undefined ? "" : value).replace(/\s+/g, " ").trim();
    return /[",]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
  }
  /** @param {string[][]} pairs */
  const joined = (pairs) => (pairs || []).map((pair) => pair.join(": ").replace(/;/g, ",")).join("; ");
  /** @param {any} record */
  const cells = (record) => COLUMNS.map((name) => {
    const value = record[name];
    if (name === "answers" || name === "readings") { return joined(value); }
    return name === "cured" && value !== null ? value ? "yes" : "no" : value;
  });
  /** @param {any[]} records */
  const csv = (records) => [COLUMNS, ...records.map(cells)].map((row) => row.map(cell).join() + "\r\n").join("");
  /** @param {any[]} records */
  function save(records) {
    const link = make("a", { href: URL.createObjectURL(new Blob([csv(records)], { type: "text/csv" })), download: "jobs-" + today() + ".csv" });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  }

  // ---- one sheet of paper ----

  /** @param {any} record */
  function print(record) {
    const sheet = make("div", { id: "one-sheet" }, sheetOf(record)), { body } = doc;
    body.append(sheet);
    body.classList.add("only-sheet");
    // Some browsers go on with the script before they have printed.
    onafterprint = () => { body.classList.remove("only-sheet"); sheet.remove(); };
    window.print();
  }
  /** @param {string} term @param {any} value */
  const row = (term, value) => value && fact(term, value);
  /** A record in words. @param {any} record */
  function sheetOf({ title, date, machine, serial, edition, guide, name, minutes, causeSays, outcome, cured, told, readings }) {
    const invented = doc.querySelector(".invented");
    return make("article.record", make("h3", title), invented && invented.cloneNode(true), make("dl.facts",
      row("day", date), row("machine", machine), row("serial", serial), row("edition", edition + " \u00b7 " + guide), row("name", name),
      row("took", minutes + "\u00a0" + say("min")), row("cause", causeSays || say("none_found")), row("how_sure", say(HOW_SURE[outcome])),
      row("did_it_cure", cured !== null && say(cured ? "yes" : "no"))),
    make("ol", told.map((/** @type {string[]} */ [asked, said]) => make("li", asked + " ", make("b", said)))),
    readings.length > 0 && make("p", make("b", say("readings_taken") + ": "), joined(readings)));
  }

  // ---- the form at the end of a walk ----

  function today() {
    const now = new Date(), two = (/** @type {number} */ number) => String(number).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }
  /** @param {string} key @param {any} element */
  const field = (key, element) => make("p.field", make("label", { for: element.id }, say(key)), element);
  /** The variant a serial number belongs to: letters alike, number within the range. @param {string} serial */
  function variantOf(serial) {
    const split = /^(.*?)(\d+)$/, own = split.exec(serial.trim().toUpperCase());
    const found = guide.variants.find((/** @type {any} */ variant) => variant.serials.some((/** @type {string[]} */ range) => {
      const first = split.exec(range[0].toUpperCase()), last = split.exec(range[1]);
      return own && first && own[1] === first[1] && +own[2] >= +first[2] && (!last || +own[2] <= +last[2]);
    }));
    return found ? found.id : "";
  }
  /**
   * Puts the form of a record into a room. @param {any} room @param {any} job what the walk knows of the job
   * @param {() => void} done called once the record is kept
   */
  function form(room, { causes, outcome, begun, ...job }, done) {
    const hint = make("small", { role: "status" }), says = make("div", { role: "status" }), here = make("div", { "data-records": true });
    const serial = make("input", { id: "record-serial", autocomplete: "off", autocapitalize: "characters", input: () => {
      const found = variantOf(serial.value);
      if (found) { variant.value = found; }
      hint.textContent = serial.value && !found && guide.variants.length ? say("serial_unknown") : "";
    } });
    const variant = choiceOf([["", "\u2013"], ...guide.variants.map((/** @type {any} */ { id, name }) => [id, name])], { id: "record-variant" });
    variant.value = job.variant;
    const name = make("input", { id: "record-name", autocomplete: "name", value: kept("name") }), date = make("input", { id: "record-date", type: "date", value: today() });
    const clock = begun ? Math.round((Date.now() - begun) / 60000) : 0, minutes = make("input", { id: "record-minutes", inputmode: "numeric", value: job.minutes });
    const cause = causes.length > 1 && choiceOf(causes.map((/** @type {any} */ { id, says }) => [id, says]), { id: "record-cause" });
    function record() {
      const typed = Math.round(parseFloat(minutes.value.replace(",", ".")));
      const chosen = causes.find((/** @type {any} */ each) => !cause || each.id === cause.value), named = guide.variants.find((/** @type {any} */ each) => each.id === variant.value);
      return {
        ...job, id: Date.now().toString(36) + Math.random().toString(36).slice(2, 6), date: /^\d{4}-\d\d-\d\d$/.test(date.value) ? date.value : today(),
        machine: named ? named.name : guide.title, variant: variant.value, serial: serial.value.trim(), edition: guide.edition, guide: guide.hash,
        cause: chosen ? chosen.id : "", causeSays: chosen ? chosen.says : "", outcome: chosen ? outcome : "unconfirmed",
        minutes: typed >= 0 ? typed : job.minutes, name: name.value.trim()
      };
    }
    /** @param {any} event */
    function submit(event) {
      const made = record(), isKept = keep(KEY, [...all(), made]);
      event.preventDefault();
      keep("name", made.name || null);
      if (!isKept) { shown.push(made); }
      event.target.hidden = true;
      says.textContent = say(isKept ? "record_kept" : "record_not_kept");
      entries(here, isKept ? all() : shown);
      if (isKept) { done(); }
    }
    room.append(make("h3", { id: "record-h" }, say("record")), make("p", say("record_says")), make("form.record-form", { submit },
      field("serial", serial), hint, field("variant", variant), cause && field("cause", cause), field("day", date), field("minutes_taken", minutes),
      clock > 0 && clock < 1440 && make("small", say("by_the_clock", { minutes: clock })), field("name_optional", name),
      make("button", { id: "record-keep", type: "submit" }, say("keep_record"))), says, here);
  }

  // ---- the list ----

  /** @param {any} room @param {any[]} records */
  function entries(room, records) {
    if (!records.length) { room.replaceChildren(make("p", say("no_records"))); return; }
    room.replaceChildren(...records.map((record) => make("details.kept", make("summary", record.date + " \u00b7 " + (record.serial || record.machine) + " \u00b7 " + record.title), sheetOf(record), make("p.walk-ways",
      make("button", { click: () => print(record) }, say("print_sheet")), " ", make("button.plain-button", { click: () => remove(room, record) }, say("delete"))))).reverse(),
    make("p.walk-ways", make("button", { "data-save": true, click: () => save(records) }, say("save_table"))),
    make("details", make("summary", say("table_text")), make("p", say("table_says")), make("textarea", { rows: 6, readonly: true, "aria-label": say("table_text"), "data-csv": true }, csv(records))));
  }
  /** @param {any} room @param {any} record */
  function remove(room, record) {
    if (!confirm(say("delete_sure"))) { return; }
    shown = shown.filter(({ id }) => id !== record.id);
    keep(KEY, all().filter(({ id }) => id !== record.id));
    entries(room, [...all(), ...shown]);
    const next = room.querySelector("summary") || room;
    next.tabIndex = next === room ? -1 : 0;
    next.focus();
  }

  /** @type {any} */ (Bayleaf).record = { form, csv, sheet: sheetOf };
  each("[data-records]", (/** @type {any} */ room) => entries(room, all()));
})();
