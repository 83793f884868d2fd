// Forms: what is typed is sent when its field is left, and what is wrong with it is told beside it.
// @ts-check

import { lookAgain, newSections, withOthers } from "./adding.js";
import { button, freshen, freshened, pageTurns } from "./anew.js";
import { Refused, remarked, send, sentence } from "./ask.js";
import { settle } from "./conflict.js";
import { seek, seekNothing } from "./find.js";
import { heardOfFile } from "./gone.js";
import { fault, fields, forms, isKept, known, looked, state, sum, summed, tell, told, underWay, written } from "./field.js";
import { stream } from "./stream.js";
import { listUnsaved } from "./unsaved.js";
import { looksAgain, recase, wholeSections } from "./whole.js";

/** @typedef {import("./field.js").Field} Field */

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
  // Another shape shows its own fields at once; it is saved with them.
  if (field instanceof HTMLSelectElement && field.dataset.decides) await recase(field);
  if (reshapes(field)) return;
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
  // A hand that drags keeps a doubt; whoever types the whole value over may not have meant to drop it.
  const doubt = /±.*$/.exec(known.get(path) ?? "")?.[0];
  try {
    await kept(field, sent, await changed(path, { revision, ...change }));
    if (doubt && !empty && !sent.includes("±")) {
      const place = /** @type {HTMLElement} */ (document.getElementById("remarked"));
      place.textContent = `${place.textContent ?? ""} The ${doubt} of the old value went with it: type it behind the new one to keep it.`.trim();
    }
  } catch (error) {
    if (error instanceof Refused && error.clash) await meet(field, sent, error.clash);
    else if (error instanceof Refused && (await together(field, sent))) return;
    else if (error instanceof Refused && (await withAll(field))) return;
    else fault(field, error instanceof Refused ? error.message : "The workbench doesn't answer.");
  }
}

/**
 * The choice of another shape that a field belongs to, as long as it isn't saved.
 *
 * @param {Field} field
 */
function shapeOf(field) {
  const box = field.closest(".case") ?? field.closest(".field")?.nextElementSibling;
  const shape = box?.matches(".case") ? box.previousElementSibling?.querySelector("[data-decides]") : null;
  if (!box || !(shape instanceof HTMLSelectElement) || (field !== shape && !box.contains(field))) return null;
  return shape.value === known.get(shape.dataset.path ?? "") ? null : { box, shape };
}

/**
 * Whether a field is of a shape that isn't saved yet: all of it is saved by its own button, since measures of the old one go.
 *
 * @param {Field} field
 */
function reshapes(field) {
  const own = shapeOf(field);
  if (!own) return false;
  if (field !== own.shape) tell(field, "");
  if (own.shape.value === "") return false;
  fault(own.shape, "Say what stands below, and save the shape");
  if (!own.box.querySelector("[data-save-shape]")) {
    const press = document.createElement("button");
    press.type = "button";
    press.dataset.saveShape = "";
    press.textContent = "Save this shape";
    press.addEventListener("click", () => void saveShape(own.shape, own.box));
    own.box.append(press);
  }
  return true;
}

/**
 * @param {HTMLSelectElement} shape
 * @param {Element} box
 */
async function saveShape(shape, box) {
  const missing = fields(box).filter((own) => own.value.trim() === "");
  for (const own of fields(box)) tell(own, missing.includes(own) ? "This is needed." : "");
  sum();
  if (missing.length > 0) missing[0].focus();
  else if (await together(shape, shape.value)) {
    const press = box.querySelector("[data-save-shape]");
    // Whoever pressed it by keyboard stands at what it saved.
    if (press === document.activeElement) shape.focus();
    press?.remove();
  } else fault(shape, "Mend what is marked, or choose the old shape");
}

/**
 * Values of one section that only make sense with each other: those that were refused before are sent with this one. True where
 * that is taken.
 *
 * @param {Field} field
 * @param {string} sent
 */
