// Forms: what is typed is sent when its field is left, and what is wrong with it is told beside it.
// @ts-check

import { Refused, send } from "./ask.js";
import { settle } from "./conflict.js";

/** @typedef {HTMLInputElement | HTMLSelectElement} Field */

const forms = /** @type {HTMLElement} */ (document.getElementById("forms"));
const state = /** @type {HTMLElement} */ (document.getElementById("state"));
const told = /** @type {HTMLElement} */ (document.getElementById("told"));

/** What stands in the file, by path. */
const known = /** @type {Map<string, string>} */ (new Map());
for (const field of fields(document)) known.set(field.dataset.path ?? "", field.value);

/** The revision that somebody looked at who is typing in a field which was changed elsewhere since, by path. */
const looked = /** @type {Map<string, string>} */ (new Map());

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
  const revision = Number(looked.get(path) ?? forms.dataset.revision);
  try {
    kept(field, sent, await send("/api/change", { revision, width_mm: 190, ...change }));
  } catch (error) {
    if (error instanceof Refused && error.clash) await meet(field, sent, error.clash);
    else fault(field, error instanceof Refused ? error.message : "The workbench doesn't answer.");
  }
}

/**
 * @param {Field} field
 * @param {string} sent
 * @param {{revision: number, kept: boolean}} view
 */
function kept(field, sent, view) {
  const path = field.dataset.path ?? "";
  forms.dataset.revision = String(view.revision);
  known.set(path, sent);
  looked.delete(path);
  fault(field, "");
  state.textContent = view.kept ? "saved" : "";
  told.textContent = "saved";
}

/**
 * Somebody else changed it meanwhile: both values are shown, and one is chosen.
 *
 * @param {Field} field
 * @param {string} sent
 * @param {import("./ask.js").Clash} clash
 */
async function meet(field, sent, clash) {
  const place = document.getElementById(`${field.id}-conflict`);
  if (!place) return;
  fault(field, "");
  field.setAttribute("aria-invalid", "true");
  const settled = await settle(place, clash);
  const path = field.dataset.path ?? "";
  field.removeAttribute("aria-invalid");
  if (settled.edits.length === 0) {
    looked.delete(path);
    // What is typed meanwhile is another change.
    if (field.value === sent) known.set(path, sent);
    await freshen();
    told.textContent = "left as it was";
    field.focus();
    return;
  }
  try {
    const body = { revision: settled.revision, width_mm: 190, settled: settled.edits };
    kept(field, sent, await send("/api/change", body));
    field.focus();
  } catch (error) {
    if (error instanceof Refused && error.clash) await meet(field, sent, error.clash);
    else fault(field, error instanceof Refused ? error.message : "The workbench doesn't answer.");
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
  const before = forms.dataset.revision ?? "";
  if (revision) forms.dataset.revision = revision;
  for (const fresh of fields(page)) {
    const path = fresh.dataset.path ?? "";
    const own = /** @type {Field | null} */ (document.getElementById(fresh.id));
    if (own && own.value !== known.get(path)) {
      // What is being typed here was changed elsewhere: it is sent by what its writer looked at, and meets the other there.
      if (fresh.value !== known.get(path) && !looked.has(path)) looked.set(path, before);
      continue;
    }
    if (own) own.value = fresh.value;
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
