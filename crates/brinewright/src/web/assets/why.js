// A why goes on: an input that is a figure itself opens its own why below its row.
// @ts-check

import { ask } from "./ask.js";
import { parsed } from "./whole.js";

document.addEventListener("click", async (event) => {
  const button = /** @type {Element} */ (event.target).closest("button[data-why]");
  const row = button?.closest("tr");
  if (!(button instanceof HTMLElement) || !row) return;
  if (button.getAttribute("aria-expanded") === "true") {
    row.nextElementSibling?.remove();
    button.setAttribute("aria-expanded", "false");
    return;
  }
  button.setAttribute("aria-expanded", "true");
  const below = document.createElement("tr");
  below.className = "deeper";
  const cell = below.appendChild(document.createElement("td"));
  cell.colSpan = row.cells.length;
  row.after(below);
  const answer = await ask(`/api/why?key=${encodeURIComponent(button.dataset.why ?? "")}`).catch(() => null);
  if (answer) cell.append(...parsed(answer.why));
  else cell.textContent = "The workbench doesn't answer.";
});
