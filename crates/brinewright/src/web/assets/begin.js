// A first station: answers are sent as they were typed, what is wrong stands beside its field, the plan is shown, one press
// writes it.
// @ts-check

import { Refused, send } from "./ask.js";

/** @typedef {HTMLInputElement | HTMLSelectElement} Field */
/** @typedef {{verdict: string, pictured: string, chosen: string, left: string, name: string}} Planned */

const MOST_TANKS = 8;
/** Millimetres of paper for a pixel of the screen, as on the workbench. */
const MM_PER_PX = (25.4 / 96) / 1.25;

const element = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const field = (/** @type {string} */ id) => /** @type {Field} */ (document.getElementById(id));
const questions = /** @type {HTMLFormElement} */ (element("questions"));
const result = element("result");
const name = /** @type {HTMLInputElement} */ (element("name"));

/** The answers that the plan on the page is of. */
let planned = /** @type {object | null} */ (null);

function tanks() {
  return /** @type {HTMLElement[]} */ ([...element("tanks").children]);
}

/** @param {ParentNode} place */
function fields(place) {
  return /** @type {Field[]} */ ([...place.querySelectorAll("input, select")]);
}

/** Every tank's fields by its place. */
function count() {
  for (const [at, tank] of tanks().entries()) {
    tank.setAttribute("aria-label", `Tank ${at + 1}`);
    for (const own of tank.querySelectorAll("[id], [for], [aria-describedby]")) {
      for (const key of ["id", "for", "aria-describedby"]) {
        const value = own.getAttribute(key);
        if (value) own.setAttribute(key, value.replace(/tanks\.\d+\./g, `tanks.${at}.`));
      }
    }
  }
  /** @type {HTMLButtonElement} */ (element("add")).disabled = tanks().length >= MOST_TANKS;
}

function answers() {
  /** @param {ParentNode} place */
  const said = (place) => Object.fromEntries(fields(place).map((own) => [own.name, own.value]));
  const own = fields(questions).filter((one) => !one.closest("#tanks"));
  const all = Object.fromEntries(own.map((one) => [one.name, one.value]));
  return { ...all, drain: all.drain === "yes", tanks: tanks().map(said) };
}

/** Usual answers that nobody touched go with the units. */
function inUnits() {
  const us = field("units").value === "US";
  const template = /** @type {HTMLTemplateElement} */ (element("another"));
  for (const own of [...fields(questions), ...fields(template.content)]) {
    const { si, us: gallons } = own.dataset;
    if (si === undefined || gallons === undefined) continue;
    if (own.value === (us ? si : gallons)) own.value = us ? gallons : si;
    const like = us ? own.dataset.likeUs : own.dataset.likeSi;
    if (like) own.setAttribute("placeholder", like);
    const unit = /** @type {HTMLElement | null | undefined} */ (own.parentElement?.querySelector(".unit"));
    const shown = us ? unit?.dataset.unitUs : unit?.dataset.unitSi;
    // A price is in the currency that was answered.
    if (unit && shown) unit.textContent = shown.replace(/^[A-Z]{3}(?=\/)/, field("currency").value.trim());
  }
}

/** A number alone gets the unit that its field shows, so that it is read as it is meant. @param {Field} own */
function complete(own) {
  const unit = own.parentElement?.querySelector(".unit")?.textContent;
  const bare = /^-?\d[\d\s]*(\.\d+)?$/.test(own.value.trim());
  // A part of one per cent may be a share: the workbench asks.
  if (unit && bare && !(unit === "%" && Number(own.value) <= 1)) own.value = `${own.value.trim()} ${unit}`;
}

/** @param {ParentNode} form */
function clear(form) {
  for (const own of form.querySelectorAll("p.must")) own.textContent = "";
  for (const own of fields(form)) own.removeAttribute("aria-invalid");
}

/**
 * Puts each fault beside its field, tells below which answers those are, and goes to the first.
 *
 * @param {HTMLFormElement} form
 * @param {unknown} error
 */
