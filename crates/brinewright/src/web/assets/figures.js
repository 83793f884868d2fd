// Flows in figures on the drawing, one for each run, where there is room.
// @ts-check

/**
 * @typedef {{path: string, way: number, sea: boolean, said: string, run: number}} Flow
 * @typedef {{x: number, y: number}} Place
 * @typedef {{x: number, y: number, width: number, height: number}} Box
 * @typedef {{path: string, a: Place, b: Place}} Stretch
 */

const SVG = "http://www.w3.org/2000/svg";
/** Height of a figure, white beside it, and between it and its line, mm of paper. */
const HIGH_MM = 2.6;
const ASIDE_MM = 0.8;
const ABOVE_MM = 1.2;
/** What is wider than that is no symbol, mm of paper. */
const WIDE_MM = 40;

/** Which lines run, as their figures were placed. */
let placed = "";

/** A fresh drawing has no figures. */
export function forget() {
  placed = "";
}

/** @param {SVGSVGElement} svg @param {Flow[]} lines */
export function figures(svg, lines) {
  const runs = /** @type {Map<number, Flow[]>} */ (new Map());
  for (const own of lines) if (own.way !== 0) runs.set(own.run, [...(runs.get(own.run) ?? []), own]);
  const key = JSON.stringify([...runs].map(([run, all]) => [run, all.map((own) => [own.path, own.way])]));
  if (key !== placed) {
    placed = key;
    place(svg, [...runs.values()]);
  }
  for (const own of lines) {
    const text = svg.querySelector(`[data-flow="${CSS.escape(own.path)}"]`);
    if (!text) continue;
    const said = `${arrow(/** @type {SVGElement} */ (text), own.way > 0)} ${own.said}`;
    if (text.textContent !== said) text.textContent = said;
  }
}

/** The way that water goes along the stretch. @param {SVGElement} text @param {boolean} along */
function arrow(text, along) {
  const { across, down } = text.dataset;
  if (across === "0") return (down === "1") === along ? "↓" : "↑";
  return (across === "1") === along ? "→" : "←";
}

/** One figure for each run. @param {SVGSVGElement} svg @param {Flow[][]} runs */
function place(svg, runs) {
  for (const own of svg.querySelectorAll("[data-flow]")) own.remove();
  const boxes = (/** @type {string} */ what) =>
    /** @type {SVGGraphicsElement[]} */ ([...svg.querySelectorAll(what)]).map((own) => /** @type {Box} */ (own.getBBox()));
  // Names stand there already, and symbols; pipes are crossed where nothing else is left.
  const names = boxes("text");
  const symbols = boxes("circle, polygon:not([data-water]), polyline:not([data-path^='lines.']):not([data-path^='purifier'])")
    .filter((box) => box.width < WIDE_MM);
  const pipes = [...stretches(svg, "polyline[data-path^='lines.'], polyline[data-path^='purifier']")].map(({ a, b }) => ({
    x: Math.min(a.x, b.x),
    y: Math.min(a.y, b.y),
    width: Math.abs(b.x - a.x),
    height: Math.abs(b.y - a.y),
  }));
  for (const run of runs) {
    const text = document.createElementNS(SVG, "text");
    text.setAttribute("class", "flow");
    text.textContent = `→ ${run[0].said}`;
    svg.append(text);
    const wide = text.getBBox().width + 2 * ASIDE_MM;
    const all = run
      .flatMap((own) => [...stretches(svg, `polyline[data-path="${CSS.escape(own.path)}"]`)])
      .sort((a, b) => long(b) - long(a))
      .flatMap((own) => places(own, wide).map((at) => ({ own, at })));
    const clear = (/** @type {Box[]} */ of) => (/** @type {{at: Place}} */ { at }) =>
      of.every(
        (box) =>
          at.x + wide / 2 <= box.x ||
          at.x - wide / 2 >= box.x + box.width ||
          at.y <= box.y ||
          at.y - HIGH_MM >= box.y + box.height,
      );
    const found =
      all.find(clear([...names, ...symbols, ...pipes])) ??
      all.find(clear([...names, ...symbols])) ??
      all.find(clear(names)) ??
      all[0];
    if (!found) {
      text.remove();
      continue;
    }
    const { own, at } = found;
    names.push({ x: at.x - wide / 2, y: at.y - HIGH_MM, width: wide, height: HIGH_MM });
    text.setAttribute("x", String(at.x));
    text.setAttribute("y", String(at.y));
    text.dataset.flow = own.path;
    text.dataset.across = String(Math.sign(own.b.x - own.a.x));
    text.dataset.down = String(Math.sign(own.b.y - own.a.y));
  }
}

/** A figure stands easier over a level stretch. @param {Stretch} own */
function long({ a, b }) {
  return Math.abs(b.x - a.x) + 0.5 * Math.abs(b.y - a.y);
}

/** Straight stretches of pipe. @param {SVGSVGElement} svg @param {string} what @returns {Generator<Stretch>} */
function* stretches(svg, what) {
  for (const line of /** @type {NodeListOf<SVGPolylineElement>} */ (svg.querySelectorAll(what))) {
    const points = [...line.points].map(({ x, y }) => ({ x, y }));
    for (let at = 1; at < points.length; at += 1) {
      yield { path: line.dataset.path ?? "", a: points[at - 1], b: points[at] };
    }
  }
}

/** Where a figure may stand along a stretch: above it and below, its middle first. @param {Stretch} own @param {number} wide */
function places({ a, b }, wide) {
  return [0, 1].flatMap((off) =>
    [0.5, 0.35, 0.65, 0.2, 0.8, 0, 1].flatMap((share) => {
      const [x, y] = [a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)];
      const [up, aside] = [ABOVE_MM + off * (HIGH_MM + ABOVE_MM), wide / 2 + ABOVE_MM / 2];
      return a.y === b.y
        ? [{ x, y: y - up }, { x, y: y + up + HIGH_MM }]
        : [{ x: x + aside, y: y + HIGH_MM / 2 }, { x: x - aside, y: y + HIGH_MM / 2 }];
    }),
  );
}
