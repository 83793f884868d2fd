// What was typed and isn't in the file yet: a list at the head of the forms, each with the way to it.
// @ts-check

import { forms } from "./field.js";

/** So many are named; the others are counted. */
const MOST = 3;

/**
 * The section that something stands in, as its head says it.
 *
 * @param {Element} own
 */
function section(own) {
  const head = own.closest("details.section")?.querySelector(":scope > summary");
  return (head?.querySelector("h2") ?? head)?.textContent?.trim() ?? "";
}

/** Everything that isn't in the file, from the head of the page on: what it is called, and where it stands. */
function all() {
  const wrong = [...forms.querySelectorAll("[data-path][aria-invalid]")].map((own) => {
    const label = forms.querySelector(`label[for="${CSS.escape(own.id)}"]`)?.textContent?.trim() ?? "";
    return { at: own, called: `${section(own)}: ${label.charAt(0).toLowerCase()}${label.slice(1)}` };
  });
  const waits = [...forms.querySelectorAll("details.waiting")].map((own) => ({ at: own, called: section(own) }));
  const follows = Node.DOCUMENT_POSITION_FOLLOWING;
  return [...wrong, ...waits].sort((one, other) => (one.at.compareDocumentPosition(other.at) & follows ? -1 : 1));
}

/** Tells what isn't in the file, with a way to each of the first ones. @param {(id: string) => void} lead */
export function listUnsaved(lead) {
  const place = document.getElementById("unsaved");
  if (!place) return;
  const own = all();
  // Whoever stands at one of them goes on standing there.
  const focused = place.contains(document.activeElement) ? document.activeElement?.textContent : null;
  place.replaceChildren();
  for (const [at, { at: where, called }] of own.slice(0, MOST).entries()) {
    place.append(at === 0 ? "Not in the file: " : "; ");
    const way = document.createElement("button");
    way.type = "button";
    way.textContent = called;
    way.addEventListener("click", () => lead(where.id));
    place.append(way);
    if (called === focused) way.focus();
  }
  if (own.length > MOST) place.append(`; and ${own.length - MOST} more`);
}
