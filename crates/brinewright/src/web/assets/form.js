// Forms: what is typed is sent when its field is left, and what is wrong with it is told beside it.
// @ts-check

import { Refused, send, sentence, Turns } from "./ask.js";
import { settle } from "./conflict.js";
import { stream } from "./stream.js";

/** @typedef {HTMLInputElement | HTMLSelectElement} Field */

const forms = /** @type {HTMLElement} */ (document.getElementById("forms"));
const state = /** @type {HTMLElement} */ (document.getElementById("state"));
const told = /** @type {HTMLElement} */ (document.getElementById("told"));
/** What is said of the file once something was changed: of the demo nothing, which nobody keeps. */
let saved = "";

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

/** The page is asked for whenever something changed. */
const pageTurns = new Turns();

/** The answer that a field's change waits for, by its path. */
const underWay = /** @type {Map<string, Promise<unknown>>} */ (new Map());

/**
 * Sends a field's change; what is typed meanwhile waits for its answer.
 *
 * @param {string} path
 * @param {object} body
 */
function changed(path, body) {
  const answer = send("/api/change", body);
  const own = answer
    .catch(() => null)
    .finally(() => {
      if (underWay.get(path) === own) underWay.delete(path);
    });
  underWay.set(path, own);
  return answer;
}

/** @param {Field} field */
async function keep(field) {
  const path = field.dataset.path ?? "";
  // One change of a field after the other: whether this is one is known once the last has its answer.
  while (underWay.has(path)) await underWay.get(path);
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
    await kept(field, sent, await changed(path, { revision, ...change }));
  } catch (error) {
    if (error instanceof Refused && error.clash) await meet(field, sent, error.clash);
    else if (error instanceof Refused && (await together(field, sent))) return;
    else fault(field, error instanceof Refused ? error.message : "The workbench doesn't answer.");
  }
}

/**
 * Values of one section that only make sense with each other: those that were refused before are sent with this one. True where
 * that is taken.
 *
 * @param {Field} field
 * @param {string} sent
 */
async function together(field, sent) {
  const section = (/** @type {Field} */ own) => (own.dataset.path ?? "").replace(/\.[^.]*$/, "");
  const others = fields(forms).filter(
    (own) =>
      own !== field &&
      section(own) === section(field) &&
      own.getAttribute("aria-invalid") === "true" &&
      !looked.has(own.dataset.path ?? "") &&
      own.value !== known.get(own.dataset.path ?? ""),
  );
  if (others.length === 0) return false;
  const all = [field, ...others].map((own) => ({ own, path: own.dataset.path ?? "", value: own === field ? sent : own.value }));
  const [left, said] = [all.filter((one) => one.value.trim() === ""), all.filter((one) => one.value.trim() !== "")];
  const body = {
    revision: Number(forms.dataset.revision),
    remove: left.map((one) => one.path),
    edits: said.map((one) => ({ path: one.path, text: written(one.own) })),
  };
  try {
    const view = await changed(field.dataset.path ?? "", body);
    for (const one of all.slice(1)) {
      known.set(one.path, one.value);
      fault(one.own, "");
    }
    await kept(field, sent, view);
    return true;
  } catch {
    return false;
  }
}

/**
 * @param {Field} field
 * @param {string} sent
 * @param {{revision: number, kept: boolean}} view
 */
async function kept(field, sent, view) {
  const path = field.dataset.path ?? "";
  // As it stands there already it is neither a change nor to be shown anew.
  const isNew = String(view.revision) !== forms.dataset.revision || sent.trim() !== known.get(path)?.trim();
  forms.dataset.revision = String(view.revision);
  pageTurns.overtake();
  known.set(path, sent);
  looked.delete(path);
  saved = view.kept ? "saved" : "";
  fault(field, "");
  told.textContent = "saved";
  // As it stands in the file: a bare number with its unit.
  if (isNew) await freshen();
}

