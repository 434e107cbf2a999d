// @ts-check
/** What was measured of a print: drawn again from its lines, toes up, and told in numbers. No part of the photograph. */

import { element, fill, list, picture, shape } from "../../scripts/drawing.js";
import { bounds, path } from "./photo-view.js";

/** @typedef {import("./photo-view.js").Point} Point */
/** @typedef {{value: number, low: number, high: number, unit: string, largest_cause: string | null}} Index */
/** @typedef {import("./photo-view.js").Found & {unit: "mm" | "px", lines: Record<string, any>}} Upright */
/** An answer about one print. @typedef {import("./photo-view.js").Found & {foot: string, scale: {from: string}, upright: Upright, indices: Record<string, Index | null>, areas: {forefoot: number, midfoot: number, heel: number, unit: string}, lengths: Record<string, number | null> | null, warnings: string[]}} Print */

/** The index that a print is told by; every measured print has it. */
export const MAIN = "arch_index";
const WIDTHS = { A: "ball", B: "middle", C: "heel" };
/** Units of a drawing for a millimetre; and how long a print without toes is drawn where no size is known. */
const PER_MM = 1;
const LONG_WITHOUT_MM = 210;
const MARGIN = { side: 30, end: 10 };
const CM2 = 100; // square millimetres

/**
 * The prints of a table drawn to one scale, in boxes of one size.
 * @param {Print[]} prints
 * @param {string[]} titles
 */
export function drawings(prints, titles) {
  const turned = prints.map(scaled);
  const boxes = turned.map(({ outline, toes }) => bounds([...outline, ...toes].flat()));
  const half = Math.max(...boxes.map(({ left, right }) => Math.max(-left, right))) + MARGIN.side;
  const [top, bottom] = [Math.min(...boxes.map((box) => box.top)) - MARGIN.end, Math.max(...boxes.map((box) => box.bottom)) + MARGIN.end];
  return turned.map((upright, at) => drawing(upright, prints[at].foot, [-half, top, 2 * half, bottom - top], titles[at]));
}

/** @param {Upright} upright @param {string} foot @param {[number, number, number, number]} box @param {string} title */
function drawing({ outline, toes, toe_line, axis, lines }, foot, box, title) {
  const svg = picture("print-drawing", box, title);
  const drawn = (/** @type {string} */ kind, /** @type {string} */ d) => svg.append(shape("path", { class: `print-drawing__${kind}`, d }));
  drawn("print", outline.map((ring) => path(ring, true)).join(""));
  drawn("toes", toes.map((ring) => path(ring, true)).join(""));
  drawn("thirds", lines.thirds.map((/** @type {Point[]} */ line) => path(line)).join(""));
  drawn("axis", path([axis.heel, axis.second_toe ?? lines.axis[1]]));
  drawn("tangent", path(lines.medial_tangent ?? []) + path(toe_line));
  for (const [letter, name] of Object.entries(WIDTHS)) {
    const line = /** @type {Point[] | null} */ (lines[name]);
    if (!line) continue;
    drawn("width", path(line));
    // At the outer edge: at the inner one the axis or the arch may lie.
    const ends = line.map(([x]) => x);
    const place = foot === "left" ? { x: Math.min(...ends) - 5, "text-anchor": "end" } : { x: Math.max(...ends) + 5, "text-anchor": "start" };
    svg.append(shape("text", { ...place, y: line[0][1] + 5 }, letter));
  }
  return svg;
}

/** @param {Print} print @returns {Upright} */
function scaled({ upright }) {
  const [rear, front] = upright.lines.axis;
  const times = upright.unit === "mm" ? PER_MM : LONG_WITHOUT_MM / Math.hypot(front[0] - rear[0], front[1] - rear[1]);
  return all(upright, (at) => [times * at[0], times * at[1]]);
}

/** Everything with two numbers in it is a point. @param {any} value @param {(at: Point) => Point} move @returns {any} */
function all(value, move) {
  if (Array.isArray(value)) {
    return value.length === 2 && value.every((one) => typeof one === "number")
      ? move(/** @type {Point} */ (value)).map((at) => Math.round(at * 10) / 10)
      : value.map((one) => all(one, move));
  }
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, all(inner, move)]));
}

