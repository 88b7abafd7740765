// The faults of the demo as their pages have them: what the compiler wrote, read as a browser reads it.
"use strict";
const fs = require("node:fs"), os = require("node:os"), path = require("node:path"), vm = require("node:vm");
const { execFileSync } = require("node:child_process");
const ROOT = path.join(__dirname, "../..");

/** A program that was built, named by the environment or in its usual place. */
function built(name, variable) {
  return process.env[variable] || path.join(process.env.CARGO_TARGET_DIR || path.join(ROOT, "target"), "debug", name);
}

/** The questions in the data files of a published guide, by name of the file. */
function questions(site) {
  const world = vm.createContext({});
  for (const name of fs.readdirSync(path.join(site, "walks")).sort()) vm.runInContext(fs.readFileSync(path.join(site, "walks", name), "utf8"), world);
  return Object.values(JSON.parse(vm.runInContext("JSON.stringify(Bayleaf.walks)", world)));
}

let faults = null;
/** The questions of the demo; GUIDE_SITE names it where it is published already. */
function demoFaults() {
  if (!faults && process.env.GUIDE_SITE) faults = questions(process.env.GUIDE_SITE);
  if (!faults) {
    const site = fs.mkdtempSync(path.join(os.tmpdir(), "plan-demo-"));
    execFileSync(built("bayleaf", "BAYLEAF"), ["compile", path.join(ROOT, "content"), "--out", path.join(site, "site")], { stdio: "ignore" });
    faults = questions(path.join(site, "site"));
    fs.rmSync(site, { recursive: true });
  }
  return faults;
}

module.exports = { built, demoFaults, questions };
