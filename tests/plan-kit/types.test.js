// The TypeScript compiler checks the JSDoc of every script of the theme, all of them together as a page loads them.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { spawnSync } = require("node:child_process");
const SCRIPTS = path.join(__dirname, "../../themes/script");

/** Scripts whose every parameter has a type; the others build pages out of elements, where a type says little. */
const STRICTEST = /^(guide|plan|plan-cover|plan-search|reading|work|search-core|search-box)\.js$/;

/** What the compiler finds wrong in some scripts, line by line; `module` and `require` exist in Node alone. */
function wrong(scripts, ...more) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "plan-types-")), globals = path.join(folder, "globals.d.ts");
  fs.writeFileSync(globals, "declare var module: any;\ndeclare var require: any;\n");
  const args = ["--allowJs", "--checkJs", "--noEmit", "--strict", "--target", "es2020", "--lib", "es2020,dom", "--typeRoots", folder, "--pretty", "false", ...more];
  const { stdout } = spawnSync(process.execPath, [require.resolve("typescript/lib/tsc.js"), ...args, globals, ...scripts], { encoding: "utf8" });
  fs.rmSync(folder, { recursive: true });
  return stdout.split("\n").filter(Boolean);
}

test("the types of all scripts hold", () => {
  const names = fs.readdirSync(SCRIPTS).filter((name) => name.endsWith(".js")), scripts = names.map((name) => path.join(SCRIPTS, name));
  assert.deepStrictEqual(wrong(scripts, "--noImplicitAny", "false"), []);
  const strictest = names.filter((name) => STRICTEST.test(name)).map((name) => path.join(SCRIPTS, name));
  assert.strictEqual(strictest.length, 8);
  assert.deepStrictEqual(wrong(strictest), []);
});

test("a wrong type is found", () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "plan-types-")), script = path.join(folder, "wrong.js");
  fs.writeFileSync(script, "/** @param {number} n @returns {string} */\nfunction wrong(n) { return n; }\n");
  assert.match(wrong([script]).join(), /wrong\.js.*TS2322/);
  fs.rmSync(folder, { recursive: true });
});

/** Every name of a property that the language or a browser has. */
function standardNames() {
  const folder = path.dirname(require.resolve("typescript")), names = new Set();
  for (const file of fs.readdirSync(folder).filter((name) => /^lib\.(dom|es5|es20(1\d|20)\.\w+)(\.\w+)*\.d\.ts$/.test(name)))
    for (const [, name] of fs.readFileSync(path.join(folder, file), "utf8").matchAll(/^\s*(?:readonly |get |set )?"?([A-Za-z_$][\w$]*)"?\??(?:\(|:|<)/gm)) names.add(name);
  return names;
}

/** Every key of the data that a published guide has for the scripts of its pages. */
function dataNames(site) {
  const files = fs.readdirSync(site, { recursive: true }).filter((name) => /^(walks\/.*|edition)\.js$|\.html$/.test(name));
  return new Set(files.flatMap((name) => [...fs.readFileSync(path.join(site, name), "utf8").matchAll(/"(\w+)":/g)].map((key) => key[1])));
}

test("a name that is shortened is the scripts' own", { skip: !process.env.GUIDE_SITE }, () => {
  const own = fs.readFileSync(path.join(SCRIPTS, "own-names.txt"), "utf8").split("\n").filter((line) => /^\w/.test(line));
  const standard = standardNames(), data = dataNames(process.env.GUIDE_SITE), texts = fs.readdirSync(SCRIPTS).filter((name) => name.endsWith(".js")).map((name) => fs.readFileSync(path.join(SCRIPTS, name), "utf8"));
  assert.ok(own.length > 10 && standard.has("textContent") && standard.has("flatMap") && standard.has("padStart") && data.has("eliminable") && data.has("hash"));
  assert.deepStrictEqual(own.filter((name) => standard.has(name) || data.has(name)), []);
  assert.deepStrictEqual(own.filter((name) => texts.some((text) => text.includes(`"${name}"`))), [], "said as a text too");
});
