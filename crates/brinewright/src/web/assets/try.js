// Try it: the live station as everybody sees it, and what a hand does to it.
// @ts-check

import { Refused, ask, send, sendText, sentence } from "./ask.js";
import { follow, show as showCard } from "./card.js";
import { fit, ink, parts } from "./ink.js";
import { stream } from "./stream.js";

/**
 * @typedef {{time: string, since: string, skipped: string, speed: number, paced: number, stale: boolean, skips: boolean, acts: number, left_out: number, to_come: number,
 *   next_due: string, left_open: string, card: import("./card.js").Card | null, lines: import("./figures.js").Flow[],
 *   marks: import("./ink.js").Mark[], switches: import("./ink.js").Switch[], vessels: import("./ink.js").Level[],
 *   draws: import("./ink.js").Level[], tanks: import("./ink.js").Level[], purifier: string, task: string, wet: string[],
 *   alarms: string[], harms: string[], faults: string[], balance: Balance}} Told
 * @typedef {{place: string, water: string, salt: string}} Entry
 * @typedef {{came: Entry[], there: Entry[], said: string}} Balance
 */

const SVG = "http://www.w3.org/2000/svg";
/** Millimetres of paper for a pixel of the screen, as on the workbench. */
const MM_PER_PX = 25.4 / 96 / 1.25;
/** How far around a symbol a finger finds it, mm of paper. */
const REACH_MM = 1.5;

const element = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const all = (/** @type {string} */ what) => /** @type {HTMLElement[]} */ ([...document.querySelectorAll(what)]);

let last = /** @type {Told | null} */ (null);
let drawn = "";
/** What the word is about, until somebody decides. */
let asked = /** @type {object | null} */ (null);
/** What was pressed when it was asked about. */
let askedAt = /** @type {HTMLElement | SVGElement | null} */ (null);
/** How everything stood then: as the second moment told since says, for the first may be of before. */
let askedWhen = /** @type {Told | null} */ (null);
let toCome = 0;
let askedSince = 0;
/** Whether the task in hand was ended before it was done. */
let endedByHand = false;
/** Choices of a pace that weren't answered yet. */
let choices = 0;
/** The number of the last that was: what was told before it was heard is of the pace before. */
let awaited = 0;
/** The largest record that is read, bytes; the server takes no more. */
const LARGEST_RECORD = 256 * 1024;

/** What was pressed last: a refusal stands by it. */
let pressedLast = /** @type {Element | null} */ (null);
document.addEventListener(
  "click",
  (click) => {
    pressedLast = click.target instanceof Element ? click.target : null;
  },
  true,
);

/** By what was pressed, in a place that is never laid out anew. @param {string} text */
function refuse(text) {
  const says = element("refused");
  const near = pressedLast?.closest(".tasks li, #switches li, .acts") ?? pressedLast?.closest("#card");
  const isSeen = near instanceof HTMLElement && near.offsetParent !== null;
  (isSeen ? near : element("site")).append(says);
  says.textContent = text;
}

/** @param {string} path @param {object} body */
async function tell(path, body) {
  element("refused").textContent = "";
  try {
    return await send(path, body);
  } catch (error) {
    refuse(error instanceof Refused ? sentence(error.message) : "The workbench doesn't answer.");
    return null;
  }
}

/**
 * @param {object} act
 * @param {boolean} first whether it is asked first what it would harm
 * @param {Element | null} at what was pressed: the question stands by it
 */
async function act(act, first, at = null) {
  element("word").hidden = true;
  const answer = await tell("/api/live/act", { act, ask_first: first });
  if (!answer || answer.done) return;
  asked = act;
  askedAt = /** @type {HTMLElement | SVGElement | null} */ (at);
  askedWhen = null;
  toCome = 2;
  askedSince = performance.now();
  element("says").textContent = answer.says;
  const word = element("word");
  (at?.closest("li") ?? element("site")).append(word);
  word.hidden = false;
  word.classList.toggle("over", at instanceof SVGElement);
  if (at instanceof SVGElement) below(word, at);
  element("leave").focus({ preventScroll: true });
  word.scrollIntoView({ block: "nearest" });
}

/** What was asked about on the drawing is asked there: under what was pressed, within the drawing. @param {HTMLElement} word @param {SVGElement} at */
function below(word, at) {
  const [site, box] = [element("site"), at].map((own) => own.getBoundingClientRect());
  const left = Math.max(0, Math.min(box.left + box.width / 2 - site.left - word.offsetWidth / 2, site.width - word.offsetWidth));
  word.style.left = `${left}px`;
  word.style.top = `${box.bottom - site.top + 8}px`;
}

