// What the query engine promises, on a small workshop.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), path = require("node:path");
const core = require("../../themes/script/search-core.js");
const { build } = require("./lib/builder.js");
const { load, open } = require("./entry.js");
const { randomTexts } = require("./lib/random.js");
const { workshopGuide } = require("./lib/workshop.js");

const page = (url, kind, title, also, codes, body, more) => ({ url, kind, title, also, codes, body, ...more });
const GUIDE = {
  kinds: [{ id: "fault", boost: 110 }, { id: "procedure", boost: 102 }, { id: "part", boost: 100 }],
  synonyms: [{ preferred: "pump unit", avoided: ["power pack"], said: ["howler"] }, { preferred: "reservoir", avoided: ["tank"], said: [] }],
  documents: [
    page("f/slow", "fault", "The canopy rises slowly or in jerks", "tired canopy, heavy lift", "P-12", "Check the level, then bleed the lines. Tighten to 8 Nm.", { related: ["p/bleed"], variants: ["b"] }),
    page("f/lamp-on", "fault", "The work lamp does not turn on", "dark lamp", "E-03", "Check fuse/relay F4, 25 A."),
    page("f/lamp-off", "fault", "The work lamp turns off by itself", "lamp drops out", "E-04", "Check the relay."),
    page("p/bleed", "procedure", "Bleed the canopy circuit", "air in lines", "", "Undo the bleed screw M8x1.25. Tighten to 5.9 lbf ft. Top up the reservoir with teal fluid.", { tags: ["recalibration required"], variants: ["c"] }),
    page("t/pump", "part", "Pump unit", "motor pump", "PU-204", "Sits beside the reservoir, held by a half-moon bracket."),
    page("t/jp", "part", "油圧ポンプ", "насос", "", "Гидравлический насос"),
  ],
};
const { ask } = load(build(GUIDE)), first = (query, options) => (ask(query, options).results[0] || {}).url, all = (query, options) => ask(query, options).results.map((r) => r.url);

