// Makes documents for the kit from a guide folder: node guide.js CONTENT > guide.json
//
// It stands in for the compiler, whose pages carry the same texts in more words; addresses are kind/id.
"use strict";
const fs = require("node:fs"), path = require("node:path");
const { parse } = require("smol-toml");
const { KINDS } = require("./lib/workshop.js");

const REFERENCES = new Set("repair procedure fault reading part faults brings go_to goes_to covers make_safe runs".split(" "));
const SILENT = new Set("id source reviewed picture kind unit_from hazard state from to verdict leaves need access after pair share drives sets needs ends_on start key signal first cautions opens moves disturbs makes_safe bulletins applied_bulletins touches applies_to variants".split(" "));
// What the compiler adds to the words of an entry.
const SOUGHT = { circuit: ["hoses"], path: ["wiring diagram"], sequence: ["what happens in order"] };
const plain = (text) => text.replace(/\[([^\]]*)\]\([^)]*\)/g, "$1").replace(/[*_`|#]+/g, " ");
const folders = { fault: "faults", procedure: "procedures", part: "parts", reading: "readings", sequence: "sequences", path: "wiring", bulletin: "bulletins", circuit: "hoses" };

/** All prose below a value, and all references to other entries. */
function gather(value, key, into) {
  if (typeof value === "string") {
    if (REFERENCES.has(key)) into.related.push(value.split("/")[0]);
    else if (!SILENT.has(key)) into.prose.push(plain(value));
    for (const link of value.matchAll(/\]\((\w+):([\w-]+)\)/g)) into.related.push(link[2]);
  } else if (Array.isArray(value)) value.forEach((v) => gather(v, key, into));
  else if (value && typeof value === "object" && !(value instanceof Date)) {
    for (const [k, v] of Object.entries(value)) gather(v, k, into);
  }
}

function documentOf(kind, entry) {
  const into = { prose: [], related: [] };
  gather({ ...entry, title: "", symptom: "", name: "", also_said: "", codes: "", mark: "", number: "", supersedes: "" }, "", into);
  const tag = (entry.recalibration || []).find((r) => r.need && r.need !== "none");
  return {
    url: `${kind}/${entry.id}`, kind, title: entry.title || entry.symptom || entry.name || entry.id,
    also: [entry.also_said || []].flat().join("\n"), codes: [entry.codes || [], entry.number || [], entry.mark && entry.mark.length < 5 ? entry.mark : [], entry.supersedes || []].flat().join("\n"),
    body: into.prose.join(" ") + (entry.mark ? ` ${entry.mark}` : ""), variants: entry.applies_to || [], related: [...new Set(into.related)], tags: tag ? [`recalibration ${tag.need}`] : [],
  };
}

/** @param {string} folder @returns {{documents: object[], kinds: object[], synonyms: object[]}} */
function readGuide(folder) {
  const documents = [], read = (file) => parse(fs.readFileSync(path.join(folder, file), "utf8"));
  for (const [kind, place] of Object.entries(folders)) {
    for (const file of fs.existsSync(path.join(folder, place)) ? fs.readdirSync(path.join(folder, place)).sort() : []) {
      const table = read(`${place}/${file}`), found = table[kind];
      if (!found) continue;
      if (Array.isArray(found)) found.forEach((entry) => documents.push(documentOf(kind, entry)));
      else {
        const hoses = (table.hose || []).map((hose) => hose.mark), document = documentOf(kind, { ...table, ...found, [kind]: undefined, codes: hoses.length ? hoses : found.codes, also_said: SOUGHT[kind] || found.also_said });
        documents.push(document);
      }
    }
  }
  for (const file of fs.readdirSync(path.join(folder, "notes")).sort()) {
    const text = fs.readFileSync(path.join(folder, "notes", file), "utf8"), [, head, body] = text.split("+++");
    documents.push({ url: `note/${file.replace(/\.md$/, "")}`, kind: "note", title: parse(head).title, also: "", codes: "", body: plain(body), variants: [], related: [...body.matchAll(/\]\(\w+:([\w-]+)\)/g)].map((m) => m[1]), tags: [] });
  }
  const byId = new Map(documents.map((document) => [document.url.split("/")[1], document.url]));
  documents.forEach((document) => { document.related = document.related.map((id) => byId.get(id)).filter((url) => url && url !== document.url); });
  const synonyms = (read("terms.toml").term || []).map((term) => ({ preferred: term.word, avoided: term.avoid || [], said: term.also_said || [] }));
  return { documents, kinds: KINDS, synonyms };
}

module.exports = { readGuide };
if (require.main === module) process.stdout.write(JSON.stringify(readGuide(process.argv[2])));
