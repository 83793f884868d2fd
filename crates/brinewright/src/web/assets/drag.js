// Marks, floors, rims and sides that a hand or the keyboard moves.
// @ts-check

/**
 * @typedef {{path: string, grip: "level" | "floor" | "rim" | "side", label: string, level_m: number, least_m: number,
 *   least: string, most_m: number, most: string, shown: string, holds: string}} Handle
 * @typedef {{handles: Handle[], mm_per_m: number, step_m: number}} Scale
 * @typedef {{taken: () => void, moved: (path: string, level_m: number) => void, stopped: (path: string, why: string) => void,
 *   dropped: (path: string, level_m: number) => void, left: () => void}} Acts
 */

/** How tall a label's frame is at the least, how far a floor, rim or side can be taken, how large a knob is, mm of paper. */
const FRAME_MM = 4.6;
const REACH_MM = 6;
const KNOB_MM = 2;
/** Steps that the page keys take. */
const LEAP = 10;
/** After how long without a key what was moved by keyboard is kept. */
const PAUSE_MS = 1000;
/** How tall a label is to a finger where there is room for it, px of the screen. */
const FINGER_PX = 44;

const SVG = "http://www.w3.org/2000/svg";

/**
 * Makes the parts of a drawing movable: grips on a layer of their own, so that the drawing below a hand can be drawn
 * again while the hand keeps its grip.
 *
 * @param {HTMLElement} place
 * @param {SVGSVGElement} svg
 * @param {Scale} scale
 * @param {Acts} acts
 */
export function make(place, svg, scale, acts) {
  place.querySelector(".grips")?.remove();
  const layer = document.createElementNS(SVG, "svg");
  layer.setAttribute("class", "grips");
  layer.setAttribute("viewBox", svg.getAttribute("viewBox") ?? "");
  place.append(layer);
  const parts = partsOf(svg);
  // Bodies above marks: a floor, a rim or a side is a small place on the long line of a mark that may lie on it.
  const marks = scale.handles.filter((own) => own.grip === "level");
  const bodies = scale.handles.filter((own) => own.grip !== "level");
  for (const handle of [...marks, ...bodies]) {
    const covers = cover(parts, handle);
    if (covers.length === 0) continue;
    const grip = /** @type {SVGGElement} */ (document.createElementNS(SVG, "g"));
    grip.setAttribute("class", `grip ${handle.grip}`);
    grip.setAttribute("tabindex", "0");
    grip.setAttribute("role", "slider");
    grip.setAttribute("aria-orientation", handle.grip === "side" ? "horizontal" : "vertical");
    grip.setAttribute("aria-label", handle.label);
    // To a tenth of a millimetre: what computing adds at the last digit is nobody's to hear.
    grip.setAttribute("aria-valuemin", handle.least_m.toFixed(4));
    grip.setAttribute("aria-valuemax", handle.most_m.toFixed(4));
    grip.dataset.handle = handle.path;
    tell(grip, handle);
    grip.replaceChildren(...covers);
    layer.append(grip);
    bind(layer, grip, handle, scale, acts);
  }
  reach(layer);
}

/**
 * The grips where a drawing made meanwhile has what they hold: a mark, its label and their frames move as one.
 *
 * @param {HTMLElement} place
 * @param {SVGSVGElement} svg
 * @param {Handle[]} handles
 */
export function follow(place, svg, handles) {
  place.querySelector(".grips")?.setAttribute("viewBox", svg.getAttribute("viewBox") ?? "");
  const parts = partsOf(svg);
  const grips = /** @type {SVGGElement[]} */ ([...place.querySelectorAll(".grip")]);
  // All are measured before any is changed: the browser lays the page out once, not once for each.
  const covers = grips.map((grip) => {
    const handle = handles.find((own) => own.path === grip.dataset.handle);
    return handle ? cover(parts, handle) : [];
  });
  grips.forEach((grip, at) => {
    if (covers[at].length > 0) grip.replaceChildren(...covers[at]);
  });
  const layer = place.querySelector(".grips");
  if (layer instanceof SVGSVGElement) reach(layer);
}

/**
 * A finger may take a label by what is free around it: half the way to the next label, and no more than a finger needs.
 *
 * @param {SVGSVGElement} layer
 */
