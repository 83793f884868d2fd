// A page of an analysis takes in its own content anew when the server says that it is fresh.
// @ts-check

/** @typedef {{revision: number, proved: number, away: number, year: number, closing: boolean}} News */

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
    state.textContent = "being computed";
    return;
  }
  const open = opened(now);
  const focused = now.contains(document.activeElement);
  now.replaceWith(next);
  for (const summary of next.querySelectorAll("details > summary")) {
    if (open.has(nameOf(summary))) /** @type {HTMLDetailsElement} */ (summary.parentElement).open = true;
  }
  if (focused) next.focus({ preventScroll: true });
  state.textContent = next.dataset.state === "waiting" ? "being computed" : "";
}

const events = new EventSource("/api/events");
events.addEventListener("news", (event) => {
  /** @type {News} */
  const news = JSON.parse(/** @type {MessageEvent} */ (event).data);
  const now = shown();
  const is = Number(now.dataset.revision) === news.revision;
  if (is && now.dataset.state !== "waiting") {
    now.classList.remove("stale");
    state.textContent = "";
    return;
  }
  const kind = /** @type {"proved" | "away" | "year"} */ (now.dataset.kind);
  if (is && news[kind] !== news.revision) {
    state.textContent = "being computed";
    return;
  }
  void load();
});
events.addEventListener("error", () => {
  state.textContent = "the workbench doesn't answer";
});