async function together(field, sent) {
  const of = (/** @type {string} */ path) => path.replace(/\.[^.]*$/, "");
  const section = (/** @type {Field} */ own) => of(own.dataset.path ?? "");
  const own = section(field);
  const shown = new Set(fields(forms).map((one) => one.dataset.path));
  // Values of another shape than the one that is chosen have no field any more.
  const isOld = (/** @type {[string, string]} */ [path, value]) => value !== "" && of(path) === own && !shown.has(path);
  const gone = shapeOf(field)?.shape === field ? [...known].filter(isOld).map(([path]) => path) : [];
  const others = fields(forms).filter(
    (own) =>
      own !== field &&
      section(own) === section(field) &&
      (own.getAttribute("aria-invalid") === "true" || own.closest(".case") !== null) &&
      !looked.has(own.dataset.path ?? "") &&
      own.value !== known.get(own.dataset.path ?? ""),
  );
  if (others.length === 0 && gone.length === 0) return false;
  const all = [field, ...others].map((own) => ({ own, path: own.dataset.path ?? "", value: own === field ? sent : own.value }));
  const [left, said] = [all.filter((one) => one.value.trim() === ""), all.filter((one) => one.value.trim() !== "")];
  const body = {
    revision: Number(forms.dataset.revision),
    remove: [...left.filter((one) => known.get(one.path)).map((one) => one.path), ...gone],
    edits: said.map((one) => ({ path: one.path, text: written(one.own) })),
  };
  try {
    const view = await changed(field.dataset.path ?? "", body);
    for (const one of all.slice(1)) {
      known.set(one.path, one.value);
      fault(one.own, "");
    }
    for (const path of gone) known.delete(path);
    await kept(field, sent, view);
    return true;
  } catch (error) {
    // What is wrong with one of them is told beside it.
    if (error instanceof Refused) {
      for (const one of all) {
        const fault = error.faults.find((own) => own.path === one.path);
        if (fault && one.own !== field) tell(one.own, `Not saved. ${sentence(`${fault.what}: ${fault.mend}`)}`);
      }
    }
    return false;
  }
}

/**
 * The same with all that waits elsewhere on the page: a line that leads to a tee which isn't there yet.
 *
 * @param {Field} field
 */
async function withAll(field) {
  field.setAttribute("aria-invalid", "true");
  const path = field.dataset.path ?? "";
  const done = withOthers(page, []).then((own) => own === true);
  const own = done.finally(() => {
    if (underWay.get(path) === own) underWay.delete(path);
  });
  underWay.set(path, own);
  return done;
}

/** Every field whose change was refused by itself and stands there still. */
function pending() {
  return fields(forms).filter((own) => {
    const path = own.dataset.path ?? "";
    return own.getAttribute("aria-invalid") === "true" && !looked.has(path) && own.value !== known.get(path);
  });
}

/** @param {Field[]} taken */
function settled(taken) {
  for (const own of taken) {
    known.set(own.dataset.path ?? "", own.value);
    fault(own, "");
  }
}

/**
 * @param {Field} field
 * @param {string} sent
 * @param {{revision: number, kept: boolean, remarks?: {path: string, place: string, remark: string}[]}} view
 */
