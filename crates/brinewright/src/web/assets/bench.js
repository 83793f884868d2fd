// The workbench: shows the station, lets marks be moved, keeps in step with the file and with other pages.
// @ts-check

import { ask, cureOf, Refused, remarked, send, Turns } from "./ask.js";
import { settle } from "./conflict.js";
import { follow as regrip, make } from "./drag.js";
import { heardOfFile, isGone } from "./gone.js";
import { stream } from "./stream.js";
import "./why.js";

/** @typedef {import("./drag.js").Handle} Handle */
/**
 * @typedef {{revision: number, name: string, kept: boolean, can_undo: boolean, can_redo: boolean, title: string,
 *   verdict: string | null, whole: boolean, cured: boolean, away: string | null, year: string | null, away_known: boolean, year_known: boolean, leading: string, findings: string,
 *   vessels: string, drawing: string, mm_per_m: number, step_m: number, handles: Handle[],
 *   remarks?: {path: string, place: string, remark: string}[]}} View
 */

/** Millimetres of paper for a pixel of the screen: a CSS pixel is 1/96 of an inch; drawings are a fifth larger. */
const MM_PER_PX = (25.4 / 96) / 1.25;

const element = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));

let revision = 0;
/** What is shown of it, and whether the server was lost meanwhile. */
let whole = false;
let cured = false;
/** Whether findings are shown that all was known of. */
let toldOnce = false;
let year = false;
let away = false;
let lost = false;
/** Whether a hand is on a mark: what comes from elsewhere waits. */
let held = false;
/** What is being moved, and whether the server still thinks about the last place. */
let wanted = /** @type {{path: string, level_m: number} | null} */ (null);
let thinking = false;
/** Whether grips were moved since they were made. */
let moving = false;

function width() {
  return Math.max(80, element("drawing").clientWidth * MM_PER_PX);
}

/** Whether what is shown is in the file. */
const keeping = () => (isGone() ? "not in the file" : "saved");

/** Stands where an answer will, as long as it. */
const TO_COME = {
  away: "Whether you can go away for a long weekend is being looked at: every fault of switches, valves, floats, tubes and power, alone and in pairs, with nobody there; what it wets, how soon, and what would help against it.",
  year: "A hundred years of it are being walked through: what one costs, and whether a tank waits for water.",
};

/**
 * @param {View} view
 * @param {boolean} tried whether nobody keeps it
 */
function show(view, tried) {
  if (!tried) {
    revision = view.revision;
    whole = view.whole;
    cured = view.cured;
    away = view.away_known;
    year = view.year_known;
    element("drawing").dataset.revision = String(revision);
  }
  element("title").textContent = view.title;
  if (view.verdict !== null) element("verdict").textContent = view.verdict;
  // The years' findings weigh in it as well.
  element("verdict").classList.toggle("old", view.verdict === null || !view.year_known);
  element("refused").textContent = "";
  // What isn't known yet keeps its place and its last words, marked as old: nothing moves away from under a hand.
  for (const [id, said, known] of /** @type {const} */ ([["away", view.away, view.away_known], ["year", view.year, view.year_known]])) {
    if (known) element(id).textContent = said ?? "";
    else if (element(id).textContent === "") element(id).textContent = TO_COME[id];
    // Words that only keep a place were never true of another text.
    element(id).classList.toggle("old", !known && element(id).textContent !== TO_COME[id]);
  }
  lead(view.leading);
  found(view, tried);
  // What is told first lacks cures, and the doubt of what wrong valves do: digits may still change.
  element("state").textContent = tried ? "trying" : view.cured ? (view.kept ? keeping() : "") : "checking the rest";
  for (const [id, can] of /** @type {const} */ ([["undo", view.can_undo], ["redo", view.can_redo]])) {
    const button = /** @type {HTMLButtonElement} */ (element(id));
    const other = element(id === "undo" ? "redo" : "undo");
    const hadFocus = document.activeElement === button;
    button.disabled = !can;
    // Whoever has taken everything back can bring it back.
    if (hadFocus && !can) setTimeout(() => other.focus());
  }
  draw(view, tried);
  if (tried) return;
  if (put("vessels", view.vessels)) offer();
  void figures();
  void heights();
  void pipes();
}

