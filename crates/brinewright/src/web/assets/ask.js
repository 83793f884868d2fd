// Asking the server, and telling what it refused in its own words.
// @ts-check

/**
 * @typedef {{where: string, what: string, mend: string, path?: string}} Fault
 * @typedef {{path: string, place: string, theirs: string, yours: string}} Conflict
 * @typedef {{revision: number, conflicts: Conflict[], edits: {path: string, text: string}[]}} Clash
 */

/** A refusal. */
export class Refused extends Error {
  /**
   * @param {Fault[]} faults
   * @param {Clash | null} clash
   * @param {number} status
   */
  constructor(faults, clash, status) {
    super(faults.map((own) => `${own.what}: ${own.mend}`).join(". "));
    this.faults = faults;
    /** What somebody else changed meanwhile, and the whole change that met it. */
    this.clash = clash;
    this.status = status;
  }
}

/**
 * What the file still remarks beside values that a change has set: the remark stays, and may be no longer true.
 *
 * @param {{remarks?: {place: string, remark: string}[]}} answer
 */
export function remarked(answer) {
  const told = (answer.remarks ?? []).map((own) => `${own.place} is remarked on in the file: "${own.remark}"`);
  return told.length === 0 ? "" : `${told.join(". ")}. That stays as it is: see whether it is still true.`;
}

/** A refusal's words as a sentence: with one mark at its end. @param {string} words */
export function sentence(words) {
  const first = words.charAt(0).toUpperCase() + words.slice(1);
  return /[.?!]$/.test(first) ? first : `${first}.`;
}

/**
 * @param {Response} response
 * @returns {Promise<any>}
 */
async function told(response) {
  const answer = await response.json();
  if (!response.ok) throw new Refused(answer.errors ?? [], answer.conflicts ? answer : null, response.status);
  return answer;
}

/**
 * The cure that a button makes: whose it is, its place there, and its words, by which it is known again.
 *
 * @param {Element} pressed
 * @returns {{of: string, at: number, says: string} | null}
 */
export function cureOf(pressed) {
  const button = pressed.closest("[data-cure]");
  if (!(button instanceof HTMLElement)) return null;
  const { cure, at, says } = button.dataset;
  return { of: cure ?? "", at: Number(at), says: says ?? "" };
}

/** Answers that may come out of their order: one that was asked for before one that has been taken in tells nothing any more. */
export class Turns {
  #asked = 0;
  #taken = 0;

  /** Begins a turn: something is asked for. */
  begin() {
    return ++this.#asked;
  }

  /**
   * Takes its answer in; tells whether it counts.
   *
   * @param {number} turn
   */
  take(turn) {
    if (turn < this.#taken) return false;
    this.#taken = turn;
    return true;
  }

  /** What was asked for up to now is overtaken: something was changed. */
  overtake() {
    this.take(this.begin());
  }
}

/** @param {string} path */
export async function ask(path) {
  return told(await fetch(path));
}

/**
 * @param {string} path
 * @param {object} body
 */
export async function send(path, body) {
  return sendText(path, JSON.stringify(body));
}

/**
 * What is JSON already, or should be.
 *
 * @param {string} path
 * @param {string} body
 */
export async function sendText(path, body) {
  return told(await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body }));
}