async function kept(field, sent, view) {
  const path = field.dataset.path ?? "";
  // As it stands there already it is neither a change nor to be shown anew.
  const isNew = String(view.revision) !== forms.dataset.revision || sent.trim() !== known.get(path)?.trim();
  forms.dataset.revision = String(view.revision);
  pageTurns.overtake();
  known.set(path, sent);
  looked.delete(path);
  isKept(view);
  fault(field, "");
  told.textContent = "saved";
  /** @type {HTMLElement} */ (document.getElementById("remarked")).textContent = remarked(view);
  // As it stands in the file: a bare number with its unit.
  if (isNew) await freshen();
  if (isNew) await lookAgain(page);
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
 * One change back or forth, and to the field that it was made in.
 *
 * @param {"undo" | "redo"} way
 */
async function step(way) {
  try {
    // News of it may come before the answer: what changed is told by what was known before.
    const before = new Map(known);
    const view = await send(`/api/${way}`, {});
    isKept(view);
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
  if (own?.closest("[data-away]")) seekNothing();
  for (let place = own; place; place = place.parentElement) {
    if (place instanceof HTMLDetailsElement) place.open = true;
  }
  const at = own?.matches("details") ? own.querySelector("summary") : own;
  if (at?.matches("[data-path], [data-rename], summary")) /** @type {HTMLElement} */ (at).focus({ preventScroll: true });
  // A section is read from its head on.
  own?.scrollIntoView({ block: own.matches("details") ? "start" : "center" });
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
/** What whole sections need of this page. @type {import("./whole.js").Page} */
const page = {
  lead,
  pending,
  settled,
  done: async (view, says) => {
    forms.dataset.revision = String(view.revision);
    pageTurns.overtake();
    isKept(view);
    told.textContent = says;
    await freshen();
    looksAgain();
    sum();
  },
};
wholeSections(page);
newSections(page);
summed(() => listUnsaved(lead));
freshened(seek);
// What isn't saved is lost with the page: whoever leaves it is asked.
addEventListener("beforeunload", (event) => {
  const isTyped = [.../** @type {NodeListOf<HTMLFormElement>} */ (forms.querySelectorAll("form[data-add]"))].some((form) =>
    [...form.querySelectorAll("input, textarea")].some((own) => /** @type {HTMLInputElement} */ (own).value.trim() !== ""),
  );
  if (isTyped || fields(forms).some((own) => own.getAttribute("aria-invalid") === "true")) event.preventDefault();
});
/** A unit that is typed stands for itself. @param {EventTarget | null} own */
function unitOf(own) {
  const unit = own instanceof HTMLInputElement ? own.nextElementSibling : null;
  if (unit instanceof HTMLElement && unit.matches("[data-unit]")) unit.hidden = /[a-z%°µ]\s*$/i.test(/** @type {HTMLInputElement} */ (own).value);
}
forms.addEventListener("focusin", (event) => unitOf(event.target));
forms.addEventListener("input", (event) => unitOf(event.target));
// On paper all that is said in the file stands open.
/** @type {HTMLDetailsElement[]} */
let unfolded = [];
addEventListener("beforeprint", () => {
  unfolded = [.../** @type {NodeListOf<HTMLDetailsElement>} */ (forms.querySelectorAll("details.section:not(.add):not([open])"))];
  for (const own of unfolded) own.open = true;
});
addEventListener("afterprint", () => {
  for (const own of unfolded) own.open = false;
});
button("undo").addEventListener("click", () => void step("undo"));
button("redo").addEventListener("click", () => void step("redo"));
document.addEventListener("keydown", (key) => {
  const letter = key.key.toLowerCase();
  if (!(key.ctrlKey || key.metaKey) || (letter !== "z" && letter !== "y")) return;
  // What is still being typed is the browser's to take back: a value, what is looked for, a section that isn't added yet.
  const own = document.activeElement;
  const types = own instanceof HTMLInputElement || own instanceof HTMLTextAreaElement;
  if (types && own.value !== (known.get(own.dataset.path ?? "") ?? "")) return;
  key.preventDefault();
  void step(key.shiftKey || letter === "y" ? "redo" : "undo");
});
addEventListener("hashchange", arrive);
arrive();
let lost = false;
stream(
  "/api/events",
  {
    news: (event) => {
      const { revision, gone } = JSON.parse(event.data);
      if (heardOfFile(gone)) state.textContent = gone ? "not in the file" : "";
      if (lost) sum();
      lost = false;
      if (String(revision) !== forms.dataset.revision) void freshen();
    },
  },
  () => {
    lost = true;
    state.textContent = "the workbench doesn't answer";
  },
);
