// Finds pages in a search index. Pure: no page, no network; runs in any browser and in Node.
// The index is what the compiler wrote into the global `guideIndex`; shards that are not loaded yet are asked for by name.
var SearchCore = (function () {
  "use strict";

  // tables: written once for both languages, kept equal by a test
  var TABLES = {
    "weak": "a about again all also am an and any are as at be been being but by can could did do does each for get gets had has have he her him his how i if is it its just may me might must my of or our shall she should so some such than that the their them then there these they this those us was we were what when where which while who why will with would you your",
    "not": "not no never without neither nor",
    "bare": "arent couldnt didnt doesnt dont hadnt hasnt havent isnt mustnt shouldnt wasnt werent wouldnt",
    "units": "t:nm=1,ncm=0.01,knm=1000,lbfft=1.3558179483,lbft=1.3558179483,ftlb=1.3558179483,ftlbs=1.3558179483,ftlbf=1.3558179483,lbfin=0.112984829,lbin=0.112984829,inlb=0.112984829,inlbs=0.112984829,inlbf=0.112984829,kgfm=9.80665 p:pa=0.001,kpa=1,mpa=1000,bar=100,mbar=0.1,psi=6.894757293,psig=6.894757293 l:mm=1,cm=10,m=1000,metre=1000,metres=1000,in=25.4,inch=25.4,inches=25.4,ft=304.8,foot=304.8,feet=304.8 v:v=1,mv=0.001,volt=1,volts=1 a:a=1,ma=0.001,amp=1,amps=1,ampere=1,amperes=1 w:w=1,kw=1000,watt=1,watts=1,hp=745.7 o:ω=1,ohm=1,ohms=1,kω=1000,kohm=1000,mω=1000000 q:l=1,litre=1,litres=1,liter=1,liters=1,ml=0.001,cl=0.01,gal=3.785411784,gallon=3.785411784,gallons=3.785411784,qt=0.946352946,quart=0.946352946,quarts=0.946352946,pt=0.473176473,floz=0.0295735296 k:kg=1,g=0.001,t=1000,lb=0.45359237,lbs=0.45359237,oz=0.028349523 n:n=1,kn=1000,dan=10,lbf=4.4482216153,kgf=9.80665 s:s=1,sec=1,secs=1,second=1,seconds=1,ms=0.001,min=60,mins=60,minute=60,minutes=60,h=3600,hour=3600,hours=3600 h:hz=1,khz=1000 f:lmin=1,lpm=1,gpm=3.785411784 c:c=1,degc=1,f=0.5555555556,degf=0.5555555556 u:mm2=1,cm2=100"
    };
  // end of tables
  var LONGEST = 32;
  /** @param {string} text @returns {Set<string>} */
  function setOf(text) { return new Set(text.split(" ")); }
  var WEAK = setOf(TABLES.weak), NEGATORS = setOf(TABLES.not), BARE = setOf(TABLES.bare);
  /** @type {Map<string, {dimension: string, factor: number}>} */
  var UNITS = new Map();
  TABLES.units.split(" ").forEach(function (group) {
    group.slice(2).split(",").forEach(function (pair) {
      var at = pair.indexOf("=");
      UNITS.set(pair.slice(0, at), { dimension: group[0], factor: Number(pair.slice(at + 1)) });
    });
  });

  // ---- words ----

  /** @typedef {{term: string, parts: string[], breaks: boolean}} Word */

  /** One spelling for every way of typing a text. @param {string} text @returns {string} */
  function fold(text) {
    return text
      .replace(/[\u00bc-\u00be\u2150-\u215f\u2189]/g, " $&")
      .normalize("NFKD").toLowerCase()
      .replace(/[\u0300-\u036f\u00ad\u200b-\u200d\u2060\ufeff]/g, "")
      .replace(/[\u2010-\u2015\u2212]/g, "-").replace(/[\u2018\u2019\u02bc]/g, "'").replace(/[\u2044\u2215]/g, "/")
      .replace(/\u00d7/g, "x").replace(/ς/g, "σ").replace(/ı/g, "i").replace(/ß/g, "ss")
      .normalize("NFKC");
  }

  var LETTER = "[\\p{Alphabetic}\\p{N}\\p{M}]";
  var ATOM = new RegExp(LETTER + "+(?:[-_'./,]" + LETTER + "+)*", "gu");
  var UNSPACED = "[\\u0e00-\\u0eff\\u1000-\\u109f\\u1780-\\u17ff\\u3040-\\u30ff\\u31f0-\\u31ff\\u3400-\\u4dbf\\u4e00-\\u9fff\\uf900-\\ufaff\\u{20000}-\\u{3ffff}]";
  var HAS_UNSPACED = new RegExp(UNSPACED, "u");
  var RUNS = new RegExp(UNSPACED + "+|[^" + UNSPACED.slice(1) + "+", "gu");

  /** @param {string} term @returns {string} */
  function cut(term) { return term.length > LONGEST ? Array.from(term).slice(0, LONGEST).join("") : term; }

  /** The words of a text. @param {string} text @returns {Word[]} */
  function words(text) {
    var folded = fold(text), /** @type {Word[]} */ found = [], end = 0, match;
    ATOM.lastIndex = 0;
    while ((match = ATOM.exec(folded))) {
      pushChain(found, match[0], /[.,;:!?()\n]/.test(folded.slice(end, match.index)));
      end = match.index + match[0].length;
    }
    return found;
  }

  /** A chain of letters and joints: cut where a joint parts two words. @param {Word[]} found @param {string} chain @param {boolean} breaks */
  function pushChain(found, chain, breaks) {
    var parts = [""], apostrophe = false;
    for (var i = 0; i < chain.length; i++) {
      var c = chain[i], digits = isDigit(chain[i - 1]) && isDigit(chain[i + 1]);
      if ("-_'".indexOf(c) >= 0) { apostrophe = c === "'"; parts.push(""); }
      else if ("./,".indexOf(c) < 0) parts[parts.length - 1] += c;
      else if (!digits) { pushAtom(found, parts, apostrophe, breaks); parts = [""]; apostrophe = false; breaks = c !== "/"; }
      else if (c !== ",") parts[parts.length - 1] += c;
      else if (!(isDigit(chain[i + 2]) && isDigit(chain[i + 3]) && !isDigit(chain[i + 4]))) parts[parts.length - 1] += ".";
    }
    pushAtom(found, parts, apostrophe, breaks);
  }

  /** @param {string | undefined} c @returns {boolean} */
  function isDigit(c) { return c !== undefined && c >= "0" && c <= "9"; }

  /** @param {Word[]} found @param {string[]} parts @param {boolean} apostrophe @param {boolean} breaks */
  function pushAtom(found, parts, apostrophe, breaks) {
    var base = negatedBase(parts, apostrophe);
    if (base !== null) {
      found.push({ term: cut(base), parts: [], breaks: breaks }, { term: "not", parts: [], breaks: false });
    } else if (parts.some(function (part) { return HAS_UNSPACED.test(part); })) {
      parts.forEach(function (part) { pushUnspaced(found, part, breaks); });
    } else {
      found.push({ term: cut(parts.join("")), parts: parts.length > 1 ? parts.map(cut) : [], breaks: breaks });
    }
  }

  /** The verb of a contraction with not; drops other apostrophe endings. @param {string[]} parts @param {boolean} apostrophe @returns {string | null} */
  function negatedBase(parts, apostrophe) {
    if (parts.length === 1) {
      if (parts[0] === "cannot" || parts[0] === "cant") return "can";
      if (parts[0] === "wont") return "will";
      return BARE.has(parts[0]) ? parts[0].slice(0, -2) : null;
    }
    if (!apostrophe) return null;
    var last = parts[parts.length - 1], first = parts[0];
    if (last === "t" && parts.length === 2 && /.n$/u.test(first)) {
      var stump = first.slice(0, -1);
      return stump === "wo" ? "will" : stump === "ca" ? "can" : stump === "sha" ? "shall" : stump;
    }
    if (/^(s|ll|re|ve|d|m)$/.test(last)) parts.pop();
    return null;
  }

  /** @param {Word[]} found @param {string} part @param {boolean} breaks */
  function pushUnspaced(found, part, breaks) {
    (part.match(RUNS) || []).forEach(function (run) {
      var chars = Array.from(run);
      if (chars.length === 1 || !HAS_UNSPACED.test(run)) found.push({ term: cut(run), parts: [], breaks: breaks });
      else for (var i = 0; i + 1 < chars.length; i++) found.push({ term: chars[i] + chars[i + 1], parts: [], breaks: breaks });
    });
  }

  /** @param {Word} word @returns {boolean} */
  function isWeak(word) { return !word.parts.length && WEAK.has(word.term); }

  // ---- stems: M. F. Porter's algorithm (Program 14, 1980), with the departures of the index library.
  // Before it, the -ly of slowly and firmly goes (not of supply, assembly, family). ----

  /** Consonants and vowels of a word, as a string of c and v. @param {string} word @returns {string} */
  function shape(word) {
    var s = "";
    for (var i = 0; i < word.length; i++) {
      s += "aeiou".indexOf(word[i]) >= 0 || (word[i] === "y" && i > 0 && s[i - 1] === "c") ? "v" : "c";
    }
    return s;
  }
  /** How often consonants follow vowels. @param {string} word @returns {number} */
  function measure(word) { return (shape(word).match(/v+c+/g) || []).length; }
  /** @param {string} word @returns {boolean} */
  function endsShort(word) { return shape(word).endsWith("cvc") && !/[wxy]$/.test(word); }

  /** The first ending that fits, replaced where enough of the word is left. @param {string} word @param {string[][]} rules @param {number} least @returns {string} */
  function swap(word, rules, least) {
    for (var i = 0; i < rules.length; i++) {
      var rule = rules[i];
      if (!word.endsWith(rule[0])) continue;
      var left = word.slice(0, word.length - rule[0].length);
      if (rule[0] === "ion" && !/[st]$/.test(left)) continue;
      return measure(left) > least ? left + rule[1] : word;
    }
    return word;
  }

  /** @param {string} text @returns {string[][]} */
  function rulesOf(text) { return text.split(" ").map(function (rule) { return rule.split(">"); }); }
  var SECOND = rulesOf("ational>ate tional>tion enci>ence anci>ance izer>ize bli>ble alli>al entli>ent eli>e ousli>ous ization>ize ation>ate ator>ate alism>al iveness>ive fulness>ful ousness>ous aliti>al iviti>ive biliti>ble logi>log");
  var THIRD = rulesOf("icate>ic ative> alize>al iciti>ic ical>ic ful> ness>");
  var FOURTH = rulesOf("al> ance> ence> er> ic> able> ible> ant> ement> ment> ent> ion> ou> ism> ate> iti> ous> ive> ize>");

  /** @param {string} w @returns {string} */
  function stem(w) {
    if (w.length < 3 || !/^[a-z]+$/.test(w)) return w;
    if (w.length > 5 && /[^aibloup]ly$/.test(w)) w = w.slice(0, -2);
    if (w.endsWith("sses") || w.endsWith("ies")) w = w.slice(0, -2);
    else if (/[^s]s$/.test(w)) w = w.slice(0, -1);
    w = past(w);
    w = w.replace(/^(.+[^aeiou])y$/, "$1i");
    w = swap(swap(swap(w, SECOND, 0), THIRD, 0), FOURTH, 1);
    if (w.endsWith("e")) {
      var left = w.slice(0, -1), m = measure(w);
      if (m > 1 || (m === 1 && !endsShort(left))) w = left;
    }
    return w.endsWith("ll") && measure(w) > 1 ? w.slice(0, -1) : w;
  }

  /** Endings of the past and of -ing. @param {string} w @returns {string} */
  function past(w) {
    if (w.endsWith("eed")) return measure(w.slice(0, -3)) > 0 ? w.slice(0, -1) : w;
    var left = w.endsWith("ed") ? w.slice(0, -2) : w.endsWith("ing") ? w.slice(0, -3) : "";
    if (shape(left).indexOf("v") < 0) return w;
    if (/(at|bl|iz)$/.test(left)) return left + "e";
    if (/([^aeiou])\1$/.test(left) && shape(left).endsWith("c")) return /[lsz]$/.test(left) ? left : left.slice(0, -1);
    return measure(left) === 1 && endsShort(left) ? left + "e" : left;
  }

  /** The stem of a plain word; a compound stays as it is. @param {Word} word @returns {string} */
  function root(word) { return word.parts.length ? word.term : stem(word.term); }

  // ---- numbers with units ----

  /** @typedef {{from: number, to: number, buckets: [string, number][], glued: string | null}} Quantity */

  /** @param {Word[]} list @returns {Quantity[]} */
  function quantities(list) {
    var found = [], at = 0;
    while (at < list.length) {
      var quantity = quantityAt(list, at);
      if (quantity) found.push(quantity);
      at = quantity ? quantity.to : at + 1;
    }
    return found;
  }

  /** @param {Word[]} list @param {number} at @returns {Quantity | null} */
  function quantityAt(list, at) {
    var word = list[at], match = /^[0-9.\/]*/.exec(word.term), digits = match ? match[0] : "";
    var stump = word.parts.length ? "" : word.term.slice(digits.length);
    var values = (word.parts.length ? word.parts : [digits]).map(number);
    if (values.some(function (value) { return value === null; })) return null;
    for (var taken = stump ? 2 : 3; taken >= 0; taken--) {
      var unitWords = list.slice(at + 1, at + 1 + taken);
      if (unitWords.length < taken || unitWords.some(function (w) { return w.breaks; })) continue;
      var name = stump + unitWords.map(function (w) { return w.term; }).join(""), unit = UNITS.get(name);
      if (!unit) continue;
      var /** @type {[string, number][]} */ buckets = [];
      for (var i = 0; i < values.length; i++) {
        var size = bucket(Number(values[i]), name, unit);
        if (size !== null) buckets.push([unit.dimension, size]);
      }
      return { from: at, to: at + 1 + taken, buckets: buckets, glued: stump || word.parts.length ? null : word.term + name };
    }
    return null;
  }

  /** @param {string} text @returns {number | null} */
  function number(text) {
    var match = /^(\d{1,12}(?:\.\d{1,12})?)(?:\/(\d{1,12}(?:\.\d{1,12})?))?$/.exec(text);
    if (!match) return null;
    if (match[2] === undefined) return Number(match[1]);
    return Number(match[2]) > 0 ? Number(match[1]) / Number(match[2]) : null;
  }

  /** @param {number} value @param {string} name @param {{dimension: string, factor: number}} unit @returns {number | null} */
  function bucket(value, name, unit) {
    if (unit.dimension === "c") return Math.floor((value - (name.endsWith("f") ? 32 : 0)) * unit.factor + 0.5);
    var size = value * unit.factor;
    return size > 0 ? Math.floor(log2(size) * 70 + 0.5) : null;
  }

  /** Binary logarithm by plain arithmetic only: the same bits as the compiler's. @param {number} x @returns {number} */
  function log2(x) {
    var whole = 0;
    while (x >= 2) { x /= 2; whole += 1; }
    while (x < 1) { x *= 2; whole -= 1; }
    var t = (x - 1) / (x + 1), s = t * t;
    return whole + 2.885390081777927 * (t * (1 + s * (1 / 3 + s * (0.2 + s * (1 / 7 + s * (1 / 9 + s / 11))))));
  }

  /** The words a negator turns: up to three strong ones after it in the same clause. @param {Word[]} list @param {number} at index of the negator @returns {Word[]} */
  function turnedBy(list, at) {
    var turned = [];
    for (var i = at + 1; i < list.length && turned.length < 3; i++) {
      if (list[i].breaks || NEGATORS.has(list[i].term)) break;
      if (!isWeak(list[i])) turned.push(list[i]);
    }
    return turned;
  }

  /** Every term of a text, as the compiler indexes it. @param {string} text @param {boolean} keepWeak @param {Set<string>} [surfaces] collects the words as written @returns {string[]} */
  function indexTerms(text, keepWeak, surfaces) {
    var list = words(text), /** @type {string[]} */ terms = [];
    /** @param {string} term */
    function withStem(term) {
      var short = stem(term);
      terms.push(term);
      if (short !== term) terms.push(short);
    }
    list.forEach(function (word) {
      if (!keepWeak && isWeak(word)) return;
      if (surfaces) [word.term].concat(word.parts).forEach(function (term) { surfaces.add(term); });
      if (word.parts.length) terms.push(word.term); else withStem(word.term);
      word.parts.forEach(withStem);
    });
    quantities(list).forEach(function (quantity) {
      quantity.buckets.forEach(function (b) { terms.push("#" + b[0] + b[1]); });
      if (quantity.glued) terms.push(quantity.glued);
    });
    list.forEach(function (word, at) {
      if (NEGATORS.has(word.term)) turnedBy(list, at).forEach(function (turned) { terms.push("!" + root(turned)); });
    });
    return terms;
  }

  // ---- the index ----

  /**
   * What the compiler writes. `root` describes pages and terms; `s0`, `s1` and so on hold postings.
   * @typedef {{pages: number, urls: string, titles: string, hints: string, kinds: [string, number][], kind: string,
   *   variants: {lists: string[][], of: string}, tags: {lists: string[][], of: string}, related: string,
   *   synonyms: [string, string[], string[]][], terms: string, shards: number[], filtered: number, body_pairs: boolean}} Root
   * @typedef {{root: Root} & Object<string, any>} Data
   * @typedef {{pages: number[], levels: number[], idf: number}} Postings
   */

  var DIGITS = 92, TWO = 72, FOUR = 91, TWO_END = TWO + (FOUR - TWO) * DIGITS;
  /** @param {number} code @returns {number} */
  function digitOf(code) { return code - 32 - (code > 92 ? 3 : code > 60 ? 2 : code > 34 ? 1 : 0); }

  /** Reads numbers from a text. @constructor @param {string} text @param {number} at */
  function Reader(text, at) { this.text = text; this.at = at; }
  /** @returns {number} */
  Reader.prototype.digit = function () { return digitOf(this.text.charCodeAt(this.at++)); };
  /** @returns {number} */
  Reader.prototype.number = function () {
    var first = this.digit();
    if (first < TWO) return first;
    if (first < FOUR) return TWO + (first - TWO) * DIGITS + this.digit();
    return TWO_END + (this.digit() * DIGITS + this.digit()) * DIGITS + this.digit();
  };
  /** A front-coded word up to `end`. @param {string} before @param {string} end @returns {string} */
  Reader.prototype.word = function (before, end) {
    var shared = this.digit(), stop = this.text.indexOf(end, this.at), word = before.slice(0, shared) + this.text.slice(this.at, stop);
    this.at = stop + 1;
    return word;
  };

  // Terms or addresses read in one slice, so that a slow phone stays answering.
  var SLICE = 1000;

  /** A list of front-coded words; every sixteenth is written whole, and each is put together when asked for. @constructor @param {string} text @param {string} end */
  function WordList(text, end) {
    this.text = text;
    this.end = end;
    /** How many words are read. */ this.size = 0;
    /** Where the rest of each word begins. @type {number[]} */ this.rests = [];
    /** Letters of each word. @type {number[]} */ this.lengths = [];
  }
  /** Reads a word at a place and gives the place after it. @param {number} at @returns {number} */
  WordList.prototype.read = function (at) {
    var stop = this.text.indexOf(this.end, at + 1);
    this.rests.push(at + 1);
    this.lengths.push(digitOf(this.text.charCodeAt(at)) + stop - at - 1);
    this.size++;
    return stop + 1;
  };
  /** @param {number} n @returns {string} */
  WordList.prototype.word = function (n) {
    var word = "";
    for (var i = n & ~15; i <= n; i++) word = this.after(word, i);
    return word;
  };
  /** The word of a number, from the one before it. @param {string} before @param {number} n @returns {string} */
  WordList.prototype.after = function (before, n) {
    var at = this.rests[n], shared = digitOf(this.text.charCodeAt(at - 1));
    return before.slice(0, shared) + this.text.slice(at, at + this.lengths[n] - shared);
  };

  /** An index that is read by calling `advance` until it says true. @constructor @param {Data} data */
  function Index(data) {
    var root = data.root, self = this;
    this.data = data;
    this.size = root.pages;
    this.urls = new WordList(root.urls, "\n");
    /** @type {string[]} */ this.titles = [];
    /** @type {string[]} */ this.hints = [];
    /** @type {number[]} */ this.variants = [];
    /** @type {number[]} */ this.tags = [];
    this.terms = new WordList(root.terms, " ");
    /** Which letters each term has, roughly. @type {number[]} */ this.bits = [];
    /** @type {number[]} */ this.lengths = [];
    /** @type {number[]} */ this.offsets = [];
    /** @type {number[]} */ this.shardOf = [];
    /** @type {boolean[]} */ this.written = [];
    /** @type {number[][] | null} */ this.related = null;
    /** @type {Map<number, Postings>} */ this.cache = new Map();
    /** @type {Map<string, string>} */ this.stems = new Map();
    /** @type {Map<number, string[]>} */ this.titleRoots = new Map();
    /** @type {Map<string, {terms: string[], weight: number}[]>} */ this.synonyms = new Map();
    /** @type {(() => boolean)[]} */
    this.todo = [termReader(this, root), urlReader(this, root), function () {
      self.titles = root.titles.split("\n");
      self.hints = root.hints ? root.hints.split("\n") : [];
      self.variants = numbers(root.variants.of, root.pages);
      self.tags = numbers(root.tags.of, root.pages);
      return true;
    }, function () {
      self.synonyms = synonymTable(root.synonyms);
      return true;
    }];
  }

  /** Reads one slice. @returns {boolean} whether all is read */
  Index.prototype.advance = function () {
    if (this.todo.length && this.todo[0]()) this.todo.shift();
    return !this.todo.length;
  };

  /** @param {Index} index @param {Root} root @returns {() => boolean} */
  function urlReader(index, root) {
    var at = 0;
    return function () {
      for (var left = SLICE; left > 0 && index.urls.size < root.pages; left--) at = index.urls.read(at);
      return index.urls.size >= root.pages;
    };
  }

  /** @param {Index} index @param {Root} root @returns {() => boolean} */
  function termReader(index, root) {
    var reader = new Reader(root.terms, 0), offset = 0, shard = -1, /** @type {[number, number][]} */ same = [];
    return function () {
      for (var left = SLICE; left > 0 && reader.at < root.terms.length; left--) {
        var here = index.terms.size;
        reader.at = index.terms.read(reader.at);
        if (root.shards[shard + 1] === here) { shard++; offset = 0; }
        var coded = reader.number(), length = coded >> 1;
        if (coded === 1) {
          var distance = reader.number();
          same.push([here, distance & 1 ? here - (distance >> 1) : here + (distance >> 1)]);
        }
        index.lengths.push(length); index.offsets.push(offset);
        index.shardOf.push(shard); index.written.push(!(coded & 1));
        offset += length;
      }
      if (reader.at < root.terms.length) return false;
      same.forEach(function (pair) {
        [index.lengths, index.offsets, index.shardOf].forEach(function (list) { list[pair[0]] = list[pair[1]]; });
      });
      return true;
    };
  }

  /** @param {string} text @param {number} count @returns {number[]} */
  function numbers(text, count) {
    var reader = new Reader(text, 0), /** @type {number[]} */ list = [];
    while (list.length < count) list.push(reader.number());
    return list;
  }

  /** The first term not before `word`. @param {string} word @returns {number} */
  Index.prototype.place = function (word) {
    var terms = this.terms, low = 0, high = (terms.size + 15) >> 4;
    while (low < high) {
      var middle = (low + high) >> 1;
      if (terms.word(middle << 4) < word) low = middle + 1; else high = middle;
    }
    var at = Math.max(0, low - 1) << 4, term = "";
    while (at < terms.size && (term = terms.after(term, at)) < word) at++;
    return at;
  };
  /** The number of a term, or -1. @param {string} word @returns {number} */
  Index.prototype.find = function (word) {
    var at = this.place(word);
    return at < this.terms.size && this.terms.word(at) === word ? at : -1;
  };

  /** A term's pages, or null while its shard is missing. @param {number} term @returns {Postings | null} */
  Index.prototype.postings = function (term) {
    var known = this.cache.get(term), text = this.data["s" + this.shardOf[term]];
    if (known || text === undefined) return known || null;
    var reader = new Reader(text, this.offsets[term]), end = reader.at + this.lengths[term];
    var /** @type {number[]} */ pages = [], /** @type {number[]} */ levels = [];
    while (reader.at < end) {
      var head = reader.number(), page = 0;
      for (var left = (head >> 3) + 1; left > 0; left--) { pages.push((page += reader.number())); levels.push((head & 7) + 1); }
    }
    if (this.cache.size > 300) this.cache.clear();
    var idf = log2(1 + (this.size - pages.length + 0.5) / (pages.length + 0.5));
    var made = { pages: pages, levels: levels, idf: idf };
    this.cache.set(term, made);
    return made;
  };

  /** Pages that belong to a page. @param {number} page @returns {number[]} */
  Index.prototype.relatedTo = function (page) {
    if (!this.related) {
      var reader = new Reader(this.data.root.related, 0), /** @type {number[][]} */ all = [];
      for (var i = 0; i < this.size; i++) {
        var /** @type {number[]} */ list = [], at = 0;
        for (var left = reader.number(); left > 0; left--) list.push((at += reader.number()));
        all.push(list);
      }
      this.related = all;
    }
    return this.related[page];
  };

  /** Whether a page may have all pairs side by side; null while its shard is missing. @param {number} page @param {number[]} pairs @returns {boolean | null} */
  Index.prototype.hasPairs = function (page, pairs) {
    var per = this.data.root.filtered, text = this.data[filterShard(this, page)];
    if (text === undefined) return null;
    for (var reader = new Reader(text, 0), skip = page % per, length = reader.number(); skip > 0; skip--) { reader.at += length; length = reader.number(); }
    return length > 0 && pairs.every(function (hash) {
      return pairPlaces(hash, length * 6).every(function (place) { return (digitOf(text.charCodeAt(reader.at + Math.floor(place / 6))) >> place % 6) & 1; });
    });
  };

  /** @param {Index} index @param {number} page @returns {string} */
  function filterShard(index, page) { return "p" + Math.floor(page / index.data.root.filtered); }

  /** FNV-1a over two words. @param {string} first @param {string} second @returns {number} */
  function pairHash(first, second) {
    var text = first + " " + second, hash = 0x811c9dc5;
    for (var i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
    return hash >>> 0;
  }
  /** The places that a pair marks in a filter. @param {number} hash @param {number} bits @returns {number[]} */
  function pairPlaces(hash, bits) {
    return [0, 1, 2, 3].map(function (n) { return ((hash & 0xffff) + n * ((hash >>> 16) | 1)) % bits; });
  }

  /** A stem, remembered. @param {string} term @returns {string} */
  Index.prototype.stemOf = function (term) {
    var known = this.stems.get(term);
    if (known === undefined) this.stems.set(term, (known = stem(term)));
    return known;
  };

  /** The roots of the strong words of a page's title (of all where none is strong). @param {number} page @returns {string[]} */
  Index.prototype.rootsOfTitle = function (page) {
    var known = this.titleRoots.get(page);
    if (!known) {
      var list = words(this.titles[page]), strong = list.filter(function (w) { return !isWeak(w); });
      known = (strong.length ? strong : list).map(root);
      this.titleRoots.set(page, known);
    }
    return known;
  };

  /** @typedef {{phrases: string[][], weights: number[]}} Meaning */

  /** From the roots of a phrase to the other phrases for it. @param {[string, string[], string[]][]} entries @returns {Map<string, {terms: string[], weight: number}[]>} */
  function synonymTable(entries) {
    /** @type {Map<string, {terms: string[], weight: number}[]>} */
    var table = new Map();
    entries.forEach(function (entry) {
      var preferred = entry[0], others = entry[1].concat(entry[2]);
      others.forEach(function (other) {
        add(other, preferred, 0.95);
        add(preferred, other, 0.25);
        others.forEach(function (third) { if (third !== other) add(other, third, 0.25); });
      });
    });
    /** @param {string} from @param {string} to @param {number} weight */
    function add(from, to, weight) {
      var key = words(from).map(root).join(" "), terms = words(to).map(function (w) { return w.term; });
      if (!key || !terms.length || key === terms.join(" ")) return;
      var list = table.get(key) || [];
      list.push({ terms: terms, weight: weight });
      table.set(key, list);
    }
    return table;
  }

  // ---- reading the query ----

  /**
   * One way to read a stretch of the query: all its terms must be on the page.
   * @typedef {{terms: number[], weight: number, reading: string | null}} Way
   * A stretch of the query that counts as one word.
   * @typedef {{text: string, ways: Way[], weight: number, code: boolean, plain: Word | null, against: number, last: boolean,
   *   known: {ways: number, scores: Scores} | null}} Group
   *   `against`: the term for the word turned by a not, which speaks against a page when the query has no not; or -1.
   */

  /** @constructor @param {Index} index @param {Word[]} list @param {boolean} open the last word may be unfinished */
  function Query(index, list, open) {
    this.index = index;
    this.list = list;
    this.open = open;
    /** @type {Group[]} */ this.groups = [];
    this.negated = list.some(function (word) { return NEGATORS.has(word.term); });
    /** @type {{group: Group, words: Word[]}[]} */ this.negations = [];
    this.strong = list.some(function (word) { return !isWeak(word); });
    this.quantities = quantities(list);
    for (var at = 0; at < list.length; ) at = this.read(at);
  }

  /** Reads the group at `at` and gives the place after it. @param {number} at @returns {number} */
  Query.prototype.read = function (at) {
    var quantity = this.quantities.filter(function (q) { return q.from === at; })[0];
    if (quantity) return this.readQuantity(quantity);
    var span = this.spanOfSynonym(at) || this.spanOfJoin(at);
    this.readWords(at, span || 1);
    return at + (span || 1);
  };

  /** @param {Quantity} quantity @returns {number} */
  Query.prototype.readQuantity = function (quantity) {
    var list = this.list.slice(quantity.from, quantity.to), group = this.open_group(list, true), self = this;
    quantity.buckets.forEach(function (b) {
      [[0, 1], [-1, 0.9], [1, 0.9]].forEach(function (near) { self.way(group, ["#" + b[0] + (b[1] + near[0])], near[1]); });
    });
    if (quantity.glued) this.way(group, [quantity.glued], 0.9);
    this.way(group, list.map(function (w) { return w.term; }), 0.8);
    return quantity.to;
  };

  /** @param {Word[]} list @param {boolean} code @returns {Group} */
  Query.prototype.open_group = function (list, code) {
    var strong = list.filter(function (w) { return !isWeak(w); }).length;
    var group = {
      text: list.map(function (w) { return w.term; }).join(" "), ways: [], code: code, plain: null, against: -1, known: null,
      weight: !this.strong ? list.length : strong || 0.15, last: list[list.length - 1] === this.list[this.list.length - 1]
    };
    this.groups.push(group);
    return group;
  };

  /** Adds a way to read the group if all its terms are known. @param {Group} group @param {string[]} terms @param {number} weight @param {string | null} [reading] */
  Query.prototype.way = function (group, terms, weight, reading) {
    var index = this.index, found = terms.map(function (term) { return index.find(term); });
    if (found.length && found.every(function (term) { return term >= 0; })) group.ways.push({ terms: found, weight: weight, reading: reading || null });
  };

  /** @param {number} at @returns {number} how many words, 0 for none */
  Query.prototype.spanOfSynonym = function (at) {
    for (var count = Math.min(5, this.list.length - at); count > 1; count--) {
      if (this.index.synonyms.has(this.list.slice(at, at + count).map(root).join(" "))) return count;
    }
    return 0;
  };

  /** Words typed apart that the guide writes as one: `p 12`, `half way`. @param {number} at @returns {number} */
  Query.prototype.spanOfJoin = function (at) {
    for (var count = Math.min(3, this.list.length - at); count > 1; count--) {
      var list = this.list.slice(at, at + count), joined = list.map(function (w) { return w.term; }).join("");
      var clear = list.every(function (w) { return w.term.length > 2; }) || (/[0-9]/.test(joined) && /[^0-9]/.test(joined));
      if (clear && !list.slice(1).some(function (w) { return w.breaks; }) && this.index.find(joined) >= 0) return count;
    }
    return 0;
  };

  /** @param {number} at @param {number} count */
  Query.prototype.readWords = function (at, count) {
    var list = this.list.slice(at, at + count), word = list[0], self = this;
    var terms = list.map(function (w) { return w.term; }), joined = terms.join("");
    var group = this.open_group(list, /[0-9]/.test(joined) || word.parts.length > 0);
    if (count > 1) {
      this.way(group, [joined], 1);
      this.wayOfPhrase(group, terms, 0.9);
      list.forEach(function (w) { self.way(group, [w.term], 0.3); });
    } else if (NEGATORS.has(word.term)) {
      this.readNegator(group, at);
    } else {
      this.readWord(group, word);
    }
    (this.index.synonyms.get(list.map(root).join(" ")) || []).forEach(function (other) { self.wayOfPhrase(group, other.terms, other.weight); });
    if (group.last && this.open && joined.length > 1) this.complete(group, joined);
  };

  /** @param {Group} group @param {number} at */
  Query.prototype.readNegator = function (group, at) {
    var self = this, turned = turnedBy(this.list, at);
    turned.forEach(function (word) { self.way(group, ["!" + root(word)], 1); });
    this.negations.push({ group: group, words: turned });
    this.way(group, [this.list[at].term], turned.length ? 0.3 : 1);
  };

  /** @param {Group} group @param {Word} word */
  Query.prototype.readWord = function (group, word) {
    this.way(group, [word.term], group.code ? 1.5 : 1);
    var short = root(word), split = word.term.match(/[0-9]+|[^0-9]+/g) || [];
    if (short !== word.term) this.way(group, [short], 0.9);
    if (split.length === 2 && !group.ways.length && !word.parts.length) this.padded(group, split);
    if (word.parts.length) this.wayOfPhrase(group, word.parts, 0.7);
    else if (split.length > 1 && split.length < 5 && !/[.\/]/.test(word.term)) this.way(group, split, 0.6);
    if (group.code || word.parts.length) return;
    group.plain = word;
    if (!this.negated) group.against = this.index.find("!" + short);
  };

  /** A code without the zeros that the guide writes: `sb3` for `sb-03`. @param {Group} group @param {string[]} split */
  Query.prototype.padded = function (group, split) {
    this.way(group, [split.join("0")], 1.2);
    this.way(group, [split.join("00")], 1.2);
  };

  /** A phrase by its words as written and by their stems. @param {Group} group @param {string[]} terms @param {number} weight */
  Query.prototype.wayOfPhrase = function (group, terms, weight) {
    this.way(group, terms, weight);
    var short = terms.map(stem);
    if (short.join(" ") !== terms.join(" ")) this.way(group, short, weight * 0.9);
  };

  /** Words that begin as the last word does. @param {Group} group @param {string} start */
  Query.prototype.complete = function (group, start) {
    // A word that is known as it stands is more likely whole.
    var index = this.index, share = group.ways.length ? 0.1 : 0.4, /** @type {number[]} */ found = [];
    for (var at = index.place(start), word; at < index.terms.size && (word = index.terms.word(at)).startsWith(start); at++) {
      if (index.written[at] && word !== start) found.push(at);
    }
    this.frequent(found, 12).forEach(function (term) {
      group.ways.push({ terms: [term], weight: share + (share * start.length) / index.terms.lengths[term], reading: null });
    });
  };

  /** The terms with the longest postings. @param {number[]} terms @param {number} most @returns {number[]} */
  Query.prototype.frequent = function (terms, most) {
    var lengths = this.index.lengths, /** @type {number[]} */ best = [];
    // Terms come in order, so an equal one stays behind those before it.
    terms.forEach(function (term) {
      if (best.length === most && lengths[term] <= lengths[best[most - 1]]) return;
      var at = best.length;
      while (at > 0 && lengths[best[at - 1]] < lengths[term]) at--;
      best.splice(at, 0, term);
      if (best.length > most) best.pop();
    });
    return best;
  };

  // ---- typing errors ----

  /** Edits between two words, a swap of neighbours counting as one; `most` + 1 where there are more. @param {string} a @param {string} b @param {number} most @returns {number} */
  function edits(a, b, most) {
    var x = Array.from(a), y = Array.from(b);
    if (Math.abs(x.length - y.length) > most) return most + 1;
    var /** @type {number[]} */ older = [], /** @type {number[]} */ old = [], i, j;
    for (j = 0; j <= y.length; j++) old.push(j);
    for (i = 1; i <= x.length; i++) {
      var row = [i], least = i;
      for (j = 1; j <= y.length; j++) {
        var cost = Math.min(old[j] + 1, row[j - 1] + 1, old[j - 1] + (x[i - 1] === y[j - 1] ? 0 : 1));
        if (i > 1 && j > 1 && x[i - 1] === y[j - 2] && x[i - 2] === y[j - 1]) cost = Math.min(cost, older[j - 2] + 1);
        row.push(cost);
        if (cost < least) least = cost;
      }
      if (least > most + 1) return most + 1;
      older = old; old = row;
    }
    return Math.min(old[y.length], most + 1);
  }

  /** Which letters a word has, roughly, as bits; -1 for one with letters beyond U+FFFF, which take two units: such words are compared without the filter. @param {string} word @returns {number} */
  function bitsOf(word) {
    var bits = 0;
    for (var i = 0; i < word.length; i++) {
      var unit = word.charCodeAt(i);
      if (unit >= 0xd800 && unit <= 0xdfff) return -1;
      bits |= 1 << (unit & 31);
    }
    return bits;
  }
  /** @param {number} bits @returns {number} */
  function count(bits) {
    var n = 0;
    for (; bits; bits &= bits - 1) n++;
    return n;
  }

  /** Whether typing errors may be looked for: letters only, three or more. @param {string} term @returns {boolean} */
  function mendable(term) { return Array.from(term).length > 2 && lettersOnly(term); }
  /** @param {string} term @returns {boolean} */
  function lettersOnly(term) { return !/\p{N}/u.test(term) && !HAS_UNSPACED.test(term); }

  /** Known words a few edits away, best first. @param {string} word @returns {Generator<void, {term: number, edits: number}[], void>} */
  Index.prototype.near = function* (word) {
    var most = Array.from(word).length > 6 ? 2 : 1, bits = bitsOf(word);
    var lengths = this.lengths, terms = this.terms, first = Array.from(word)[0], /** @type {{term: number, edits: number, strange: number}[]} */ found = [], least = most;
    for (var read = this.bits.length, known = ""; read < terms.size; read++) {
      this.bits.push(bitsOf((known = terms.after(known, read))));
      // Between two whole words, another question may read on.
      if (read % 512 === 511) { yield; read = this.bits.length - 1; }
    }
    for (var i = 0, looked = 0; i < terms.size; i++) {
      if (!this.written[i] || Math.abs(terms.lengths[i] - word.length) > 2 * most) continue;
      if (bits !== -1 && this.bits[i] !== -1 && count(bits ^ this.bits[i]) > 2 * most) continue;
      var term = terms.word(i), distance = edits(word, term, least);
      if (distance > 0 && distance <= least && lettersOnly(term)) {
        found.push({ term: i, edits: distance, strange: term.startsWith(first) ? 0 : 1 });
        least = distance;
      }
      if (++looked % 100 === 0) yield;
    }
    return found.filter(function (f) { return f.edits === least; }).sort(function (a, b) {
      return a.strange - b.strange || lengths[b.term] - lengths[a.term] || a.term - b.term;
    }).slice(0, 6);
  };

  /** Adds what a group without a known word may have been meant as. @param {Group} group @param {number} factor @returns {Generator<void, void, void>} */
  Query.prototype.mend = function* (group, factor) {
    var self = this, index = this.index, word = group.plain ? group.plain.term : "";
    if (!group.plain || group.weight < 0.5 || !mendable(word)) return;
    (yield* index.near(word)).forEach(function (near, rank) {
      var term = index.terms.word(near.term), weight = factor * (near.edits > 1 ? 0.7 : 0.85) * (1 - rank * 0.02);
      self.way(group, [term], weight, term);
      if (stem(term) !== term) self.way(group, [stem(term)], weight * 0.9, term);
      self.negations.forEach(function (negation) {
        var turned = negation.words.some(function (w) { return !w.parts.length && w.term === word; });
        if (turned) self.way(negation.group, ["!" + stem(term)], weight, null);
      });
    });
    if (!group.ways.length) this.mendSplit(group, word, factor);
  };

  /** Two words typed as one. @param {Group} group @param {string} word @param {number} factor */
  Query.prototype.mendSplit = function (group, word, factor) {
    var index = this.index;
    /** @param {string} part @returns {boolean} */
    function known(part) { var at = index.find(part); return at >= 0 && index.written[at]; }
    for (var at = 3; at <= word.length - 3; at++) {
      var left = word.slice(0, at), right = word.slice(at);
      if (known(left) && known(right)) return this.way(group, [left, right], 0.8 * factor, left + " " + right);
    }
  };

  // ---- ranking ----

  /** Scores of one group: per page the best way. @constructor @param {number} size */
  function Scores(size) {
    this.score = new Float64Array(size);
    this.way = new Int16Array(size);
  }

  /** @param {Index} index @param {Group} group @param {(way: Way) => boolean} allowed @returns {Generator<void, Scores, void>} */
  function* scoresOf(index, group, allowed) {
    var scores = new Scores(index.size);
    for (var number = 0; number < group.ways.length; number++) {
      if (!allowed(group.ways[number])) continue;
      raiseBy(group.ways[number], number);
      yield;
    }
    var against = group.against < 0 ? null : index.postings(group.against);
    if (against) lower(against);
    return scores;
    /** @param {Way} way @param {number} number */
    function raiseBy(way, number) {
      var /** @type {Map<number, {sum: number, terms: number}>} */ sums = new Map();
      way.terms.forEach(function (term, nth) {
        var postings = index.postings(term);
        if (!postings) return;
        for (var i = 0; i < postings.pages.length; i++) {
          var page = postings.pages[i], value = (postings.idf * postings.levels[i]) / 8;
          if (way.terms.length === 1) { raise(page, way.weight * value, number); continue; }
          var sum = sums.get(page);
          if (nth === 0) sums.set(page, { sum: value, terms: 1 });
          else if (sum && sum.terms === nth) { sum.sum += value; sum.terms++; }
        }
      });
      sums.forEach(function (sum, page) { if (sum.terms === way.terms.length) raise(page, way.weight * sum.sum, number); });
    }
    /** @param {Postings} turned */
    function lower(turned) { turned.pages.forEach(function (page, i) { scores.score[page] *= 1 - 0.05 * turned.levels[i]; }); }
    /** @param {number} page @param {number} score @param {number} way */
    function raise(page, score, way) {
      if (score > scores.score[page]) { scores.score[page] = score; scores.way[page] = way; }
    }
  }

  /**
   * @typedef {{kind?: string | null, variant?: string | null, limit?: number, finished?: boolean}} Options
   *   `finished`: the last word is whole, do not complete it.
   * @typedef {{page: number, url: string, title: string, kind: string, tags: string[], variants: string[], hint: string,
   *   score: number, terms: string[], missing: string[], through: number}} Result
   *   `through`: a related page that has the missing words, or -1.
   * @typedef {{need: string[], results: Result[], total: number, kinds: [string, number][], read: [string, string][], unknown: string[], whole: boolean, phrase: boolean | null}} Answer
   *   `need`: shards to load before asking again; `read`: typed and read word; `whole`: a page has every word;
   *   `phrase`: whether a page has the words in quotes side by side, null without quotes.
   */

  /** The ranking of one query. @constructor @param {Index} index @param {Query} query @param {Options} options */
  function Ranking(index, query, options) {
    this.index = index;
    this.groups = query.groups;
    this.options = options;
    /** @type {Scores[]} */ this.scores = [];
    this.sum = this.cover = this.final = new Float64Array(0);
    /** The greatest cover of a page. */ this.best = 0;
    /** The first pages, in order. @type {number[]} */ this.pages = [];
    /** All pages. @type {number[]} */ this.all = [];
    /** @type {Map<number, number>} */ this.through = new Map();
    /** @type {boolean | null} */ this.phrase = null;
    /** @type {(string | null)[]} */ this.readings = this.groups.map(function () { return null; });
    var all = 0;
    this.groups.forEach(function (group) { all += group.weight; });
    this.weight = all;
  }

  /** Ranks with all ways, then with those of the chosen readings alone. @returns {Generator<void, Ranking, void>} */
  Ranking.prototype.rank = function* () {
    var readings = this.readings;
    yield* this.run(function () { return true; });
    if (this.choose()) yield* this.run(function (way, g) { return way.reading === null || way.reading === readings[g]; });
    return this;
  };

  /** Scores every page with the allowed ways. @param {(way: Way, group: number) => boolean} allowed @returns {Generator<void, void, void>} */
  Ranking.prototype.run = function* (allowed) {
    var index = this.index;
    this.scores = [];
    this.sum = new Float64Array(index.size);
    this.cover = new Float64Array(index.size);
    for (var g = 0; g < this.groups.length; g++) {
      var group = this.groups[g], scores = yield* scoresOfGroup(index, group, allowed, g);
      this.scores.push(scores);
      for (var page = 0; page < index.size; page++) {
        if (scores.score[page] > 0) { this.sum[page] += scores.score[page]; this.cover[page] += group.weight; }
      }
      yield;
    }
    yield* this.order();
  };

  /** Scores that do not depend on a reading are counted once. @param {Index} index @param {Group} group @param {(way: Way, group: number) => boolean} allowed @param {number} g @returns {Generator<void, Scores, void>} */
  function* scoresOfGroup(index, group, allowed, g) {
    if (group.ways.some(function (way) { return way.reading !== null; })) return yield* scoresOf(index, group, function (way) { return allowed(way, g); });
    if (!group.known || group.known.ways !== group.ways.length) group.known = { ways: group.ways.length, scores: yield* scoresOf(index, group, function () { return true; }) };
    return group.known.scores;
  }

  /** Sorts the pages that the variant allows, the first fifty at least. @returns {Generator<void, void, void>} */
  Ranking.prototype.order = function* () {
    var index = this.index, variant = this.options.variant, /** @type {number[]} */ pages = [], best = 0, page;
    var lists = index.data.root.variants.lists, allowed = lists.map(function (/** @type {string[]} */ list) { return !variant || !list.length || list.indexOf(variant) >= 0; });
    this.final = new Float64Array(index.size);
    for (page = 0; page < index.size; page++) {
      if (this.sum[page] <= 0 || !allowed[index.variants[page]]) continue;
      var cover = this.cover[page] / this.weight;
      this.final[page] = this.sum[page] * cover * cover * (index.boost(page) / 100);
      if (this.cover[page] > best) best = this.cover[page];
      pages.push(page);
    }
    var half = best / 2, self = this;
    this.best = best;
    pages = pages.filter(function (p) { return self.cover[p] >= half; });
    yield;
    this.first(pages);
    for (var n = 0; n < this.pages.length; n++) {
      this.final[this.pages[n]] *= 1 + 0.3 * this.titleShare(this.pages[n]);
      if (n % 8 === 7) yield;
    }
    this.sort(this.pages);
  };

  var FIRST = 50;

  /** The first fifty of all pages, which come in order of their numbers. @param {number[]} all */
  Ranking.prototype.first = function (all) {
    var final = this.final, /** @type {number[]} */ head = [];
    for (var i = 0; i < all.length; i++) {
      var page = all[i], at = head.length;
      if (at === FIRST && final[page] <= final[head[FIRST - 1]]) continue;
      while (at > 0 && final[head[at - 1]] < final[page]) at--;
      head.splice(at, 0, page);
      if (head.length > FIRST) head.pop();
    }
    this.pages = head;
    this.all = all;
  };

  /** All pages in order. @returns {number[]} */
  Ranking.prototype.ranked = function () {
    if (this.pages.length < this.all.length) {
      var head = new Set(this.pages), rest = this.all.filter(function (page) { return !head.has(page); });
      this.sort(rest);
      this.pages = this.pages.concat(rest);
    }
    return this.pages;
  };

  /** @param {number[]} pages */
  Ranking.prototype.sort = function (pages) {
    var final = this.final;
    pages.sort(function (a, b) { return final[b] - final[a] || a - b; });
  };

  /** Which part of the title the query names. @param {number} page @returns {number} */
  Ranking.prototype.titleShare = function (page) {
    var roots = this.index.rootsOfTitle(page), self = this, named = new Set();
    this.usedTerms(page).forEach(function (term) { named.add(self.index.stemOf(term)); });
    var hits = roots.filter(function (r) { return named.has(r); }).length;
    return roots.length ? hits / roots.length : 0;
  };

  /** The terms by which a page was found. @param {number} page @returns {string[]} */
  Ranking.prototype.usedTerms = function (page) {
    var index = this.index, groups = this.groups, /** @type {string[]} */ terms = [];
    this.scores.forEach(function (scores, g) {
      if (scores.score[page] > 0) groups[g].ways[scores.way[page]].terms.forEach(function (term) { terms.push(index.terms.word(term)); });
    });
    return terms;
  };

  /** For each group with corrected words, the one that stands with the others on the first page. @returns {boolean} */
  Ranking.prototype.choose = function () {
    var top = this.pages[0], self = this, any = false;
    this.groups.forEach(function (group, g) {
      var mended = group.ways.filter(function (way) { return way.reading !== null; });
      if (!mended.length) return;
      any = true;
      var way = top !== undefined && self.scores[g].score[top] > 0 ? group.ways[self.scores[g].way[top]] : mended[0];
      self.readings[g] = way.reading;
    });
    return any;
  };

  /** The groups that the first page lacks. @returns {number[]} */
  Ranking.prototype.lacking = function () {
    var top = this.pages[0], self = this;
    return this.groups.map(function (_, g) { return g; }).filter(function (g) {
      return top !== undefined && self.groups[g].weight >= 0.5 && !(self.scores[g].score[top] > 0);
    });
  };

  /** Where no page has every word: a page whose related page has what it lacks rises. Never for codes. */
  Ranking.prototype.lean = function () {
    var self = this, index = this.index, groups = this.groups;
    this.pages.slice(0, 30).forEach(function (page) {
      var gain = 0, weight = 0, by = -1;
      index.relatedTo(page).forEach(function (other) {
        var sum = 0, covered = 0;
        groups.forEach(function (group, g) {
          if (group.code || self.scores[g].score[page] > 0 || !(self.scores[g].score[other] > 0)) return;
          sum += self.scores[g].score[other]; covered += group.weight;
        });
        if (sum > gain) { gain = sum; weight = covered; by = other; }
      });
      if (by < 0) return;
      var cover = (self.cover[page] + weight * 0.6) / self.weight;
      self.final[page] = (self.sum[page] + gain * 0.4) * cover * cover * (index.boost(page) / 100) * (1 + 0.3 * self.titleShare(page));
      self.through.set(page, by);
    });
    this.sort(this.pages);
  };

  /** A kind's boost in percent. @param {number} page @returns {number} */
  Index.prototype.boost = function (page) {
    var kind = this.data.root.kinds[digitOf(this.data.root.kind.charCodeAt(page))];
    return kind ? kind[1] : 100;
  };
  /** A page's kind. @param {number} page @returns {string} */
  Index.prototype.kindOf = function (page) {
    var kind = this.data.root.kinds[digitOf(this.data.root.kind.charCodeAt(page))];
    return kind ? kind[0] : "";
  };

  /** Shards that a query needs and that are not there. @param {Index} index @param {Group[]} groups @returns {string[]} */
  function missingShards(index, groups) {
    var names = new Set();
    /** @param {number} term */
    function check(term) {
      var name = "s" + index.shardOf[term];
      if (index.data[name] === undefined) names.add(name);
    }
    groups.forEach(function (group) {
      group.ways.forEach(function (way) { way.terms.forEach(check); });
      if (group.against >= 0) check(group.against);
    });
    return Array.from(names);
  }

  /** Looks for pages. @param {string} text @param {Options} [given] @returns {Answer} */
  Index.prototype.search = function (text, given) {
    var steps = this.steps(text, given), step = steps.next();
    while (!step.done) step = steps.next();
    return step.value;
  };

  /** Looks for pages step by step, so that whoever asks can rest between steps or give up. @param {string} text @param {Options} [given] @returns {Generator<void, Answer, void>} */
  Index.prototype.steps = function* (text, given) {
    var options = given || {}, index = this;
    var list = words(Array.from(text.slice(0, 1000)).slice(0, 400).join("")).slice(0, 24);
    var query = new Query(index, list, !options.finished);
    yield;
    for (var g = 0; g < query.groups.length; g++) if (!query.groups[g].ways.length) yield* query.mend(query.groups[g], 1);
    var need = missingShards(index, query.groups);
    if (need.length || !list.length) return emptyAnswer(need);
    var ranking = yield* new Ranking(index, query, options).rank(), lacking = ranking.lacking();
    if (lacking.length && query.groups.length > 1) {
      for (var l = 0; l < lacking.length; l++) {
        if (query.groups[lacking[l]].ways.length && ranking.readings[lacking[l]] === null) yield* query.mend(query.groups[lacking[l]], 0.5);
      }
      need = missingShards(index, query.groups);
      if (need.length) return emptyAnswer(need);
      ranking = yield* new Ranking(index, query, options).rank();
      lacking = ranking.lacking();
      if (lacking.length && !lacking.some(function (g) { return query.groups[g].code; })) ranking.lean();
    }
    yield;
    need = ranking.keepPhrases(phrasesOf(text));
    return need.length ? emptyAnswer(need) : answer(index, query, ranking, options);
  };

  // How many pages are looked at for a phrase while their filters are in files of their own.
  var PHRASE_PAGES = 30;

  /** The pairs of neighbours in the parts of a query that are in quotes. @param {string} text @returns {number[]} */
  function phrasesOf(text) {
    var /** @type {number[]} */ pairs = [], quoted = /["\u201c-\u201f\u00ab\u00bb]([^"\u201c-\u201f\u00ab\u00bb]+)["\u201c-\u201f\u00ab\u00bb]/g, match;
    while ((match = quoted.exec(text.slice(0, 1000)))) {
      var roots = words(match[1]).filter(function (w) { return !isWeak(w); }).map(root);
      for (var i = 0; i + 1 < roots.length; i++) pairs.push(pairHash(roots[i], roots[i + 1]));
    }
    return pairs;
  }

  /** Keeps the pages with the phrases, if there is any. @param {number[]} pairs @returns {string[]} shards to load first */
  Ranking.prototype.keepPhrases = function (pairs) {
    this.phrase = pairs.length ? false : null;
    if (!pairs.length) return [];
    var index = this.index, pages = index.data.root.body_pairs ? this.ranked() : this.pages.slice(0, PHRASE_PAGES);
    var names = pages.map(function (page) { return filterShard(index, page); });
    var need = Array.from(new Set(names)).filter(function (name) { return index.data[name] === undefined; });
    if (need.length) return need;
    var kept = pages.filter(function (page) { return index.hasPairs(page, pairs); });
    if (kept.length) { this.pages = this.all = kept; this.phrase = true; }
    return [];
  };

  /** @param {string[]} need @returns {Answer} */
  function emptyAnswer(need) { return { need: need, results: [], total: 0, kinds: [], read: [], unknown: [], whole: false, phrase: null }; }

  /** @param {Index} index @param {Query} query @param {Ranking} ranking @param {Options} options @returns {Answer} */
  function answer(index, query, ranking, options) {
    var /** @type {Map<string, number>} */ counts = new Map();
    var limit = options.limit || 20, all = options.kind || limit > FIRST ? ranking.ranked() : ranking.pages;
    ranking.all.forEach(function (page) { counts.set(index.kindOf(page), (counts.get(index.kindOf(page)) || 0) + 1); });
    var pages = all.filter(function (page) { return !options.kind || index.kindOf(page) === options.kind; });
    var /** @type {[string, string][]} */ read = [];
    query.groups.forEach(function (group, g) { var reading = ranking.readings[g]; if (reading !== null) read.push([group.text, reading]); });
    return {
      need: [], phrase: ranking.phrase, total: options.kind ? pages.length : ranking.all.length, kinds: Array.from(counts), read: read,
      unknown: query.groups.filter(function (group) { return !group.ways.length && group.weight >= 0.5; }).map(function (group) { return group.text; }),
      whole: pages.length > 0 && !ranking.lacking().length,
      results: pages.slice(0, limit).map(function (page) { return resultOf(index, query, ranking, page); })
    };
  }

  /** @param {Index} index @param {Query} query @param {Ranking} ranking @param {number} page @returns {Result} */
  function resultOf(index, query, ranking, page) {
    var missing = query.groups.filter(function (group, g) { return group.weight >= 0.5 && !(ranking.scores[g].score[page] > 0); });
    var through = ranking.through.get(page), root = index.data.root;
    return {
      page: page, url: index.urls.word(page), title: index.titles[page], kind: index.kindOf(page), hint: index.hints[page] || "",
      tags: root.tags.lists[index.tags[page]], variants: root.variants.lists[index.variants[page]], score: ranking.final[page],
      terms: ranking.usedTerms(page), missing: missing.map(function (group) { return group.text; }), through: through === undefined ? -1 : through
    };
  }

  // ---- showing why ----

  var SHOWN = new RegExp(LETTER + "+(?:[-_'\u2019\u2010-\u2015]" + LETTER + "+)*", "gu");

  /** A text in pieces, those that answer the query marked. @param {string} text @param {string[]} terms a result's terms @returns {{text: string, hit: boolean}[]} */
  function marked(text, terms) {
    var known = new Set(terms), pieces = [], end = 0, match;
    SHOWN.lastIndex = 0;
    while ((match = SHOWN.exec(text))) {
      if (!indexTerms(match[0], true).some(function (term) { return known.has(term); })) continue;
      if (match.index > end) pieces.push({ text: text.slice(end, match.index), hit: false });
      pieces.push({ text: match[0], hit: true });
      end = match.index + match[0].length;
    }
    if (end < text.length) pieces.push({ text: text.slice(end), hit: false });
    return pieces;
  }

  return {
    /** An index to be read slice by slice with `advance`. @param {Data} data @returns {Index} */
    begin: function (data) { return new Index(data); },
    /** Opens an index at once. @param {Data} data @returns {Index} */
    open: function (data) {
      var index = new Index(data);
      while (!index.advance());
      return index;
    },
    marked: marked, words: words, indexTerms: indexTerms, stem: stem, fold: fold, root: root, isWeak: isWeak, edits: edits,
    pairHash: pairHash, pairPlaces: pairPlaces
  };
})();
if (typeof module === "object" && module.exports) module.exports = SearchCore;
