// Reads judged questions: a table of query, wanted pages (addresses apart by spaces; any counts) and group.
// Lines that begin with # are remarks. Every second question of a group is held out from tuning; a fourth column, `aside`,
// puts single questions aside in a list that has no such half.
"use strict";

/** @param {string} text @returns {{query: string, pages: string[], group: string, held: boolean, aside: boolean}[]} */
function readQuestions(text) {
  const seen = new Map();
  return text.split(/\r?\n/).filter((line) => line.trim() && !line.startsWith("#")).map((line, n) => {
    const [query, pages, group, mark] = line.split("\t");
    if (!query || !pages || !group) throw new Error(`question ${n + 1} needs query, pages and group, apart by tabs: ${line}`);
    const nth = seen.get(group) || 0;
    seen.set(group, nth + 1);
    return { query, pages: pages.split(" "), group, held: nth % 2 === 1, aside: mark === "aside" };
  });
}

module.exports = { readQuestions };
