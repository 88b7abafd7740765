// What the scripts of the work take from the page's own script, said once for all of them: they are published as one.
const { each, kept, keep, say, make, fact, guide } = /** @type {any} */ (Bayleaf), doc = /** @type {any} */ (document);
