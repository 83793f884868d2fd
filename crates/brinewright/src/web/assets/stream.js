// What the server says without being asked, heard only while the page is seen: a browser holds few connections to one place,
// and a page in the background would keep one of them from the others.
// @ts-check

/**
 * Listens as long as the page is seen, and again when it is seen again: the first that is heard then is how everything stands.
 *
 * @param {string} path
 * @param {Record<string, (event: MessageEvent) => void>} heard by the names of events
 * @param {() => void} [lost] when the server doesn't answer
 */
export function stream(path, heard, lost = () => {}) {
  let own = /** @type {EventSource | null} */ (null);
  function hear() {
    if (document.hidden === (own === null)) return;
    if (own) {
      own.close();
      own = null;
      return;
    }
    own = new EventSource(path);
    for (const [name, take] of Object.entries(heard)) {
      own.addEventListener(name, (event) => take(/** @type {MessageEvent} */ (event)));
    }
    own.addEventListener("error", lost);
  }
  document.addEventListener("visibilitychange", hear);
  // A page that is left lets go at once, also where the browser keeps it to come back to.
  addEventListener("pagehide", () => {
    own?.close();
    own = null;
  });
  addEventListener("pageshow", hear);
  hear();
}
