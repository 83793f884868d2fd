// The station file was taken away meanwhile: it is said on every page that keeps anything, and written again on a press.
// @ts-check

import { Refused, send } from "./ask.js";

const note = document.getElementById("gone");
const says = document.getElementById("gone-says");

/** Whether the file is gone, as far as was heard. */
export const isGone = () => note !== null && !note.hidden;

/**
 * Shows or hides it; tells whether that is new.
 *
 * @param {boolean} gone
 */
export function heardOfFile(gone) {
  if (!note || note.hidden === !gone) return false;
  note.hidden = !gone;
  if (says) says.textContent = "";
  return true;
}

document.getElementById("write-again")?.addEventListener("click", async () => {
  try {
    await send("/api/write-again", {});
    heardOfFile(false);
    const state = document.getElementById("state");
    if (state) state.textContent = "saved";
  } catch (error) {
    if (says) says.textContent = error instanceof Refused ? error.message : "the workbench doesn't answer";
  }
});