/**
 * The figures that lead. One that a hand isn't followed by keeps its place, marked as old.
 *
 * @param {string} markup
 */
function lead(markup) {
  const place = element("leading");
  const before = /** @type {HTMLElement[]} */ ([...place.querySelectorAll("details")]);
  fold("leading", markup);
  const waits = /** @type {HTMLElement | null} */ (place.querySelector("[data-waits]"));
  if (!waits) return;
  const own = before.find((one) => one.dataset.place === waits.dataset.place);
  own?.classList.add("old");
  const next = [...place.querySelectorAll("details")].find((one) => Number(one.dataset.place) > Number(waits.dataset.place));
  if (own) place.insertBefore(own, next ?? null);
  waits.remove();
}

/**
 * The findings. Until all that tells of them has come, those that were told last keep their places, marked as old: nothing
 * comes and goes under a hand.
 *
 * @param {View} view
 * @param {boolean} tried
 */
function found(view, tried) {
  const place = element("findings");
  const isToCome = tried || !view.whole || !view.cured;
  place.classList.toggle("old", isToCome && toldOnce);
  place.setAttribute("aria-busy", String(isToCome));
  if (isToCome && toldOnce) return;
  toldOnce ||= view.cured;
  const focused = document.activeElement;
  const had = focused && place.contains(focused) ? nameOf(focused) : null;
  const cures = () => /** @type {HTMLElement[]} */ ([...place.querySelectorAll("[data-cure]:enabled")]);
  const turn = focused ? cures().indexOf(/** @type {HTMLElement} */ (focused)) : -1;
  fold("findings", view.findings);
  for (const button of place.querySelectorAll(".finding.old button")) /** @type {HTMLButtonElement} */ (button).disabled = true;
  if (had === null || place.contains(document.activeElement)) return;
  // Whoever made a cure stands at the next one; whoever stood elsewhere stands there still.
  const same = [...place.querySelectorAll("button:enabled, a, summary")].find((own) => nameOf(own) === had);
  const next = turn < 0 ? undefined : (cures()[turn] ?? cures().at(-1));
  /** @type {HTMLElement} */ (same ?? next ?? element("undo")).focus({ preventScroll: true });
}

/**
 * What a control of a finding is known again by.
 *
 * @param {Element} own
 */
function nameOf(own) {
  const { says } = /** @type {HTMLElement} */ (own).dataset;
  return `${own.tagName} ${says ?? own.closest(".finding")?.querySelector("p")?.textContent ?? ""}`;
}

/** Every figure with its why, once somebody opens them. */
async function figures() {
  const place = /** @type {HTMLDetailsElement} */ (element("all-figures"));
  if (!place.open) return;
  const answer = await ask("/api/figures").catch(() => null);
  if (answer) fold("figures", answer.figures);
}

/** Paper and revision of the lines that are shown. */
let piped = "";
/** How far below the window they are laid out already, px. */
const NEAR_PX = 200;

/**
 * The lines, once the hand has let go and where they are looked at: they take longer to lay out than the vessels.
 *
 * @param {boolean} [isAsked]
 */
async function pipes(isAsked = false) {
  const width_mm = Math.round(Math.max(80, element("pipes").clientWidth * MM_PER_PX));
  const isNear = element("pipework").getBoundingClientRect().top < innerHeight + NEAR_PX;
  if ((!isNear && !isAsked) || revision === 0) return;
  const now = `${revision} ${width_mm}`;
  if (piped === now) return;
  piped = now;
  const answer = await ask(`/api/live/drawing?width_mm=${width_mm}`).catch(() => null);
  if (!answer || piped !== now) return;
  put("pipes", answer.drawing || "<p class=\"second\">The file has no lines yet.</p>");
}

/** Paper and revision of the pipes by their heights. */
let risen = "";
/** Names of pipes stand close: their drawing has smaller letters than the vessels', 12 px still. */
const SMALLER = 1.2;
/** From what paper on there is a drawing that goes aside, and how wide that is, mm. */
const LEAST_MM = 120;
const WIDEST_MM = 260;

