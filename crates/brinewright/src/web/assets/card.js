// A card that is followed: its steps as the server counts them, beside the drawing and on it.
// @ts-check

/**
 * @typedef {{said: string, part: "there" | "watch" | "back", path: string}} Step
 * @typedef {{key: string, task: string, steps: Step[], next: number, says: string, wrong: string, left: string,
 *   waits: boolean, watches: boolean, beside: {says: string, harm: string, comes: string, paths: string[]} | null}} Card
 */

const element = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** What is shown, so that what stays as it was isn't touched. */
let shown = "";
let heard = "";
let key = "";

/**
 * Shows a card; tells what somebody who doesn't look should hear.
 *
 * @param {Card | null} card
 * @param {string} leftOpen what stands open since a card was left
 */
export function show(card, leftOpen) {
  mark(card);
  element("card").hidden = card === null;
  if (card === null) {
    const wasHeard = heard !== "";
    element("beside").hidden = true;
    shown = heard = "";
    // So that the next card, which is in sight before its steps are here, never shows what this one said.
    element("steps").replaceChildren();
    for (const id of ["card-task", "card-says"]) element(id).textContent = "";
    element("card-again").hidden = true;
    const says = leftOpen && `The card is left, and not everything stands as it does between tasks: ${leftOpen}.`;
    if (element("left").textContent !== says) element("left").textContent = says;
    return wasHeard ? says || "The card is left." : "";
  }
  key = card.key;
  const done = card.next >= card.steps.length;
  element("card-task").textContent = card.task;
  element("card-says").textContent = done || card.waits ? card.says : card.wrong;
  element("card-again").hidden = !done;
  const { beside } = card;
  // Whoever put back or went on from there is led on to the step that is next.
  const leads = beside === null && element("beside").contains(document.activeElement);
  if (element("beside").hidden !== (beside === null)) element("beside").hidden = beside === null;
  for (const [id, says] of [["beside-says", beside?.says ?? ""], ["beside-comes", beside?.comes ?? ""]]) {
    if (element(id).textContent !== says) element(id).textContent = says;
  }
  element("beside-comes").classList.toggle("must", (beside?.harm ?? "") !== "");
  list(card);
  if (leads) (element("steps").querySelector("button") ?? element("card-leave")).focus({ preventScroll: true });
  if (beside && !card.waits) return "";
  if (heard === card.says) return "";
  heard = card.says;
  return card.says;
}

/** @param {Card} card */
function list(card) {
  const text = JSON.stringify([card.steps, card.next, card.beside === null]);
  if (text !== shown) {
    shown = text;
    const had = element("steps").contains(document.activeElement);
    element("steps").replaceChildren(...card.steps.map((step, at) => row(card, step, at)));
    const button = element("steps").querySelector("button");
    if (had) (button ?? element("card-leave")).focus();
  }
  const left = element("steps").querySelector(".left");
  if (left) left.textContent = card.left;
}

/**
 * @param {Card} card
 * @param {Step} step
 * @param {number} at
 */
function row(card, step, at) {
  const item = document.createElement("li");
  item.dataset.part = step.part;
  const isDone = at < card.next;
  item.className = isDone ? "done" : at === card.next ? "next" : "";
  const said = document.createElement("span");
  said.textContent = step.said;
  item.append(said);
  if (isDone) {
    const tick = document.createElement("span");
    tick.className = "visually-hidden";
    tick.textContent = ", done";
    item.append(tick);
  }
  if (at !== card.next) return item;
  item.setAttribute("aria-current", "step");
  if (card.watches) {
    const left = document.createElement("span");
    left.className = "left second";
    item.append(left);
  }
  // What isn't the card's is put back first, or gone on from.
  if (card.beside) return item;
  const button = document.createElement("button");
  button.type = "button";
  button.id = "do-step";
  button.textContent = card.watches ? "It is enough" : "Do it";
  button.setAttribute("aria-label", card.watches ? "It is enough" : `Do it: ${step.said}`);
  button.dataset.do = card.watches ? "enough" : "step";
  item.append(button);
  return item;
}

/** The step that is next, and what isn't the card's, on the drawing and among the switches. @param {Card | null} card */
function mark(card) {
  const path = card && !card.beside ? card.steps[card.next]?.path : "";
  for (const own of document.querySelectorAll("[data-press], [data-switch]")) {
    const { press, switch: by } = /** @type {HTMLElement} */ (own).dataset;
    const at = press ?? by ?? "";
    own.classList.toggle("next", path !== undefined && path !== "" && at === path);
    own.classList.toggle("wrong", card?.beside?.paths.includes(at) ?? false);
  }
}

/** @param {(path: string, body: object) => Promise<any>} tell */
export function follow(tell) {
  const wish = (/** @type {object} */ body) => tell("/api/live/card", body);
  const take = async (/** @type {string} */ task) => {
    if (!(await wish({ do: "take", task }))) return;
    element("card").hidden = false;
    element("card-leave").focus({ preventScroll: true });
    element("card").scrollIntoView({ block: "nearest" });
  };
  for (const own of document.querySelectorAll("[data-card]")) {
    own.addEventListener("click", () => {
      void take(/** @type {HTMLElement} */ (own).dataset.card ?? "");
    });
  }
  element("steps").addEventListener("click", (click) => {
    const button = /** @type {HTMLElement} */ (click.target);
    if (button.dataset.do) void wish({ do: button.dataset.do });
  });
  for (const [id, what] of [["put-back", "put-back"], ["go-on", "go-on"], ["card-leave", "leave"]]) {
    element(id).addEventListener("click", () => void wish({ do: what }));
  }
  element("card-again").addEventListener("click", () => void take(key));
}
