// Marks that a hand or the keyboard moves.
// @ts-check

/**
 * @typedef {{path: string, label: string, level_m: number, most_m: number, shown: string, holds: string}} Handle
 * @typedef {{handles: Handle[], mm_per_m: number, step_m: number}} Scale
 * @typedef {{moved: (path: string, level_m: number) => void, dropped: (path: string, level_m: number) => void, left: () => void}} Acts
 */

/** How far around a mark's line a finger finds it, mm of paper. */
const REACH_MM = 3.2;
/** Steps that the page keys take. */
const LEAP = 10;

/**
 * Makes the marks of a drawing movable.
 *
 * @param {SVGSVGElement} svg
 * @param {Scale} scale
 * @param {Acts} acts
 */
export function make(svg, scale, acts) {
  for (const handle of scale.handles) {
    const parts = /** @type {SVGGraphicsElement[]} */ ([...svg.querySelectorAll(`[data-path="${CSS.escape(handle.path)}"]`)]);
    const grip = parts.length > 0 ? gripOver(svg, parts, handle) : null;
    if (grip) bind(svg, grip, parts, handle, scale, acts);
  }
}

/**
 * A rectangle over a mark's line and label that takes the pointer and the focus.
 *
 * @param {SVGSVGElement} svg
 * @param {SVGGraphicsElement[]} parts
 * @param {Handle} handle
 */
function gripOver(svg, parts, handle) {
  const boxes = parts.map((part) => part.getBBox());
  const left = Math.min(...boxes.map((box) => box.x));
  const right = Math.max(...boxes.map((box) => box.x + box.width));
  const label = parts.find((part) => part.tagName === "text") ?? parts[0];
  const box = label.getBBox();
  const grip = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  const middle = box.y + box.height / 2;
  const tall = Math.max(box.height, 2 * REACH_MM);
  grip.setAttribute("x", String(left));
  grip.setAttribute("y", String(middle - tall / 2));
  grip.setAttribute("width", String(right - left));
  grip.setAttribute("height", String(tall));
  grip.setAttribute("class", "grip");
  grip.setAttribute("tabindex", "0");
  grip.setAttribute("role", "slider");
  grip.setAttribute("aria-orientation", "vertical");
  grip.setAttribute("aria-label", handle.label);
  grip.setAttribute("aria-valuemin", "0");
  grip.setAttribute("aria-valuemax", String(handle.most_m));
  grip.dataset.handle = handle.path;
  tell(grip, handle);
  svg.append(grip);
  return grip;
}

/**
 * @param {SVGRectElement} grip
 * @param {Handle} handle
 */
export function tell(grip, handle) {
  grip.setAttribute("aria-valuenow", handle.level_m.toFixed(4));
  grip.setAttribute("aria-valuetext", `${handle.shown}, ${handle.holds}`);
}

/**
 * @param {SVGSVGElement} svg
 * @param {SVGRectElement} grip
 * @param {SVGGraphicsElement[]} parts
 * @param {Handle} handle
 * @param {Scale} scale
 * @param {Acts} acts
 */
function bind(svg, grip, parts, handle, scale, acts) {
  const within = (/** @type {number} */ level_m) => Math.min(handle.most_m, Math.max(0, level_m));
  let level_m = handle.level_m;

  grip.addEventListener("pointerdown", (down) => {
    if (down.button !== 0) return;
    down.preventDefault();
    grip.focus();
    grip.setPointerCapture(down.pointerId);
    grip.classList.add("held");
    const metres_per_px = 1 / (scale.mm_per_m * pixelsPerMm(svg));
    const from_m = level_m;
    const follow = (/** @type {PointerEvent} */ move) => {
      level_m = within(from_m - (move.clientY - down.clientY) * metres_per_px);
      acts.moved(handle.path, level_m);
    };
    const end = (/** @type {PointerEvent} */ up) => {
      grip.removeEventListener("pointermove", follow);
      grip.classList.remove("held");
      if (up.type === "pointercancel") acts.left();
      else if (level_m !== from_m) acts.dropped(handle.path, level_m);
    };
    grip.addEventListener("pointermove", follow);
    grip.addEventListener("pointerup", end, { once: true });
    grip.addEventListener("pointercancel", end, { once: true });
  });

  grip.addEventListener("keydown", (key) => {
    const step = { ArrowUp: 1, ArrowDown: -1, PageUp: LEAP, PageDown: -LEAP }[key.key];
    if (step !== undefined) {
      key.preventDefault();
      level_m = within(level_m + step * scale.step_m);
      acts.moved(handle.path, level_m);
    } else if (key.key === "Enter" || key.key === " ") {
      key.preventDefault();
      if (level_m !== handle.level_m) acts.dropped(handle.path, level_m);
    } else if (key.key === "Escape") {
      level_m = handle.level_m;
      acts.left();
    }
  });
  grip.addEventListener("focusout", () => {
    // A mark that was walked away from is put where it stands.
    if (level_m !== handle.level_m && !grip.classList.contains("held") && grip.isConnected) {
      acts.dropped(handle.path, level_m);
    }
  });
}

/** @param {SVGSVGElement} svg */
function pixelsPerMm(svg) {
  return svg.getScreenCTM()?.d ?? 1;
}