/** Tells at the head whether all that was typed is in the file. */
function sum() {
  const wrong = forms.querySelectorAll("[aria-invalid]").length;
  state.textContent = wrong > 1 ? `${wrong} fields aren't saved` : wrong === 1 ? "one field isn't saved" : saved;
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
  sum();
  const settled = await settle(place, clash);
  const path = field.dataset.path ?? "";
  field.removeAttribute("aria-invalid");
  sum();
  if (settled.edits.length === 0) {
    looked.delete(path);
    // What is typed meanwhile is another change.
    if (field.value === sent) known.set(path, sent);
    await freshen();
    told.textContent = "left as it was";
    goBack(field);
    return;
  }
  try {
    const body = { revision: settled.revision, settled: settled.edits };
    await kept(field, sent, await changed(path, body));
    goBack(field);
  } catch (error) {
    if (error instanceof Refused && error.clash) await meet(field, sent, error.clash);
    else fault(field, error instanceof Refused ? error.message : "The workbench doesn't answer.");
  }
}

/** From what was chosen back to its field; whoever has gone on elsewhere meanwhile stays there. @param {Field} field */
function goBack(field) {
  if (document.activeElement === null || document.activeElement === document.body) field.focus();
}

/**
 * @param {Field} field
 * @param {string} text
 */
function fault(field, text) {
  const place = document.getElementById(`${field.id}-fault`);
  if (place) place.textContent = text && `Not saved. ${sentence(text)}`;
  if (text) {
    field.setAttribute("aria-invalid", "true");
    told.textContent = "";
  } else field.removeAttribute("aria-invalid");
  sum();
}

/** Takes in what was changed elsewhere; a field that somebody is typing in stays. */
async function freshen() {
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
  for (const own of all(forms)) if (!page.getElementById(own.id)) own.remove();
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
    if (atWork || paths(own) === paths(fresh)) continue;
    const focused = document.activeElement?.id ?? "";
    const open = own.querySelector("details.more[open]") !== null;
    own.replaceChildren(...document.adoptNode(/** @type {Element} */ (fresh.cloneNode(true))).childNodes);
    const more = /** @type {HTMLDetailsElement | null} */ (own.querySelector("details.more"));
    if (more) more.open = open;
    if (focused) document.getElementById(focused)?.focus();
  }
}

/** @param {string} id */
function button(id) {
  return /** @type {HTMLButtonElement} */ (document.getElementById(id));
}

/**
 * One change back or forth, and to the field that it was made in.
 *
 * @param {"undo" | "redo"} way
 */
async function step(way) {
  try {
    // News of it may come before the answer: what changed is told by what was known before.
    const before = new Map(known);
    const view = await send(`/api/${way}`, {});
    saved = view.kept ? "saved" : "";
    await freshen();
    sum();
    told.textContent = way === "undo" ? "taken back" : "brought back";
    const first = [...known].find(([path, value]) => before.get(path) !== value);
    if (first) lead(`field-${first[0]}`);
  } catch (error) {
    state.textContent = error instanceof Refused ? error.message : "The workbench doesn't answer.";
  }
}

/**
 * Opens what a field stands in, and goes to it.
 *
 * @param {string} id
 */
function lead(id) {
  const own = document.getElementById(id);
  for (let place = own; place; place = place.parentElement) {
    if (place instanceof HTMLDetailsElement) place.open = true;
  }
  if (own?.matches("[data-path]")) own.focus({ preventScroll: true });
  own?.scrollIntoView({ block: "center" });
}

/** A page that tells of a value leads to its field; of a value that isn't said, to its section. */
function arrive() {
  const id = decodeURIComponent(location.hash.slice(1));
  if (!id) return;
  const section = id.replace(/^field-/, "at-").replace(/\.[^.]*$/, "");
  const own = [id, id.replace(/^field-/, "at-"), section].find((one) => document.getElementById(one));
  if (own) lead(own);
}

forms.addEventListener("change", (change) => {
  const field = /** @type {Field} */ (change.target);
  if (field.dataset.path) void keep(field);
});
button("undo").addEventListener("click", () => void step("undo"));
button("redo").addEventListener("click", () => void step("redo"));
document.addEventListener("keydown", (key) => {
  const letter = key.key.toLowerCase();
  if (!(key.ctrlKey || key.metaKey) || (letter !== "z" && letter !== "y")) return;
  // What is still being typed is the browser's to take back.
  const own = /** @type {Field | null} */ (document.activeElement);
  if (own?.dataset?.path && own.value !== known.get(own.dataset.path)) return;
  key.preventDefault();
  void step(key.shiftKey || letter === "y" ? "redo" : "undo");
});
addEventListener("hashchange", arrive);
arrive();
stream("/api/events", {
  news: (event) => {
    const { revision } = JSON.parse(event.data);
    if (String(revision) !== forms.dataset.revision) void freshen();
  },
});