/** The pipes by their heights, once the hand has let go; left out where the paper is too narrow for them. */
async function heights() {
  const width_mm = Math.round(Math.max(80, element("drawing").clientWidth * MM_PER_PX * SMALLER));
  if (revision === 0) return;
  const now = `${revision} ${width_mm}`;
  if (risen === now) return;
  risen = now;
  const drawn = (/** @type {number} */ wide_mm) => ask(`/api/profile?width_mm=${wide_mm}`).catch(() => null);
  let wide_mm = width_mm;
  let answer = await drawn(wide_mm);
  // Of many vessels it is wider than the column, and goes aside in it; not on a phone.
  if (answer && answer.drawing === "" && LEAST_MM <= width_mm && width_mm < WIDEST_MM) {
    wide_mm = WIDEST_MM;
    answer = await drawn(wide_mm);
  }
  if (!answer || risen !== now) return;
  put("profile", answer.drawing);
  const svg = element("profile").querySelector("svg");
  if (svg) svg.style.width = `${(100 * wide_mm) / width_mm}%`;
  element("heights").hidden = answer.drawing === "";
}

/** Another vessel in place of one. */
function offer() {
  document.getElementById("exchange")?.addEventListener("submit", (event) => {
    event.preventDefault();
    const form = new FormData(/** @type {HTMLFormElement} */ (event.target));
    void act("/api/change", { revision, vessel: { name: form.get("name"), catalogue: Number(form.get("catalogue")) } });
  });
}

/** What was put where, so that what stays as it was isn't touched. */
const last = /** @type {Map<string, string>} */ (new Map());

/**
 * Puts something in its place; tells whether it is new there.
 *
 * @param {string} id
 * @param {string} markup
 */
function put(id, markup) {
  if (last.get(id) === markup) return false;
  last.set(id, markup);
  element(id).innerHTML = markup;
  return true;
}

/**
 * As [put], with what was unfolded still unfolded.
 *
 * @param {string} id
 * @param {string} markup
 */
function fold(id, markup) {
  const name = (/** @type {Element} */ own) => (own.querySelector("summary .name") ?? own.querySelector("summary"))?.textContent;
  const open = new Set([...element(id).querySelectorAll("details[open]")].map(name));
  if (!put(id, markup)) return;
  for (const own of element(id).querySelectorAll("details")) own.open = open.has(name(own));
}

/**
 * @param {View} view
 * @param {boolean} tried
 */
function draw(view, tried) {
  const place = element("drawing");
  const isNew = put("paper", view.drawing);
  for (const grip of place.querySelectorAll(".grip")) {
    const own = view.handles.find((handle) => handle.path === /** @type {SVGElement} */ (grip).dataset.handle);
    if (own) grip.setAttribute("aria-valuetext", `${own.shown}, ${own.holds}`);
  }
  const svg = /** @type {SVGSVGElement | null} */ (place.querySelector("#paper svg"));
  // The grips stay in the hand until it lets go.
  if (tried && svg) {
    regrip(place, svg, view.handles);
    placeNote();
  }
  if (tried || !(isNew || moving)) return;
  moving = false;
  const focused = /** @type {SVGElement | null} */ (document.activeElement)?.dataset?.handle;
  if (!svg) return;
  make(place, svg, view, { taken, moved, stopped, dropped, left });
  placeNote();
  if (focused) /** @type {SVGElement | null} */ (place.querySelector(`[data-handle="${CSS.escape(focused)}"]`))?.focus();
}

/** A hand is on a mark. */
function taken() {
  held = true;
  isRefused = false;
}

/**
 * A mark is on its way: the last place counts, those that the server had no time for don't.
 *
 * @param {string} path
 * @param {number} level_m
 */
function moved(path, level_m) {
  held = true;
  moving = true;
  wanted = { path, level_m };
  if (!thinking) void follow();
}

/** How long it is told what stopped a hand, ms. */
const STOPPED_MS = 6000;
/** How far off what it holds, px. */
const NOTE_OFF_PX = 8;
/** What was stopped last. */
let stoppedAt = "";
let stopping = 0;
/** Whether the server refused it, which the hand's own limits know nothing of. */
let isRefused = false;

/**
 * What stops a hand is told at what it holds; nothing takes it away.
 *
 * @param {string} path
 * @param {string} why
 */
function stopped(path, why) {
  if (why === "" && isRefused) return;
  isRefused = false;
  tellStop(path, why);
}

