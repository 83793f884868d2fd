// Whole sections of the file: another name, one that is taken out, and the fields of another shape.
// @ts-check

import { Refused, send, sentence } from "./ask.js";
import { forms, tell } from "./field.js";

/**
 * What a page of forms does for its sections.
 *
 * @typedef {object} Page
 * @property {(view: {revision: number, kept: boolean}, says: string) => Promise<void>} done Takes in what came of a change.
 * @property {(id: string) => void} lead Opens a place and goes to it.
 * @property {() => Field[]} pending Every field whose change was refused by itself and stands there still.
 * @property {(fields: Field[]) => void} settled Takes in that such changes are made.
 */

/**
 * @typedef {import("./field.js").Field} Field
 * @typedef {{of: string, name: string, values: {key: string, text: string}[]}} Section
 */

/**
 * @param {string} path
 * @returns {Promise<string>}
 */
export async function fragment(path) {
  const answer = await fetch(path);
  if (!answer.ok) throw new Error(path);
  return answer.text();
}

/** @param {string} html */
export function parsed(html) {
  return document.adoptNode(new DOMParser().parseFromString(html, "text/html").body).childNodes;
}

/** A refusal's words. @param {unknown} error */
export const words = (error) => (error instanceof Refused ? error.message : "The workbench doesn't answer.");

/**
 * Brings what unfolds here: the name of a section, and the end of it.
 *
 * @param {HTMLDetailsElement} place
 */
async function unfold(place) {
  const box = place.querySelector(":scope > div");
  if (!box) return;
  try {
    const body = await fragment(`/edit/ends/${place.dataset.ends}`);
    // Whoever types a name there goes on.
    if (place.open && !box.contains(document.activeElement)) box.replaceChildren(...parsed(body));
  } catch {
    box.textContent = "The workbench doesn't answer.";
  }
}

/** What hangs on a section may be another thing after a change. */
export function looksAgain() {
  for (const own of /** @type {NodeListOf<HTMLDetailsElement>} */ (forms.querySelectorAll("details[data-ends]"))) {
    if (own.open) void unfold(own);
    else own.querySelector(":scope > div")?.replaceChildren();
  }
}

/**
 * The fields of the shape that was chosen, with what was typed for those that both have.
 *
 * @param {HTMLSelectElement} select
 */
export async function recase(select) {
  const box = select.closest(".field")?.nextElementSibling;
  if (!box?.matches(".case")) return;
  const key = (/** @type {Field} */ own) => own.dataset.key ?? (own.dataset.path ?? "").replace(/^.*\./, "");
  const all = () => /** @type {Field[]} */ ([...box.querySelectorAll("[data-path], [data-key]")]);
  const before = new Map(all().map((own) => [key(own), own.value]));
  const path = select.dataset.path?.split(".");
  const name = path ? path[1] : "*";
  const word = select.value;
  const rows = word ? await fragment(`/edit/case/${select.dataset.decides}/${name}/${encodeURIComponent(word)}`) : "";
  if (select.value !== word) return;
  box.replaceChildren(...parsed(rows));
  for (const own of all()) own.value = before.get(key(own)) || own.value;
}

/**
 * @param {HTMLInputElement} field
 * @param {Page} page
 */
async function rename(field, page) {
  const [path, name] = [field.dataset.rename ?? "", field.value.trim()];
  try {
    const view = await send("/api/rename", { path, name });
    tell(field, "");
    await page.done(view, "renamed");
    const own = document.querySelector(`details[data-ends="${path.replace(/\.[^.]*$/, "")}.${name}"]`);
    if (own instanceof HTMLDetailsElement) {
      own.open = true;
      await unfold(own);
    }
    const at = document.activeElement;
    if (at === null || at === document.body || own?.contains(at)) page.lead(`name-${path.replace(/\.[^.]*$/, "")}.${name}`);
  } catch (error) {
    tell(field, `Not renamed. ${sentence(words(error))}`);
    // Not to the button that takes it out, which Tab leads to.
    field.focus();
  }
}

/**
 * @param {HTMLButtonElement} pressed
 * @param {Page} page
 */
async function takeOut(pressed, page) {
  const own = pressed.closest("details.section");
  const next = own?.nextElementSibling;
  const told = /** @type {HTMLElement | null} */ (pressed.closest(".ends")?.querySelector("[data-fault]") ?? null);
  try {
    const view = await send("/api/change", { revision: Number(forms.dataset.revision), take_out: pressed.dataset.takeOut });
    await page.done(view, "taken out; Take back brings it again");
    // Where it was, for who goes on by keyboard.
    const isFree = document.activeElement === null || document.activeElement === document.body;
    if (own && !own.isConnected && isFree) /** @type {HTMLElement | null} */ (next?.querySelector("summary") ?? null)?.focus();
  } catch (error) {
    const clash = error instanceof Refused && error.clash;
    if (told) told.textContent = clash ? "It was changed elsewhere meanwhile. Look at it again." : `Not taken out. ${sentence(words(error))}`;
  }
}

/**
 * Listens for all of it.
 *
 * @param {Page} page
 */
export function wholeSections(page) {
  forms.addEventListener("toggle", (event) => {
    const place = event.target;
    if (place instanceof HTMLDetailsElement && place.dataset.ends && place.open) void unfold(place);
  }, true);
  forms.addEventListener("change", (event) => {
    const field = event.target;
    if (field instanceof HTMLSelectElement && field.dataset.decides && !field.dataset.path) void recase(field);
    if (field instanceof HTMLInputElement && field.dataset.rename) void rename(field, page);
  });
  forms.addEventListener("click", (event) => {
    const pressed = /** @type {Element} */ (event.target).closest("[data-take-out]");
    if (pressed instanceof HTMLButtonElement) void takeOut(pressed, page);
  });
}
