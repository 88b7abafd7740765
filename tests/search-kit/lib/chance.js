// Repeatable chance: the same seed gives the same numbers on every machine.
"use strict";

/** @param {number} seed @returns {() => number} numbers from 0 to below 1 (Mulberry32, public domain, from memory) */
function chance(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** @template T @param {() => number} next @param {T[]} list @returns {T} */
function pick(next, list) {
  return list[Math.floor(next() * list.length)];
}

/** One typing error in a word: two letters swapped, one dropped, doubled or replaced. @param {() => number} next @param {string} word */
function misspell(next, word) {
  const at = Math.floor(next() * (word.length - 1));
  const letter = "abcdefghijklmnoprstuwy"[Math.floor(next() * 22)];
  switch (Math.floor(next() * 4)) {
    case 0: return word[at] === word[at + 1] ? word.slice(0, at) + word.slice(at + 1) : word.slice(0, at) + word[at + 1] + word[at] + word.slice(at + 2);
    case 1: return word.slice(0, at) + word.slice(at + 1);
    case 2: return word.slice(0, at) + letter + word.slice(at);
    default: return word.slice(0, at) + (word[at] === letter ? "z" : letter) + word.slice(at + 1);
  }
}

module.exports = { chance, pick, misspell };
