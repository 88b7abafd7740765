// Random texts of all scripts, mixed with what makes tokens hard: joints, codes, units, contractions, markup.
"use strict";
const { chance, pick } = require("./chance.js");

const PIECES = ("P-12 p12 P_12 M8x1.25 M8×1.25 3/8 0.5 1,000 0,5 1,2,3 25A 25 A 8 Nm N m N·m 5.9 lbf ft l/min 40-60 °C 104 °F -5 1¾ ½ in ² don't doesn’t can't won't cannot isnt n't o'ring pump's we'll y'all " +
  "not no never without on off up down fuse/relay and/or half-way e.g. ... -- ' '' - _ __ / // . , ; : ! ? ( ) \" “ ” « » # ! <b> </script> <img/src=x> &amp; {{x}} ${y} \\ \\u0041 \u2028 \n \t 油圧ポンプ 泵 насос Насосы ΟΔΟΣ ΣΣ İstanbul ıI ß ẞ ﬁlter Å Å é é 한국어 ไทยปั๊ม שמן تسريب हाइड्रोलिक \ud83d\ude80 " +
  "\ud83d\udc68\u200d\ud83d\udd27 canopy canopies leaking leaked leaks yyed sses agreed bled hopping relational the a of").split(" ");
// Blocks from which letters are drawn: Latin to Greek and Cyrillic, Hebrew and Arabic, Indic, Thai, Georgian, Hangul, kana, Han, marks, signs, astral letters, anything.
const BLOCKS = [[0x20, 0x7e], [0xa0, 0x24f], [0x300, 0x3ff], [0x400, 0x52f], [0x531, 0x6ff], [0x700, 0xdff], [0xe00, 0x10ff], [0x1100, 0x13ff], [0x1680, 0x1fff], [0x2000, 0x2bff], [0x2c00, 0x2fff],
  [0x3000, 0x33ff], [0x3400, 0x9fff], [0xa000, 0xd7ff], [0xf900, 0xffff], [0x10000, 0x1ffff], [0x20000, 0x323af], [0xe0000, 0xe01ef], [0x20, 0x10ffff]];

/** @param {() => number} next @returns {string} */
function randomCharacter(next) {
  const [from, to] = pick(next, BLOCKS), code = from + Math.floor(next() * (to - from + 1));
  // Letters that a later Unicode adds are letters on one side only until both sides know that version.
  return /[\p{Cn}\p{Cs}]/u.test(String.fromCodePoint(code)) ? "x" : String.fromCodePoint(code);
}

/** @param {number} seed @param {number} count @returns {string[]} well-formed texts of 0 to 40 pieces */
function randomTexts(seed, count) {
  const next = chance(seed);
  return Array.from({ length: count }, () => {
    let text = "";
    for (let n = Math.floor(next() * next() * 40); n > 0; n--) text += (next() < 0.5 ? pick(next, PIECES) : randomCharacter(next)) + (next() < 0.4 ? " " : "");
    return text;
  });
}

module.exports = { randomTexts };
