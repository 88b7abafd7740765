// Finds pages in a search index. Pure: no page, no network; runs in any browser and in Node.
// The index is what the compiler wrote into the global `guideIndex`; shards that are not loaded yet are asked for by name.
var SearchCore = (function () {
  "use strict";

  const LONGEST = 32;

  // ---- tables: they come with the index, written once for both languages ----

  /**
   * `weak`: words that say little by themselves; `not`: words that turn what follows; `tasks`: verbs
   * with which a query begins that asks how something is done; `bare`: contractions without their
   * apostrophe, with their verbs; `units`: each one's dimension, how many of its base unit it is, and where its scale has the base's zero; `folds`: what is
   * typed one way for another; `stems`: endings by step; `unspaced`: letters of scripts without spaces between words.
   * @typedef {{weak: string[], not: string[], tasks: string[], bare: [string, string][], units: [string, Unit][], folds: [string, string][],
   *   stems: [string, string][][], unspaced: string}} Tables
   */
  /** @type {Set<string>} */ let weak;
  /** @type {Set<string>} */ let negators;
  /** @type {Set<string>} */ let tasks;
  /** @type {Map<string, string>} */ let bare;
  /** The verbs of the contractions. @type {Set<string>} */ let verbs;
  /** @typedef {[string, number, number]} Unit */
  /** @type {Map<string, Unit>} */ let units;
  /** @type {[RegExp, string][]} */ let folds;
  /** @type {[string, string][][]} */ let endings;
  /** @type {RegExp} */ let unspaced;
  /** Stretches of them, and of others. @type {RegExp} */ let runs;

  /** Takes the tables that all texts are read with. @param {Tables} tables */
  const use = (tables) => {
    weak = new Set(tables.weak);
    negators = new Set(tables.not);
    tasks = new Set(tables.tasks);
    bare = new Map(tables.bare);
    verbs = new Set(bare.values());
    units = new Map(tables.units);
    folds = tables.folds.map(([from, to]) => [new RegExp(from, "g"), to]);
    endings = tables.stems;
    unspaced = new RegExp(`[${tables.unspaced}]`, "u");
    runs = new RegExp(`[${tables.unspaced}]+|[^${tables.unspaced}]+`, "gu");
  };

  // ---- words ----

  /** @typedef {{term: string, parts: string[], breaks: boolean}} Word */

  /** One spelling for every way of typing a text. @param {string} text @returns {string} */
  const fold = (text) => {
    // No table folds plain ASCII.
    if (!/[^ -~]/.test(text)) return text.toLowerCase();
    text = text.replace(/[\u00bc-\u00be\u2150-\u215f\u2189]/g, " $&").normalize("NFKD").toLowerCase();
    for (const [from, to] of folds) text = text.replace(from, to);
    return text.normalize("NFKC");
  };

  const LETTER = "[\\p{Alphabetic}\\p{N}\\p{M}]";
  // A joint stands between letters; a point or a stroke belongs to a word only between digits.
  const ATOM = new RegExp(`(?=${LETTER})(?:[0-9][./](?=[0-9])|${LETTER}|[-_'](?=${LETTER}))+`, "gu");

  /** @param {RegExp} pattern @param {string} text @param {(match: string, at: number) => void} visit */
  const eachMatch = (pattern, text, visit) => {
    text.replace(pattern, (match, at) => { visit(match, at); return ""; });
  };

  /** @param {string} term @returns {string} */
  const cut = (term) => term.length > LONGEST ? Array.from(term).slice(0, LONGEST).join("") : term;

  /** The words of a text. @param {string} text @returns {Word[]} */
  const words = (text) => {
    // The comma of 1,000 goes, that of 0,5 is a point.
    const folded = fold(text).replace(/([0-9]),(?=([0-9]+))/g, (_, digit, after) => digit + (after.length === 3 ? "" : "."));
    const /** @type {Word[]} */ found = [];
    let end = 0;
    eachMatch(ATOM, folded, (atom, at) => {
      pushAtom(found, atom, /[.,;:!?()\n]/.test(folded.slice(end, at)));
      end = at + atom.length;
    });
    return found;
  };

  /** @param {Word[]} found @param {string} atom @param {boolean} breaks a mark of a clause stands before it */
  const pushAtom = (found, atom, breaks) => {
    /** @param {string} term @param {string[]} [parts] */
    const push = (term, parts) => found.push({ term: cut(term), parts: parts || [], breaks });
    const parts = atom.split(/[-_']/), first = parts[0], last = parts[parts.length - 1], joined = parts.join("");
    const shortened = atom.endsWith("'" + last), turned = shortened && last === "t" && parts.length === 2 && /.n$/u.test(first);
    const verb = turned || parts.length < 2 ? bare.get(joined) || (turned && first.slice(0, -1)) : "";
    if (verb) {
      push(verb);
      breaks = false;
      push("not");
      return;
    }
    if (shortened && /^(s|ll|re|ve|d|m)$/.test(last)) parts.pop();
    if (!unspaced.test(joined)) push(parts.join(""), parts.length > 1 ? parts.map(cut) : []);
    else for (const part of parts) eachMatch(runs, part, (run) => {
      const letters = Array.from(run);
      if (letters.length < 2 || !unspaced.test(run)) push(run);
      // Words that stand without spaces go in pairs of letters.
      else for (let i = 1; i < letters.length; i++) push(letters[i - 1] + letters[i]);
    });
  };

  /** @param {Word} word @returns {boolean} */
  const isWeak = (word) => !word.parts.length && weak.has(word.term);
  /** @param {Word} word @returns {boolean} */
  const isStrong = (word) => !isWeak(word);
  /** @param {Word} word @returns {boolean} */
  const negates = (word) => negators.has(word.term);
  /** @param {Word} word @returns {string} */
  const termOf = (word) => word.term;

  // ---- stems: M. F. Porter's algorithm (Program 14, 1980), with the departures of the index library.
  // Before it, the -ly of slowly and firmly goes (not of supply, assembly, family). ----

  /** Consonants and vowels of a word, as a string of c and v. @param {string} word @returns {string} */
  const shape = (word) => word.replace(/[^aeiou]y|./g, (at) => (at[1] ? "cv" : /[aeiou]/.test(at) ? "v" : "c"));
  /** How often consonants follow vowels. @param {string} word @returns {number} */
  const measure = (word) => shape(word).split("vc").length - 1;
  /** @param {string} word @returns {boolean} */
  const endsShort = (word) => shape(word).endsWith("cvc") && !/[wxy]$/.test(word);

  const /** @type {Map<string, string>} */ stems = new Map();
  /** @param {string} word @returns {string} */
  const stem = (word) => {
    let known = stems.get(word);
    if (!known) stems.set(word, (known = stemmed(word)));
    return known;
  };

  /** @param {string} w @returns {string} */
  const stemmed = (w) => {
    if (w.length < 3 || /[^a-z]/.test(w)) return w;
    if (w.length > 5) w = w.replace(/([^aibloup])ly$/, "$1");
    w = past(w.replace(/(ss|i)es$|([^s])s$/, "$1$2")).replace(/(.[^aeiou])y$/, "$1i");
    endings.forEach((step, nth) => {
      const fits = step.find(([ending]) => w.endsWith(ending) && (ending !== "ion" || /[st]ion$/.test(w)));
      if (!fits) return;
      const left = w.slice(0, -fits[0].length);
      // The last step takes endings off longer words only.
      if (measure(left) > (nth > 1 ? 1 : 0)) w = left + fits[1];
    });
    const m = measure(w), left = w.slice(0, -1);
    if (w.endsWith("e") && (m > 1 || (m === 1 && !endsShort(left)))) w = left;
    return w.endsWith("ll") && measure(w) > 1 ? w.slice(0, -1) : w;
  };

  /** Endings of the past and of -ing. @param {string} w @returns {string} */
  const past = (w) => {
    if (w.endsWith("eed")) return measure(w.slice(0, -3)) ? w.slice(0, -1) : w;
    const left = w.replace(/(ed|ing)$/, "");
    if (left === w || !shape(left).includes("v")) return w;
    if (/(at|bl|iz)$/.test(left)) return left + "e";
    if (/([^aeiou])\1$/.test(left) && shape(left).endsWith("c")) return /[lsz]$/.test(left) ? left : left.slice(0, -1);
    return measure(left) === 1 && endsShort(left) ? left + "e" : left;
  };

  /** The stem of a plain word; a compound stays as it is. @param {Word} word @returns {string} */
  const root = (word) => word.parts.length ? word.term : stem(word.term);

  // ---- numbers with units ----

  /** @typedef {{from: number, to: number, sizes: [string, number][], glued: string}} Quantity a size is a dimension and a step of its scale */

  /** @param {Word[]} list @returns {Quantity[]} */
  const quantities = (list) => {
    const found = [];
    for (let at = 0; at < list.length; at++) {
      const quantity = quantityAt(list, at);
      if (quantity) { found.push(quantity); at = quantity.to - 1; }
    }
    return found;
  };

  /** @param {Word[]} list @param {number} from @returns {Quantity | undefined} */
  const quantityAt = (list, from) => {
    const { term, parts } = list[from], digits = term.replace(/[^0-9./].*/, ""), stump = parts.length ? "" : term.slice(digits.length);
    const values = (parts.length ? parts : [digits]).map(number);
    if (values.some(isNaN)) return;
    for (let to = from + (stump ? 3 : 4); to > from; to--) {
      const rest = list.slice(from + 1, to), name = stump + rest.map(termOf).join(""), unit = units.get(name);
      if (!unit || to > list.length || rest.some((word) => word.breaks)) continue;
      const sizes = values.map((value) => /** @type {[string, number]} */ ([unit[0], sizeOf(value, unit)]));
      return { from, to, sizes: sizes.filter((size) => !isNaN(size[1])), glued: stump || parts.length ? "" : term + name };
    }
  };

  /** @param {string} text @returns {number} */
  const number = (text) => {
    const [above, below = 1] = text.split("/").map(Number);
    return /^((^|\/)\d{1,12}(\.\d{1,12})?){1,2}$/.test(text) && below > 0 ? above / below : NaN;
  };

  /** One step per degree for temperatures, one per hundredth (about) for everything else. @param {number} value @param {Unit} unit @returns {number} */
  const sizeOf = (value, [dimension, factor, zero]) => {
    const size = (value - zero) * factor;
    return Math.floor((dimension === "c" ? size : size > 0 ? log2(size) * 70 : NaN) + 0.5);
  };

  /** Binary logarithm by plain arithmetic only: the same bits as the compiler's. @param {number} x @returns {number} */
  const log2 = (x) => {
    let whole = 0;
    for (; x >= 2; whole++) x /= 2;
    for (; x < 1; whole--) x *= 2;
    const t = (x - 1) / (x + 1), s = t * t;
    return whole + 2.885390081777927 * (t * (1 + s * (1 / 3 + s * (0.2 + s * (1 / 7 + s * (1 / 9 + s / 11))))));
  };

  /** The words a negator turns: up to three strong ones after it in the same clause. @param {Word[]} list @param {number} at index of the negator @returns {Word[]} */
  const turnedBy = (list, at) => {
    const after = list.slice(at + 1), end = after.findIndex((word) => word.breaks || negates(word));
    return after.slice(0, end < 0 ? after.length : end).filter(isStrong).slice(0, 3);
  };

  /** Every term of a text, as the compiler indexes it. @param {string} text @param {boolean} allStrong weak words count like the others, else as terms of their own kind (`~may`) @param {Set<string>} [surfaces] collects the words as written @returns {string[]} */
  const indexTerms = (text, allStrong, surfaces) => {
    const list = words(text), /** @type {string[]} */ terms = [];
    for (const word of list) {
      if (!allStrong && isWeak(word)) terms.push("~" + word.term);
      else [word.term].concat(word.parts).forEach((term, nth) => {
        const short = stem(term);
        if (surfaces) surfaces.add(term);
        terms.push(term);
        if (short !== term && (nth || !word.parts.length)) terms.push(short);
      });
    }
    for (const { sizes, glued } of quantities(list)) {
      for (const size of sizes) terms.push("#" + size.join(""));
      if (glued) terms.push(glued);
    }
    list.forEach((word, at) => { if (negates(word)) terms.push(...turnedBy(list, at).map((turned) => "!" + root(turned))); });
    return terms;
  };

  // ---- numbers as text ----

  /** What each character stands for: all of ASCII that a script may show, without `"`, `<` and `\`. */
  const DIGITS = Uint8Array.from({ length: 127 }, (_, code) => code - 32 - (code > 92 ? 3 : code > 60 ? 2 : code > 34 ? 1 : 0));
  /** @param {string} text @param {number} at @returns {number} */
  const digitAt = (text, at) => DIGITS[text.charCodeAt(at)];

  /** Reads numbers from a text. */
  class Reader {
    /** @param {string} text @param {number} [at] */
    constructor(text, at) { this.text = text; this.at = at || 0; }
    /** @returns {number} */
    digit() { return digitAt(this.text, this.at++); }
    /** One digit up to 71, two up to 1,819, else four. @returns {number} */
    number() {
      const first = this.digit();
      return first < 72 ? first : first < 91 ? 72 + (first - 72) * 92 + this.digit() : 1820 + (this.digit() * 92 + this.digit()) * 92 + this.digit();
    }
    /** A front-coded word up to a space. @param {string} before @returns {string} */
    word(before) {
      const shared = this.digit(), from = this.at, stop = this.text.indexOf(" ", from);
      this.at = stop + 1;
      return before.slice(0, shared) + this.text.slice(from, stop);
    }
    /** As many numbers, each told by its distance from the one before. @param {number} count @param {(n: number) => void} take */
    rising(count, take) { for (let n = 0; count > 0; count--) take((n += this.number())); }
  }

  /** FNV-1a over two words. @param {string} first @param {string} second @returns {number} */
  const pairHash = (first, second) => {
    const text = first + " " + second;
    let hash = 0x811c9dc5;
    for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
    return hash >>> 0;
  };
  /** The hashes of neighbours among the strong words of a text. @param {string} text @returns {number[]} */
  const pairHashes = (text) => {
    const roots = words(text).filter(isStrong).map(root);
    return roots.slice(1).map((word, i) => pairHash(roots[i], word));
  };

  /** Edits from each beginning of `word` to a beginning of `other`, one letter longer than that of the last row. @param {number[][]} rows @param {number} depth @param {string} word @param {string} other @returns {number[]} */
  const rowAfter = (rows, depth, word, other) => {
    const old = rows[depth], row = [depth + 1], letter = other[depth];
    for (let j = 1; j <= word.length; j++) {
      const edits = Math.min(old[j] + 1, row[j - 1] + 1, old[j - 1] + (word[j - 1] === letter ? 0 : 1));
      const swapped = depth && word[j - 1] === other[depth - 1] && word[j - 2] === letter;
      row.push(swapped ? Math.min(edits, rows[depth - 1][j - 2] + 1) : edits);
    }
    return row;
  };

  /** Whether typing errors may be looked for. @param {string} term @returns {boolean} */
  const lettersOnly = (term) => !/\p{N}/u.test(term) && !unspaced.test(term);

  // ---- the index ----

  /**
   * What the compiler writes. `root` describes pages and terms; `s0`, `s1` and so on hold postings, `p0` and so on filters of neighbours.
   * `terms`: those of each shard, front-coded; `shards`: the numbers of their first terms. `urls`, `titles` and `hints` are in stretches of
   * `stretch` pages, a line each; `urls` front-coded. `variants`, `tags`: lists, and the number of each page's in as many digits for all.
   * `synonyms`: the roots of a phrase, and the other phrases for it with their weights.
   * @typedef {{pages: number, urls: string[], titles: string[], hints: string[], kinds: [string, number, boolean][], kind: string,
   *   variants: {lists: string[][], of: string}, tags: {lists: string[][], of: string}, related: string,
   *   synonyms: [string, [string[], number][]][], tables: Tables, terms: string[], shards: number[], stretch: number, body_pairs: boolean}} Root
   * @typedef {{root: Root} & Object<string, any>} Data
   * @typedef {{pages: number[], levels: number[], rarity: number}} Postings
   *
   * `at`: its number; `from` and `length` of its postings in the shard; `written`: it was met as written, not only as a stem;
   * `beside`: how far on stands the word whose postings it has, else 0.
   * @typedef {{text: string, at: number, shard: number, from: number, length: number, written: boolean, beside: number}} Term
   * One way to read a stretch of the query: all its terms must be on the page.
   * @typedef {{terms: Term[], weight: number, reading: string | null}} Way
   * Per page the score of the best way, and which it is; the pages that have one.
   * @typedef {{score: Float64Array, way: Int16Array, pages: number[], limit: number}} Scores
   * A stretch of the query that counts as one word.
   * @typedef {{text: string, ways: Way[], weight: number, code: boolean, plain: string, against: Term | undefined, turned: string[]}} Group
   *   `plain`: the word, where typing errors may be looked for; `against`: the term for the word turned by a not, which
   *   speaks against a page when the query has no not; `turned`: the plain words that this not turns.
   *
   * @typedef {{kind?: string | null, variant?: string | null, limit?: number, finished?: boolean}} Options
   *   `finished`: the last word is whole, do not complete it.
   * @typedef {{page: number, url: string, title: string, kind: string, tags: string[], variants: string[], hint: string,
   *   score: number, terms: string[], missing: string[], through: number}} Result
   *   `through`: a related page that has the missing words, or -1.
   * @typedef {{need: string[], results: Result[], total: number, kinds: [string, number][], read: [string, string][], unknown: string[], whole: boolean, phrase: boolean | null}} Answer
   *   `need`: shards to load before asking again; `read`: typed and read word; `whole`: a page has every word;
   *   `phrase`: whether a page has the words in quotes side by side, null without quotes.
   * @typedef {{steps: (text: string, options?: Options) => Generator<void, Answer, void>,
   *   glance: (text: string, variant: string, count: number) => Result[], entitled: (text: string) => number[], termAt: (at: number) => Term | undefined, result: (page: number) => Result}} Index
   */

  // Pages ranked at once; pages looked at for a phrase while their filters are in files of their own.
  const FIRST = 50, PHRASE_PAGES = 30;
  // What stands between the words of a title; titles looked at for what is shown at once.
  const MARKS = /[\s,;:.!?()"\u201c\u201d\u2013\u2014/-]+/, LOOKED = 100;

  /** An index; its parts are read when they are first wanted. @param {Data} data @returns {Index} */
  const begin = (data) => {
    const guide = data.root, size = guide.pages, firsts = guide.shards, synonyms = new Map(guide.synonyms);
    /** The line of a page in a text of stretches, each cut when it is first wanted. @param {string[]} stretches @returns {(page: number) => string} */
    const linesOf = (stretches) => {
      const /** @type {string[][]} */ cut = [];
      return (page) => {
        const nth = stretchOf(page);
        return (cut[nth] || (cut[nth] = (stretches[nth] || "").split("\n")))[page % guide.stretch] || "";
      };
    };
    /** @param {number} page @returns {number} */
    const stretchOf = (page) => Math.floor(page / guide.stretch);
    const urlLine = linesOf(guide.urls), titleOf = linesOf(guide.titles), hintOf = linesOf(guide.hints);
    const /** @type {Term[][]} */ blocks = [], /** @type {Map<Term, Postings>} */ cache = new Map();
    const /** @type {Map<number, string[]>} */ titleRoots = new Map(), /** @type {number[][]} */ related = [];
    const nextRelated = new Reader(guide.related);
    /** Per page: how many terms of a way were met, and their sum. */ const had = new Uint8Array(size), sums = new Float64Array(size);
    use(guide.tables);

    /** The terms of a shard. @param {number} shard @returns {Term[]} */
    const block = (shard) => {
      if (blocks[shard]) return blocks[shard];
      const from = new Reader(guide.terms[shard]), /** @type {Term[]} */ list = (blocks[shard] = []);
      let text = "", offset = 0;
      while (from.at < from.text.length) {
        text = from.word(text);
        const coded = from.number(), length = coded >> 1, distance = coded === 1 ? from.number() : 0;
        list.push({ text, at: firsts[shard] + list.length, shard, from: offset, length, written: !(coded & 1), beside: distance & 1 ? -(distance >> 1) : distance >> 1 });
        offset += length;
      }
      return list;
    };

    /** The first of so many from which on something holds. @param {number} count @param {(n: number) => boolean} holds @returns {number} */
    const firstOf = (count, holds) => {
      let low = 0;
      while (low < count) {
        const middle = (low + count) >> 1;
        if (holds(middle)) count = middle; else low = middle + 1;
      }
      return low;
    };
    /** @param {number} at @returns {Term | undefined} */
    const termAt = (at) => {
      const shard = firstOf(firsts.length, (n) => firsts[n] > at) - 1;
      return shard < 0 ? undefined : block(shard)[at - firsts[shard]];
    };
    /** The number of the first term not before `word`. @param {string} word @returns {number} */
    const place = (word) => {
      const shard = firstOf(firsts.length, (n) => guide.terms[n].slice(1, guide.terms[n].indexOf(" ", 1)) > word) - 1;
      return shard < 0 ? 0 : firsts[shard] + firstOf(block(shard).length, (n) => block(shard)[n].text >= word);
    };
    /** @param {string} word @returns {Term | undefined} */
    const find = (word) => {
      const term = termAt(place(word));
      return term && term.text === word ? term : undefined;
    };
    /** The term in whose place a term's postings stand. @param {Term} term @returns {Term} */
    const source = (term) => (term.beside && termAt(term.at + term.beside)) || term;

    /** A page's list out of few different ones. @param {{lists: string[][], of: string}} sets @param {number} page @returns {string[]} */
    const listOf = ({ lists, of }, page) => {
      const width = of.length / size;
      let n = 0;
      for (let at = page * width; at < (page + 1) * width; at++) n = n * 92 + digitAt(of, at);
      return lists[n];
    };

    /** A term's pages; its shard must be there. @param {Term} term @returns {Postings} */
    const postings = (term) => {
      const known = cache.get(term);
      if (known) return known;
      const at = source(term), from = new Reader(data["s" + at.shard], at.from), end = from.at + at.length;
      const /** @type {number[]} */ pages = [], /** @type {number[]} */ levels = [];
      while (from.at < end) {
        const head = from.number();
        from.rising((head >> 3) + 1, (page) => { pages.push(page); levels.push((head & 7) + 1); });
      }
      if (cache.size > 300) cache.clear();
      const made = { pages, levels, rarity: log2(1 + (size - pages.length + 0.5) / (pages.length + 0.5)) };
      cache.set(term, made);
      return made;
    };

    /** Pages that belong to a page. @param {number} page @returns {number[]} */
    const relatedTo = (page) => {
      while (related.length < size) {
        const /** @type {number[]} */ list = [];
        nextRelated.rising(nextRelated.number(), (other) => list.push(other));
        related.push(list);
      }
      return related[page];
    };

    /** The shard with a page's filter. @param {number} page @returns {string} */
    const filterShard = (page) => "p" + stretchOf(page);

    /** Whether a page may have all pairs side by side. @param {number} page @param {number[]} hashes @returns {boolean} */
    const hasPairs = (page, hashes) => {
      const from = new Reader(data[filterShard(page)]), marks = new Set();
      let skip = page % guide.stretch, length = from.number();
      for (; skip > 0; skip--) { from.at += length; length = from.number(); }
      const count = from.number();
      from.rising(count, (mark) => marks.add(mark));
      return hashes.every((hash) => marks.has(hash % (count * 700)));
    };

    /** The kind of a page, its boost in percent, and whether such pages tell how something is done. @param {number} page @returns {[string, number, boolean]} */
    const kindOf = (page) => guide.kinds[digitAt(guide.kind, page)] || ["", 100, false];

    /** The roots of the strong words of a page's title (of all where none is strong). @param {number} page @returns {string[]} */
    const rootsOfTitle = (page) => {
      let known = titleRoots.get(page);
      if (!known) {
        const list = words(titleOf(page)), strong = list.filter(isStrong);
        titleRoots.set(page, (known = (strong.length ? strong : list).map(root)));
      }
      return known;
    };

    /**
     * Known words a few edits away, best first; a swap of neighbours is one edit. Terms that begin alike share the rows
     * of their table of edits, and a beginning that is too far away already is not gone on with.
     * @param {string} word @returns {Generator<void, {found: Term[], edits: number}, void>}
     */
    function* near(word) {
      const whole = word.length, rows = [Array.from({ length: whole + 1 }, (_, n) => n)], leasts = [0];
      let /** @type {Term[]} */ found = [];
      let least = whole > 6 ? 2 : 1, before = "", depth = 0, at = 0;
      for (let shard = 0; shard < firsts.length; shard++) {
        for (const term of block(shard)) {
          const other = term.text;
          if (term.at % 512 === 511) yield;
          if (!term.written || Math.abs(other.length - whole) > least) continue;
          for (at = 0; at < depth && other[at] === before[at]; ) at++;
          for (depth = at; depth < other.length && leasts[depth] <= least; depth++) {
            rows[depth + 1] = rowAfter(rows, depth, word, other);
            leasts[depth + 1] = Math.min(...rows[depth + 1]);
          }
          before = other;
          const edits = depth < other.length ? Infinity : rows[depth][whole];
          if (!edits || edits > least || !lettersOnly(other)) continue;
          if (edits < least) found = [];
          found.push(term);
          least = edits;
        }
        yield;
      }
      /** @param {Term} term @returns {number} */
      const strange = ({ text }) => (text[0] === word[0] ? 0 : 1);
      return { found: found.sort((a, b) => strange(a) - strange(b) || longer(a, b)).slice(0, 6), edits: least };
    }

    /** The order of terms, met as written, by how much stands behind them. @param {Term} a @param {Term} b @returns {number} */
    const longer = (a, b) => b.length - a.length || a.at - b.at;

    /** The address of a page: its end, and before it what it shares with those before it. @param {number} page @returns {string} */
    const urlOf = (page) => {
      let url = "";
      for (let at = page, missing = Infinity; missing > 0; at--) {
        const line = urlLine(at), shared = digitAt(line, 0);
        if (shared >= missing) continue;
        url = line.slice(1, 1 + missing - shared) + url;
        missing = shared;
      }
      return url;
    };

    /** What is shown of a page. @param {number} page @returns {Result} */
    const result = (page) => {
      return {
        page, url: urlOf(page), title: titleOf(page), kind: kindOf(page)[0], hint: hintOf(page), tags: listOf(guide.tags, page),
        variants: listOf(guide.variants, page), score: 0, terms: [], missing: [], through: -1
      };
    };

    /** Whether the variant allows a page. @param {number} page @param {string | null | undefined} variant @returns {boolean} */
    const holdsFor = (page, variant) => {
      const list = variant ? listOf(guide.variants, page) : [];
      return !list.length || list.includes(variant || "");
    };

    const /** @type {string[]} */ folded = [];
    /** The titles of a stretch as they are typed, a line each. @param {number} nth @returns {string} */
    const foldedTitles = (nth) => {
      const titles = guide.titles[nth];
      return folded[nth] || (folded[nth] = /[^\n -~]/.test(titles) ? titles.split("\n").map(fold).join("\n") : titles.toLowerCase());
    };

    /** Goes through the folded titles that have a text, until one ends it. @param {string} part @param {(title: string, pageOf: () => number) => boolean | void} visit */
    const eachTitleWith = (part, visit) => {
      for (let nth = 0, done; nth < guide.titles.length && !done; nth++) {
        const titles = foldedTitles(nth);
        for (let at = titles.indexOf(part); at >= 0 && !done; ) {
          const from = titles.lastIndexOf("\n", at) + 1, stop = titles.indexOf("\n", at), end = stop < 0 ? titles.length : stop;
          done = visit(titles.slice(from, end), () => nth * guide.stretch + titles.slice(0, from).split("\n").length - 1);
          at = titles.indexOf(part, end);
        }
      }
    };

    /** Pages with this title. @param {string} text @returns {number[]} */
    const entitled = (text) => {
      const wanted = fold(text), /** @type {number[]} */ found = [];
      if (wanted) eachTitleWith(wanted, (title, pageOf) => { if (title === wanted) found.push(pageOf()); });
      return found;
    };

    /**
     * Pages in whose title a word begins as each that was typed does, first the titles that are filled most. Nothing is
     * read but titles: there is something to show while shards are on their way.
     * @param {string} text @param {string} variant @param {number} count @returns {Result[]}
     */
    const glance = (text, variant, count) => {
      const typed = fold(text).split(MARKS).filter((word) => word && !weak.has(word)).slice(0, 9), /** @type {[number, number][]} */ found = [];
      const longest = typed.reduce((one, other) => (other.length > one.length ? other : one), "");
      let looked = 0;
      if (longest.length > 2) eachTitleWith(longest, (title, pageOf) => {
        const parts = title.split(MARKS);
        if (typed.every((word) => parts.some((part) => part.startsWith(word)))) {
          const page = pageOf();
          if (holdsFor(page, variant)) found.push([page, kindOf(page)[1] / title.length]);
        }
        return ++looked === LOOKED;
      });
      return found.sort((a, b) => b[1] - a[1]).slice(0, count).map(([page]) => result(page));
    };

    /** Looks for pages step by step, so that whoever asks can rest between steps or give up. @param {string} text @param {Options} [given] @returns {Generator<void, Answer, void>} */
    function* steps(text, given) {
      const options = given || {}, list = words(Array.from(text.slice(0, 1000)).slice(0, 400).join("")).slice(0, 24), amounts = quantities(list);
      const negated = list.some(negates), strong = list.some(isStrong), /** @type {Group[]} */ groups = [];
      /** Words that a negator turns. */ const /** @type {Set<Word>} */ opposed = new Set();
      /** Shards to load first. */ const /** @type {Set<string>} */ need = new Set();

      // ---- reading the query ----

      /** Opens the group of the words from `at` to `to`. @param {number} at @param {number} to @param {boolean} code @returns {Group} */
      const open = (at, to, code) => {
        const part = list.slice(at, to), /** @type {Group} */ group = {
          text: part.map(termOf).join(" "), ways: [], code, plain: "", against: undefined, turned: [],
          weight: strong ? part.filter(isStrong).length || 0.15 : part.length
        };
        groups.push(group);
        return group;
      };

      /** Notes a shard that is not there. @param {string} name */
      const want = (name) => { if (data[name] === undefined) need.add(name); };

      /** @param {Group} group @param {Term[]} terms @param {number} weight @param {string} [reading] */
      const addWay = (group, terms, weight, reading) => {
        for (const term of terms) want("s" + source(term).shard);
        const made = { terms, weight, reading: reading || null };
        // A stem on the same pages as its word finds nothing more.
        if (!group.ways.some((known) => known.weight >= weight && known.reading === made.reading && sameTerm(known, made))) group.ways.push(made);
      };

      /** Whether both ways are one term, on the same pages. @param {Way} one @param {Way} other @returns {boolean} */
      const sameTerm = ({ terms: [one, more] }, { terms: [other, others] }) => !more && !others && source(one) === source(other);

      /** Adds a way to read the group if all its terms are known. @param {Group} group @param {string[]} phrase @param {number} weight @param {string} [reading] */
      const way = (group, phrase, weight, reading) => {
        const found = phrase.map(find).filter(/** @returns {term is Term} */ (term) => !!term);
        if (found[0] && found.length === phrase.length) addWay(group, found, weight, reading);
      };

      /** A phrase by its words as written and by their stems. @param {Group} group @param {string[]} phrase @param {number} weight @param {string} [reading] */
      const stemmedWay = (group, phrase, weight, reading) => {
        const short = phrase.map(stem);
        way(group, phrase, weight, reading);
        if (short.join(" ") !== phrase.join(" ")) way(group, short, weight * 0.9, reading);
      };

      /** The end of the longest stretch from `at`, of at most so many words, that fits; else of one word. @param {number} at @param {number} most @param {(part: Word[]) => boolean} fits @returns {number} */
      const stretch = (at, most, fits) => {
        let to = Math.min(at + most, list.length);
        while (to > at + 1 && !fits(list.slice(at, to))) to--;
        return to;
      };
      /** @param {Word[]} part @returns {string} */
      const keyOf = (part) => part.map(root).join(" ");

      /** @param {string} term @returns {string[]} */
      const digitRuns = (term) => term.match(/[0-9]+|[^0-9]+/g) || [];

      /** A code with the zeros that the guide writes: `sb-03` for `sb3`. @param {string} term @returns {string[]} */
      const withZeros = (term) => {
        const split = digitRuns(term);
        return split.length === 2 ? [split.join("0"), split.join("00")] : [];
      };

      /** Words typed apart that the guide writes as one: `p 12`, `half way`. @param {Word[]} part @returns {boolean} */
      const joins = (part) => {
        const joined = part.map(termOf).join(""), clear = part.every((word) => word.term.length > 2) || (/[0-9]/.test(joined) && /[^0-9]/.test(joined));
        return clear && !part.slice(1).some((word) => word.breaks) && [joined, ...withZeros(joined)].some(find);
      };

      /** Reads the group at `at` and gives the place after it. @param {number} at @returns {number} */
      const read = (at) => {
        const amount = amounts.find((one) => one.from === at);
        if (amount) return readAmount(amount);
        let to = stretch(at, 5, (part) => synonyms.has(keyOf(part)));
        if (to === at + 1) to = stretch(at, 3, joins);
        const part = list.slice(at, to), word = part[0], phrase = part.map(termOf), joined = phrase.join("");
        // The `will` of will not says nothing.
        if (strong && verbs.has(joined) && list[to] && negates(list[to])) return to;
        const group = open(at, to, /[0-9]/.test(joined) || word.parts.length > 0);
        if (part[1]) {
          // A code that is typed apart is one, before all pages that have its parts.
          way(group, [joined], group.code ? 1.5 : 1);
          if (!group.ways.length) for (const code of withZeros(joined)) way(group, [code], 1.2);
          stemmedWay(group, phrase, group.code ? 0.7 : 0.9);
          for (const term of phrase) way(group, [term], 0.3);
        } else if (negates(word)) readNegator(group, at);
        else readWord(group, word);
        otherWays(group, keyOf(part));
        if (to === list.length && !options.finished && joined[1]) complete(group, joined);
        return to;
      };

      /** A size counts as one word and is found by what it is, however it was spelt; by its words only where it is nowhere. @param {Quantity} amount @returns {number} */
      const readAmount = ({ from, to, sizes, glued }) => {
        const group = open(from, to, true);
        group.weight = 1;
        for (const [dimension, step] of sizes) for (const near of [0, -1, 1]) way(group, ["#" + dimension + (step + near)], near ? 0.9 : 1);
        if (group.ways.length) return to;
        if (glued) way(group, [glued], 0.9);
        way(group, list.slice(from, to).map(termOf), 0.8);
        return to;
      };

      /** What a synonym, or the opposite of a turned word, stands for. @param {Group} group @param {string} key */
      const otherWays = (group, key) => {
        for (const [other, weight] of synonyms.get(key) || []) {
          stemmedWay(group, other, weight);
          // Pages seldom say the whole of a preferred phrase: floor for stage floor.
          if (weight > 0.9 && other[1]) for (const term of other) if (!weak.has(term)) way(group, [term], 0.3);
        }
      };

      /** @param {Group} group @param {number} at */
      const readNegator = (group, at) => {
        const turned = turnedBy(list, at);
        for (const word of turned) {
          way(group, ["!" + root(word)], 1);
          otherWays(group, "!" + root(word));
          opposed.add(word);
        }
        group.turned = turned.filter((word) => !word.parts.length).map(termOf);
        stemmedWay(group, [list[at].term], turned.length ? 0.3 : 1);
      };

      /** @param {Group} group @param {Word} word */
      const readWord = (group, word) => {
        const { term, parts } = word, short = parts.length ? term : stem(term), split = digitRuns(term);
        way(group, [term], group.code ? 1.5 : 1);
        if (short !== term) way(group, [short], 0.9);
        if (isWeak(word)) way(group, ["~" + term], 1);
        if (!group.ways.length) for (const code of withZeros(term)) way(group, [code], 1.2);
        if (parts.length) stemmedWay(group, parts, 0.7);
        else if (split.length > 1 && split.length < 5 && !/[./]/.test(term)) way(group, split, 0.6);
        if (opposed.has(word)) otherWays(group, "!" + short);
        if (group.code) return;
        group.plain = term;
        if (negated) return;
        group.against = find("!" + short);
        if (group.against) want("s" + source(group.against).shard);
      };

      /** Words that begin as the last word does. @param {Group} group @param {string} start */
      const complete = (group, start) => {
        // A word that is known as it stands is more likely whole.
        const share = group.ways.length ? 0.1 : 0.4, found = [];
        for (let at = place(start), term; (term = termAt(at)) && term.text.startsWith(start); at++) if (term.written && term.text !== start) found.push(term);
        for (const term of found.sort(longer).slice(0, 12)) addWay(group, [term], share + (share * start.length) / term.text.length);
      };

      /** Adds what a group may have been meant as. @param {Group} group @param {number} factor @returns {Generator<void, void, void>} */
      function* mend(group, factor) {
        const word = group.plain;
        if (group.weight < 0.5 || word.length < 3 || !lettersOnly(word)) return;
        const { found, edits } = yield* near(word);
        found.forEach(({ text }, rank) => {
          // The first letter is seldom the wrong one.
          const weight = factor * (edits > 1 ? 0.7 : 0.85) * (1 - rank * 0.02) * (text.codePointAt(0) === word.codePointAt(0) ? 1 : 0.6);
          stemmedWay(group, [text], weight, text);
          for (const not of groups) if (not.turned.includes(word)) way(not, ["!" + stem(text)], weight);
        });
        // Two words typed as one.
        for (let at = 3; !group.ways.length && at <= word.length - 2; at++) {
          const halves = [word.slice(0, at), word.slice(at)];
          if (halves.every((half) => (find(half) || {}).written)) way(group, halves, 0.8 * factor, halves.join(" "));
        }
      }

      // ---- ranking ----

      let /** @type {Scores[]} */ scores, /** @type {Float64Array} */ sum, /** @type {Float64Array} */ cover, /** @type {Float64Array} */ final;
      /** The first pages, in order, and all, in any. */ let /** @type {number[]} */ pages = [], /** @type {number[]} */ all = [];
      let /** @type {(string | null)[]} */ readings = [], weight = 0;
      /** Of each kind, and of none. */ let /** @type {number[]} */ boosts = [];
      const /** @type {Map<number, number>} */ through = new Map();

      /** Per page the best of a group's ways; of corrected words that of the chosen reading, if one is chosen. @param {Group} group @param {string | null | undefined} reading @returns {Generator<void, Scores, void>} */
      function* scoresOf(group, reading) {
        const /** @type {Scores} */ found = { score: new Float64Array(size), way: new Int16Array(size), pages: [], limit: Infinity }, first = group.ways[0];
        // A rarer word that stands for a known one tells no more than that; nor does a turned word tell most.
        if (group.turned[0]) found.limit = 3;
        else if (first && first.terms[0].text === group.plain) found.limit = postings(first.terms[0]).rarity;
        for (let nth = 0; nth < group.ways.length; nth++) {
          const way = group.ways[nth];
          if (way.reading && reading !== undefined && way.reading !== reading) continue;
          raise(found, way, nth);
          yield;
        }
        if (group.against) {
          const { pages, levels } = postings(group.against);
          pages.forEach((page, i) => { found.score[page] *= 1 - 0.05 * levels[i]; });
        }
        return found;
      }

      /** Raises the pages that have all terms of a way to the sum of the terms' impacts. @param {Scores} found @param {Way} way @param {number} nth */
      const raise = (found, way, nth) => {
        const { terms, weight } = way, { score, limit } = found, last = terms.length - 1;
        had.fill(0);
        for (let at = 0; at <= last; at++) {
          const { pages, levels, rarity } = postings(terms[at]), most = Math.min(rarity, limit);
          for (let i = 0; i < pages.length; i++) {
            const page = pages[i];
            if (had[page] !== at) continue;
            had[page]++;
            sums[page] = (at && sums[page]) + (most * levels[i]) / 8;
            const gained = weight * sums[page];
            if (at < last || gained <= score[page]) continue;
            if (!score[page]) found.pages.push(page);
            score[page] = gained;
            found.way[page] = nth;
          }
        }
      };

      /** Ranks with all ways, then with those of the chosen readings alone. @returns {Generator<void, void, void>} */
      function* rank() {
        readings = [];
        yield* score();
        if (choose()) yield* score();
      }

      /** @returns {Generator<void, void, void>} */
      function* score() {
        scores = [];
        sum = new Float64Array(size);
        cover = new Float64Array(size);
        all = [];
        for (const group of groups) {
          const found = yield* scoresOf(group, readings[scores.length]);
          scores.push(found);
          add(found, group.weight);
          yield;
        }
        yield* order();
      }

      /** Adds what a group gives to its pages. @param {Scores} found @param {number} weight */
      const add = ({ pages, score }, weight) => {
        const share = Math.min(1, weight * 4);
        for (const page of pages) {
          if (!cover[page]) all.push(page);
          sum[page] += score[page] * share;
          cover[page] += weight;
        }
      };

      /** Puts the first of the pages that the variant allows in order. @returns {Generator<void, void, void>} */
      function* order() {
        let best = 0;
        final = new Float64Array(size);
        if (options.variant) all = all.filter((page) => holdsFor(page, options.variant));
        for (const page of all) if (cover[page] > best) best = cover[page];
        all = all.filter((page) => cover[page] >= best / 2);
        yield;
        for (const page of all) weigh(page, sum[page], cover[page]);
        yield;
        const least = Float64Array.from(all, (page) => final[page]).sort()[Math.max(0, all.length - FIRST)];
        pages = sort(all.filter((page) => final[page] >= least)).slice(0, FIRST);
        yield;
        for (let n = 0; n < pages.length; n++) {
          final[pages[n]] *= 1 + titleGain(pages[n]);
          if (n % 8 === 7) yield;
        }
        sort(pages);
      }

      /** A page's score by how much of the query it covers, and by its kind. @param {number} page @param {number} sum @param {number} covered */
      const weigh = (page, sum, covered) => {
        final[page] = sum * (covered / weight) * boosts[digitAt(guide.kind, page)];
      };

      /** @param {number[]} list @returns {number[]} */
      const sort = (list) => list.sort((a, b) => final[b] - final[a] || a - b);

      /** Pages of a kind in order, at least so many. @param {string | null | undefined} kind @param {number} count @returns {number[]} */
      const ranked = (kind, count) => {
        const first = new Set(pages), fits = (/** @type {number} */ page) => !kind || kindOf(page)[0] === kind, best = pages.filter(fits);
        return best.length < count ? best.concat(sort(all.filter((page) => !first.has(page) && fits(page)))) : best;
      };

      /** Whether a page has a group. @param {number} page @param {number} g @returns {boolean} */
      const has = (page, g) => scores[g].score[page] > 0;

      /** The way by which a page has a group. @param {number} page @param {number} g @returns {Way} */
      const wayOf = (page, g) => groups[g].ways[scores[g].way[page]];

      /** The terms by which a page was found. @param {number} page @returns {string[]} */
      const usedTerms = (page) => {
        const /** @type {string[]} */ used = [];
        groups.forEach((_, g) => { if (has(page, g)) used.push(...wayOf(page, g).terms.map((term) => term.text)); });
        return used;
      };

      /** How much a page gains by the part of its title that the query names; a code (no bare number) says more than a title. @param {number} page @returns {number} */
      const titleGain = (page) => {
        const roots = rootsOfTitle(page), named = usedTerms(page).map(stem), most = groups.some((group) => group.code && /[^0-9]/.test(group.text)) ? 0.3 : 0.6;
        return roots.length && (most * roots.filter((one) => named.includes(one)).length) / roots.length;
      };

      /** For each group with corrected words, the one that stands with the others on the first page. @returns {boolean} whether there is any */
      const choose = () => {
        let any = false;
        groups.forEach((group, g) => {
          const mended = group.ways.find((way) => way.reading);
          readings[g] = mended ? (pages.length && has(pages[0], g) ? wayOf(pages[0], g) : mended).reading : null;
          if (mended) any = true;
        });
        return any;
      };

      /** The strong groups that a page lacks. @param {number | undefined} page @returns {Group[]} */
      const lacking = (page) => page === undefined ? [] : groups.filter((group, g) => group.weight >= 0.5 && !has(page, g));

      /** Where no page has every word: a page whose related page has what it lacks rises. Never for codes. */
      const lean = () => {
        for (const page of pages.slice(0, 30)) {
          let gain = 0, covered = 0, by = -1;
          for (const other of relatedTo(page)) {
            let more = 0, wide = 0;
            groups.forEach((group, g) => {
              if (group.code || has(page, g) || !has(other, g)) return;
              more += scores[g].score[other];
              wide += group.weight;
            });
            if (more > gain) { gain = more; covered = wide; by = other; }
          }
          if (by < 0) continue;
          weigh(page, sum[page] + gain * 0.4, cover[page] + covered * 0.6);
          final[page] *= 1 + titleGain(page);
          through.set(page, by);
        }
        sort(pages);
      };

      /** @param {boolean | null} phrase @returns {Answer} */
      const answer = (phrase) => {
        const { kind } = options, limit = options.limit || 20, /** @type {[string, string][]} */ read = [], counts = new Uint32Array(92);
        if (need.size) pages = all = [];
        groups.forEach((group, g) => { const reading = readings[g]; if (reading) read.push([group.text, reading]); });
        for (const page of all) counts[digitAt(guide.kind, page)]++;
        const kinds = guide.kinds.map(([name], nth) => /** @type {[string, number]} */ ([name, counts[nth]])).filter(([, count]) => count);
        const chosen = ranked(kind, limit), total = kind ? (kinds.find(([name]) => name === kind) || [0, 0])[1] : all.length;
        return {
          need: Array.from(need), phrase, read, total, kinds,
          unknown: groups.filter((group) => !group.ways.length && group.weight >= 0.5).map((group) => group.text),
          whole: total > 0 && !lacking(pages[0]).length,
          results: chosen.slice(0, limit).map((page) => {
            const by = through.get(page);
            return Object.assign(result(page), { score: final[page], terms: usedTerms(page), missing: lacking(page).map((group) => group.text), through: by === undefined ? -1 : by });
          })
        };
      };

      for (let at = 0; at < list.length; ) {
        at = read(at);
        yield;
      }
      // Who says what a thing does not do, and no code, complains: faults come sooner still.
      const complains = negated && !groups.some((group) => group.code);
      const first = list.find(isStrong), asksForWork = !negated && first && tasks.has(first.term);
      boosts = guide.kinds.map(([, percent, isWork]) => (percent / 100) * (isWork && asksForWork ? 1.25 : 1)).concat(1).map((boost) => (complains ? boost * boost : boost));
      weight = groups.reduce((all, group) => all + group.weight, 0);
      yield;
      for (const group of groups) if (!group.ways.length) yield* mend(group, 1);
      if (need.size || !list.length) return answer(null);
      yield* rank();
      let lost = lacking(pages[0]);
      if (lost.length && groups[1]) {
        for (const group of lost) if (group.ways.length && !readings[groups.indexOf(group)]) yield* mend(group, 0.5);
        if (need.size) return answer(null);
        yield* rank();
        lost = lacking(pages[0]);
        if (lost.length && !lost.some((group) => group.code)) lean();
      }
      yield;
      const /** @type {number[]} */ hashes = [];
      eachMatch(/["\u201c-\u201f\u00ab\u00bb][^"\u201c-\u201f\u00ab\u00bb]+["\u201c-\u201f\u00ab\u00bb]/g, text.slice(0, 1000), (quoted) => hashes.push(...pairHashes(quoted)));
      if (!hashes.length) return answer(null);
      const looked = guide.body_pairs ? ranked(null, size) : pages.slice(0, PHRASE_PAGES);
      for (const page of looked) want(filterShard(page));
      if (need.size) return answer(null);
      const kept = looked.filter((page) => hasPairs(page, hashes));
      if (kept.length) pages = all = kept;
      return answer(kept.length > 0);
    }

    return { steps, glance, entitled, termAt, result };
  };

  // ---- showing why ----

  const SHOWN = new RegExp(`${LETTER}+(?:[-_'\u2019\u2010-\u2015]${LETTER}+)*`, "gu");

  /** A text in pieces, every second one a word that answers the query. @param {string} text @param {string[]} terms a result's terms @returns {string[]} */
  const marked = (text, terms) => {
    const /** @type {string[]} */ pieces = [];
    let end = 0;
    eachMatch(SHOWN, text, (match, at) => {
      if (!indexTerms(match, true).some((term) => terms.includes(term))) return;
      pieces.push(text.slice(end, at), match);
      end = at + match.length;
    });
    return pieces.concat(text.slice(end));
  };

  return { use, begin, marked, words, indexTerms, fold, root, pairHashes };
})();
if (typeof module === "object" && module.exports) module.exports = SearchCore;
