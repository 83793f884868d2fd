// What is in the file by now: taken in beside what somebody is typing.
// @ts-check

import { named } from "./adding.js";
import { Turns } from "./ask.js";
import { fields, forms, known, looked, tell, underWay } from "./field.js";
import { looksAgain } from "./whole.js";

/** @typedef {import("./field.js").Field} Field */

/** The page is asked for whenever something changed. */
export const pageTurns = new Turns();

/** What is done once the file was taken in. @type {(() => void)[]} */
const followers = [];

/** Has something done whenever the file was taken in. @param {() => void} own */
export function freshened(own) {
  followers.push(own);
}

/** Takes in what was changed elsewhere; a field that somebody is typing in stays. */
export async function freshen() {
  const turn = pageTurns.begin();
  const page = new DOMParser().parseFromString(await (await fetch("/edit")).text(), "text/html");
  if (!pageTurns.take(turn)) return;
  const revision = page.getElementById("forms")?.dataset.revision;
  const before = forms.dataset.revision ?? "";
  if (revision) forms.dataset.revision = revision;
  for (const id of ["undo", "redo"]) {
    button(id).disabled = /** @type {HTMLButtonElement | null} */ (page.getElementById(id))?.disabled ?? true;
  }
  const [broken, now] = [page, document].map((own) => own.getElementById("broken"));
  if (broken && now && now.innerHTML !== broken.innerHTML) now.replaceChildren(...document.adoptNode(broken).childNodes);
  // What was typed stays for when the file can be read again.
  if (broken?.dataset.readable === "false") return;
  sections(page);
  refreshed(document.getElementById("names"), page.getElementById("names"));
  named();
  if (revision !== before) looksAgain();
  for (const fresh of fields(page)) {
    const path = fresh.dataset.path ?? "";
    // Its own answer tells what it has become; until then it holds what its writer wants next.
    if (underWay.has(path)) continue;
    const own = /** @type {Field | null} */ (document.getElementById(fresh.id));
    if (own && own.value !== known.get(path) && own.value !== fresh.value) {
      // What is being typed here was changed elsewhere: it is sent by what its writer looked at, and meets the other there.
      if (fresh.value !== known.get(path) && !looked.has(path)) looked.set(path, before);
      continue;
    }
    if (own) own.value = fresh.value;
    const [unit, now] = [own, fresh].map((one) => one?.parentElement?.querySelector("[data-unit]"));
    if (unit && now) unit.textContent = now.textContent;
    known.set(path, fresh.value);
  }
  for (const own of followers) own();
}

/**
 * Fields that come and go with another shape, and whole sections: taken in where nobody is at work in theirs.
 *
 * @param {Document} page
 */
function sections(page) {
  const all = (/** @type {ParentNode} */ place) =>
    /** @type {HTMLDetailsElement[]} */ ([...place.querySelectorAll("details.section")]);
  const paths = (/** @type {ParentNode} */ place) => fields(place).map((own) => own.dataset.path).join(" ");
  for (const own of all(forms)) {
    if (page.getElementById(own.id) || own.matches(".waiting")) continue;
    // What somebody is typing stays to be read, though its section has another name now, or none.
    const typed = fields(own).filter((field) => field.value !== (known.get(field.dataset.path ?? "") ?? ""));
    if (typed.length === 0) own.remove();
    for (const field of typed) tell(field, "Not saved. This section was renamed or taken out elsewhere.");
  }
  let last = /** @type {Element | null} */ (null);
  for (const fresh of all(page)) {
    const own = /** @type {HTMLDetailsElement | null} */ (document.getElementById(fresh.id));
    if (!own) {
      const place = last ?? forms.querySelector(":scope > p");
      place?.after(document.adoptNode(fresh.cloneNode(true)));
      last = place?.nextElementSibling ?? null;
      continue;
    }
    last = own;
    const atWork =
      own.querySelector("[aria-invalid], .conflict:not([hidden])") ||
      fields(own).some((field) => field.value !== known.get(field.dataset.path ?? ""));
    if (atWork) continue;
    if (paths(own) === paths(fresh)) {
      refreshed(own.querySelector(":scope > summary"), fresh.querySelector(":scope > summary"));
      continue;
    }
    const focused = document.activeElement?.id ?? "";
    const open = own.querySelector("details.more[open]") !== null;
    own.replaceChildren(...document.adoptNode(/** @type {Element} */ (fresh.cloneNode(true))).childNodes);
    const more = /** @type {HTMLDetailsElement | null} */ (own.querySelector("details.more"));
    if (more) more.open = open;
    if (focused) document.getElementById(focused)?.focus();
  }
}

/**
 * A part of a section that tells of others, as it is now; one that somebody is at stays.
 *
 * @param {Element | null} own
 * @param {Element | null} fresh
 */
function refreshed(own, fresh) {
  if (!own || !fresh || own.innerHTML === fresh.innerHTML || own.contains(document.activeElement)) return;
  own.replaceChildren(...document.adoptNode(/** @type {Element} */ (fresh.cloneNode(true))).childNodes);
}

/** @param {string} id */
export function button(id) {
  return /** @type {HTMLButtonElement} */ (document.getElementById(id));
}
