// @ts-check
/** The widths of a footprint: shows what the calculator answers, with a foot drawn in the person's own proportions. */

import { CalculatorForm, fill } from "../../scripts/calculator-form.js";
import { BOX, draw } from "./outline.js";

/** @typedef {import("../../scripts/calculator-form.js").Quantity} Quantity */
/** @typedef {{ball_mm: number, middle_mm: number, heel_mm: number, gap_mm?: number}} Widths */
/** @typedef {{key: string, position: string | null, compared: string}} BandMark */
/** @typedef {typeof INDICES[number]} Index */
/** @typedef {Required<Quantity> & {bands: BandMark[]}} Reading */

const SIDES = /** @type {const} */ (["left", "right"]);
const INDICES = /** @type {const} */ (["chippaux_smirak_index", "staheli_index"]);
/** Digits that each measure is shown with: those that the calculator rounds to. */
const DIGITS = { chippaux_smirak_index: 1, staheli_index: 3 };
const SVG = "http://www.w3.org/2000/svg";

class FootprintWidths extends CalculatorForm {
  /** @type {any} */
  #bands;

  connectedCallback() {
    this.#bands = this.data("bands");
    super.connectedCallback();
  }

  /**
   * @override
   * @param {any} result
   * @param {Record<string, any>} input
   */
  show(result, input) {
    for (const side of SIDES) this.#side(side, result[side], input[side]);
    this.#difference(result.difference);
    this.#ranges(result);
    this.#others(result);
    this.#sums(result, input);
  }

  get say() {
    return this.words.say;
  }

  /** @param {"left" | "right"} side @param {any} reading @param {Widths | undefined} widths */
  #side(side, reading, widths) {
    const place = /** @type {HTMLElement} */ (this.querySelector(`[data-side="${side}"]`));
    place.hidden = !reading;
    if (!reading || !widths) return;
    const part = (/** @type {string} */ name) => /** @type {HTMLElement} */ (place.querySelector(`[data-part="${name}"]`));
    const open = widths.middle_mm === 0;
    const plain = open
      ? this.say.plain_gap + (reading.gap ? ` ${fill(this.say.plain_gap_width, { gap: this.#length(reading.gap.value) })}` : "")
      : fill(this.say.plain, { csi: number("chippaux_smirak_index", reading.chippaux_smirak_index.value), si: number("staheli_index", reading.staheli_index.value) });
    part("plain").textContent = plain;
    part("note").hidden = reading.notes.length === 0;
    part("note").textContent = reading.notes.map((/** @type {string} */ key) => this.say[`note_${key}`]).join(" ");
    part("drawing").replaceChildren(this.#foot(side, widths, `${this.words.sides[side]}. ${plain}`));
  }

