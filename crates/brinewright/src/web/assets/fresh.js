// A page of an analysis takes in its own content anew when the server says that it is fresh.
// @ts-check

import { Refused, cureOf, remarked, send } from "./ask.js";
import { heardOfFile } from "./gone.js";
import { stream } from "./stream.js";
import "./why.js";

/**
 * @typedef {{work: "away" | "year", revision: number, said: string, share: number}} Going
 * @typedef {{revision: number, proved: number, cured: number, away: number, year: number, whole: number, away_turn: number, year_turn: number,
 *   work: Going | null, gone: boolean, closing: boolean}} News
 */

const state = /** @type {HTMLElement} */ (document.getElementById("state"));
let loading = false;
/** Whether something came while the page was on its way. */
let again = false;

function shown() {
  return /** @type {HTMLElement} */ (document.getElementById("main"));
}

/** Names of what stands open, so that it stays open. */
function opened(/** @type {HTMLElement} */ main) {
  return new Set([...main.querySelectorAll("details[open] > summary")].map(nameOf));
}

/** @param {Element} summary */
function nameOf(summary) {
  const before = summary.closest("section, .picture, article, main")?.querySelector("h2, h3, svg > title")?.textContent;
  return `${before ?? ""}/${summary.querySelector(".name, h2")?.textContent ?? summary.textContent}`;
}

async function load() {
  if (loading) {
    again = true;
    return;
  }
  loading = true;
  try {
    const answer = await fetch(location.pathname);
    if (answer.ok) take(new DOMParser().parseFromString(await answer.text(), "text/html"));
  } catch {
    state.textContent = "the workbench doesn't answer";
  }
  loading = false;
  if (again) {
    again = false;
    void load();
  }
}

/** @param {Document} page */
function take(page) {
  const next = page.getElementById("main");
  const now = shown();
  if (!next) return;
  // What is shown stays, marked as old, until there is something to show in its place.
  if (next.dataset.state === "waiting" && now.dataset.state === "fresh") {
    now.classList.add("stale");
    now.dataset.turn = next.dataset.turn;
    now.dataset.waits = next.dataset.revision;
    const [old, fresh] = [now, next].map((own) => own.querySelector("#work"));
    if (old && fresh) old.replaceWith(fresh);
    began();
    state.textContent = "being computed";
    return;
  }
  const open = opened(now);
  const focused = now.contains(document.activeElement);
  const pressed = document.activeElement?.closest("#work") ? document.activeElement : null;
  now.replaceWith(next);
  for (const summary of next.querySelectorAll("details > summary")) {
    if (open.has(nameOf(summary))) /** @type {HTMLDetailsElement} */ (summary.parentElement).open = true;
  }
  if (pressed) refocus(next, pressed);
  else if (focused) next.focus({ preventScroll: true });
  ended(next);
  began();
  state.textContent = next.dataset.state === "waiting" ? "being computed" : "";
}

/** What is heard of long work: that it began, that half of it is done, its end. */
const told = /** @type {HTMLElement} */ (document.getElementById("told"));
let heard = 0;

/** @param {Going | null} going */
function follow(going) {
  const now = shown();
  if (!going || going.work !== now.dataset.kind) return;
  const share = /** @type {HTMLProgressElement | null} */ (document.getElementById("share"));
  const said = document.getElementById("said");
  if (!share || !said) return;
  share.value = going.share;
  said.textContent = going.said;
  if (heard === 0) told.textContent = `Begun: ${going.said}`;
  if (heard < 0.5 && going.share >= 0.5) told.textContent = `Half done: ${going.said}`;
  heard = Math.max(heard, going.share, 0.001);
}

/** A page that came with work on it says so itself: who stops it at once has heard what. */
function began() {
  const share = /** @type {HTMLProgressElement | null} */ (document.getElementById("share"));
  const said = document.getElementById("said");
  if (!share || !said || heard > 0) return;
  told.textContent = `Begun: ${said.textContent}`;
  heard = Math.max(share.value, 0.001);
}

/** @param {HTMLElement} main */
function ended(main) {
  if (heard === 0 || main.querySelector("#share")) return;
  heard = 0;
  told.textContent = main.querySelector("#work p")?.textContent ?? "Done";
}

/**
 * The button that was pressed, or the one that stands in its place.
 *
 * @param {HTMLElement} main
 * @param {Element} old
 */
function refocus(main, old) {
  const years = /** @type {HTMLElement} */ (old).dataset.years;
  const own = main.querySelector(years ? `#work [data-years="${years}"]` : "#work > button");
  /** @type {HTMLElement} */ (own ?? main).focus({ preventScroll: true });
}

document.addEventListener("click", async (event) => {
  const button = /** @type {Element} */ (event.target).closest("[data-begin], [data-stop]");
  if (!(button instanceof HTMLElement)) return;
  const { begin, stop, years } = button.dataset;
  try {
    if (stop) await send("/api/work/stop", { work: stop });
    else await send("/api/work/begin", years ? { work: begin, years: Number(years) } : { work: begin });
  } catch (error) {
    // It ended by itself just now: the page comes anew.
    if (!(error instanceof Refused)) state.textContent = "the workbench doesn't answer";
  }
  void load();
});

/** What was made by a press, with the way back. */
const made = /** @type {HTMLElement} */ (document.getElementById("made"));

/**
 * @param {string} says
 * @param {boolean} back whether it can be taken back
 */
function tell(says, back) {
  made.hidden = false;
  /** @type {HTMLElement} */ (made.querySelector("span")).textContent = says;
  /** @type {HTMLElement} */ (made.querySelector("button")).hidden = !back;
}

document.addEventListener("click", async (event) => {
  const remedy = cureOf(/** @type {Element} */ (event.target));
  if (!remedy) return;
  try {
    const answer = await send("/api/change", { revision: Number(shown().dataset.revision), remedy });
    tell(`Applied: ${remedy.says}. ${remarked(answer)}`.trim(), true);
  } catch (error) {
    tell(error instanceof Refused ? error.message : "the workbench doesn't answer", false);
  }
  void load();
});
made.querySelector("button")?.addEventListener("click", async () => {
  try {
    await send("/api/undo", {});
    tell("Taken back.", false);
  } catch (error) {
    tell(error instanceof Refused ? error.message : "the workbench doesn't answer", false);
  }
  void load();
});

/** @param {MessageEvent} event */
function heardOf(event) {
  /** @type {News} */
  const news = JSON.parse(event.data);
  heardOfFile(news.gone);
  const now = shown();
  const kind = /** @type {"proved" | "away" | "year"} */ (now.dataset.kind);
  // What is proved comes twice: the second time with what helps against wrong valves and how sure their figures are.
  const turn = kind === "proved" ? Number(news.cured === news.revision) : news[`${kind}_turn`];
  const isNew = Number(now.dataset.turn) !== turn;
  // A page that is shown as old waits for the revision that it was told of.
  const waits = now.dataset.state === "waiting" || now.dataset.waits !== undefined;
  const is = Number(now.dataset.waits ?? now.dataset.revision) === news.revision;
  follow(news.work);
  if (is && !isNew && !waits) {
    state.textContent = "";
    return;
  }
  if (is && !isNew && news[kind] !== news.revision) {
    state.textContent = "being computed";
    return;
  }
  void load();
}
stream("/api/events", { news: heardOf }, () => {
  state.textContent = "the workbench doesn't answer";
});
