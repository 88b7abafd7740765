// Invented workshop pages in any number, the same for the same number.
"use strict";
const { chance, pick } = require("./chance.js");

const PLACES = "left right front rear upper lower inner outer middle nearside offside forward".split(" ");
const PARTS = ("canopy cylinder,pump unit,hand pump,relief valve,check valve,lock pin,limit switch,tilt sensor,control unit,leg cylinder,stage hinge,reservoir,filter," +
  "fuse box,relay,battery,cable loom,connector,hose,port,seal,bearing,bracket,guide rail,damper,latch,solenoid,pressure switch,accumulator,drain plug,filler cap,pedal," +
  "key switch,lamp,buzzer,remote box,charge socket,ground strap,motor brush,coupling").split(",");
const SYMPTOMS = ("rises slowly,stops half-way,does not lift,does not lower,drifts down overnight,jerks on the way up,will not lock,does not turn on,turns off by itself,stays on,leaks at rest," +
  "leaks under load,is too hot,makes a whining noise,trips the fuse,shows no pressure,shows too much pressure,moves the wrong way,sticks in the cold,rattles when driven").split(",");
const TASKS = "Bleed,Replace,Adjust,Test,Clean,Remove,Fit,Measure,Release,Top up,Tighten,Inspect".split(",");
const VERBS = "open close hold press turn check read measure note compare tighten loosen lift lower wait start stop bleed drain fill wipe mark release connect disconnect".split(" ");
const PLAIN = ("the a of to and with until then from at on off in out up down not only after before if when there is it this each both same other more less than again slowly fully firmly by hand " +
  "level clear safe cold warm clean dry loose worn bent cracked missing air oil fluid pressure voltage current gap stroke play end side top seat thread screw nut washer cover plate hatch panel tool gauge meter cloth").split(" ");
const UNITS = "Nm,N m,lbf ft,bar,psi,mm,V,A,litres,°C".split(",");
const SYLLABLES = "bal cor den fer gan hol jin kel lum mor nip par quo ris sel tam ulf ven wex yar zin bra clo dru fli gro pra ste tru vlo".split(" ");

/** A word that no other page is likely to share. */
function rareWord(next) {
  let word = "";
  for (let n = 2 + Math.floor(next() * 2); n > 0; n--) word += pick(next, SYLLABLES);
  return word;
}

function code(next) {
  const letters = "ABCDEFHKLMPRSTUX";
  return `${pick(next, [...letters])}${next() < 0.5 ? "-" : ""}${1 + Math.floor(next() * 999)}`;
}

function sentence(next, topic) {
  const words = [pick(next, VERBS), "the"];
  for (let n = 6 + Math.floor(next() * 9); n > 0; n--) {
    const x = next();
    words.push(x < 0.16 ? pick(next, topic) : x < 0.26 ? pick(next, PARTS) : x < 0.29 ? `${1 + Math.floor(next() * 200)} ${pick(next, UNITS)}` : x < 0.3 ? code(next) : pick(next, PLAIN));
  }
  const text = words.join(" ");
  return text[0].toUpperCase() + text.slice(1) + ".";
}

/** @param {number} count @returns {{documents: object[], kinds: object[], synonyms: object[]}} a guide as the index builder reads it */
function workshopGuide(count) {
  const next = chance(count + 11);
  const assemblies = Array.from({ length: Math.ceil(count / 12) }, () => rareWord(next));
  const documents = [];
  for (let n = 0; n < count; n++) {
    const assembly = pick(next, assemblies), part = pick(next, PARTS), place = pick(next, PLACES);
    const topic = [assembly, ...part.split(" "), place, rareWord(next), rareWord(next), pick(next, PLAIN), pick(next, PLAIN)];
    const fault = n % 3 === 0, procedure = n % 3 === 1;
    const title = fault ? `The ${place} ${assembly} ${part} ${pick(next, SYMPTOMS)}` : procedure ? `${pick(next, TASKS)} the ${place} ${assembly} ${part}` : `${assembly} ${part}, ${place}`;
    let body = "";
    for (let words = 0; words < 190; ) { const s = sentence(next, topic); words += s.split(" ").length; body += s + " "; }
    const kind = fault ? "fault" : procedure ? "procedure" : "part";
    documents.push({ url: `${kind}s/${String(n).padStart(5, "0")}-${assembly}.html`, kind, title, also: fault ? `${rareWord(next)} ${pick(next, PARTS)}` : "", codes: `${code(next)} ${code(next)}`, body,
      variants: next() < 0.3 ? ["b"] : [], related: documents.length ? [pick(next, documents).url] : [], tags: procedure && next() < 0.3 ? ["recalibration required"] : [] });
  }
  return { documents, kinds: KINDS, synonyms: SYNONYMS };
}

// Chosen on the tuning half of the judged questions.
const KINDS = Object.entries({ fault: 110, circuit: 106, procedure: 102, part: 102, reading: 102, note: 95 }).map(([id, boost]) => ({ id, boost, is_work: id === "procedure" }));
const SYNONYMS = [{ preferred: "pump unit", avoided: ["power pack"], said: ["howler"] }, { preferred: "reservoir", avoided: ["tank"], said: ["pot"] }];

module.exports = { workshopGuide, KINDS };
