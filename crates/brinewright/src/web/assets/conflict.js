// A value that somebody else changed meanwhile: the place in words, both values, and a press that chooses one.
// @ts-check

/**
 * @typedef {import("./ask.js").Clash} Clash
 * @typedef {import("./ask.js").Conflict} Conflict
 * @typedef {{revision: number, edits: {path: string, text: string}[]}} Settled
 */

/** What is being chosen in a place: a change that comes meanwhile waits for its turn, so that none is lost. */
const open = /** @type {WeakMap<HTMLElement, Promise<Settled>>} */ (new WeakMap());

/**
 * Shows what met, and waits until each value is chosen. What is to be made of the change then comes back: what met nothing,
 * and what was chosen of what did.
 *
 * @param {HTMLElement} place
 * @param {Clash} clash
 * @returns {Promise<Settled>}
 */
export function settle(place, clash) {
  const before = open.get(place) ?? Promise.resolve(null);
  const own = before.then(() => shown(place, clash));
  open.set(place, own);
  return own;
}

/**
 * @param {HTMLElement} place
 * @param {Clash} clash
 * @returns {Promise<Settled>}
 */
function shown(place, clash) {
  /** @type {Map<string, boolean>} */
  const yours = new Map();
  return new Promise((resolve) => {
    const head = document.createElement("h2");
    head.tabIndex = -1;
    head.textContent =
      clash.conflicts.length === 1 ? "Changed elsewhere meanwhile" : `${clash.conflicts.length} values changed elsewhere meanwhile`;
    const note = document.createElement("p");
    note.className = "second";
    note.textContent = "Nothing of yours is saved yet. Choose what is to stand.";
    const choose = (/** @type {Conflict} */ own, /** @type {boolean} */ mine) => {
      yours.set(own.path, mine);
      if (yours.size < clash.conflicts.length) return;
      place.hidden = true;
      place.replaceChildren();
      const wanted = clash.edits.filter((edit) => yours.get(edit.path) ?? true);
      resolve({ revision: clash.revision, edits: wanted });
    };
    place.replaceChildren(head, note, ...clash.conflicts.map((own) => choice(own, choose)));
    place.hidden = false;
    head.focus({ preventScroll: true });
    place.scrollIntoView({ block: "nearest" });
  });
}

/**
 * @param {Conflict} own
 * @param {(own: Conflict, mine: boolean) => void} choose
 */
function choice(own, choose) {
  const set = document.createElement("fieldset");
  set.dataset.conflict = own.path;
  const legend = document.createElement("legend");
  legend.textContent = own.place;
  const button = (/** @type {boolean} */ mine) => {
    const press = document.createElement("button");
    press.type = "button";
    press.dataset.choose = mine ? "yours" : "theirs";
    press.setAttribute("aria-pressed", "false");
    const value = document.createElement("strong");
    value.textContent = mine ? own.yours : own.theirs;
    press.append(mine ? "Take yours: " : "Leave theirs: ", value);
    press.addEventListener("click", () => {
      for (const other of set.querySelectorAll("button")) other.setAttribute("aria-pressed", String(other === press));
      choose(own, mine);
    });
    return press;
  };
  set.append(legend, button(false), button(true));
  return set;
}