/** Seconds since the station began, of "2 days 1:02:03". @param {Told} told */
function seconds(told) {
  const parts = /^(?:(\d+) days? )?(\d+):(\d+):(\d+)/.exec(told.since) ?? [];
  const [days, hours, minutes, rest] = parts.slice(1).map((own) => Number(own ?? 0));
  return 86400 * days + 3600 * hours + 60 * minutes + rest;
}

/** How long what was foretold holds, s of the station, and how long it can be read at any pace, ms. */
const HOLDS_S = 60;
const READ_MS = 20000;

/** A word holds for the moment in which it was said. @param {Told} now */
function outlived(now) {
  if (element("word").hidden) return;
  const when = askedWhen;
  if (!when || toCome > 0) {
    toCome -= 1;
    askedWhen = now;
    return;
  }
  const passed = seconds(now) - seconds(when);
  const isOld = passed > HOLDS_S && performance.now() - askedSince > READ_MS;
  if (now.acts !== when.acts || (now.task === "") !== (when.task === "") || passed < 0 || isOld) answered();
}

const speeds = () => /** @type {HTMLInputElement[]} */ (all('input[name="speed"]'));

/** A moment told before the choice arrived must not take it back. @param {number} speed */
async function pace(speed) {
  choices += 1;
  const answer = await tell("/api/live/pace", { speed });
  choices -= 1;
  // Answers may come in another order.
  if (answer) awaited = Math.max(awaited, answer.paced);
}

/** The question is answered: back to what was pressed, unless whoever was asked has gone on. */
function answered() {
  const word = element("word");
  const isThere = word.contains(document.activeElement);
  word.hidden = true;
  if (isThere) askedAt?.focus({ preventScroll: true });
}

/** @param {string} path @param {boolean} on @param {Element} at */
function pressed(path, on, at) {
  const [section, name] = [path.slice(0, path.indexOf(".")), path.slice(path.indexOf(".") + 1)];
  return section === "valves"
    ? act({ act: "valve", valve: name, open: on }, on || following(), at)
    : act({ act: "pump", pump: name, on }, on || following(), at);
}

/** Whoever follows a card is asked before anything else that harms, whatever it is. */
function following() {
  return last?.card != null;
}

/** @param {string} id @param {string[]} rows @param {((row: string) => HTMLElement) | null} more */
function list(id, rows, more = null) {
  const place = element(id);
  const text = rows.join("\n");
  if (place.dataset.text === text) return;
  place.dataset.text = text;
  place.replaceChildren(
    ...rows.map((row) => {
      const item = document.createElement("li");
      item.textContent = row;
      if (more) item.append(" ", more(row));
      return item;
    }),
  );
}

/** @param {string} fault */
function mend(fault) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Mend it";
  button.addEventListener("click", () => act({ act: "mend", fault }, false));
  return button;
}

/** @param {Told} now */
function show(now) {
  element("time").textContent = now.time;
  element("since").textContent = `${now.since} since it began`;
  say("skipped", now.skipped);
  element("stale").hidden = !now.stale;
  if (choices === 0 && now.paced >= awaited) {
    awaited = 0;
    for (const own of speeds()) own.checked = Number(own.value) === now.speed;
  }
  for (const own of now.switches) {
    const button = document.querySelector(`[data-switch="${CSS.escape(own.path)}"]`);
    button?.setAttribute("aria-checked", String(own.on));
    if (button?.nextElementSibling) button.nextElementSibling.textContent = own.said;
  }
  for (const own of [...now.vessels, ...now.draws, ...now.tanks]) {
    const place = document.querySelector(`[data-level="${CSS.escape(own.path)}"]`);
    if (!place) continue;
    place.classList.toggle("salty", own.sea);
    /** @type {HTMLProgressElement} */ (place.querySelector("progress")).value = Math.min(1, own.share);
    /** @type {HTMLElement} */ (place.querySelector("span")).textContent = own.said;
  }
  element("purifier").textContent = now.purifier;
  tasks(now);
  outlived(now);
  list("harms", now.harms);
  list("wet", now.wet);
  list("alarms", now.alarms);
  list("faults", now.faults, mend);
  record(now);
  balance(now.balance);
  notice(now);
  ink(now);
  const heard = [...news(now), showCard(now.card, now.left_open)].filter((own) => own !== "");
  if (heard.length > 0) element("told").textContent = heard.join(". ");
  last = now;
}