  /** @param {"left" | "right"} side @param {Widths} widths @param {string} title */
  #foot(side, widths, title) {
    const drawing = draw(side, { ball: widths.ball_mm, middle: widths.middle_mm, heel: widths.heel_mm });
    const values = { A: widths.ball_mm, B: widths.middle_mm, C: widths.heel_mm };
    // Room for the labels beside the outer edge.
    const [room, edge] = [84, 6];
    const from = side === "left" ? -room : -edge;
    const svg = shape("svg", { class: "foot-drawing", viewBox: `${from} 0 ${BOX.width + room + edge} ${BOX.height}`, role: "img", "aria-label": title });
    const toes = shape("g", { class: "foot-drawing__toes" });
    toes.append(...drawing.toes.map(({ cx, cy, rx, ry }) => shape("ellipse", { cx, cy, rx, ry })));
    svg.append(toes, shape("path", { class: "foot-drawing__print", d: drawing.outline }));
    for (const { name, x1, x2, y } of drawing.lines) {
      const width = shape("g", { class: "foot-drawing__width" });
      if (x1 < x2) width.append(shape("path", { d: `M${x1} ${y}H${x2}M${x1} ${y - 5}v10M${x2} ${y - 5}v10` }));
      const outer = side === "left" ? { x: x1 - 5, "text-anchor": "end" } : { x: x2 + 5, "text-anchor": "start" };
      const text = shape("text", { ...outer, y: y + 6 });
      text.textContent = `${name} ${this.#length(values[name])}`;
      width.append(text);
      svg.append(width);
    }
    return svg;
  }

  /** @param {any} difference */
  #difference(difference) {
    const line = this.piece("difference");
    line.hidden = !difference;
    if (!difference) return;
    line.textContent = fill(this.say.difference, {
      csi: signed("chippaux_smirak_index", difference.chippaux_smirak_index.value),
      si: signed("staheli_index", difference.staheli_index.value),
      prints: difference.prints_needed.value,
    });
  }

  /** @param {any} result */
  #ranges(result) {
    const rows = SIDES.filter((side) => result[side]).map((side) =>
      fill(this.say.range, { side: this.words.sides[side], ...this.#spans(result[side], number, "value") }));
    if (result.difference) rows.push(fill(this.say.range_difference, this.#spans(result.difference, signed, "points")));
    list(this.piece("ranges"), rows);
  }

  /**
   * The low-high range of both indices, each with its name.
   * @param {any} readings
   * @param {(index: Index, value: number) => string} shown
   * @param {"value" | "points"} wording
   */
  #spans(readings, shown, wording) {
    const [csi, si] = INDICES.map((index) => fill(this.say.from_to, {
      measure: this.say[index].short,
      low: shown(index, readings[index].low),
      high: fill(this.say[index][wording], { value: shown(index, readings[index].high) }),
    }));
    return { csi, si };
  }

  /** @param {any} result */
  #others(result) {
    const readings = this.#readings(result);
    const sides = new Set(readings.map(({ side }) => side));
    /** @type {Map<string, {index: string, yours: string[], compared: string}>} */
    const rows = new Map();
    for (const { side, index, reading } of readings) {
      for (const mark of reading.bands) {
        const row = rows.get(mark.key) ?? { index, yours: [], compared: mark.compared };
        if (mark.position) {
          const where = this.say.position[mark.position];
          row.yours.push(sides.size > 1 ? `${this.words.sides[`${side}_short`]}: ${where}` : where);
        }
        rows.set(mark.key, row);
      }
    }
    const compared = [...rows.values()][0]?.compared ?? "none";
    this.piece("others-lead").textContent = this.say[`others_${compared}`];
    this.piece("others").replaceChildren(...[...rows].map(([key, row]) => this.#band(key, row)));
  }

  /** @param {string} key @param {{index: string, yours: string[]}} row */
  #band(key, row) {
    const band = this.#bands[key];
    const words = this.words.bands;
    const index = /** @type {Index} */ (row.index);
    const range = band.line === null
      ? fill(this.say.band_range, { low: exact(band.low), high: this.#value(index, band.high) })
      : fill(band.line_at === "above" ? this.say.band_line : this.say.band_line_from, { line: this.#value(index, band.line) });
    const whom = [words.population[band.population], words.method[band.method], words.validity[band.validity]].map(sentence);
    const source = `${band.source_name} (${this.words.labels[band.label]}).`;
    const item = document.createElement("li");
    item.append(
      element("strong", fill(this.say.band, { measure: this.say[index].short, range })),
      element("span", [...whom, source].filter(Boolean).join(" ")),
      element("span", row.yours.join("; ") || this.say.not_compared, "bands__yours"),
    );
    return item;
  }

  /** @param {any} result @param {Record<string, any>} input */
  #sums(result, input) {
    list(this.piece("sums"), this.#readings(result).map(({ side, index, reading }) => {
      const widths = /** @type {Widths} */ (input[side]);
      const formula = fill(this.say[index].sum, {
        a: this.#length(widths.ball_mm), b: this.#length(widths.middle_mm), c: this.#length(widths.heel_mm),
        value: number(index, reading.value),
      });
      return fill(this.say.sum, { side: this.words.sides[side], formula });
    }));
  }

  /** @param {any} result @returns {{side: "left" | "right", index: Index, reading: Reading}[]} */
  #readings(result) {
    return SIDES.filter((side) => result[side]).flatMap((side) => INDICES.map((index) => ({ side, index, reading: result[side][index] })));
  }

  /** @param {Index} index @param {number} value */
  #value(index, value) {
    return fill(this.say[index].value, { value: exact(value) });
  }

  /** A length that the calculator took in millimetres, in the unit of this form. @param {number} millimetres */
  #length(millimetres) {
    const unit = this.dataset.unit ?? "mm";
    return `${exact(Number((millimetres / Number(this.dataset.mmPerUnit ?? 1)).toFixed(2)))} ${this.words.units[unit].short}`;
  }
}

/** @param {Index} index @param {number} value */
function number(index, value) {
  return value.toFixed(DIGITS[index]);
}

/** @param {Index} index @param {number} value */
function signed(index, value) {
  return (value > 0 ? "+" : value < 0 ? "\u2212" : "") + number(index, Math.abs(value));
}

/** @param {number} value */
function exact(value) {
  return String(value);
}

/** @param {string} phrase */
function sentence(phrase) {
  return phrase && `${phrase[0].toUpperCase()}${phrase.slice(1)}.`;
}

/** @param {HTMLElement} place @param {string[]} rows */
function list(place, rows) {
  place.replaceChildren(...rows.map((text) => element("li", text)));
}

/** @param {string} name @param {string} text @param {string} [className] */
function element(name, text, className = "") {
  return Object.assign(document.createElement(name), { textContent: text, className });
}

/** @param {string} name @param {Record<string, string | number>} attributes */
function shape(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  return made;
}

customElements.define("footprint-widths", FootprintWidths);
