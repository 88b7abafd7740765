// What the scripts of the work take from the page's own script, said once for all of them: they are published as one.
const { each, kept, keep, say, make, fact, guide } = /** @type {any} */ (Bayleaf), doc = /** @type {any} */ (document);
/** The day of a moment more than half a day ago, after which it may be another machine or another job; else nothing. @param {number} moment */
const oldDay = (moment) => Date.now() - moment > 43200000 ? new Date(moment).toLocaleDateString() : "";
/** A field to choose from; the first is chosen. @param {string[][]} options value and text @param {Object<string, any>} [traits] */
const choiceOf = (options, traits) => make("select", traits, options.map(([value, text]) => {
  const option = make("option", text);
  option.value = value;
  return option;
}));
/** What is ticked on procedures, under this name and their paths. */
const TICKS = "ticks ";
/** Ticks belong to one job. */
function forgetTicks() {
  try {
    Object.keys(localStorage).forEach((key) => { if (key.startsWith("bayleaf " + TICKS)) { localStorage.removeItem(key); } });
  } catch (refused) { /* Where storage is refused to local files nothing was kept. */ }
}
