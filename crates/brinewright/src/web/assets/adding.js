// One more section of a kind. What is refused by itself waits, and comes in with what it needs: a draw point with its line.
// @ts-check

import { Refused, send, sentence } from "./ask.js";
import { forms, sum, tell, written } from "./field.js";
import { fragment, parsed, words } from "./whole.js";

/**
 * @typedef {import("./field.js").Field} Field
 * @typedef {import("./whole.js").Page} Page
 * @typedef {import("./whole.js").Section} Section
 * @typedef {import("./ask.js").Fault} Fault
 */

/** Forms that were left waiting so far: each has ids of its own. */
let waited = 0;

/**
 * Brings the form of a kind's new section.
 *
 * @param {HTMLDetailsElement} place
 */
async function unfold(place) {
  const box = place.querySelector(":scope > div");
  if (!place.open || !box || box.childElementCount > 0) return;
  try {
    box.replaceChildren(...parsed(await fragment(`/edit/new/${place.dataset.new}`)));
    // Whoever has gone on elsewhere meanwhile stays there.
    if (place.contains(document.activeElement)) /** @type {HTMLElement | null} */ (box.querySelector("[data-name]"))?.focus();
  } catch {
    box.textContent = "The workbench doesn't answer.";
  }
}

/** @param {HTMLFormElement} form */
const fieldsOf = (form) => /** @type {Field[]} */ ([...form.querySelectorAll("[data-name], [data-key]")]);

/**
 * What a form says.
 *
 * @param {HTMLFormElement} form
 * @returns {Section}
 */
function said(form) {
  const fields = fieldsOf(form);
  const name = fields.find((own) => own.dataset.name !== undefined)?.value.trim() ?? "";
  const typed = fields.filter((own) => own.dataset.key && own.value.trim() !== "");
  const values = typed.map((own) => ({ key: own.dataset.key ?? "", text: written(own) }));
  return { of: form.dataset.add ?? "", name, values };
}

/** Forms that were refused and wait. */
function waiting() {
  return /** @type {HTMLFormElement[]} */ ([...forms.querySelectorAll("form[data-waits]")]);
}

/**
 * Sends changes with all that was refused by itself before; true where that is taken.
 *
 * @param {Page} page
 * @param {HTMLFormElement[]} own
 */
export async function withOthers(page, own) {
  const all = [...new Set([...own, ...waiting()])];
  const pending = page.pending();
  if (all.length + pending.edits.length + pending.remove.length < 2) return false;
  const { edits, remove } = pending;
  const add = all.map(said);
  try {
    const view = await send("/api/change", { revision: Number(forms.dataset.revision), edits, remove, add });
    page.settled(pending);
    for (const form of all) away(form);
    await page.done(view, "saved with what waited for it");
    return true;
  } catch {
    return false;
  }
}

/**
 * A form whose section is in the file, or is given up.
 *
 * @param {HTMLFormElement} form
 */
function away(form) {
  const place = /** @type {HTMLDetailsElement} */ (form.closest("details.add"));
  if (form.dataset.waits !== undefined) place.remove();
  else {
    place.open = false;
    form.remove();
  }
}

/**
 * Puts a new section into the file.
 *
 * @param {HTMLFormElement} form
 * @param {Page} page
 */
async function add(form, page) {
  const fields = fieldsOf(form);
  const whole = /** @type {HTMLElement} */ (form.querySelector("[data-fault]"));
  whole.textContent = "";
  for (const own of fields) tell(own, own.dataset.needed !== undefined && own.value.trim() === "" ? "This is needed." : "");
  const missing = fields.find((own) => own.hasAttribute("aria-invalid"));
  if (missing) {
    missing.focus();
    return;
  }
  const section = said(form);
  const path = `${section.of}.${section.name}`;
  try {
    const view = await send("/api/change", { revision: Number(forms.dataset.revision), add: [section] });
    away(form);
    await page.done(view, "added");
    page.lead(`at-${path}`);
  } catch (error) {
    if (error instanceof Refused && (await withOthers(page, [form]))) {
      page.lead(`at-${path}`);
      return;
    }
    const faults = error instanceof Refused && !error.clash ? error.faults : [];
    if (faults.length === 0) whole.textContent = `Not added. ${sentence(words(error))}`;
    else {
      waits(form, section);
      refused(form, path, faults);
    }
    sum();
  }
}