/** The tasks, while no card is in hand; what ends one, while one goes on. @param {Told} now */
function tasks(now) {
  const place = document.getElementById("tasks");
  if (!place) return;
  if (place.hidden !== (now.card !== null)) {
    // What was asked before a card came or went is asked anew.
    element("word").hidden = true;
    asked = null;
  }
  place.hidden = now.card !== null;
  element("ending").hidden = !now.task;
  element("task").textContent = now.task ? `In hand: ${now.task}` : "";
}

/** Rows are made once; then figures change in them. @param {Balance} now */
function balance(now) {
  for (const side of /** @type {("came" | "there")[]} */ (["came", "there"])) {
    const body = document.querySelector(`[data-side="${side}"] tbody`);
    if (!(body instanceof HTMLTableSectionElement)) return;
    for (const [at, own] of now[side].entries()) {
      const row = body.rows[at] ?? entry(body, own.place);
      for (const [cell, said] of [own.water, own.salt].entries()) {
        const place = row.cells[cell + 1];
        if (place.textContent !== said) place.textContent = said;
      }
    }
  }
  element("balance-says").textContent = now.said;
}

/** @param {HTMLTableSectionElement} body @param {string} place */
function entry(body, place) {
  const row = body.insertRow();
  const head = document.createElement("th");
  head.scope = "row";
  head.textContent = place;
  row.append(head);
  row.insertCell();
  row.insertCell();
  return row;
}

/** What was done, and what of a record is still to be played. @param {Told} now */
function record(now) {
  const waits = now.speed === 0 ? "time stands still: let it run" : `the next at ${now.next_due}`;
  element("record").textContent = `${now.acts} ${now.acts === 1 ? "act" : "acts"} so far${now.skips ? "; time is being skipped" : ""}${
    now.to_come > 0 ? `; being played, ${now.to_come} to come, ${waits}` : ""
  }${now.left_out > 0 ? `; ${now.left_out} couldn't be done here and were left out` : ""}.`;
}

/** Harms that are shown wherever one is on the page; the others are counted. */
const MOST_HARMS = 2;

/** Harm and alarms, wherever one is on the page. @param {Told} now */
function notice(now) {
  const harms = now.harms.length > 0 ? now.harms : now.wet.map((own) => `on the floor: ${own}`);
  const more = harms.length - MOST_HARMS;
  say("harm-says", `${harms.slice(-MOST_HARMS).join("; ")}${more > 0 ? `; and ${more} more before` : ""}`);
  say("alarm-says", now.alarms.join("; "));
  element("harm-now").hidden = harms.length === 0 && now.alarms.length === 0;
}

/** @param {string} id @param {string} what */
function say(id, what) {
  if (element(id).textContent !== what) element(id).textContent = what;
}

/** What changed that somebody who doesn't look should hear. @param {Told} now */
function news(now) {
  if (!last) return [...now.harms, ...now.alarms];
  const fresh = [...now.harms, ...now.alarms].filter(
    (own) => !last?.harms.some((old) => old.split(": ")[0] === own.split(": ")[0]) && !last?.alarms.includes(own),
  );
  if (now.task !== last.task && (!now.task || !last.task)) {
    fresh.push(now.task ? `begun: ${now.task}` : endedByHand ? "ended" : "the task is done");
    endedByHand = false;
  }
  return fresh;
}

/** @param {SVGSVGElement} svg */
function bind(svg) {
  for (const own of all("[data-switch]")) {
    const path = own.dataset.switch ?? "";
    const boxes = parts(path).map((part) => part.getBBox());
    if (boxes.length === 0) continue;
    const left = Math.min(...boxes.map((box) => box.x)) - REACH_MM;
    const top = Math.min(...boxes.map((box) => box.y)) - REACH_MM;
    const press = document.createElementNS(SVG, "rect");
    press.setAttribute("x", String(left));
    press.setAttribute("y", String(top));
    press.setAttribute("width", String(Math.max(...boxes.map((box) => box.x + box.width)) + REACH_MM - left));
    press.setAttribute("height", String(Math.max(...boxes.map((box) => box.y + box.height)) + REACH_MM - top));
    press.setAttribute("class", "press");
    press.setAttribute("role", "switch");
    press.setAttribute("tabindex", "0");
    press.setAttribute("aria-label", `${own.dataset.kind} ${own.textContent}`);
    press.setAttribute("aria-checked", "false");
    press.dataset.press = path;
    const turn = () => pressed(path, press.getAttribute("aria-checked") !== "true", press);
    press.addEventListener("click", turn);
    press.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      turn();
    });
    svg.append(press);
  }
}

