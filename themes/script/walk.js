// The walk: one check at a time, made from the sections that stand in the page. It plans again after every move
// (`plan`), keeps its place on this device, and ends at a repair or at whom to ask.
(() => {
  "use strict";
  const { walks, reading, record } = /** @type {any} */ (Bayleaf);
  const box = /** @type {any} */ (doc.getElementById("walk")), fault = box && box.dataset.fault, problem = box && (walks || {})[fault];
  if (!problem || !guide) { return; }

  /** A `PlanMove`, or that the complaint is confirmed or not, or that no answer fits: {kind, check, answer, repair, cured}. @typedef {any} Move */
  const WHY = /** @type {Object<string, string>} */ ({ stuck: "why_stuck", none: "why_none", contradiction: "why_contradiction", skipped: "why_skipped" });
  /** Milliseconds that the page may be busy at a stretch. */
  const STRETCH = 40;
  const key = "walk " + guide.hash + " " + fault, old = kept(key) || {};
  let moves = /** @type {Move[]} */ (Array.isArray(old.moves) ? old.moves : []);
  let begun = old.begun || 0, readings = old.readings || {}, variant = old.variant || "", editing = -1, busy = false, timer = /** @type {any} */ (0), leaving = /** @type {any} */ (0);
  const status = make("p.quiet", { role: "status" }), panel = make("div.walk-panel");
  const verify = /** @type {any} */ (doc.getElementById("verify")), [whole, sixtieths] = String(verify.dataset.minutes).split(":");
  /** Seconds that confirming takes, which stand in the page as "2.5" or "1:20" minutes. */
  const confirming = Math.round(+whole * 60) + (+sixtieths || 0);

  /** @param {string} selector @param {any} [within] @returns {any} */
  const one = (selector, within = doc) => within.querySelector(selector);
  /** @param {any} element */
  const text = (element) => element ? element.textContent.trim() : "";
  /** @param {any} element */
  function copy(element) {
    const twin = element.cloneNode(true);
    each("[id]", (inside) => inside.removeAttribute("id"), twin);
    // The walk knows what was opened on the way.
    each(".undo", (inside) => inside.remove(), twin);
    twin.removeAttribute("id");
    return twin;
  }
  /** A number of minutes as the pages write it. @param {number | string} number */
  const inMinutes = (number) => number + "\u00a0" + say("min");
  /** Seconds as the pages write minutes. @param {number} seconds */
  function minutes(seconds) {
    const rest = seconds % 60, whole = Math.floor(seconds / 60);
    return inMinutes(!rest ? whole : rest % 6 ? whole + ":" + String(rest).padStart(2, "0") : whole + "." + rest / 6);
  }
  /** @param {number} seconds */
  const about = (seconds) => inMinutes(Math.round(seconds / 60));

  // ---- what the page says ----

  /** @param {string} check */
  const source = (check) => one(`[data-check="${check}"]`);
  /** @param {string} check */
  const ask = (check) => text(one("h2, h3", source(check)));
  /** The answers of a check: words, and the bands of the reading each stands for. @param {string} check */
  const answers = (check) => [...source(check).querySelectorAll(".answers .answer:not(.answer-none), li[data-answer]")].map((link) => ({
    says: text(one("b", link)), bands: link.dataset.bands
  }));
  /** @param {string} cause */
  const causeSays = (cause) => text(one(`#cause-${cause} [data-says]`));
  /** @param {string[]} causes */
  const causesSay = (causes) => causes.map(causeSays).join(" " + say("or") + " ");
  /** @param {string} repair */
  const sheetOf = (repair) => one(`[data-repair="${repair}"]`);
  /** @param {string} repair */
  const repairSays = (repair) => text(one(".go", sheetOf(repair)));
  /** An element with every short caution in full, as it stands at the top of the page. @param {any} within */
  function inFull(within) {
    each(".brief", (brief) => {
      const hazard = text(one("b:not(.signal-word)", brief));
      each(".head .signal", (full) => { if (text(one("b", full)) === hazard) { brief.replaceWith(copy(full)); } });
    }, within);
    return within;
  }
  /** What a section says, but for its heading and what follows from its answers. @param {any} section */
  const bodyOf = (section) => make("div.walk-check", [...(one(".body", section) || section).children].filter((child) => !child.matches("h2, h3, .answers, .possible, .outcomes, .undo")).map(copy));

  // ---- moves ----

  /** @param {string} kind */
  const has = (kind) => moves.some((move) => move.kind === kind);
  /** @param {Move} move */
  const isAnswer = ({ kind }) => kind === "answer" || kind === "known";
  /** What comes next after some moves; null where that takes longer than a stretch: asked again, it is worked out further. @param {Move[]} list */
  const nextAfter = (list) => plan.next(problem, list, performance.now() + STRETCH);
  const spent = () => (has("confirmed") ? confirming : 0) + plan.spent(problem, moves);
  function remember() {
    keep(key, moves.length ? { moves, begun, readings, variant } : null);
    keep("walking", doc.body.dataset.page + "#walk");
  }
  function forget() {
    begun = 0;
    readings = {};
    variant = "";
    // What is ticked belongs to the job.
    forgetTicks();
  }
  /** Shows a place that was reached without a new entry among the browser's steps. @param {Move[]} list */
  function stand(list) {
    moves = list;
    editing = -1;
    remember();
    show(true);
  }
  /** Goes on with other moves; the way back in the browser leads to those before. @param {Move[]} list */
  function go(list) {
    // The screen is the last one still: what is touched meanwhile was not meant for the next.
    if (busy) { return; }
    begun = begun || Date.now();
    // A link inside the page has left an entry without moves.
    if (!history.state) { history.replaceState({ walk: moves, deep: 0 }, ""); }
    history.pushState({ walk: list, deep: ((history.state || {}).deep || 0) + 1 }, "");
    stand(list);
  }
  /** @param {Move} move */
  const add = (move) => go([...moves, move]);
  /** @param {number} at */
  const without = (at) => moves.filter((_, place) => place !== at);
  function back() {
    if (editing >= 0) { edit(-1); } else if ((history.state || {}).deep) {
      // A finger that taps twice must not leave the page. A browser keeps some fifty steps: behind the oldest it stays where it is.
      if (!leaving) { leaving = setTimeout(takeBack, 1000); history.back(); }
    } else { takeBack(); }
  }
  function takeBack() {
    leaving = 0;
    history.replaceState({ walk: moves.slice(0, -1), deep: 0 }, "");
    stand(moves.slice(0, -1));
  }
  /** @param {number} at */
  function edit(at) {
    editing = at;
    show(true);
  }
  addEventListener("popstate", ({ state }) => {
    clearTimeout(leaving);
    leaving = 0;
    if (state && Array.isArray(state.walk)) { stand(state.walk); }
  });

  // ---- pieces ----

  /** @param {string} says @param {() => void} click @param {string} id */
  const button = (says, click, id) => make("button.plain-button", { click, id }, says);
  /** @param {string} says @param {string} also @param {(event: any) => void} click @param {any} [traits] */
  const answerButton = (says, also, click, traits) => make("button.answer", { click, ...traits }, make("b", says), make("span", also));
  /** @param {string} [check] */
  const noneFits = (check) => answerButton(say("no_answer_fits"), say("escalation"), () => add({ kind: "stuck", check }), { id: "walk-stuck", class: "answer answer-none" });
  /** @param {any[]} buttons */
  const list = (buttons) => make("ul.answers", { "aria-label": say("answers") }, buttons.map((each) => make("li", each)));
  /** @param {string} kind @param {string} name @param {string} title @param {any[]} rows @param {any} [more] */
  const section = (kind, name, title, rows, more) => make("section." + kind, { "aria-labelledby": name }, make("h3", { id: name }, say(title)), make("ol", rows), more);

  /** What has to be done for a check from here, in the page's own words. @param {string} check @param {any} next */
  function checkBody(check, next) {
    const body = bodyOf(source(check)), own = problem.checks.find((/** @type {any} */ each) => each.id === check).seconds;
    // What is left of the time is for bringing the machine into its state.
    let change = next.seconds - own;
    (problem.extras || []).forEach((/** @type {any} */ extra, /** @type {number} */ at) => {
      const is = next.due.includes(at);
      if (is) { change -= extra.seconds; }
      each(`[data-${extra.safe ? "safe" : "open"}="${extra.id}"]`, (thing) => {
        one("i", thing).textContent = "(" + (is ? minutes(extra.seconds) : say("already_done")) + ")";
        thing.classList.toggle("done", !is);
      }, body);
    });
    each("[data-state] i", (note) => {
      const spot = note.parentNode, told = one(`[data-state=${spot.dataset.state}] small`);
      note.textContent = change > 0 ? "(" + minutes(change) + ")" : "";
      // On the page a state is explained where it begins; here it may begin elsewhere.
      if (told && change > 0 && !one("small", spot)) { spot.append(copy(told)); }
    }, body);
    each("[data-takes]", (takes) => { takes.textContent = minutes(own) + (next.seconds === own ? "" : ", " + say("in_all") + " " + minutes(next.seconds)); }, body);
    return body;
  }

  /** A calculator under the limit of a check, or a field to note the value; what it says is marked among the answers. @param {string} check @param {any} body @param {any[]} buttons */
  function value(check, body, buttons) {
    const last = [...body.querySelectorAll("[data-limit]")].pop(), inner = make("div"), summary = make("summary");
    if (!last) { return; }
    const data = reading && reading.find(last.dataset.limit);
    const head = () => { summary.textContent = say("value_read") + (readings[check] ? " (" + readings[check] + ")" : ""); };
    /** @param {any} value */
    function note(value) {
      if (value) { readings[check] = value; } else { delete readings[check]; }
      head();
      remember();
    }
    last.after(make("details", { id: "walk-reading" }, summary, inner));
    head();
    if (!data) {
      inner.append(make("input", { id: "walk-value", "aria-label": say("value_read"), value: readings[check], autocomplete: "off", input: (/** @type {any} */ event) => note(event.target.value) }));
      return;
    }
    reading.mount(inner, data, variant);
    inner.addEventListener("change", (/** @type {any} */ { target }) => {
      if (target.matches("[data-variant]")) { variant = target.value; remember(); }
    });
    // It speaks once while it is mounted, with nothing typed; what was kept stays.
    inner.addEventListener("reading", (/** @type {any} */ { detail }) => {
      note(detail ? detail.text : "");
      buttons.forEach((each) => each.classList.toggle("fits", !!detail && !!detail.band && (each.dataset.bands || "").split(" ").includes(detail.band)));
    });
  }

  /** @param {any} next */
  function strip(next) {
    if (!moves.length) { return null; }
    const cells = [fact("so_far", about(spent())), next && next.toGo && fact("to_go", say("about") + " " + about(next.toGo.seconds)), fact("causes_left", plan.left(problem, moves).length)].filter(Boolean);
    status.textContent = cells.map((cell) => text(cell.firstChild) + ": " + text(cell.lastChild)).join("; ");
    return make("dl.facts.strip", cells);
  }

  function possible() {
    const left = plan.left(problem, moves);
    if (left.length < 2 || has("tried") && moves[moves.length - 1].cured) { return null; }
    return section("left", "walk-left", "still_possible", left.map((/** @type {any} */ { cause, share }) => {
      const fill = make("span");
      fill.style.inlineSize = share / 10 + "%";
      return make("li", make("span", causeSays(cause)), " ", make("b", Math.round(share / 10) + "\u00a0%"), make("span.share-bar", { "aria-hidden": "true" }, fill));
    }));
  }

  /** What was asked and what was said to it. @param {Move} move */
  function moveSays(move) {
    const { kind, check } = move, given = isAnswer(move) && answers(check)[move.answer];
    if (kind === "tried") { return [repairSays(move.repair), say(move.cured ? "it_cured" : "it_did_not_cure")]; }
    if (kind === "skip") { return [ask(check), say("cannot_now")]; }
    if (isAnswer(move)) { return [ask(check), (given ? given.says : "") + (kind === "known" ? " (" + say("known_before") + ")" : "")]; }
    return kind === "stuck" ? null : [say("verify_title"), say(kind === "confirmed" ? "it_is_so" : "it_is_not_so")];
  }

  /** What was answered, each to be changed. */
  function answered() {
    const rows = moves.map((move, at) => {
      const says = moveSays(move), open = isAnswer(move), act = say(open ? "change" : "take_back");
      return says && make("li", make("span", says[0] + " ", make("b", says[1])), make("button.plain-button", {
        "aria-label": act + ": " + says[0], "data-change": at, click: () => open ? edit(at) : go(without(at))
      }, act));
    }).filter(Boolean);
    return rows.length ? section("answered", "walk-answered", "answered", rows, button(say("start_again"), () => {
      if (confirm(say("start_again_sure"))) { forget(); go([]); }
    }, "walk-again")) : null;
  }

  /** Checks whose answers may be known without doing them. @param {string} [but] */
  function knowns(but) {
    const asked = moves.map((move) => move.kind === "skip" ? "" : move.check).concat(but);
    const rest = problem.checks.map((/** @type {any} */ check) => check.id).filter((/** @type {string} */ check) => !asked.includes(check) && source(check));
    return rest.length ? make("details.knowns", { id: "walk-knowns" }, make("summary", say("known_already")), make("p", say("known_says")), rest.map((/** @type {string} */ check) => make("details",
      make("summary", ask(check)), list(answers(check).map(({ says }, answer) => answerButton(says, "", () => add({ kind: "known", check, answer }))))))) : null;
  }

  // ---- screens: each gives a heading and what stands under it ----

  const start = () => [say("verify_title"), [bodyOf(verify), list([
    answerButton(say("it_is_so"), "", () => add({ kind: "confirmed" }), { id: "walk-yes" }),
    answerButton(say("it_is_not_so"), "", () => add({ kind: "unconfirmed" }), { id: "walk-no" }),
    noneFits()
  ]), knowns()]];

  /** @param {any} next */
  function question(next) {
    const check = next.check, knew = make("input", { type: "checkbox", id: "walk-knew" }), body = checkBody(check, next), tools = make("p.next-tools");
    const agrees = (/** @type {any} */ button) => button.matches(".fits") || !one(".fits", panel) || confirm(say("not_what_was_read"));
    const buttons = answers(check).map(({ says, bands }, answer) => answerButton(says, "", (/** @type {any} */ { currentTarget }) => {
      if (agrees(currentTarget)) { add({ kind: knew.checked ? "known" : "answer", check, answer }); }
    }, { "data-answer": answer, "data-bands": bands }));
    value(check, body, buttons);
    ahead(check, buttons, tools);
    return [ask(check), [body, list([...buttons, noneFits(check)]),
      make("p.walk-ways", make("label.tick", knew, say("knew_it")), " ", button(say("cannot_now"), () => add({ kind: "skip", check }), "walk-skip")), tools, knowns(check)]];
  }

  /** Looks ahead behind every answer, one at a time, while nobody waits: where it leads, and which tools come next. @param {string} check @param {any[]} buttons @param {any} tools */
  function ahead(check, buttons, tools) {
    const toolsOf = (/** @type {string} */ check) => text(one("[data-tools]", source(check))).split(", ");
    const own = toolsOf(check), /** @type {Set<string>} */ wanted = new Set();
    let answer = 0;
    function look() {
      const next = answer < buttons.length && nextAfter([...moves, { kind: "answer", check, answer }]);
      if (next) {
        one("span", buttons[answer++]).textContent = leads(next);
        if (next.kind === "check") { toolsOf(next.check).forEach((/** @type {string} */ tool) => tool && !own.includes(tool) && wanted.add(tool)); }
      }
      if (answer < buttons.length) { timer = setTimeout(look, 20); } else if (wanted.size) { tools.textContent = say("tools_next") + " " + [...wanted].join(", "); }
    }
    timer = setTimeout(look, 60);
  }
  /** @param {any} next */
  function leads(next) {
    if (next.kind === "check") { return say("then_next") + " " + ask(next.check); }
    if (next.kind === "repair") { return say("then_found") + ": " + causesSay(next.causes); }
    return say(next.kind === "exit" ? "then_fault" : "escalation");
  }

  /** What often comes with causes. @param {string[]} causes */
  const alsoSays = (causes) => causes.map((cause) => one(`#cause-${cause} [data-brings]`)).filter(Boolean).map((brings) => make("p", copy(brings)));
  /** What was opened on the way, which the machine must not be tested or moved with. */
  function putBack() {
    const extras = [...new Set(plan.opened(problem, moves))].map((at) => problem.extras[at]);
    const opened = extras.map(({ id, safe }) => !safe && one(`[data-open="${id}"]`)).filter(Boolean).map((spot) => text(spot.firstChild));
    return opened.length > 0 && make("p.inferred", make("b", say("put_back")), " ", opened.join("; "));
  }

  /** @param {any} next */
  function mend({ repair, causes, shown, inTurn }) {
    const tried = (/** @type {boolean} */ cured) => () => add({ kind: "tried", repair, cured });
    return [causesSay(causes), [
      shown ? make("p", say("was_shown")) : make("div.inferred", make("p", make("b", say("inferred_mark")), " ", say("inferred_says")), causes.map((/** @type {string} */ cause) => make("p", text(one(`#cause-${cause} [data-why]`))))),
      inTurn.length > 1 && make("p.inferred", say("in_turn"), " ", inTurn.map(repairSays).join("; ")),
      inFull(copy(sheetOf(repair))),
      alsoSays(causes), putBack(),
      make("h3", say("did_it_cure")), make("p", say("test_first")), list([
        answerButton(say("it_cured"), say("then_again"), tried(true), { id: "walk-cured" }),
        answerButton(say("it_did_not_cure"), say("then_on"), tried(false), { id: "walk-not-cured" })
      ])]];
  }

  /** The repair that the walk came to before the last one was tried. */
  function found() {
    const at = moves.map((move) => move.kind).lastIndexOf("tried"), next = at < 0 ? null : plan.next(problem, moves.slice(0, at));
    return next && next.kind === "repair" && next.repair === moves[at].repair ? next : null;
  }

  /** @param {any} next */
  const cured = (next) => [say("cured_title"), [next.cured && make("p", say("swap_cured")), make("p.big", say("cured_says")), inFull(copy(sheetOf(next.repair))), job(next.kind === "repair" ? next : found(), true)]];

  /** @param {any} was @param {boolean} isCured */
  function job(was, isCured) {
    const room = make("section.record-room", { "aria-labelledby": "record-h" });
    if (!record) { return null; }
    record.form(room, {
      fault, title: text(one("h1")), causes: was ? was.causes.map((/** @type {string} */ id) => ({ id, says: causeSays(id) })) : [],
      outcome: was && isCured ? was.shown ? "shown" : "inferred" : "unconfirmed", cured: isCured || (has("tried") ? false : null),
      minutes: Math.ceil(spent() / 60), begun, moves, variant,
      answers: moves.map((move) => [move.check || move.repair, (moveSays(move) || [])[1]]).filter((pair) => pair[0] && pair[1]),
      told: moves.map(moveSays).filter(Boolean), readings: Object.keys(readings).map((check) => [ask(check), readings[check]])
    }, () => { moves = []; forget(); keep(key, null); });
    return room;
  }

  /** @param {string} why */
  function stop(why) {
    const un = why === "unconfirmed", was = found();
    return [say(un ? "it_is_not_so" : "stop_and_ask"), [make("p.big", un ? text(verify.querySelectorAll(".answer > span")[1]) : say(has("tried") && why === "contradiction" ? "not_cured" : WHY[why] || WHY.none)), was && alsoSays(was.causes), putBack(), copy(one("#escalation .body")), job(null, false)]];
  }

  /** @param {any} next */
  function otherFault(next) {
    const href = next.fault + ".html", known = one(`a.answer-fault[href$="/${href}"], a.answer-fault[href="${href}"]`);
    return [say("other_complaint"), [make("p.big", say("other_says")), putBack(), make("p.repair", make("a.go", { href: known ? known.getAttribute("href") : href }, known ? text(one("span", known)) : say("go_there")))]];
  }

  function change() {
    const { kind, check, answer: old } = moves[editing];
    return [ask(check), [make("p", say("change_says")), bodyOf(source(check)), list(answers(check).map(({ says }, answer) => answerButton(says, answer === old ? say("your_answer") : "",
      () => go(moves.map((move, place) => place === editing ? { kind, check, answer } : move)), { "aria-pressed": String(answer === old), "data-answer": answer }))),
      make("p.walk-ways", button(say("take_back"), () => go(without(editing)), "walk-forget"))]];
  }

  /** @param {any} next */
  function screen(next) {
    const last = moves.length ? moves[moves.length - 1].kind : "";
    if (editing >= 0) { return change(); }
    if (last === "unconfirmed" || last === "stuck") { return stop(last); }
    if (!next) { return start(); }
    if (next.kind === "check") { return question(next); }
    if (next.kind === "cured" || next.cured) { return cured(next); }
    if (next.kind === "repair") { return mend(next); }
    return next.kind === "exit" ? otherFault(next) : stop(next.why);
  }

  /** @param {boolean} focus */
  function show(focus) {
    clearTimeout(timer);
    const next = has("confirmed") ? nextAfter(moves) : null;
    busy = has("confirmed") && !next;
    box.setAttribute("aria-busy", busy);
    if (busy) { timer = setTimeout(show, 0, focus); return; }
    const when = moves.length > 0 && oldDay(begun), [title, parts] = screen(next), heading = make("h2", { id: "walk-h", tabindex: "-1" }, title);
    const number = editing < 0 && next && next.kind === "check" && make("p.check-number", make("span", say("check")), " ", make("b", moves.filter((move) => move.kind === "answer").length + 1));
    panel.replaceChildren(make("div.margin", number, (moves.length || editing >= 0) && button(say("back"), back, "walk-back"), strip(next)),
      make("div.body", heading, when && make("p.inferred", say("old_walk", { when })), parts, make("div.walk-known", possible(), answered())));
    if (focus) { heading.focus({ preventScroll: true }); box.scrollIntoView(); }
  }

  box.hidden = false;
  box.setAttribute("aria-labelledby", "walk-h");
  box.append(panel, status);
  doc.body.classList.add("walking");
  history.replaceState({ walk: moves, deep: 0 }, "");
  show(false);
  if (moves.length && !location.hash) { box.scrollIntoView(); }
  if (location.hash) { const target = doc.getElementById(location.hash.slice(1)); if (target) { target.scrollIntoView(); } }
})();
