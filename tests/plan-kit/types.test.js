// The TypeScript compiler checks the JSDoc of every script of the theme, all of them together as a page loads them.
"use strict";
const test = require("node:test"), assert = require("node:assert"), fs = require("node:fs"), os = require("node:os"), path = require("node:path");
const { spawnSync } = require("node:child_process");
const SCRIPTS = path.join(__dirname, "../../themes/script");

/** What the compiler finds wrong in some scripts; `module` and `require` exist in Node alone. */
function wrong(scripts) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "plan-types-")), globals = path.join(folder, "globals.d.ts");
  fs.writeFileSync(globals, "declare var module: any;\ndeclare var require: any;\n");
  const args = ["--allowJs", "--checkJs", "--noEmit", "--strict", "--target", "es2020", "--lib", "es2020,dom", "--typeRoots", folder, "--pretty", "false"];
  const { stdout } = spawnSync(process.execPath, [require.resolve("typescript/lib/tsc.js"), ...args, globals, ...scripts], { encoding: "utf8" });
  fs.rmSync(folder, { recursive: true });
  return stdout;
}

test("the types of all scripts hold", () => {
  const scripts = fs.readdirSync(SCRIPTS).filter((name) => name.endsWith(".js")).map((name) => path.join(SCRIPTS, name));
  assert.ok(scripts.length > 5);
  assert.strictEqual(wrong(scripts), "");
});

test("a wrong type is found", () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "plan-types-")), script = path.join(folder, "wrong.js");
  fs.writeFileSync(script, "/** @param {number} n @returns {string} */\nfunction wrong(n) { return n; }\n");
  assert.match(wrong([script]), /wrong\.js.*TS2322/);
  fs.rmSync(folder, { recursive: true });
});
