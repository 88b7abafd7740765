// The plan solver of the pages, loaded as a page loads it: classic scripts, one after the other, in one world.
"use strict";
const fs = require("node:fs"), path = require("node:path"), vm = require("node:vm");
const FOLDER = path.join(__dirname, "../../themes/script"), SCRIPTS = ["plan-cover.js", "plan-search.js", "plan.js"];

for (const name of SCRIPTS) vm.runInThisContext(fs.readFileSync(path.join(FOLDER, name), "utf8"), { filename: path.join(FOLDER, name) });

module.exports = { plan: vm.runInThisContext("plan"), FOLDER, SCRIPTS };