/** @param {Print} print */
export function mainIndex({ indices }) {
  return /** @type {Index} */ (indices[MAIN]);
}

/** What is said of prints, with the words of the page. */
export class Told {
  /** @param {any} words @param {Record<string, {answer: number, page: number}>} digits */
  constructor(words, digits) {
    this.words = words;
    this.digits = digits;
  }

  get say() {
    return this.words.say;
  }

  /** The arch index as a part of a hundred. @param {number} value */
  percent(value) {
    return (100 * value).toFixed(1);
  }

  /** The number that a print is told by, as a part of a hundred. @param {Print} print */
  main(print) {
    return fill(this.words.photo.unit.percent, { value: this.percent(mainIndex(print).value) });
  }

  /** The one plain sentence of a print. @param {Print} print */
  plain(print) {
    const { value, low, high } = mainIndex(print);
    return fill(this.say.plain, { value: this.percent(value), low: this.percent(low), high: this.percent(high) });
  }

  /** @param {Print} print @returns {string[]} */
  widths({ lengths }) {
    if (!lengths) return [this.say.no_size];
    const told = Object.entries(WIDTHS).map(([letter, name]) => fill(this.say.width, {
      letter, name: this.words.photo.lines[name], value: this.#of("mm", lengths[`${name}_mm`]),
    }));
    return [...told, fill(this.say.length, { value: this.#of("mm", lengths.toeless_mm) })];
  }

  /** What moves the arch index most within its range. @param {Print} print */
  cause(print) {
    const cause = mainIndex(print).largest_cause;
    return cause ? fill(this.say.cause, { cause: this.say.causes[cause] }) : "";
  }

  /** Every index of some prints with its range, a column for each print. @param {Print[]} prints @param {string[]} heads */
  table(prints, heads) {
    const row = (/** @type {string} */ kind, /** @type {string[]} */ cells) => {
      const made = document.createElement("tr");
      made.append(...cells.map((text, at) => {
        const cell = element(at && kind === "td" ? "td" : "th", text);
        if (cell instanceof HTMLTableCellElement && cell.tagName === "TH") cell.scope = kind === "td" ? "row" : "col";
        return cell;
      }));
      return made;
    };
    const keys = Object.keys(prints[0].indices).filter((key) => prints.some(({ indices }) => indices[key]));
    const [head, body] = [document.createElement("thead"), document.createElement("tbody")];
    head.append(row("th", [this.say.index, ...heads]));
    body.append(...keys.map((key) => row("td", [this.words.photo.indices[key], ...prints.map(({ indices }) => this.#ranged(key, indices[key]))])));
    const table = element("table", "", "photo__numbers");
    table.append(head, body);
    return table;
  }

  /** @param {string} key @param {Index | null} index */
  #ranged(key, index) {
    if (!index) return this.say.none;
    const [value, low, high] = [index.value, index.low, index.high].map((one) => one.toFixed(this.digits[key].answer));
    return fill(this.say.ranged, { value: fill(this.words.photo.unit[index.unit], { value }), low, high });
  }

  /** The arch index worked out from the areas of this print. @param {Print} print */
  sum(print) {
    const { areas } = print;
    const per = areas.unit === "mm2" ? CM2 : 1;
    const parts = [areas.forefoot, areas.midfoot, areas.heel].map((area) => area / per);
    const shown = (/** @type {number} */ area) => area.toFixed(per === 1 ? 0 : 1);
    const unit = this.say[areas.unit === "mm2" ? "square_centimetres" : "square_pixels"];
    return fill(this.say.sum, {
      front: shown(parts[0]), middle: shown(parts[1]), rear: shown(parts[2]), unit,
      value: mainIndex(print).value.toFixed(this.digits[MAIN].answer),
    });
  }

  /** @param {HTMLElement} place @param {string[]} warnings */
  warnings(place, warnings) {
    place.hidden = warnings.length === 0;
    const rows = document.createElement("ul");
    list(rows, warnings.map((key) => this.words.warnings[key]));
    place.replaceChildren(element("strong", this.words.photo.think), rows);
  }

  /** @param {string} unit @param {number | null} value */
  #of(unit, value) {
    return value === null ? this.say.none : fill(this.words.photo.unit[unit], { value });
  }
}