/**
 * @param {string} path
 * @param {string} why
 */
function tellStop(path, why) {
  const note = element("stopped");
  if (note.textContent === why && (why === "" || path === stoppedAt)) return;
  clearTimeout(stopping);
  stoppedAt = path;
  note.textContent = why;
  if (why === "") return;
  stopping = setTimeout(() => (note.textContent = ""), STOPPED_MS);
  placeNote();
}

/** At what was stopped, wherever that is drawn by now: over it, where no hand is; below it at the upper edge. */
function placeNote() {
  const note = element("stopped");
  const grip = document.querySelector(`.grip[data-handle="${CSS.escape(stoppedAt)}"]`);
  if (!grip || note.textContent === "") return;
  const [all, own] = [element("drawing").getBoundingClientRect(), grip.getBoundingClientRect()];
  const [most_left, most_top] = [all.width - note.offsetWidth, all.height - note.offsetHeight];
  const middle = own.left + own.width / 2 - all.left - note.offsetWidth / 2;
  note.style.left = `${Math.max(0, Math.min(middle, most_left))}px`;
  const over = own.top - all.top - note.offsetHeight - NOTE_OFF_PX;
  note.style.top = `${over < 0 ? Math.min(own.bottom - all.top + NOTE_OFF_PX, most_top) : over}px`;
}

async function follow() {
  thinking = true;
  while (wanted) {
    const mark = wanted;
    wanted = null;
    try {
      const view = await send("/api/try", { revision, width_mm: width(), marks: [mark] });
      if (held) {
        if (isRefused) tellStop(mark.path, "");
        isRefused = false;
        show(view, true);
        const own = view.handles.find((/** @type {Handle} */ handle) => handle.path === mark.path);
        if (own) element("told").textContent = `${own.label}: ${own.shown}, ${own.holds}`;
      }
    } catch (error) {
      if (held && error instanceof Refused) {
        isRefused = true;
        tellStop(mark.path, error.message);
      } else refused(error);
    }
  }
  thinking = false;
}

/**
 * @param {string} path
 * @param {number} level_m
 */
async function dropped(path, level_m) {
  held = false;
  wanted = null;
  const view = await act("/api/change", { revision, marks: [{ path, level_m }] });
  const own = view?.handles.find((handle) => handle.path === path);
  if (own) element("told").textContent = `${own.label}: ${own.shown}, ${own.holds}; ${view?.kept ? "saved" : "done"}`;
}

function left() {
  held = false;
  wanted = null;
  void look();
}

/** What is done and what is asked for tell the station, each as it was when it was answered: a late answer shows nothing. */
const views = new Turns();
/** Changes that are under way: what stands is told by what comes of them. */
let acting = 0;

/**
 * What stands then; nothing where it was refused.
 *
 * @param {string} path
 * @param {object} body
 * @returns {Promise<View | null>}
 */
async function act(path, body) {
  const turn = views.begin();
  acting += 1;
  try {
    /** @type {View} */
    const view = await send(path, { ...body, width_mm: width() }).finally(() => (acting -= 1));
    if (views.take(turn) || view.revision > revision) show(view, false);
    element("remarked").textContent = remarked(view);
    return view;
  } catch (error) {
    // The drawing shows what stands there now, while somebody decides.
    await look();
    if (error instanceof Refused && error.clash) await meet(error.clash);
    else refused(error);
    return null;
  }
}

/** @param {import("./ask.js").Clash} clash */
async function meet(clash) {
  const focused = /** @type {SVGElement | null} */ (document.activeElement)?.dataset?.handle;
  const settled = await settle(element("conflict"), clash);
  if (settled.edits.length > 0) await act("/api/change", { revision: settled.revision, settled: settled.edits });
  else element("told").textContent = "left as it was";
  if (focused && element("conflict").hidden) {
    /** @type {SVGElement | null} */ (element("drawing").querySelector(`[data-handle="${CSS.escape(focused)}"]`))?.focus();
  }
}

async function look() {
  const turn = views.begin();
  try {
    const view = await ask(`/api/view?width_mm=${width()}`);
    // A hand that came meanwhile keeps what it holds, and nothing goes back to what stood before.
    if (!held && acting === 0 && view.revision >= revision && views.take(turn)) show(view, false);
  } catch (error) {
    refused(error);
  }
}

