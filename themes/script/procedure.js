// A procedure in the hand: ticks that stay, for steps and for what to take along, and timers that go on while the
// device is locked.
(() => {
  "use strict";
  var place = TICKS + ((guide || {}).hash || "") + " " + doc.body.dataset.page;
  var done = kept(place) || {}, line = /** @type {any} */ (doc.querySelector("[data-ticked]")), timers = /** @type {(() => void)[]} */ ([]);
  if (!line) { return; }

  each("[data-take] li", (/** @type {any} */ item, /** @type {number} */ at) => {
    var box = make("input", { type: "checkbox", id: "take-" + at, "data-tick": true });
    item.replaceChildren(make("label.take", box, item.textContent));
  });

  function write() {
    var boxes = doc.querySelectorAll(".step"), ticked = doc.querySelectorAll(".step :checked");
    line.textContent = say("steps_done", { done: ticked.length, all: boxes.length }) + " ";
    var when = oldDay(done.at);
    if (when) { line.append(make("b", say("ticked_then", { when })), " "); }
    if (done.at) { line.append(make("button.plain-button", { id: "untick", click: clear }, say("untick"))); }
  }
  /** Keeps what is ticked and since when, as long as anything is. */
  function note() {
    delete done.at;
    if (Object.keys(done).length) { done.at = Date.now(); }
    keep(place, done.at ? done : null);
  }
  function clear() {
    if (!confirm(say("untick_sure"))) { return; }
    done = {};
    keep(place, null);
    each("[data-tick]", (/** @type {any} */ box) => { box.checked = false; });
    timers.forEach((timer) => { timer(); });
    write();
  }
  each("[data-tick]", (/** @type {any} */ box) => {
    box.checked = !!done[box.id];
    box.addEventListener("change", () => {
      if (box.checked) { done[box.id] = 1; } else { delete done[box.id]; }
      note();
      write();
    });
  });

  // A timer keeps the moment of its end, so that a locked device cannot stop it.
  each("[data-wait]", (/** @type {any} */ room, /** @type {number} */ at) => {
    var seconds = +room.dataset.wait, id = "wait-" + at, tick = 0;
    var face = make("b.time", { role: "timer" }), button = make("button", { id: id, click: () => {
      done[id] = done[id] ? 0 : Date.now() + seconds * 1000;
      if (!done[id]) { delete done[id]; }
      note();
      run();
    } }), told = make("span", { role: "status" });
    room.append(face, button, told);
    /** @param {number} left */
    function clock(left) { var rest = Math.floor(left % 60); return Math.floor(left / 60) + ":" + (rest < 10 ? "0" : "") + rest; }
    function run() {
      clearTimeout(tick);
      var left = done[id] ? Math.ceil((done[id] - Date.now()) / 1000) : seconds, over = left <= 0;
      face.textContent = clock(Math.max(left, 0));
      button.textContent = say(done[id] ? over ? "timer_again" : "timer_stop" : "timer_start");
      room.classList.toggle("over", over);
      if (over && told.textContent === "") { told.textContent = say("timer_over"); if (navigator.vibrate) { navigator.vibrate([400, 200, 400]); } }
      if (!over) { told.textContent = ""; }
      if (done[id] && !over) { tick = setTimeout(run, 250); }
    }
    timers.push(run);
    run();
  });
  write();

  // Back to the walk that was left last, where it leads here; in the one-file guide places are told in another way.
  var back = doc.querySelector(".quote-link a"), from = kept("walking");
  var walk = back && from && doc.querySelector(`#mends :is([href$="${from}"], [href="#${from.replace(".html#", ":")}"])`);
  if (walk) { back.href = walk.getAttribute("href"); }
})();