function reach(layer) {
  const mm = layer.viewBox.baseVal.width / (layer.clientWidth || layer.viewBox.baseVal.width);
  const number = (/** @type {Element} */ own, /** @type {string} */ name) => Number(own.getAttribute(name));
  const labels = [...layer.querySelectorAll(".hit.label")].map((own) => {
    const [x, y, width, height] = ["x", "y", "width", "height"].map((name) => number(own, name));
    return { own, x, width, middle: y + height / 2, half: height / 2 };
  });
  for (const label of labels) {
    const beside = labels.filter((one) => one !== label && one.x < label.x + label.width && label.x < one.x + one.width);
    const free = (/** @type {number} */ way) => {
      const gaps = beside.map((one) => (one.middle - label.middle) * way).filter((gap) => gap > 0);
      return Math.max(label.half, Math.min(Math.min(...gaps) / 2, (FINGER_PX / 2) * mm));
    };
    const [up, down] = [free(-1), free(1)];
    const wider = over(label.x, label.middle + (down - up) / 2, label.width, up + down);
    wider.setAttribute("class", "reach");
    label.own.before(wider);
  }
}

/**
 * The parts of a drawing by what they are drawn for.
 *
 * @param {SVGSVGElement} svg
 */
function partsOf(svg) {
  const parts = /** @type {Map<string, SVGGraphicsElement[]>} */ (new Map());
  for (const part of /** @type {NodeListOf<SVGGraphicsElement>} */ (svg.querySelectorAll("[data-path]"))) {
    const path = part.dataset.path ?? "";
    parts.set(path, [...(parts.get(path) ?? []), part]);
  }
  return parts;
}

/**
 * What lies over the parts that a grip holds; nothing where none is drawn.
 *
 * @param {Map<string, SVGGraphicsElement[]>} parts
 * @param {Handle} handle
 */
function cover(parts, handle) {
  const own = handle.grip === "level" ? handle.path : handle.path.slice(0, handle.path.lastIndexOf("."));
  const boxes = (parts.get(own) ?? []).map((part) => ({ tag: part.tagName, box: part.getBBox() }));
  return handle.grip === "level" ? overMark(boxes) : overBody(boxes, handle.grip);
}

/**
 * Places over a mark's line and its label, and a knob at the end of the line.
 *
 * @param {{tag: string, box: DOMRect}[]} boxes
 */
function overMark(boxes) {
  const level = (/** @type {{tag: string, box: DOMRect}} */ own) => own.tag === "polyline" && own.box.height < 0.01;
  const [line] = boxes.filter(level).sort((a, b) => b.box.width - a.box.width);
  const label = boxes.find((own) => own.tag === "text");
  const out = [];
  if (line) {
    const { x, y, width } = line.box;
    const points = `${x},${y} ${x - KNOB_MM},${y - KNOB_MM * 0.6} ${x - KNOB_MM},${y + KNOB_MM * 0.6}`;
    out.push(over(x - KNOB_MM, y, width + KNOB_MM, 2 * KNOB_MM), knob(points));
  }
  if (label) {
    const { x, y, width, height } = label.box;
    const named = over(x, y + height / 2, width, Math.max(height, FRAME_MM));
    named.classList.add("label");
    out.push(named);
  }
  return out;
}

/**
 * A place over a vessel's floor, rim or side, and a knob that points both ways.
 *
 * @param {{tag: string, box: DOMRect}[]} boxes
 * @param {"floor" | "rim" | "side"} grip
 */
function overBody(boxes, grip) {
  const drawn = boxes.filter((own) => own.tag !== "text");
  const [body] = drawn.sort((a, b) => b.box.width * b.box.height - a.box.width * a.box.height);
  if (!body) return [];
  const { x, y, width, height } = body.box;
  const [long, short] = [KNOB_MM * 0.8, KNOB_MM * 0.55];
  if (grip === "side") {
    const [at, middle] = [x + width, y + height / 2];
    return [
      over(at - REACH_MM / 2, middle, REACH_MM, Math.max(height / 3, REACH_MM)),
      knob(`${at - long},${middle} ${at},${middle - short} ${at + long},${middle} ${at},${middle + short}`),
    ];
  }
  const [middle, at] = [x + width / 2, grip === "rim" ? y : y + height];
  return [
    over(middle - Math.max(width / 3, REACH_MM) / 2, at, Math.max(width / 3, REACH_MM), REACH_MM),
    knob(`${middle},${at - long} ${middle + short},${at} ${middle},${at + long} ${middle - short},${at}`),
  ];
}