async function draw() {
  const width = Math.round(Math.max(80, element("paper").clientWidth * MM_PER_PX));
  if (drawn === String(width)) return;
  drawn = String(width);
  const answer = await ask(`/api/live/drawing?width_mm=${width}`).catch(() => null);
  if (!answer) return;
  element("paper").innerHTML = answer.drawing;
  const svg = element("paper").querySelector("svg");
  if (!svg) return;
  // Its parts can be pressed: it is no mere picture.
  svg.setAttribute("role", "group");
  fit(svg);
  bind(svg);
  if (last) ink(last);
}

/** @param {string} id @param {string} what @param {(event: Event) => void} does */
function on(id, what, does) {
  document.getElementById(id)?.addEventListener(what, does);
}

/** The file that was chosen last. */
let chosen = /** @type {File | null} */ (null);

function choose() {
  const input = /** @type {HTMLInputElement} */ (element("put-in"));
  chosen = input.files?.[0] ?? null;
  // So that the same file, mended, can be chosen again.
  input.value = "";
  void putIn(false);
}

/** A record from a file; the server says what is wrong with it. @param {boolean} anywhere */
async function putIn(anywhere) {
  const file = chosen;
  const says = element("put-in-says");
  element("anywhere").hidden = true;
  says.className = "must";
  if (!file) {
    says.textContent = "";
    return;
  }
  if (file.size > LARGEST_RECORD) {
    says.textContent = "That file is too large to be a record: choose another.";
    return;
  }
  try {
    await sendText(`/api/live/put-in?anywhere=${anywhere}`, await file.text());
    says.className = "second";
    says.textContent = `${file.name} is being played from its beginning.`;
  } catch (error) {
    const refused = error instanceof Refused;
    says.textContent = refused ? sentence(error.message) : "The workbench doesn't answer.";
    element("anywhere").hidden = !(refused && error.status === 409 && error.message.includes("all the same"));
  }
}

function listen() {
  for (const own of all("[data-switch]")) {
    own.addEventListener("click", () => pressed(own.dataset.switch ?? "", own.getAttribute("aria-checked") !== "true", own));
  }
  for (const own of all("[data-task]")) {
    own.addEventListener("click", () => act({ act: "begin", task: own.dataset.task }, true, own));
  }
  for (const own of all("[data-bucket]")) {
    own.addEventListener("click", () => act({ act: "bucket", draw: own.dataset.bucket }, false));
  }
  for (const own of all("[data-act]")) {
    own.addEventListener("click", () => act({ act: own.dataset.act }, false));
  }
  for (const own of all("[data-skip]")) {
    own.addEventListener("click", () => tell("/api/live/skip", { seconds: Number(own.dataset.skip) }));
  }
  for (const own of all("[data-again]")) {
    own.addEventListener("click", () => tell("/api/live/again", { beginning: own.dataset.again }));
  }
  for (const own of speeds()) own.addEventListener("change", () => pace(Number(own.value)));
  on("end", "click", () => {
    endedByHand = true;
    void act({ act: "end" }, false);
  });
  on("anyway", "click", () => {
    answered();
    if (asked) void act(asked, false);
  });
  on("leave", "click", answered);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && !element("word").hidden) answered();
  });
  on("salt", "submit", (event) => {
    event.preventDefault();
    const form = new FormData(/** @type {HTMLFormElement} */ (event.target));
    const mass = /** @type {HTMLInputElement} */ (document.querySelector('#salt [name="mass"]'));
    act({ act: "salt", vessel: form.get("vessel"), mass_kg: Number(form.get("mass")) * Number(mass.dataset.kg) }, true);
  });
  on("break", "submit", (event) => {
    event.preventDefault();
    const form = new FormData(/** @type {HTMLFormElement} */ (event.target));
    act({ act: "break", fault: form.get("fault") }, false);
  });
  on("keep", "click", async () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(await ask("/api/live/record"))], { type: "application/json" }));
    link.download = "record.json";
    link.click();
    URL.revokeObjectURL(link.href);
  });
  on("put-in", "change", choose);
  on("anywhere", "click", () => putIn(true));
  follow(tell);
  on("play", "click", async () => {
    const { beginning, record } = await ask("/api/live/record");
    if (record.length === 0) {
      element("record").textContent = "Nothing was done yet that could be played again.";
      return;
    }
    await tell("/api/live/again", { beginning, record });
  });
  window.addEventListener("resize", () => draw());
}

listen();
draw();
stream(
  "/api/live/stream",
  {
    now: (event) => {
      say("state", "");
      show(JSON.parse(event.data));
    },
    refused: (event) => {
      // Nobody pressed anything for that.
      pressedLast = null;
      refuse(sentence(JSON.parse(event.data)));
    },
  },
  () => {
    say("state", "the workbench doesn't answer");
    // One that begins anew counts from the beginning.
    awaited = 0;
  },
);