/** @param {unknown} error */
function refused(error) {
  if (error instanceof Refused) {
    element("refused").textContent = error.message;
  } else {
    element("state").textContent = "the workbench doesn't answer";
  }
}

function listen() {
  const news = (/** @type {MessageEvent} */ event) => {
    const heard = JSON.parse(event.data);
    if (heardOfFile(heard.gone)) {
      element("refused").textContent = "";
      if (element("state").textContent !== "checking the rest") element("state").textContent = keeping();
    }
    const is = (/** @type {number} */ own) => own === revision;
    const known =
      is(heard.revision) &&
      is(heard.proved) === whole &&
      is(heard.cured) === cured &&
      is(heard.away) === away &&
      is(heard.year) === year;
    if (held || (known && !lost)) return;
    // Who answers now may have begun to count anew.
    if (lost) revision = 0;
    lost = false;
    void look();
  };
  stream("/api/events", { news }, () => {
    lost = true;
    element("state").textContent = "the workbench doesn't answer";
  });
}

element("undo").addEventListener("click", () => void act("/api/undo", {}));
element("redo").addEventListener("click", () => void act("/api/redo", {}));
document.addEventListener("keydown", (key) => {
  const letter = key.key.toLowerCase();
  if (!(key.ctrlKey || key.metaKey) || (letter !== "z" && letter !== "y")) return;
  key.preventDefault();
  void act(key.shiftKey || letter === "y" ? "/api/redo" : "/api/undo", {});
});
element("findings").addEventListener("click", (click) => {
  const pressed = /** @type {HTMLElement} */ (click.target);
  if (pressed.closest("a")) return;
  const remedy = cureOf(pressed);
  if (remedy) {
    const does = pressed.closest(".remedy")?.querySelector("span, p")?.textContent ?? "";
    void act("/api/change", { revision, remedy }).then((view) => {
      if (view) element("told").textContent = `${does} ${view.kept ? "Saved." : "Done."} Take back undoes it.`.trim();
    });
    return;
  }
  const { where } = pressed.dataset;
  if (where) void point(where);
});

// A part of the lines leads to its values; by keyboard Edit has them all.
for (const drawn of ["profile", "pipes"]) {
  element(drawn).addEventListener("click", (click) => {
    const part = /** @type {Element} */ (click.target).closest("[data-path]");
    if (part instanceof SVGElement && part.dataset.path) location.assign(`/edit#field-${part.dataset.path}`);
  });
}

/**
 * Leads to the place of a finding on the drawing, or on that of the lines below it.
 *
 * @param {string} path
 */
async function point(path) {
  const site = /** @type {HTMLElement} */ (document.querySelector(".bench"));
  for (const marked of site.querySelectorAll(".pointed")) marked.classList.remove("pointed");
  let found = drawnAt(site, path);
  if (found.length === 0) {
    await pipes(true);
    found = drawnAt(site, path);
  }
  for (const part of found) part.classList.add("pointed");
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  (found[0] ?? element("pipework")).scrollIntoView({ block: "center", behavior: calm ? "auto" : "smooth" });
  element("told").textContent = found.length > 0 ? "It is marked on the drawing." : "It isn't on the drawings.";
}

/**
 * What is drawn of a path of the file, or of what it belongs to.
 *
 * @param {Element} site
 * @param {string} path
 */
function drawnAt(site, path) {
  for (let name = path; name.includes("."); name = name.slice(0, name.lastIndexOf("."))) {
    const parts = [...site.querySelectorAll(`svg [data-path="${CSS.escape(name)}"]`)];
    if (parts.length > 0) return parts;
  }
  // Of the purifier all of it, where a part has no sign of its own.
  return path.startsWith("purifier") ? [...site.querySelectorAll('svg [data-path^="purifier."]')] : [];
}

let resizing = 0;
addEventListener("resize", () => {
  clearTimeout(resizing);
  resizing = setTimeout(() => {
    if (!held) void look();
  }, 150);
});
element("all-figures").addEventListener("toggle", () => void figures());
addEventListener("scroll", () => void pipes(), { passive: true });
listen();