/** @param {string} points */
function knob(points) {
  const own = document.createElementNS(SVG, "polygon");
  own.setAttribute("class", "knob");
  own.setAttribute("points", points);
  return own;
}

/**
 * @param {number} x
 * @param {number} middle
 * @param {number} width
 * @param {number} tall
 */
function over(x, middle, width, tall) {
  const hit = document.createElementNS(SVG, "rect");
  hit.setAttribute("class", "hit");
  hit.setAttribute("x", String(x));
  hit.setAttribute("y", String(middle - tall / 2));
  hit.setAttribute("width", String(width));
  hit.setAttribute("height", String(tall));
  return hit;
}

/**
 * @param {SVGGElement} grip
 * @param {Handle} handle
 */
function tell(grip, handle) {
  grip.setAttribute("aria-valuenow", handle.level_m.toFixed(4));
  grip.setAttribute("aria-valuetext", `${handle.shown}, ${handle.holds}`);
}

/**
 * @param {SVGSVGElement} layer
 * @param {SVGGElement} grip
 * @param {Handle} handle
 * @param {Scale} scale
 * @param {Acts} acts
 */
function bind(layer, grip, handle, scale, acts) {
  // What is beyond an end is told where it is met.
  const within = (/** @type {number} */ wanted_m) => {
    const why = wanted_m > handle.most_m ? handle.most : wanted_m < handle.least_m ? handle.least : "";
    acts.stopped(handle.path, why);
    return Math.min(handle.most_m, Math.max(handle.least_m, wanted_m));
  };
  let level_m = handle.level_m;
  let isDown = false;
  let isMoved = false;
  const drop = () => {
    if (isDown || !isMoved) return;
    isMoved = false;
    isDown = level_m !== handle.level_m;
    if (isDown) acts.dropped(handle.path, level_m);
    else acts.left();
  };
  const move = (/** @type {number} */ to_m) => {
    level_m = to_m;
    isMoved = true;
  };
  let pause = 0;

  grip.addEventListener("pointerdown", (down) => {
    if (down.button !== 0) return;
    down.preventDefault();
    clearTimeout(pause);
    grip.focus();
    grip.setPointerCapture(down.pointerId);
    grip.classList.add("held");
    acts.taken();
    const metres_per_px = 1 / (scale.mm_per_m * pixelsPerMm(layer));
    const from_m = level_m;
    const follow = (/** @type {PointerEvent} */ now) => {
      const by_px = handle.grip === "side" ? now.clientX - down.clientX : down.clientY - now.clientY;
      move(within(from_m + by_px * metres_per_px));
      acts.moved(handle.path, level_m);
    };
    const end = (/** @type {PointerEvent} */ up) => {
      grip.removeEventListener("pointermove", follow);
      grip.classList.remove("held");
      if (up.type === "pointercancel" || !isMoved) acts.left();
      else drop();
    };
    grip.addEventListener("pointermove", follow);
    grip.addEventListener("pointerup", end, { once: true });
    grip.addEventListener("pointercancel", end, { once: true });
  });

  grip.addEventListener("keydown", (key) => {
    const step = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: LEAP, PageDown: -LEAP }[key.key];
    if (step !== undefined) {
      key.preventDefault();
      clearTimeout(pause);
      // What was put down is on its way into the file: the next move is from where it then stands.
      if (isDown) return;
      pause = setTimeout(drop, PAUSE_MS);
      move(within(level_m + step * scale.step_m));
      acts.moved(handle.path, level_m);
    } else if (key.key === "Home" || key.key === "End") {
      key.preventDefault();
      clearTimeout(pause);
      if (isDown) return;
      pause = setTimeout(drop, PAUSE_MS);
      move(within(key.key === "Home" ? handle.least_m : handle.most_m));
      acts.moved(handle.path, level_m);
    } else if (key.key === "Enter" || key.key === " ") {
      key.preventDefault();
      clearTimeout(pause);
      drop();
    } else if (key.key === "Escape") {
      clearTimeout(pause);
      move(handle.level_m);
      isMoved = false;
      acts.left();
    }
  });
  grip.addEventListener("focusout", () => {
    // A mark that was walked away from is put where it stands.
    clearTimeout(pause);
    if (!grip.classList.contains("held")) drop();
  });
}

/** @param {SVGSVGElement} svg */
function pixelsPerMm(svg) {
  return svg.getScreenCTM()?.d ?? 1;
}
