// Forms: what is typed is sent when its field is left, and what is wrong with it is told beside it.
// @ts-check

import { Refused, send } from "./ask.js";

/** @typedef {HTMLInputElement | HTMLSelectElement} Field */

const forms = /** @type {HTMLElement} */ (document.getElementById("forms"));
const state = /** @type {HTMLElement} */ (document.getElementById("state"));
const told = /** @type {HTMLElement} */ (document.getElementById("told"));

/** What stands in the file, by path. */
const known = /** @type {Map<string, string>} */ (new Map());
for (const field of fields(document)) known.set(field.dataset.path ?? "", field.value);

/** @param {ParentNode} place */
function fields(place) {
  return /** @type {Field[]} */ ([...place.querySelectorAll("[data-path]")]);
}

/**
 * As it stands in the file.
 *
 * @param {Field} field
 */
function written(field) {
  const text = field.value.trim();
  if (text === "" || field.dataset.bare === "always" || /^[[{]/.test(text)) return text;
  if (field.dataset.bare === "numbers" && text !== "" && Number.isFinite(Number(text))) return text;
  return JSON.stringify(text);
}

/** @param {Field} field */
async function keep(field) {
  const path = field.dataset.path ?? "";
  if (field.value === known.get(path)) {
    fault(field, "");
    return;
  }
  // What is typed while the answer is on its way is another change.
  const sent = field.value;
  const empty = sent.trim() === "";
  const change = empty ? { remove: [path] } : { edits: [{ path, text: written(field) }] };
  try {
    const view = await send("/api/change", { revision: Number(forms.dataset.revision), width_mm: 190, ...change });
    forms.dataset.revision = String(view.revision);
    known.set(path, sent);
    fault(field, "");
    state.textContent = view.kept ? "saved" : "";
    told.textContent = "saved";
  } catch (error) {
    const [conflict] = error instanceof Refused ? error.conflicts : [];
    if (conflict) {
      fault(field, `This was changed elsewhere: now ${conflict.theirs ?? "nothing"}.`);
      void freshen();
    } else {
      fault(field, error instanceof Refused ? error.message : "The workbench doesn't answer.");
    }
  }
}

/**
 * @param {Field} field
 * @param {string} text
 */
function fault(field, text) {
  const place = document.getElementById(`${field.id}-fault`);
  if (place) place.textContent = text;
  if (text) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}

/** Takes in what was changed elsewhere; a field that somebody is typing in stays. */
async function freshen() {
  const page = new DOMParser().parseFromString(await (await fetch("/edit")).text(), "text/html");
  const revision = page.getElementById("forms")?.dataset.revision;
  if (revision) forms.dataset.revision = revision;
  for (const fresh of fields(page)) {
    const path = fresh.dataset.path ?? "";
    const own = /** @type {Field | null} */ (document.getElementById(fresh.id));
    if (own && own !== document.activeElement && own.value === known.get(path)) own.value = fresh.value;
    known.set(path, fresh.value);
  }
}

forms.addEventListener("change", (change) => {
  const field = /** @type {Field} */ (change.target);
  if (field.dataset.path) void keep(field);
});
new EventSource("/api/events").addEventListener("news", (news) => {
  const { revision } = JSON.parse(/** @type {MessageEvent} */ (news).data);
  if (String(revision) !== forms.dataset.revision) void freshen();
});