function refused(form, error) {
  const sum = /** @type {HTMLElement} */ (form.querySelector(".sum"));
  if (!(error instanceof Refused)) {
    sum.textContent = "The workbench doesn't answer.";
    return;
  }
  const asked = /** @type {Set<HTMLElement>} */ (new Set());
  for (const fault of error.faults) {
    const own = document.getElementById(fault.where);
    const place = document.getElementById(`${fault.where}-fault`) ?? sum;
    const what = fault.what.charAt(0).toUpperCase() + fault.what.slice(1);
    place.textContent = `${place.textContent} ${what}: ${fault.mend}.`.trim();
    if (!own?.matches("input, select")) continue;
    own.setAttribute("aria-invalid", "true");
    asked.add(own);
  }
  const inOrder = fields(form).filter((own) => asked.has(own));
  if (inOrder.length > 0) sum.append("Look again at: ", ...inOrder.flatMap((own, at) => [at > 0 ? ", " : "", link(own)]), ".");
  (inOrder[0] ?? sum).scrollIntoView({ block: "center" });
  inOrder[0]?.focus({ preventScroll: true });
}

/** The question of a field, that leads to it. @param {Field} own */
function link(own) {
  const to = document.createElement("a");
  to.href = `#${own.id}`;
  const tank = own.closest(".tank")?.getAttribute("aria-label");
  const asks = own.labels?.[0]?.firstChild?.textContent?.trim() ?? "";
  to.textContent = tank ? `${tank}: ${asks}` : asks;
  to.addEventListener("click", (press) => {
    press.preventDefault();
    own.scrollIntoView({ block: "center" });
    own.focus({ preventScroll: true });
  });
  return to;
}

/**
 * Does something once, however often a button is pressed meanwhile.
 *
 * @param {HTMLFormElement} form
 * @param {() => Promise<void>} act
 */
async function once(form, act) {
  const button = /** @type {HTMLButtonElement} */ (form.querySelector('button[type="submit"]'));
  if (button.ariaBusy === "true") return;
  button.ariaBusy = "true";
  clear(form);
  try {
    await act();
  } catch (error) {
    refused(form, error);
  }
  button.ariaBusy = "false";
}

async function plan() {
  const said = answers();
  element("told").textContent = "planning";
  const width = questions.clientWidth;
  /** @type {Planned} */
  const own = await send("/api/begin/plan", { answers: said, width_mm: width * MM_PER_PX });
  planned = said;
  element("verdict").textContent = own.verdict;
  for (const part of /** @type {const} */ (["pictured", "chosen", "left"])) element(part).innerHTML = own[part];
  name.value = own.name;
  result.hidden = false;
  result.classList.remove("stale");
  element("told").textContent = "planned";
  result.focus();
  result.scrollIntoView();
}

async function keep() {
  await send("/api/begin/write", { answers: planned ?? answers(), name: name.value });
  location.assign("/");
}

element("add").addEventListener("click", () => {
  const template = /** @type {HTMLTemplateElement} */ (element("another"));
  element("tanks").append(template.content.cloneNode(true));
  count();
  const own = field(`tanks.${tanks().length - 1}.name`);
  own.value = `Tank ${tanks().length}`;
  own.focus();
});
element("tanks").addEventListener("click", (press) => {
  const out = /** @type {HTMLElement} */ (press.target).closest(".out");
  if (!out || tanks().length < 2) return;
  out.closest(".tank")?.remove();
  count();
  element("add").focus();
  result.classList.add("stale");
});
questions.addEventListener("input", () => result.classList.add("stale"));
questions.addEventListener("change", (change) => complete(/** @type {Field} */ (change.target)));
for (const own of ["units", "currency"]) element(own).addEventListener("change", inUnits);
questions.addEventListener("submit", (press) => {
  press.preventDefault();
  void once(questions, plan);
});
element("write").addEventListener("submit", (press) => {
  press.preventDefault();
  void once(/** @type {HTMLFormElement} */ (element("write")), keep);
});
count();
inUnits();
