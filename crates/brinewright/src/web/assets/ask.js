// Asking the server, and telling what it refused in its own words.
// @ts-check

/**
 * @typedef {{where: string, what: string, mend: string}} Fault
 * @typedef {{path: string, theirs: string | null, yours: string}} Conflict
 */

/** A refusal. */
export class Refused extends Error {
  /**
   * @param {Fault[]} faults
   * @param {Conflict[]} conflicts
   */
  constructor(faults, conflicts) {
    super(faults.map((own) => `${own.what}: ${own.mend}`).join(". "));
    this.faults = faults;
    this.conflicts = conflicts;
  }
}

/**
 * @param {Response} response
 * @returns {Promise<any>}
 */
async function told(response) {
  const answer = await response.json();
  if (!response.ok) throw new Refused(answer.errors ?? [], answer.conflicts ?? []);
  return answer;
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
  return told(
    await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    }),
  );
}