test("shared vectors", () => {
  for (const [text, terms] of JSON.parse(fs.readFileSync(path.join(__dirname, "vectors.json"), "utf8"))) assert.deepStrictEqual(core.indexTerms(text, true), terms, text);
});
test("codes in any spelling", () => {
  for (const query of ["P-12", "p12", "P 12", "p_12", "P–12", "code p12"]) assert.strictEqual(first(query), "f/slow", query);
  for (const query of ["pu204", "PU 204", "pu-204"]) assert.strictEqual(first(query), "t/pump", query);
  for (const query of ["e3", "E 3", "E-3", "e 03", "code e_3"]) assert.strictEqual(first(query), "f/lamp-on", query);
  assert.strictEqual(first("m8x1.25"), "p/bleed");
});
test("a code is never read as another", () => {
  const answer = ask("p15");
  assert.deepStrictEqual(answer.read, []);
  assert.deepStrictEqual(answer.results, []);
});
test("negation", () => {
  for (const query of ["lamp not on", "lamp does not turn on", "lamp doesn't turn on", "lamp doesnt turn on", "lamp won't turn on"]) assert.strictEqual(first(query), "f/lamp-on", query);
  for (const query of ["lamp off", "lamp turns off"]) assert.strictEqual(first(query), "f/lamp-off", query);
});
test("typing errors are read as known words, and said so", () => {
  const answer = ask("canpoy slow");
  assert.strictEqual(answer.results[0].url, "f/slow");
  assert.deepStrictEqual(answer.read, [["canpoy", "canopy"]]);
  assert.strictEqual(first("blleed sccrew"), "p/bleed");
  assert.strictEqual(first("pumpunit"), "t/pump");
});
test("the last word is completed, unless it is finished", () => {
  assert.strictEqual(first("can"), first("canopy"));
  assert.deepStrictEqual(all("recalib resrv"), []);
  assert.deepStrictEqual(all("cano", { finished: true }), []);
});
test("synonyms and avoided words lead to the preferred", () => {
  for (const query of ["power pack", "howler"]) assert.strictEqual(first(query), "t/pump", query);
  assert.ok(all("tank").includes("p/bleed"));
});
test("words that everybody uses lead to those of the pages", () => {
  assert.deepStrictEqual(all("purge screw"), all("bleed screw"));
  assert.strictEqual(first("canopy sluggish"), "f/slow");
  assert.strictEqual(first("judders"), "f/slow");
  const { synonyms } = load(build(GUIDE)).world.guideIndex.root, known = (word) => synonyms.flatMap(([, others]) => others).some(([[other]]) => other === word);
  assert.ok(known("bleed") && !known("purge"), "what no page says is nothing to look for");
});
test("who asks how something is done gets what tells it", () => {
  const page = (kind, title) => ({ url: kind, kind, title, body: "Terminals of the battery." });
  const asked = (is_work) => load(build({ documents: [page("fault", "The battery posts look dirty"), page("procedure", "The battery posts: wash off dirt")], kinds: [{ id: "fault", boost: 110 }, { id: "procedure", boost: 100, is_work }] })).ask;
  assert.deepStrictEqual(["wash battery posts", "battery posts dirty"].map((query) => asked(true)(query).results[0].url), ["procedure", "fault"]);
  assert.strictEqual(asked(true)("remove battery posts").results[0].url, "procedure");
  assert.strictEqual(asked(false)("remove battery posts").results[0].url, "fault");
  assert.strictEqual(asked(true)("remove battery posts not").results[0].url, "fault");
});
test("two words typed as one, the second a short one", () => {
  assert.deepStrictEqual(ask("topup reservoir").read, [["topup", "top up"]]);
  assert.strictEqual(first("topup reservoir"), "p/bleed");
});
test("a shop's word for a phrase finds pages that say a part of it", () => {
  const { ask } = load(build({ documents: [{ url: "a", title: "Floor latch" }, { url: "b", title: "Canopy latch" }], synonyms: [{ preferred: "stage floor", said: ["deck"] }, { preferred: "top of the canopy", said: ["lid"] }] }));
  for (const [query, url] of [["deck latch", "a"], ["lid latch", "b"]]) assert.deepStrictEqual([ask(query).results[0].url, ask(query).whole], [url, true], query);
});
test("the first letter is seldom the wrong one", () => {
  const { ask } = load(build({ documents: [{ url: "a", title: "Drain plug" }] })), score = (query) => ask(query).results[0].score;
  assert.ok(score("drainn plug") > score("rain plug") && score("rain plug") > score("plug"));
});
test("numbers with units meet in any spelling", () => {
  for (const query of ["8 N m", "8Nm", "8 nm", "5.9 lbf ft", "5.9 ft lb"]) assert.deepStrictEqual(all(query).sort(), ["f/slow", "p/bleed"], query);
  assert.strictEqual(first("25 amps"), "f/lamp-on");
  assert.ok(!all("9 Nm").includes("p/bleed"));
});
test("phrases in quotes", () => {
  const found = ask('"bleed screw"'), turned = ask('"screw bleed"');
  assert.deepStrictEqual([found.phrase, found.results.map((r) => r.url)], [true, ["p/bleed"]]);
  assert.strictEqual(turned.phrase, false);
  assert.strictEqual(ask("bleed screw").phrase, null);
});
test("related pages help only when no page has every word, and never for codes", () => {
  const leaning = ask("tired teal");
  assert.strictEqual(leaning.whole, false);
  const fault = leaning.results.find((r) => r.url === "f/slow");
  assert.ok(fault.through >= 0 && fault.missing.includes("teal"));
  assert.ok(ask("canopy lines").results.every((r) => r.through < 0));
  assert.ok(ask("tired m8x1.25").results.every((r) => r.through < 0));
});
test("variant and kind filters", () => {
  assert.ok(!all("canopy", { variant: "c" }).includes("f/slow"));
  assert.ok(all("pump", { variant: "c" }).includes("t/pump"));
  assert.deepStrictEqual(all("canopy", { kind: "procedure" }), ["p/bleed"]);
  assert.ok(ask("canopy", { kind: "procedure" }).kinds.length > 1);
});
test("scripts", () => {
  assert.strictEqual(first("ポンプ"), "t/jp");
  assert.strictEqual(first("насос"), "t/jp");
});
test("nothing found is said plainly", () => {
  const answer = ask("zzzzqq");
  assert.deepStrictEqual([answer.results, answer.unknown, answer.whole], [[], ["zzzzqq"], false]);
  for (const query of ["", " ", "!?", "\u0000", "---"]) assert.deepStrictEqual(ask(query).results, [], JSON.stringify(query));
});
test("marks show the words that answer and lose no letter", () => {
  const pieces = core.marked("The canopy rises slowly (P-12)", ["canopy", "slow", "p12"]);
  assert.strictEqual(pieces.join(""), "The canopy rises slowly (P-12)");
  assert.deepStrictEqual(pieces.filter((_, n) => n % 2), ["canopy", "slowly", "P-12"]);
});
test("every page of a guide is brought up by its own title", () => {
  const guide = workshopGuide(400), search = load(build(guide)), titles = new Map();
  guide.documents.forEach((d) => titles.set(d.title, (titles.get(d.title) || 0) + 1));
  const lost = guide.documents.filter((d) => titles.get(d.title) === 1 && search.ask(d.title).results[0].url !== d.url);
  assert.ok(lost.length <= 4, lost.map((d) => d.title).join("; "));
});
test("the entry judges any collection", () => {
  const search = open([{ title: "Apples", body: "They grow on trees." }, { title: "Pears", body: "They grow beside apples." }]);
  assert.deepStrictEqual(search("aples").map((hit) => hit.document), [0, 1]);
});
test("the entry takes any collection", () => {
  assert.deepStrictEqual(open([])("pump"), []);
  const odd = open([null, 7, "pump", {}, { title: 12, body: ["oil", { more: "pump" }] }, { title: "\ud83d", body: "насос" }, { title: "油圧ポンプ", body: "x".repeat(300000) }, { url: "own", title: "Bleed it", related: ["own", "nowhere"] }]);
  assert.deepStrictEqual(odd("pump").map((hit) => hit.document).sort(), [2, 4]);
  assert.strictEqual(odd("насос")[0].document, 5);
  assert.strictEqual(odd("油圧")[0].document, 6);
  assert.deepStrictEqual([odd("bleed")[0].document, odd("bleed")[0].url], [7, "own"]);
  assert.deepStrictEqual(odd("\ud83d \udc00"), []);
  assert.throws(() => open({}), TypeError);
});
test("no query throws, hangs or changes the next answer", () => {
  const before = JSON.stringify(ask("canopy slow")), long = "canopy ".repeat(1500), texts = randomTexts(3, 3000);
  const nasty = ["\ud83d\ude80".repeat(5000), "x".repeat(10000), long, "\ud800\udc00\ud800", "\udfff", '"'.repeat(999), "\u202eyponac", "__proto__", "constructor toString", "<img src=x onerror=alert(1)>", "a'".repeat(4000), "1/".repeat(4000), "((((((((((", "\\", "%00", "${alert(1)}"];
  const start = Date.now();
  [...nasty, ...texts].forEach((query) => { const a = ask(query); core.marked(query, a.results.flatMap((r) => r.terms)); });
  assert.ok(Date.now() - start < 60000);
  assert.strictEqual(JSON.stringify(ask("canopy slow")), before);
});
test("markup in the guide cannot end the script", () => {
  const files = build({ documents: [{ url: "a", title: "</script><script>alert(1)</script>", body: "<!-- \u2028" }] });
  for (const text of files.values()) assert.ok(!text.includes("<") && !text.includes("\u2028"));
});
test("answers do not depend on who rests when", () => {
  const guide = workshopGuide(300), queries = ["canpoy pmup unti", "will not lok", "leaks at rset \"hand pump\"", "P12 8 Nm"];
  const steps = load(build(guide)).index, alone = queries.map((query) => load(build(guide)).index.search(query));
  const running = queries.map((query) => steps.steps(query)), answers = [];
  while (running.some((_, n) => !answers[n])) running.forEach((run, n) => { const step = answers[n] ? null : run.next(); if (step && step.done) answers[n] = step.value; });
  assert.strictEqual(JSON.stringify(answers), JSON.stringify(alone));
});
test("a glance finds the pages whose titles have words that begin so, as going through all titles does", () => {
  const guide = workshopGuide(700), { index } = load(build(guide)), titles = guide.documents.map((d) => d.title.toLowerCase());
  const begins = (title, word) => title.split(/[^a-z0-9.]+/).some((part) => part.startsWith(word));
  let found = 0;
  for (const document of guide.documents.filter((_, n) => n % 7 === 0)) {
    const words = document.title.toLowerCase().split(/[^a-z0-9.]+/).filter((word) => word.length > 2 && core.indexTerms(word, false)[0][0] !== "~").slice(0, 3).map((word) => word.slice(0, 5));
    const seen = index.glance(words.join(" "), "", 3), all = titles.filter((title) => words.every((word) => begins(title, word)));
    for (const { title } of seen) assert.ok(words.every((word) => begins(title.toLowerCase(), word)), `${words}: ${title}`);
    if (all.length < 4) assert.deepStrictEqual(seen.map((one) => one.title.toLowerCase()).sort(), all.sort(), words.join());
    found += seen.length;
  }
  assert.ok(found > 100);
});
test("a glance knows variants, accents and weak words, and what it shows is what the search shows", () => {
  const { index } = load(build({ ...GUIDE, documents: [...GUIDE.documents, page("z/cafe", "part", "Caf\u00e9 hatch", "", "", "")] })), seen = (text, variant = "") => index.glance(text, variant, 3).map((one) => one.url);
  assert.deepStrictEqual(seen("the canopy"), ["p/bleed", "f/slow"]);
  assert.deepStrictEqual(seen("canopy", "b"), ["f/slow"]);
  assert.deepStrictEqual(seen("CAFE HAT"), ["z/cafe"]);
  assert.deepStrictEqual([seen("ca"), seen(""), seen("canopy zz"), seen("anopy")], [[], [], [], []]);
  assert.deepStrictEqual(index.entitled("cafe hatch").map((at) => index.result(at).url), ["z/cafe"]);
  assert.deepStrictEqual([index.entitled("hatch"), index.entitled("")], [[], []]);
});
test("every page has its address", () => {
  const guide = workshopGuide(300), { index } = load(build(guide)), urls = guide.documents.map((d) => d.url).sort();
  assert.deepStrictEqual(urls.map((_, at) => index.result(at).url), urls);
});
