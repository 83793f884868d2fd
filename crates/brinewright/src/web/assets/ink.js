// The live station on its drawing: where water stands, what runs, what is shut.
// @ts-check

import { figures, forget } from "./figures.js";

/**
 * @typedef {{path: string, mark: string, on: boolean}} Mark
 * @typedef {{path: string, on: boolean, said: string}} Switch
 * @typedef {{path: string, share: number, sea: boolean, said: string, volume: string}} Level
 * @typedef {{lines: import("./figures.js").Flow[], marks: Mark[], switches: Switch[], vessels: Level[], draws: Level[],
 *   tanks: Level[]}} Now
 * @typedef {{water: SVGPolygonElement[], surface: SVGPolylineElement, corners: {x: number, y: number}[],
 *   volume: SVGTextElement | null}} Basin
 */

const SVG = "http://www.w3.org/2000/svg";

const paper = () => /** @type {HTMLElement} */ (document.getElementById("paper"));

/** What is drawn of a part. @param {string} path */
export const parts = (path) =>
  /** @type {SVGGraphicsElement[]} */ ([...paper().querySelectorAll(`[data-path="${CSS.escape(path)}"]`)]);

/** What holds water on this drawing. */
const basins = /** @type {Map<string, Basin>} */ (new Map());

/** A fresh drawing: what holds water is found once. @param {SVGSVGElement} svg */
export function fit(svg) {
  basins.clear();
  forget();
  for (const wall of /** @type {NodeListOf<SVGPolylineElement>} */ (svg.querySelectorAll("polyline[data-path]"))) {
    const path = wall.dataset.path ?? "";
    // A vessel, a tank and a bucket are each a wall of four corners, open above.
    if (!/^(vessels|tanks|draw_points)\./.test(path) || wall.points.length !== 4) continue;
    const corners = [...wall.points].map(({ x, y }) => ({ x, y }));
    const own = parts(path).filter((part) => part.tagName === "polygon");
    const water = /** @type {SVGPolygonElement[]} */ (/** @type {unknown} */ (own));
    const lines = parts(path).filter((part) => part.tagName === "polyline" && part.classList.contains("second"));
    let surface = /** @type {SVGPolylineElement | undefined} */ (/** @type {unknown} */ (lines[0]));
    if (water.length === 0) {
      const filled = document.createElementNS(SVG, "polygon");
      filled.setAttribute("class", "f");
      wall.before(filled);
      water.push(filled);
    }
    if (!surface) {
      surface = document.createElementNS(SVG, "polyline");
      surface.setAttribute("class", "s second");
      surface.setAttribute("stroke-width", "0.25");
      wall.before(surface);
    }
    for (const one of [...water, surface]) one.dataset.water = path;
    basins.set(path, { water, surface, corners, volume: figure(path, corners) });
  }
}

/** From one line of a name to the next, and what stays free above a floor, mm of paper. */
const LINE_MM = 4;
const FREE_MM = 2;

/**
 * Where a basin's volume stands: below its name, which makes room for it; nothing where it has none inside, as a bucket.
 *
 * @param {string} path
 * @param {{x: number, y: number}[]} corners
 */
function figure(path, corners) {
  const [rim, foot] = corners;
  const y = (/** @type {Element} */ own) => Number(own.getAttribute("y"));
  const name = /** @type {SVGTextElement[]} */ (/** @type {unknown} */ (parts(path).filter((own) => own.tagName === "text")))
    .filter((own) => y(own) > rim.y && y(own) < foot.y)
    .sort((a, b) => y(a) - y(b));
  const last = name.at(-1);
  if (!last) return null;
  const up = Math.max(0, y(last) + LINE_MM + FREE_MM - foot.y);
  if (y(name[0]) - up < rim.y + LINE_MM / 2) return null;
  for (const own of name) own.setAttribute("y", (y(own) - up).toFixed(2));
  const own = /** @type {SVGTextElement} */ (last.cloneNode());
  delete own.dataset.path;
  own.setAttribute("y", (y(last) + LINE_MM).toFixed(2));
  last.after(own);
  return own;
}

/** Water stands where it stands. @param {Level} own */
function fill(own) {
  const basin = basins.get(own.path);
  if (!basin) return;
  const [rim, foot, right, over] = basin.corners;
  const share = Math.max(0, Math.min(1, own.share));
  const along = (/** @type {{x: number, y: number}} */ low, /** @type {{x: number, y: number}} */ high) =>
    `${(low.x + share * (high.x - low.x)).toFixed(2)},${(low.y + share * (high.y - low.y)).toFixed(2)}`;
  const [left, end] = [along(foot, rim), along(right, over)];
  for (const one of basin.water) {
    one.setAttribute("points", `${left} ${end} ${right.x},${right.y} ${foot.x},${foot.y}`);
    one.classList.toggle("sea", own.sea);
    one.classList.toggle("fresh", !own.sea);
  }
  if (basin.volume && basin.volume.textContent !== own.volume) basin.volume.textContent = own.volume;
  basin.surface.setAttribute("points", share > 0 ? `${left} ${end}` : "");
}

/** @param {string} path @param {string} mark @param {boolean} on */
function put(path, mark, on) {
  const all = parts(path).filter((part) => part.tagName !== "text");
  const corners = (/** @type {Element} */ part) =>
    part.tagName === "polygon" ? /** @type {SVGPolygonElement} */ (part).points.length : 0;
  // What turns a valve stays as it is: its body are the triangles, where it has any.
  const triangles = mark === "shut" && all.some((part) => corners(part) === 3);
  for (const part of all) if (!triangles || corners(part) <= 3) part.classList.toggle(mark, on);
}

/** Water, flows, valves and pumps on the drawing. @param {Now} now */
export function ink(now) {
  for (const own of now.lines) {
    for (const part of parts(own.path)) {
      if (part.tagName !== "polyline") continue;
      part.classList.toggle("runs", own.way !== 0);
      part.classList.toggle("salty", own.way !== 0 && own.sea);
    }
  }
  for (const own of now.marks) put(own.path, own.mark, own.on);
  for (const own of now.switches) {
    const mark = own.path.startsWith("valves.") ? "shut" : "at-work";
    put(own.path, mark, mark === "shut" ? !own.on : own.said.startsWith("runs"));
    const press = paper().querySelector(`[data-press="${CSS.escape(own.path)}"]`);
    press?.setAttribute("aria-checked", String(own.on));
  }
  for (const own of [...now.vessels, ...now.draws, ...now.tanks]) fill(own);
  const svg = paper().querySelector("svg");
  if (svg) figures(svg, now.lines);
}
