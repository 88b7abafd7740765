// The TypeScript compiler checks the JSDoc of every script of the theme, all of them together as a page loads them.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { spawnSync } = require("node:child_process");
const SCRIPTS = path.join(__dirname, "../../themes/script");

/** Scripts whose every parameter has a type; the others build pages out of elements, where a type says little. */
const STRICTEST = /^(guide|plan|plan-cover|plan-search|reading|search-core|search-box)\.js$/;

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
  assert.strictEqual(strictest.length, 7);
  assert.deepStrictEqual(wrong(strictest), []);
});

test("a wrong type is found", () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "plan-types-")), script = path.join(folder, "wrong.js");
  fs.writeFileSync(script, "/** @param {number} n @returns {string} */\nfunction wrong(n) { return n; }\n");
  assert.match(wrong([script]).join(), /wrong\.js.*TS2322/);
  fs.rmSync(folder, { recursive: true });
});
