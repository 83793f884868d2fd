// Finding a value among some hundreds: what doesn't bear the words that are typed is folded away.
// @ts-check

import { fields, forms } from "./field.js";

const find = /** @type {HTMLInputElement | null} */ (document.getElementById("find"));
const found = document.getElementById("found");
/** What stood open before anything was looked for. @type {Set<Element> | null} */
let open = null;

const words = () => (find?.value ?? "").toLowerCase().split(/\s+/).filter((own) => own !== "");

/** @param {Element | null} place */
const said = (place) => place?.textContent?.toLowerCase() ?? "";

/**
 * All that a field can be found by: its section, in words and as the file names it, what it is, its key, what stands there.
 *
 * @param {import("./field.js").Field} own
 * @param {Element} section
 */
function haystack(own, section) {
  const path = own.dataset.path ?? "";
  const label = forms.querySelector(`label[for="${CSS.escape(own.id)}"]`);
  const key = path.slice(path.lastIndexOf(".") + 1);
  const name = path.split(".").slice(1, -1).join(".").toLowerCase();
  return [said(section.querySelector("summary h2")), name, said(label), key, key.replaceAll("_", " "), own.value.toLowerCase()].join("\n");
}

/** Shows what bears every word, and all where nothing is looked for. */
export function seek() {
  const wanted = words();
  const bears = (/** @type {string} */ text) => wanted.every((word) => text.includes(word));
  const all = /** @type {HTMLDetailsElement[]} */ ([...forms.querySelectorAll("details.section")]);
  forms.toggleAttribute("data-seeking", wanted.length > 0);
  const every = /** @type {HTMLDetailsElement[]} */ ([...forms.querySelectorAll("details.section, details.more")]);
  if (wanted.length === 0) {
    for (const own of forms.querySelectorAll("[data-away]")) back(own);
    // As it stood before, and what somebody is at.
    if (open) for (const own of every) own.open = open.has(own) || own.contains(document.activeElement);
    open = null;
    if (found) found.textContent = "";
    return;
  }
  open ??= new Set(every.filter((own) => own.open));
  let [values, sections] = [0, 0];
  for (const section of all) {
    const own = fields(section);
    if (own.length === 0) {
      // A form for one more is found by its kind; one that waits stays in sight.
      away(section, !section.matches(".waiting") && !bears(said(section.querySelector("summary"))));
      continue;
    }
    const right = new Set(own.filter((field) => bears(haystack(field, section)) || field.hasAttribute("aria-invalid")));
    for (const field of own) away(/** @type {Element} */ (field.closest(".field")), !right.has(field));
    for (const more of section.querySelectorAll("details.more")) {
      const holds = [...right].some((field) => more.contains(field));
      away(more, !holds);
      /** @type {HTMLDetailsElement} */ (more).open = holds;
    }
    away(section, right.size === 0);
    section.open = right.size > 0;
    values += right.size;
    sections += right.size > 0 ? 1 : 0;
  }
  const several = (/** @type {number} */ count, /** @type {string} */ what) => `${count} ${what}${count === 1 ? "" : "s"}`;
  if (found) found.textContent = values === 0 ? "No value is called so." : `${several(values, "value")} in ${several(sections, "section")}`;
}

/** @param {Element} own @param {boolean} isAway */
function away(own, isAway) {
  if (isAway) own.setAttribute("data-away", "");
  else back(own);
}

/** @param {Element} own */
const back = (own) => own.removeAttribute("data-away");

/** Nothing is looked for any more. */
export function seekNothing() {
  if (!find || find.value === "") return;
  find.value = "";
  seek();
}

find?.addEventListener("input", seek);
find?.addEventListener("keydown", (key) => {
  if (key.key === "Escape") seekNothing();
  if (key.key !== "Enter") return;
  const first = fields(forms).find((own) => own.closest("[data-away]") === null);
  if (words().length > 0) first?.focus();
});
