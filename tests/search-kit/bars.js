// Measures every bar of the search in one run, and lists them at the end with how busy the machine was.
//
//   node bars.js --builder PATH [--held] [--write | --known --judged --scale --browser --parity]
//
// PATH: the compiled example search_index, better with --release; `--write` puts the table into the README; names of runs
// leave out the others. Takes ten minutes or more: parity over the whole term list of 10,000 pages alone asks 30,000 questions twice.
"use strict";
const { spawnSync } = require("node:child_process"), fs = require("node:fs"), os = require("node:os"), path = require("node:path");

const at = process.argv.indexOf("--builder"), builder = at > 0 ? path.resolve(process.argv[at + 1]) : "", held = process.argv.includes("--held") ? ["--held"] : [];
/** Ends with what the person who started it has to do. @param {string} what */
function refuse(what) { console.error(what); process.exit(2); }
if (!builder) refuse("name the compiled example: node bars.js --builder PATH");
const guide = path.join(fs.mkdtempSync(path.join(os.tmpdir(), "search-bars-")), "guide.json");
const all = [
  ["known items on 1,000 invented pages", ["quality.js"], "--known"],
  ["the demo guide", ["quality.js", ...held, guide, "questions.tsv"], "--judged"],
  ["size and time", ["scale.js", "--builder", builder, "1000", "10000"], "--scale"],
  ["Chromium, 10,000 pages, four times slower", ["browser.js", "--builder", builder], "--browser"],
  ["parity over 10,000 pages and 100,000 random texts", ["--test", "parity.test.js"], "--parity", { SEARCH_INDEX: builder, PARITY_PAGES: "10000" }],
];
const chosen = all.filter((run) => process.argv.includes(run[2])), runs = chosen.length ? chosen : all, loads = [];
if (chosen.length && process.argv.includes("--write")) refuse("the table holds every run: leave out either --write or the names of runs");
const read = spawnSync(process.execPath, ["guide.js", "../../content"], { cwd: __dirname, maxBuffer: 2 ** 28 });
if (read.status !== 0) refuse(`the demo could not be read: ${read.stderr}`);
fs.writeFileSync(guide, read.stdout);

const bars = [];
for (const [name, args, , more] of runs) {
  loads.push(os.loadavg()[0]);
  console.log(`\n== ${name} (load ${os.loadavg()[0].toFixed(1)} on ${os.cpus().length} processors)`);
  const done = spawnSync(process.execPath, args, { cwd: __dirname, env: { ...process.env, ...more }, maxBuffer: 2 ** 28 }), said = `${done.stdout}${done.stderr}`;
  console.log(said);
  const lines = said.split("\n").filter((line) => /^(met|MISSED) /.test(line));
  bars.push(...lines.map((line) => `${line}  [${name}]`));
  if (args[0] === "--test") bars.push(`${done.status === 0 ? "met   " : "MISSED"} ${name}`);
  else if (!lines.length || done.status !== 0 && !lines.some((line) => line.startsWith("MISSED"))) bars.push(`MISSED ${name}: it did not run`);
}
fs.rmSync(path.dirname(guide), { recursive: true });
console.log(`\n== all bars\n${bars.join("\n")}`);
process.exitCode = bars.some((line) => line.startsWith("MISSED")) ? 1 : 0;

/** The bars as a table, under a line that says when and on what machine they were measured. */
function table() {
  const busy = Math.max(...loads, os.loadavg()[0]), cores = os.cpus().length;
  const rows = bars.map((line) => {
    const [, met, name, value, unit, bar, run] = /^(met|MISSED) +(.*?)(?:: ([\d.]+) ?(\S*) against ([\d.]+).*)?  \[(.*)\]$/.exec(`${line}${line.endsWith("]") ? "" : "  [all]"}`);
    return `| ${run} | ${name} | ${value ? `${value} ${unit}`.trim() : ""} | ${bar || ""} | ${met === "met" ? "yes" : "no"} |`;
  });
  return [`${new Date().toISOString().slice(0, 10)}, ${cores} processors, ${busy > cores ? "busy" : "quiet"} (load ${busy.toFixed(1)}), Node ${process.version}`, "",
    "| run | bar | measured | against | met |", "|---|---|---|---|---|", ...rows].join("\n");
}
if (process.argv.includes("--write")) {
  const file = path.join(__dirname, "README.md"), text = fs.readFileSync(file, "utf8");
  fs.writeFileSync(file, text.replace(/(<!-- measured -->\n)[^]*(\n<!-- end -->)/, (_, head, tail) => `${head}${table()}${tail}`));
}
