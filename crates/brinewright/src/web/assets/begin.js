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
  }
}

/** @param {ParentNode} form */
function clear(form) {
  for (const own of form.querySelectorAll("p.must")) own.textContent = "";
  for (const own of fields(form)) own.removeAttribute("aria-invalid");
}

/**
 * Puts each fault beside its field, and goes to the first.
 *
 * @param {unknown} error
 */
function refused(error) {
  if (!(error instanceof Refused)) {
    element("refused").textContent = "The workbench doesn't answer.";
    return;
  }
  for (const fault of error.faults) {
    const own = document.getElementById(fault.where);
    const place = document.getElementById(`${fault.where}-fault`) ?? element("refused");
    const what = fault.what.charAt(0).toUpperCase() + fault.what.slice(1);
    place.textContent = `${place.textContent} ${what}: ${fault.mend}.`.trim();
    if (own?.matches("input, select")) own.setAttribute("aria-invalid", "true");
  }
  const first = document.querySelector("[aria-invalid]") ?? document.querySelector("p.must:not(:empty)");
  if (first instanceof HTMLElement) {
    if (first.matches("input, select")) first.focus();
    first.scrollIntoView({ block: "center" });
  }
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
    refused(error);
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
element("units").addEventListener("change", inUnits);
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
