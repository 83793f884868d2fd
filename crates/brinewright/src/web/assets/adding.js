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
 * Sends changes with all that was refused by itself before; true where that is taken. Where it isn't, each part that waits is
 * told what is wrong with it beside the others, and the rest is tried without those; what is wrong with nothing of the page
 * comes back.
 *
 * @param {Page} page
 * @param {HTMLFormElement[]} own
 * @param {number} least of changes that are worth sending together
 * @returns {Promise<true | Fault[] | null>} null where there are fewer
 */
export async function withOthers(page, own, least = 2) {
  // In the order in which they were added.
  const all = [...new Set([...waiting(), ...own])];
  const typed = page.pending();
  let [left, fields] = [all, typed];
  const count = () => left.length + fields.length;
  if (count() < least) return null;
  /** @type {Fault[] | null} */
  let first = null;
  for (;;) {
    const faults = await sent(page, left, fields);
    if (faults === true) {
      if (first) tellAll(all.filter((form) => !left.includes(form)), own, first);
      return true;
    }
    if (faults === null) return null;
    first ??= faults;
    const isWrong = (/** @type {string} */ path) => faults.some((fault) => isOf(fault, path));
    const [right, sound] = [left.filter((form) => !isWrong(pathOf(said(form)))), fields.filter((field) => !isWrong(field.dataset.path ?? ""))];
    const fewer = right.length + sound.length;
    // What was to come in has to be among them, and more than was refused by itself.
    if (fewer === count() || fewer < least || own.some((form) => !right.includes(form)) || (own.length === 0 && least > 1)) break;
    [left, fields] = [right, sound];
  }
  return tellAll(all, own, first);
}

/**
 * Sends some forms and fields; what is wrong with them, null where nothing can be told of it.
 *
 * @param {Page} page
 * @param {HTMLFormElement[]} left
 * @param {Field[]} fields
 * @returns {Promise<true | Fault[] | null>}
 */
async function sent(page, left, fields) {
  const isLeft = (/** @type {Field} */ field) => field.value.trim() === "";
  const path = (/** @type {Field} */ field) => field.dataset.path ?? "";
  const remove = fields.filter(isLeft).map(path);
  const edits = fields.filter((field) => !isLeft(field)).map((field) => ({ path: path(field), text: written(field) }));
  try {
    const view = await send("/api/change", { revision: Number(forms.dataset.revision), edits, remove, add: left.map(said) });
    page.settled(fields);
    for (const form of left) away(form);
    await page.done(view, "saved with what waited for it");
    return true;
  } catch (error) {
    return error instanceof Refused && !error.clash ? error.faults : null;
  }
}

/** @param {Fault} fault @param {string} path */
const isOf = (fault, path) => fault.path === path || (fault.path?.startsWith(`${path}.`) ?? false);

/**
 * Tells each form what is wrong with it; what is wrong with none of them stands at those that were to come in, and comes back.
 *
 * @param {HTMLFormElement[]} all
 * @param {HTMLFormElement[]} own
 * @param {Fault[]} faults
 */
function tellAll(all, own, faults) {
  const paths = all.map((form) => pathOf(said(form)));
  const others = faults.filter((fault) => !paths.some((path) => isOf(fault, path)));
  for (const [at, form] of all.entries()) {
    waits(form, said(form));
    const of = faults.filter((fault) => isOf(fault, paths[at]));
    refused(form, paths[at], own.includes(form) ? [...of, ...others] : of);
  }
  return others;
}

/** What waits is looked at again, now that the file is another. @param {Page} page */
export async function lookAgain(page) {
  if (waiting().length > 0) await withOthers(page, [], 1);
  named();
}

/** @param {Section} section */
const pathOf = (section) => `${section.of}.${section.name}`;

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
 * To a section that was added; whoever has gone on elsewhere meanwhile stays there.
 *
 * @param {Page} page
 * @param {HTMLFormElement} form
 * @param {string} path
 */
function lead(page, form, path) {
  const at = document.activeElement;
  if (at === null || at === document.body || form.contains(at)) page.lead(`at-${path}`);
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
  const path = pathOf(section);
  try {
    const view = await send("/api/change", { revision: Number(forms.dataset.revision), add: [section] });
    away(form);
    await page.done(view, "added");
    lead(page, form, path);
  } catch (error) {
    const faults = error instanceof Refused && !error.clash ? error.faults : [];
    const together = faults.length > 0 ? await withOthers(page, [form]) : null;
    if (together === true) {
      lead(page, form, path);
      return;
    }
    if (faults.length === 0) whole.textContent = `Not added. ${sentence(words(error))}`;
    else if (together === null) {
      waits(form, section);
      refused(form, path, faults);
    }
    if (faults.length > 0) toFirst(form);
    named();
    sum();
  }
}

/**
 * Tells what is wrong beside the fields that it is about.
 *
 * @param {HTMLFormElement} form
 * @param {string} path
 * @param {Fault[]} faults
 */
function refused(form, path, faults) {
  const fields = fieldsOf(form);
  const others = [];
  for (const own of fields) tell(own, "");
  for (const own of faults) {
    const text = sentence(`${own.what}: ${own.mend}`);
    const key = own.path?.startsWith(`${path}.`) ? own.path.slice(path.length + 1) : null;
    const isName = own.path === path && /name|already/.test(own.what);
    const field = fields.find((one) => (isName ? one.dataset.name !== undefined : one.dataset.key !== undefined && one.dataset.key === key));
    if (field) {
      tell(field, text);
      continue;
    }
    others.push(text);
    // Where it is mended in this form: by one of the keys that are told.
    if (own.path !== path) continue;
    const keys = [...own.mend.matchAll(/\b([a-z_]+) = /g)].map((one) => one[1]);
    const mends = fields.filter((one) => keys.includes(one.dataset.key ?? "") && one.value.trim() === "");
    for (const one of mends) tell(one, mends.length > 1 ? "One of these is needed." : "This is needed.");
  }
  const whole = /** @type {HTMLElement} */ (form.querySelector("[data-fault]"));
  const isMarked = fields.some((own) => own.hasAttribute("aria-invalid"));
  const why = [others.join(" "), isMarked ? "Mend what is marked." : "", "It waits here, and comes in with what it needs."];
  whole.textContent = `Not added yet. ${why.filter((own) => own).join(" ")}`;
}

/** To the first field that is marked, opened where it stands. @param {HTMLFormElement} form */
function toFirst(form) {
  const first = fieldsOf(form).find((own) => own.hasAttribute("aria-invalid")) ?? null;
  for (let place = /** @type {HTMLElement | null} */ (first); place; place = place.parentElement) {
    if (place instanceof HTMLDetailsElement) place.open = true;
  }
  first?.focus();
}

/** Names of what waits are offered as those of the file are. */
export function named() {
  for (const own of document.querySelectorAll("datalist option[data-waits]")) own.remove();
  for (const { of, name } of waiting().map(said)) {
    for (const list of document.querySelectorAll("datalist")) {
      if (!list.id.split("-").includes(of)) continue;
      const option = document.createElement("option");
      option.value = name;
      option.dataset.waits = "";
      list.append(option);
    }
  }
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
  summary.textContent = `${kind.charAt(0).toUpperCase()}${kind.slice(1)} ${section.name.replace(/[-_]/g, " ")}, not added yet`;
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
    named();
    sum();
  });
}
