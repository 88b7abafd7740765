// What the scripts of the work take from the page's own script, said once for all of them: they are published as one.
const { each, kept, keep, say, make, fact, guide } = /** @type {any} */ (Bayleaf), doc = /** @type {any} */ (document);
/** What is ticked on procedures, under this name and their paths. */
const TICKS = "ticks ";
/** Ticks belong to one job. */
function forgetTicks() {
  try {
    Object.keys(localStorage).forEach((key) => { if (key.startsWith("bayleaf " + TICKS)) { localStorage.removeItem(key); } });
  } catch (refused) { /* Where storage is refused to local files nothing was kept. */ }
}
