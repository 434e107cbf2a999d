// @ts-check
/** The photograph on the page with what was found drawn over it, places that can be moved, and a magnifying glass. */

import { shape } from "../../scripts/drawing.js";

/** @typedef {[number, number]} Point */
/** @typedef {{outline: Point[][], toes: Point[][], toe_line: Point[], axis: {heel: Point, second_toe: Point | null}, lines: {axis: Point[], thirds: Point[][]}, corners: Point[] | null}} Found */

/** How much larger the glass shows things, how wide it is in the page's own pixels, and how wide its cross is. */
const GLASS = { times: 3, wide: 132, cross: 14 };
/** Room around a print, in parts of its longer side. */
const AROUND = 0.18;
/** The same around a whole sheet. */
const BESIDE = 0.04;

export class PhotoView {
  /** @type {ImageData | undefined} */
  #image;
  /** Width and height of the picture. @type {Point} */
  size = [0, 0];
  /** The point of the picture that is shown first. @type {Point} */
  from = [0, 0];

  /** @param {HTMLElement} place  holds a canvas `photo`, an SVG `over`, a canvas `glass` */
  constructor(place) {
    this.place = place;
    this.canvas = /** @type {HTMLCanvasElement} */ (place.querySelector('[data-part="photo"]'));
    this.glass = /** @type {HTMLCanvasElement} */ (place.querySelector('[data-part="glass"]'));
    this.over = /** @type {SVGSVGElement} */ (place.querySelector('[data-part="over"]'));
  }

  /** @param {ImageData} image */
  show(image) {
    this.#image = image;
    this.size = [image.width, image.height];
    this.draw([]);
    this.showAll();
  }

  /** All of the picture, as for the corners of a sheet. */
  showAll() {
    this.#open(0, 0, ...this.size);
  }

  /** The part of the picture with what was found in it, and some room around. @param {Found[]} prints @param {boolean} [sheet] with the sheet, too */
  near(prints, sheet = false) {
    const points = prints.flatMap(({ outline, toes, corners }) => [...[...outline, ...toes].flat(), ...(sheet && corners ? corners : [])]);
    if (!points.length) return this.showAll();
    const { left, right, top, bottom } = bounds(points);
    const room = (sheet && prints[0].corners ? BESIDE : AROUND) * Math.max(right - left, bottom - top);
    const [from, to] = [[left - room, top - room], [right + room, bottom + room]];
    const [low, high] = [from.map((at) => Math.max(0, Math.floor(at))), to.map((at, way) => Math.min(this.size[way], Math.ceil(at)))];
    return this.#open(low[0], low[1], high[0] - low[0], high[1] - low[1]);
  }

  /** @param {number} left @param {number} top @param {number} width @param {number} height */
  #open(left, top, width, height) {
    if (!this.#image) return;
    this.from = [left, top];
    this.canvas.width = width;
    this.canvas.height = height;
    this.canvas.getContext("2d")?.putImageData(this.#image, -left, -top);
    this.over.setAttribute("viewBox", `${left} ${top} ${width} ${height}`);
  }

  /** Where a point of the picture lies in what is shown, in parts of it. @param {Point} point @returns {Point} */
  share([x, y]) {
    return [(x - this.from[0]) / this.canvas.width, (y - this.from[1]) / this.canvas.height];
  }

  /** Lets go of the picture. */
  empty() {
    this.#image = undefined;
    this.canvas.width = this.canvas.height = this.glass.width = this.glass.height = 0;
    this.draw([]);
    this.lookAt(null);
  }

  /** @param {Found[]} prints  in pixels of the picture */
  draw(prints) {
    this.over.replaceChildren(...prints.flatMap((found) => [
      ...(found.corners ? lined("sheet", path(found.corners, true)) : []),
      ...lined("toes", found.toes.map((ring) => path(ring, true)).join("")),
      ...lined("print", found.outline.map((ring) => path(ring, true)).join("")),
      ...lined("toe-line", path(found.toe_line)),
      ...lined("axis", path([found.axis.heel, found.axis.second_toe ?? found.lines.axis[1]])),
    ]));
  }

  /** A line through the places that a hand moves. @param {Point[]} points @param {boolean} closed */
  guide(points, closed) {
    this.over.querySelector(".photo-view__guides")?.remove();
    if (points.length) this.over.append(shape("g", { class: "photo-view__guides" }, ...lined("guide", path(points, closed))));
  }

  /** Pixels of the picture in one of the page's own. */
  get scale() {
    return this.canvas.width / (this.canvas.getBoundingClientRect().width || 1);
  }

  /** Where in the picture somebody points, inside it. @param {PointerEvent} event @returns {Point} */
  pointed({ clientX, clientY }) {
    const box = this.canvas.getBoundingClientRect();
    return this.inside([this.from[0] + (clientX - box.left) * this.scale, this.from[1] + (clientY - box.top) * this.scale]);
  }

  /** The nearest point of the picture, to a tenth of a pixel. @param {Point} point @returns {Point} */
  inside([x, y]) {
    const kept = (/** @type {number} */ at, /** @type {number} */ most) => Math.round(10 * Math.min(Math.max(at, 0), most)) / 10;
    return [kept(x, this.size[0]), kept(y, this.size[1])];
  }

  /** Shows what lies at a point, larger, in the corner that is farther from it; nothing hides the glass. @param {Point | null} point */
  lookAt(point) {
    this.glass.hidden = !point;
    if (!point) return;
    const context = /** @type {CanvasRenderingContext2D} */ (this.glass.getContext("2d"));
    const dense = globalThis.devicePixelRatio || 1;
    const wide = Math.round(GLASS.wide * dense);
    const taken = (GLASS.wide * this.scale) / GLASS.times;
    this.glass.width = this.glass.height = wide;
    context.imageSmoothingEnabled = false;
    context.fillStyle = "#7b868c"; // beyond the edge of what is shown
    context.fillRect(0, 0, wide, wide);
    const [left, top] = [0, 1].map((way) => point[way] - this.from[way] - taken / 2);
    context.drawImage(this.canvas, left, top, taken, taken, 0, 0, wide, wide);
    for (const [colour, thick] of /** @type {const} */ ([["#ffffff", 3], ["#000000", 1]])) {
      context.strokeStyle = colour;
      context.lineWidth = thick * dense;
      context.beginPath();
      for (const [across, down] of [[1, 0], [0, 1]]) {
        const [x, y] = [across * GLASS.cross * dense, down * GLASS.cross * dense];
        context.moveTo(wide / 2 - x, wide / 2 - y);
        context.lineTo(wide / 2 + x, wide / 2 + y);
      }
      context.stroke();
    }
    this.glass.classList.toggle("photo-view__glass--right", this.share(point)[0] < 0.5);
  }
}

/** A line that is seen on light and on dark ground: a wide pale one below a narrow one. @param {string} kind @param {string} d */
function lined(kind, d) {
  // As thick on a large picture as on a small one.
  const [under, over] = ["under", kind].map((name) => shape("path", { class: `photo-view__${name}`, d, "vector-effect": "non-scaling-stroke" }));
  return [under, over];
}

/** @param {Point[]} points @param {boolean} [closed] */
export function path(points, closed = false) {
  return points.length ? `M${points.map(([x, y]) => `${x} ${y}`).join("L")}${closed ? "Z" : ""}` : "";
}

/** @param {Point[]} points */
export function bounds(points) {
  const [across, down] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { left: Math.min(...across), right: Math.max(...across), top: Math.min(...down), bottom: Math.max(...down) };
}
