// The fields of a page of forms: what stands in the file, what is typed, and what is told beside each.
// @ts-check

import { sentence } from "./ask.js";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */

export const forms = /** @type {HTMLElement} */ (document.getElementById("forms"));
export const state = /** @type {HTMLElement} */ (document.getElementById("state"));
export const told = /** @type {HTMLElement} */ (document.getElementById("told"));
/** What is said of the file once something was changed: of the demo nothing, which nobody keeps. */
let saved = "";

/** @param {{kept: boolean}} view */
export function isKept(view) {
  saved = view.kept ? "saved" : "";
}

/** What stands in the file, by path. */
export const known = /** @type {Map<string, string>} */ (new Map());
for (const field of fields(document)) known.set(field.dataset.path ?? "", field.value);

/** The revision that somebody looked at who is typing in a field which was changed elsewhere since, by path. */
export const looked = /** @type {Map<string, string>} */ (new Map());

/** The answer that a field's change waits for, by its path. */
export const underWay = /** @type {Map<string, Promise<unknown>>} */ (new Map());

/** @param {ParentNode} place */
export function fields(place) {
  return /** @type {Field[]} */ ([...place.querySelectorAll("[data-path]")]);
}

/**
 * As it stands in the file.
 *
 * @param {Field} field
 */
export function written(field) {
  const text = field.value.trim();
  if (text === "" || field.dataset.bare === "always" || /^[[{]/.test(text)) return text;
  if (field.dataset.bare === "numbers" && text !== "" && Number.isFinite(Number(text))) return text;
  return JSON.stringify(text);
}

/** Who else tells what isn't in the file. @type {(() => void)[]} */
const summers = [];

/** Has something told with every sum. @param {() => void} own */
export function summed(own) {
  summers.push(own);
}

/** Tells at the head whether all that was typed is in the file. */
export function sum() {
  for (const own of summers) own();
  const wrong = forms.querySelectorAll("[data-path][aria-invalid]").length;
  const waits = forms.querySelectorAll("form[data-waits]").length;
  const said = [
    wrong > 1 ? `${wrong} fields aren't saved` : wrong === 1 ? "one field isn't saved" : "",
    waits > 1 ? `${waits} sections aren't added` : waits === 1 ? "one section isn't added" : "",
  ];
  state.textContent = said.filter((own) => own).join(", ") || saved;
}

/**
 * Tells what is wrong beside a field; nothing where all is well.
 *
 * @param {Field} field
 * @param {string} text
 */
export function tell(field, text) {
  const place = document.getElementById(`${field.id}-fault`);
  if (place) place.textContent = text;
  if (text) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}

/**
 * The same of a value of the file.
 *
 * @param {Field} field
 * @param {string} text
 */
export function fault(field, text) {
  const unit = field.closest(".field")?.querySelector("[data-unit]")?.textContent;
  // A bare number that is refused was taken in a unit that its writer may not have meant.
  const isBare = unit && /^[\d\s.]+$/.test(field.value);
  tell(field, text && `Not saved. ${sentence(text)}${isBare ? ` A number alone is taken as ${unit} here.` : ""}`);
  if (text) told.textContent = "";
  sum();
}
