// The walk: one check at a time, made from the sections that stand in the page. It plans again after every move
// (`Bayleaf.plan`), keeps its place on this device, and ends at a repair or at whom to ask.
(function () {
  "use strict";
  var B = /** @type {any} */ (Bayleaf), say = B.say, make = B.make, plan = Bayleaf.plan, doc = document;
  var box = /** @type {any} */ (doc.getElementById("walk")), fault = box && box.dataset.fault, problem = box && (B.walks || {})[fault];
  if (!problem || !plan || !B.guide) { return; }

  /** @typedef {{kind: string, check?: any, answer?: any, repair?: any, cured?: boolean}} Move */
  var WHY = /** @type {Object<string, string>} */ ({ stuck: "why_stuck", none: "why_none", contradiction: "why_contradiction", skipped: "why_skipped" });
  /** Milliseconds that a page may be busy at a stretch. */
  var STRETCH = 40;
  var key = "walk " + B.guide.hash + " " + fault;
  var old = B.kept(key) || {};
  /** @type {Move[]} */
  var moves = Array.isArray(old.moves) ? old.moves : [];
  var begun = old.begun || 0, readings = old.readings || {}, editing = -1, timer = 0, leaving = /** @type {any} */ (0);
  var status = make("p.quiet", { role: "status" }), panel = make("div.walk-panel");
  var verify = /** @type {any} */ (doc.getElementById("verify")), confirming = Math.round(parts(verify.dataset.minutes) * 60);

  /** @param {string} selector @param {any} [within] */
  function one(selector, within) { return (within || doc).querySelector(selector); }
  /** @param {any} element */
  function text(element) { return element ? element.textContent.trim() : ""; }
  /** @param {any} element */
  function copy(element) {
    var twin = element.cloneNode(true);
    B.each("[id]", function (/** @type {any} */ inside) { inside.removeAttribute("id"); }, twin);
    twin.removeAttribute("id");
    return twin;
  }
  /** "2.5" or "1:20" as minutes. @param {string | undefined} written */
  function parts(written) {
    var two = String(written).split(":");
    return +two[0] + (+two[1] || 0) / 60;
  }
  /** Seconds as the pages write minutes. @param {number} seconds */
  function minutes(seconds) {
    var rest = seconds % 60, whole = Math.floor(seconds / 60);
    return (!rest ? whole : rest % 6 ? whole + ":" + (rest < 10 ? "0" : "") + rest : whole + "." + rest / 6) + "\u00a0" + say("min");
  }
  /** @param {number} seconds */
  function about(seconds) { return Math.round(seconds / 60) + "\u00a0" + say("min"); }
  /** The entry of a list with an id. @param {any[]} list @param {string} id */
  function by(list, id) { return list.filter(function (/** @type {any} */ entry) { return entry.id === id; })[0] || {}; }

  // ---- what the page says ----

  /** @param {string} check */
  function source(check) { return one('[data-check="' + check + '"]'); }
  /** @param {string} check */
  function ask(check) { return text(one("h2, h3", source(check))); }
  /** The answers of a check: words, and the band of the reading each stands for. @param {string} check */
  function answers(check) {
    var found = /** @type {any[]} */ ([]), from = source(check);
    B.each(".answers .answer:not(.answer-none), li[data-answer]", function (/** @type {any} */ link) {
      found.push({ says: text(one(".answer-says, b", link)), band: link.dataset.band || "" });
    }, from);
    return found;
  }
  /** @param {string} cause */
  function causeSays(cause) { return text(one("#cause-" + cause + " [data-says]")); }
  /** @param {string} repair */
  function repairSays(repair) { return text(one('[data-repair="' + repair + '"] .go')); }
  /** Every short caution in full, as it stands at the top of the page. @param {any} [within] */
  function inFull(within) {
    B.each(".brief", function (/** @type {any} */ brief) {
      var hazard = text(one("b:not(.signal-word)", brief)).replace(/\.$/, "");
      B.each(".head .signal", function (/** @type {any} */ full) {
        if (text(one("b", full)) === hazard && brief.parentNode) { brief.parentNode.replaceChild(copy(full), brief); }
      });
    }, within);
  }

  // ---- moves ----

  /** What comes next after some moves; null where that takes longer than a moment: asked again, it is worked out further. @param {Move[]} list */
  function nextAfter(list) { return plan.next(problem, /** @type {any} */ (list), performance.now() + STRETCH); }
  /** @param {string} kind */
  function has(kind) { return moves.some(function (move) { return move.kind === kind; }); }
  function remember() {
    if (!moves.length) { B.keep(key, null); return; }
    B.keep(key, { moves: moves, begun: begun, readings: readings });
  }
  /** Goes on with other moves; the way back in the browser leads to those before. @param {Move[]} list */
  function go(list) {
    // The screen is the last one still: what is touched meanwhile was not meant for the next.
    if (box.hasAttribute("aria-busy")) { return; }
    if (!begun) { begun = Date.now(); }
    editing = -1;
    // A link inside the page has left an entry without moves.
    if (!history.state) { history.replaceState({ walk: moves, deep: 0 }, ""); }
    moves = list;
    history.pushState({ walk: moves, deep: ((history.state || {}).deep || 0) + 1 }, "");
    remember();
    show(true);
  }
  /** @param {Move} move */
  function add(move) { go(moves.concat([move])); }
  function back() {
    if (editing >= 0) { editing = -1; show(true); } else if ((history.state || {}).deep) {
      // A finger that taps twice must not leave the page. A browser keeps some fifty steps: behind the oldest it stays where it is.
      if (!leaving) { leaving = setTimeout(takeBack, 1000); history.back(); }
    } else { takeBack(); }
  }
  function takeBack() {
    leaving = 0;
    moves = moves.slice(0, -1);
    history.replaceState({ walk: moves, deep: 0 }, "");
    remember();
    show(true);
  }
  addEventListener("popstate", function (event) {
    clearTimeout(leaving);
    leaving = 0;
    if (!event.state || !Array.isArray(event.state.walk)) { return; }
    moves = event.state.walk;
    editing = -1;
    remember();
    show(true);
  });

  // ---- pieces ----

  /** @param {string} kind @param {string} says @param {() => void} act @param {string} id */
  function button(kind, says, act, id) { return make("button." + kind, { click: act, id: id }, [says]); }
  /** @param {string} says @param {string} also @param {() => void} act @param {any} [traits] */
  function answerButton(says, also, act, traits) {
    var all = /** @type {Object<string, any>} */ ({ click: act });
    for (var name in traits || {}) { all[name] = traits[name]; }
    return make("button.answer", all, [make("b.answer-says", null, [says]), make("span.answer-to", null, [also])]);
  }
  /** @param {any} buttons */
  function list(buttons) {
    return make("ul.answers", { "aria-label": say("answers") }, buttons.map(function (/** @type {any} */ each) { return make("li", null, [each]); }));
  }
  /** @param {string} term @param {string} says */
  function fact(term, says) { return make("div", null, [make("dt", null, [say(term)]), make("dd", null, [says])]); }

  /** What has to be done for a check from here, in the page's own words. @param {string} check @param {any} next */
  function checkBody(check, next) {
    var from = source(check), body = make("div.walk-check");
    Array.prototype.forEach.call((one(".body", from) || from).children, function (child) {
      if (!child.matches("h2, h3, .answers, .possible, .outcomes")) { body.appendChild(copy(child)); }
    });
    inFull(body);
    if (!next) { return body; }
    // What is left of the time is for bringing the machine into its state.
    var own = by(problem.checks, check).seconds, change = next.seconds - own;
    (problem.extras || []).forEach(function (/** @type {any} */ extra, /** @type {number} */ at) {
      var is = next.due.indexOf(at) >= 0;
      if (is) { change -= extra.seconds; }
      B.each("[data-" + (extra.safe ? "safe" : "open") + '="' + extra.id + '"]', function (/** @type {any} */ thing) {
        var note = one("i", thing);
        if (note) { note.textContent = "(" + (is ? minutes(extra.seconds) : say("already_done")) + ")"; }
        thing.classList.toggle("done", !is);
      }, body);
    });
    var note = one("[data-state] i", body), takes = one("[data-takes]", body);
    if (note) { note.textContent = change > 0 ? "(" + minutes(change) + ")" : ""; }
    if (takes) { takes.textContent = minutes(own) + (next.seconds === own ? "" : ", " + say("in_all") + " " + minutes(next.seconds)); }
    return body;
  }

  /** A calculator under the limit of a check, or a field to note the value; what it says is marked among the answers. @param {string} check @param {any} body @param {any} buttons */
  function reading(check, body, buttons) {
    var limits = body.querySelectorAll("[data-limit]"), last = limits[limits.length - 1];
    if (!last) { return; }
    var data = B.reading && B.reading.find(last.dataset.limit), inner = make("div"), summary = make("summary", null, [say("value_read")]);
    last.parentNode.insertBefore(make("details", { id: "walk-reading" }, [summary, inner]), last.nextSibling);
    head();
    if (!data) {
      inner.appendChild(make("input", { id: "walk-value", "aria-label": say("value_read"), value: readings[check], autocomplete: "off", input: function (/** @type {any} */ event) { note(event.target.value); } }));
      return;
    }
    B.reading.mount(inner, data);
    // It speaks once while it is mounted, with nothing typed; what was kept stays.
    inner.addEventListener("reading", function (/** @type {any} */ event) {
      var result = event.detail;
      note(result ? result.text : "");
      buttons.forEach(function (/** @type {any} */ each) { each.classList.toggle("fits", !!result && each.dataset.band === result.band); });
    });
    function head() { summary.textContent = say("value_read") + (readings[check] ? " (" + readings[check] + ")" : ""); }
    /** @param {any} value */
    function note(value) {
      if (value) { readings[check] = value; } else { delete readings[check]; }
      head();
      remember();
    }
  }

  function spent() { return confirming * +has("confirmed") + plan.spent(problem, /** @type {any} */ (moves)); }
  function leftNow() { return plan.left(problem, /** @type {any} */ (moves)); }
  /** @param {any} next */
  function strip(next) {
    var left = leftNow();
    var cells = [fact("so_far", about(spent()))];
    if (next && next.toGo) { cells.push(fact("to_go", say("about") + " " + about(next.toGo.seconds))); }
    cells.push(fact("causes_left", String(left.length)));
    if (!moves.length) { return null; }
    status.textContent = cells.map(function (cell) { return text(cell.firstChild) + ": " + text(cell.lastChild); }).join("; ");
    return make("dl.facts.strip", null, cells);
  }

  /** @param {number} share */
  function bar(share) {
    var fill = make("span");
    fill.style.inlineSize = share / 10 + "%";
    return make("span.share-bar", { "aria-hidden": "true" }, [fill]);
  }
  function possible() {
    var left = leftNow();
    if (left.length < 2 || has("tried") && moves[moves.length - 1].cured) { return null; }
    return make("section.left", { "aria-labelledby": "walk-left" }, [make("h3", { id: "walk-left" }, [say("still_possible")]), make("ol", null, left.map(function (each) {
      var share = Math.round(each.share / 10) + "\u00a0%";
      return make("li", null, [make("span", null, [causeSays(each.cause)]), " ", make("b", null, [share]), bar(each.share)]);
    }))]);
  }

  /** @param {Move} move */
  function moveSays(move) {
    if (move.kind === "tried") { return [repairSays(move.repair), say(move.cured ? "it_cured" : "it_did_not_cure")]; }
    if (move.kind === "skip") { return [ask(move.check), say("cannot_now")]; }
    if (move.check && move.kind !== "stuck") {
      var given = answers(move.check)[move.answer];
      return [ask(move.check), (given ? given.says : "") + (move.kind === "known" ? " (" + say("known_before") + ")" : "")];
    }
    return move.kind === "stuck" ? null : [say("verify_title"), say(move.kind === "confirmed" ? "it_is_so" : "it_is_not_so")];
  }

  /** What was answered, each to be changed. */
  function answered() {
    var rows = /** @type {any[]} */ ([]);
    moves.forEach(function (move, at) {
      var says = moveSays(move);
      if (!says) { return; }
      var open = move.kind === "answer" || move.kind === "known";
      rows.push(make("li", null, [make("span", null, [says[0] + " ", make("b", null, [says[1]])]), make("button.plain-button", {
        "aria-label": say(open ? "change" : "take_back") + ": " + says[0], "data-change": String(at),
        click: function () { if (open) { editing = at; show(true); } else { go(without(at)); } }
      }, [say(open ? "change" : "take_back")])]));
    });
    if (!rows.length) { return null; }
    return make("section.answered", { "aria-labelledby": "walk-answered" }, [make("h3", { id: "walk-answered" }, [say("answered")]), make("ol", null, rows),
      button("plain-button", say("start_again"), function () { if (confirm(say("start_again_sure"))) { begun = 0; readings = {}; go([]); } }, "walk-again")]);
  }
  /** @param {number} at */
  function without(at) { return moves.filter(function (_, place) { return place !== at; }); }

  /** Checks whose answers may be known without doing them. @param {string} but */
  function knowns(but) {
    var asked = moves.map(function (move) { return move.kind === "skip" ? "" : move.check; });
    var rest = problem.checks.filter(function (/** @type {any} */ check) { return check.id !== but && asked.indexOf(check.id) < 0 && source(check.id); });
    if (!rest.length) { return null; }
    return make("details.knowns", { id: "walk-knowns" }, [make("summary", null, [say("known_already")]), make("p", null, [say("known_says")])].concat(rest.map(function (/** @type {any} */ check) {
      return make("details", null, [make("summary", null, [ask(check.id)]), list(answers(check.id).map(function (given, at) {
        return answerButton(given.says, "", function () { add({ kind: "known", check: check.id, answer: at }); });
      }))]);
    })));
  }

  function escalation() { return copy(one("#escalation .body")); }

  // ---- screens: each gives a heading and what stands under it ----

  function start() {
    var body = make("div.walk-check");
    Array.prototype.forEach.call(one(".body", verify).children, function (child) { if (!child.matches(".answers")) { body.appendChild(copy(child)); } });
    return [say("verify_title"), [body, list([
      answerButton(say("it_is_so"), "", function () { add({ kind: "confirmed" }); }, { id: "walk-yes" }),
      answerButton(say("it_is_not_so"), "", function () { add({ kind: "unconfirmed" }); }, { id: "walk-no" }),
      answerButton(say("no_answer_fits"), say("escalation"), function () { add({ kind: "stuck" }); }, { id: "walk-stuck", "class": "answer answer-none" })
    ]), knowns("")]];
  }

  /** @param {any} next */
  function question(next) {
    var check = next.check, knew = make("input", { type: "checkbox", id: "walk-knew" });
    var buttons = answers(check).map(function (given, at) {
      return answerButton(given.says, "", function () { add({ kind: knew.checked ? "known" : "answer", check: check, answer: at }); }, { "data-answer": at, "data-band": given.band });
    });
    var body = checkBody(check, next), tools = make("p.next-tools");
    reading(check, body, buttons);
    ahead(check, buttons, tools);
    return [ask(check), [body, list(buttons.concat([answerButton(say("no_answer_fits"), say("escalation"), function () { add({ kind: "stuck", check: check }); }, { id: "walk-stuck", "class": "answer answer-none" })])),
      make("p.walk-ways", null, [make("label.tick", null, [knew, say("knew_it")]), " ", button("plain-button", say("cannot_now"), function () { add({ kind: "skip", check: check }); }, "walk-skip")]),
      tools, knowns(check)]];
  }

  /** Looks ahead behind every answer, one at a time, while nobody waits: where it leads, and which tools come next. @param {string} check @param {any} buttons @param {any} tools */
  function ahead(check, buttons, tools) {
    var at = 0, own = text(one("[data-tools]", source(check))), wanted = /** @type {any[]} */ ([]);
    function look() {
      if (at >= buttons.length) {
        if (wanted.length) { tools.textContent = say("tools_next") + " " + wanted.join(", "); }
        return;
      }
      var next = nextAfter(moves.concat([{ kind: "answer", check: check, answer: at }]));
      timer = setTimeout(look, 20);
      if (!next) { return; }
      one(".answer-to", buttons[at]).textContent = leads(next);
      if (next.kind === "check") {
        text(one("[data-tools]", source(next.check))).split(", ").forEach(function (/** @type {string} */ tool) {
          if (tool && own.split(", ").indexOf(tool) < 0 && wanted.indexOf(tool) < 0) { wanted.push(tool); }
        });
      }
      at += 1;
    }
    timer = setTimeout(look, 60);
  }
  /** @param {any} next */
  function leads(next) {
    if (next.kind === "check") { return say("then_next") + " " + ask(next.check); }
    if (next.kind === "repair") { return say("then_found") + ": " + next.causes.map(causeSays).join(" " + say("or") + " "); }
    if (next.kind === "exit") { return say("then_fault"); }
    return say("escalation");
  }

  /** @param {any} next */
  function mend(next) {
    var sheet = copy(one('[data-repair="' + next.repair + '"]')), inside = [];
    inFull(sheet);
    if (!next.shown) {
      inside.push(make("div.inferred", null, [make("p", null, [make("b", null, [say("inferred_mark")]), " ", say("inferred_says")])].concat(next.causes.map(function (/** @type {string} */ cause) {
        return make("p", null, [text(one("#cause-" + cause + " [data-why]"))]);
      }))));
    } else { inside.push(make("p", null, [say("was_shown")])); }
    if ((next.inTurn || []).length > 1) { inside.push(make("p.inferred", null, [say("in_turn"), " ", next.inTurn.map(repairSays).join("; ")])); }
    inside.push(sheet);
    next.causes.forEach(function (/** @type {string} */ cause) { var brings = one("#cause-" + cause + " [data-brings]"); if (brings) { inside.push(make("p", null, [copy(brings)])); } });
    inside.push(make("h3", null, [say("did_it_cure")]), make("p", null, [say("test_first")]), list([
      answerButton(say("it_cured"), say("then_again"), function () { add({ kind: "tried", repair: next.repair, cured: true }); }, { id: "walk-cured" }),
      answerButton(say("it_did_not_cure"), say("then_on"), function () { add({ kind: "tried", repair: next.repair, cured: false }); }, { id: "walk-not-cured" })
    ]));
    return [next.causes.map(causeSays).join(" " + say("or") + " "), inside];
  }

  /** The repair that the walk came to before the last one was tried. */
  function found() {
    for (var at = moves.length - 1; at >= 0; at--) {
      if (moves[at].kind === "tried") {
        var next = plan.next(problem, /** @type {any} */ (moves.slice(0, at)));
        return next && next.kind === "repair" && next.repair === moves[at].repair ? next : null;
      }
    }
    return null;
  }

  /** @param {any} next */
  function cured(next) {
    var was = next.kind === "repair" ? next : found(), sheet = copy(one('[data-repair="' + next.repair + '"]'));
    inFull(sheet);
    return [say("cured_title"), [next.cured && make("p", null, [say("swap_cured")]), make("p.big", null, [say("cured_says")]), sheet, record(was, true)]];
  }

  /** @param {any} was @param {boolean} isCured */
  function record(was, isCured) {
    var room = make("section.record-room", { "aria-labelledby": "record-h" }), notes = /** @type {any[]} */ ([]);
    if (!B.record) { return null; }
    Object.keys(readings).forEach(function (check) { notes.push([ask(check), readings[check]]); });
    B.record.form(room, {
      fault: fault, title: text(one("h1")), causes: was ? was.causes.map(function (/** @type {string} */ id) { return { id: id, says: causeSays(id) }; }) : [],
      outcome: was && isCured ? was.shown ? "shown" : "inferred" : "unconfirmed", cured: isCured || (has("tried") ? false : null),
      minutes: Math.ceil(spent() / 60), begun: begun,
      answers: moves.map(function (move) { return [move.check || move.repair, (moveSays(move) || [])[1]]; }).filter(function (pair) { return pair[0] && pair[1]; }),
      told: moves.map(moveSays).filter(Boolean), readings: notes, moves: moves
    }, function () { moves = []; begun = 0; readings = {}; B.keep(key, null); });
    return room;
  }

  /** @param {string} why */
  function stop(why) {
    var last = moves[moves.length - 1] || {}, says = why;
    if (why === "unconfirmed") { says = text(verify.querySelectorAll(".answer-to")[1]); } else { says = say(WHY[why] || WHY.none); }
    return [say(last.kind === "unconfirmed" ? "it_is_not_so" : "stop_and_ask"), [make("p.big", null, [says]), escalation(), record(null, false)]];
  }

  /** @param {any} next */
  function otherFault(next) {
    var link = make("a.go", { href: next.fault + ".html" }, [say("go_there")]);
    B.each('a.answer-fault[href$="/' + next.fault + '.html"], a.answer-fault[href="' + next.fault + '.html"]', function (/** @type {any} */ known) { link.href = known.getAttribute("href"); link.textContent = text(one(".answer-to", known)); });
    return [say("other_complaint"), [make("p.big", null, [say("other_says")]), make("p.repair", null, [link])]];
  }

  function change() {
    var move = moves[editing], buttons = answers(move.check).map(function (given, at) {
      return answerButton(given.says, at === move.answer ? say("your_answer") : "", function () {
        go(moves.map(function (each, place) { return place === editing ? { kind: each.kind, check: each.check, answer: at } : each; }));
      }, { "aria-pressed": String(at === move.answer), "data-answer": at });
    });
    return [ask(move.check), [make("p", null, [say("change_says")]), checkBody(move.check, null), list(buttons), make("p.walk-ways", null, [
      button("plain-button", say("take_back"), function () { go(without(editing)); }, "walk-forget")])]];
  }

  /** @param {any} next */
  function screen(next) {
    var last = moves[moves.length - 1] || {};
    if (editing >= 0) { return change(); }
    if (last.kind === "unconfirmed" || last.kind === "stuck") { return stop(last.kind); }
    if (!has("confirmed")) { return start(); }
    if (next.kind === "check") { return question(next); }
    if (next.kind === "cured" || next.cured) { return cured(next); }
    if (next.kind === "repair") { return mend(next); }
    return next.kind === "exit" ? otherFault(next) : stop(next.why);
  }

  /** @param {boolean} focus */
  function show(focus) {
    clearTimeout(timer);
    var next = has("confirmed") ? nextAfter(moves) : null;
    if (has("confirmed") && !next) {
      box.setAttribute("aria-busy", "true");
      timer = setTimeout(function () { show(focus); });
      return;
    }
    box.removeAttribute("aria-busy");
    var here = screen(next);
    var done = moves.filter(function (move) { return move.kind === "answer" || move.kind === "known"; }).length;
    var number = editing < 0 && next && next.kind === "check" ? make("p.check-number", null, [make("span", null, [say("check")]), " ", make("b", null, [String(done + 1)])]) : null;
    var heading = make("h2", { id: "walk-h", tabindex: "-1" }, [here[0]]);
    panel.textContent = "";
    [make("div.margin", null, [number, moves.length || editing >= 0 ? button("plain-button", say("back"), back, "walk-back") : null, strip(next)]),
      make("div.body", null, [heading].concat(here[1], [make("div.walk-known", null, [possible(), answered()])]))].forEach(function (part) { panel.appendChild(part); });
    if (focus) { heading.focus({ preventScroll: true }); box.scrollIntoView(); }
  }

  box.hidden = false;
  box.setAttribute("aria-labelledby", "walk-h");
  box.appendChild(panel);
  box.appendChild(status);
  doc.body.classList.add("walking");
  history.replaceState({ walk: moves, deep: 0 }, "");
  show(false);
  if (moves.length && !location.hash) { box.scrollIntoView(); }
  if (location.hash) { var target = doc.getElementById(location.hash.slice(1)); if (target) { target.scrollIntoView(); } }
})();