/**
 * Tells what is wrong beside the fields that it is about, and goes to the first.
 *
 * @param {HTMLFormElement} form
 * @param {string} path
 * @param {Fault[]} faults
 */
function refused(form, path, faults) {
  const fields = fieldsOf(form);
  const others = [];
  let first = /** @type {Field | null} */ (null);
  for (const own of faults) {
    const text = sentence(`${own.what}: ${own.mend}`);
    const key = own.path?.startsWith(`${path}.`) ? own.path.slice(path.length + 1) : null;
    const isName = own.path === path && /name|already/.test(own.what);
    const field = fields.find((one) => (isName ? one.dataset.name !== undefined : one.dataset.key !== undefined && one.dataset.key === key));
    if (field) {
      tell(field, text);
      first ??= field;
      continue;
    }
    others.push(text);
    // Where it is mended in this form: by one of the keys that are told.
    if (own.path !== path) continue;
    const keys = [...own.mend.matchAll(/\b([a-z_]+) = /g)].map((one) => one[1]);
    const mends = fields.filter((one) => keys.includes(one.dataset.key ?? "") && one.value.trim() === "");
    for (const one of mends) tell(one, mends.length > 1 ? "One of these is needed." : "This is needed.");
    first ??= mends[0] ?? null;
  }
  const whole = /** @type {HTMLElement} */ (form.querySelector("[data-fault]"));
  whole.textContent =
    others.length > 0
      ? `Not added yet. ${others.join(" ")} It waits here, and comes in with what it needs.`
      : "Not added yet. Mend what is marked, or add what it names.";
  for (let place = /** @type {HTMLElement | null} */ (first); place; place = place.parentElement) {
    if (place instanceof HTMLDetailsElement) place.open = true;
  }
  first?.focus();
}

/**
 * A form that was refused stands by itself, with a fresh one for the next behind it.
 *
 * @param {HTMLFormElement} form
 * @param {Section} section
 */
function waits(form, section) {
  const place = /** @type {HTMLDetailsElement} */ (form.closest("details.add"));
  const summary = /** @type {HTMLElement} */ (place.querySelector(":scope > summary"));
  if (form.dataset.waits === undefined) {
    const fresh = /** @type {HTMLDetailsElement} */ (place.cloneNode(false));
    fresh.open = false;
    const box = document.createElement("div");
    fresh.append(summary.cloneNode(true), box);
    place.after(fresh);
    waited += 1;
    place.id = `waits-${waited}`;
    place.classList.add("waiting");
    delete place.dataset.new;
    form.dataset.waits = "";
    // Ids of its own: `new-lines-from` becomes `new1-lines-from`.
    const own = (/** @type {string} */ id) => id.replace(/\bnew-/g, `new${waited}-`);
    for (const one of form.querySelectorAll("[id], [for], [aria-describedby]")) {
      for (const name of ["id", "for", "aria-describedby"]) {
        const value = one.getAttribute(name);
        if (value) one.setAttribute(name, own(value));
      }
    }
    const leave = document.createElement("button");
    leave.type = "button";
    leave.dataset.leave = "";
    leave.textContent = "Leave it out";
    form.append(" ", leave);
  }
  const kind = (form.querySelector("button[type=submit]")?.textContent ?? "").replace(/^Add an? /, "");
  summary.textContent = `${kind.charAt(0).toUpperCase()}${kind.slice(1)} ${section.name}, not added yet`;
}

/**
 * Listens for all of it.
 *
 * @param {Page} page
 */
export function newSections(page) {
  forms.addEventListener("toggle", (event) => {
    const place = event.target;
    if (place instanceof HTMLDetailsElement && place.dataset.new) void unfold(place);
  }, true);
  forms.addEventListener("submit", (event) => {
    event.preventDefault();
    void add(/** @type {HTMLFormElement} */ (event.target), page);
  });
  forms.addEventListener("click", (event) => {
    const pressed = /** @type {Element} */ (event.target).closest("[data-leave]");
    const place = pressed?.closest("details.add");
    if (!pressed || !place) return;
    const next = place.nextElementSibling?.querySelector("summary");
    place.remove();
    next?.focus();
    sum();
  });
}
