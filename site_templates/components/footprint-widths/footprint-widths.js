// @ts-check
/** The widths of a footprint: shows what the calculator answers, with a foot drawn in the person's own proportions. */

import { CalculatorForm, fill } from "../../scripts/calculator-form.js";
import { BOX, draw } from "./outline.js";

/** @typedef {import("../../scripts/calculator-form.js").Quantity} Quantity */
/** @typedef {{ball_mm: number, middle_mm: number, heel_mm: number, gap_mm?: number}} Widths */
/** @typedef {{key: string, position: string | null, compared: string}} BandMark */
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
    const sentence = open
      ? this.say.plain_gap + (reading.gap ? ` ${fill(this.say.plain_gap_width, { gap: this.#length(reading.gap.value) })}` : "")
      : fill(this.say.plain, { csi: number("chippaux_smirak_index", reading.chippaux_smirak_index.value), si: number("staheli_index", reading.staheli_index.value) });
    part("plain").textContent = sentence;
    part("note").hidden = reading.notes.length === 0;
    part("note").textContent = reading.notes.map((/** @type {string} */ key) => this.say[`note_${key}`]).join(" ");
    part("drawing").replaceChildren(this.#foot(side, widths, `${this.words.sides[side]}. ${sentence}`));
  }

  /** @param {"left" | "right"} side @param {Widths} widths @param {string} title */
  #foot(side, widths, title) {
    const drawing = draw(side, { ball: widths.ball_mm, middle: widths.middle_mm, heel: widths.heel_mm });
    const values = { A: widths.ball_mm, B: widths.middle_mm, C: widths.heel_mm };
    const room = 56;
    const svg = element("svg", { class: "foot-drawing", viewBox: `${-room} 0 ${BOX.width + 2 * room} ${BOX.height}`, role: "img", "aria-label": title });
    const toes = element("g", { class: "foot-drawing__toes" });
    toes.append(...drawing.toes.map(({ cx, cy, rx, ry }) => element("ellipse", { cx, cy, rx, ry })));
    svg.append(toes, element("path", { class: "foot-drawing__print", d: drawing.outline }));
    for (const { name, x1, x2, y } of drawing.lines) {
      const width = element("g", { class: "foot-drawing__width" });
      width.append(element("path", { d: `M${x1} ${y}H${x2}M${x1} ${y - 5}v10M${x2} ${y - 5}v10` }));
      const outer = side === "left" ? { x: x1 - 5, "text-anchor": "end" } : { x: x2 + 5, "text-anchor": "start" };
      const text = element("text", { ...outer, y: y + 5 });
      text.textContent = `${name} ${this.#length(values[name])}`;
      width.append(text);
      svg.append(width);
    }
    return svg;
  }

  /** @param {any} difference */
  #difference(difference) {
    const line = this.part("difference");
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
    const rows = this.#readings(result).map(({ side, index, reading }) =>
      fill(this.say.range, {
        side: this.words.sides[side], measure: this.say[index].short,
        low: number(index, reading.low), high: this.#value(index, reading.high),
      }));
    const { difference } = result;
    if (difference) {
      rows.push(...INDICES.map((index) => fill(this.say.range_difference, {
        measure: this.say[index].short, low: signed(index, difference[index].low), high: signed(index, difference[index].high),
      })));
    }
    list(this.part("ranges"), rows);
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
    this.part("others-lead").textContent = this.say[`others_${compared}`];
    this.part("others-region").hidden = rows.size === 0;
    this.part("others").replaceChildren(...[...rows].map(([key, row]) => this.#bandRow(key, row)));
  }

  /** @param {string} key @param {{index: string, yours: string[]}} row */
  #bandRow(key, row) {
    const band = this.#bands[key];
    const words = this.words.bands;
    const index = /** @type {typeof INDICES[number]} */ (row.index);
    const range = band.line === null
      ? fill(this.say.band_range, { low: plain(band.low), high: this.#value(index, band.high) })
      : fill(band.line_at === "above" ? this.say.band_line : this.say.band_line_from, { line: this.#value(index, band.line) });
    const whom = [words.population[band.population], words.method[band.method], words.validity[band.validity], `${band.source_name} (${this.words.labels[band.label]})`];
    const cells = [this.say[index].short, range, whom.filter(Boolean).join(". "), row.yours.join("; ") || this.say.not_compared];
    const line = document.createElement("tr");
    line.append(...cells.map((text) => Object.assign(document.createElement("td"), { textContent: text })));
    return line;
  }

  /** @param {any} result @param {Record<string, any>} input */
  #sums(result, input) {
    list(this.part("sums"), this.#readings(result).map(({ side, index, reading }) => {
      const widths = /** @type {Widths} */ (input[side]);
      const formula = fill(this.say[index].sum, {
        a: this.#length(widths.ball_mm), b: this.#length(widths.middle_mm), c: this.#length(widths.heel_mm),
        value: number(index, reading.value),
      });
      return fill(this.say.sum, { side: this.words.sides[side], formula });
    }));
  }

  /** @param {any} result @returns {{side: "left" | "right", index: typeof INDICES[number], reading: Reading}[]} */
  #readings(result) {
    return SIDES.filter((side) => result[side]).flatMap((side) => INDICES.map((index) => ({ side, index, reading: result[side][index] })));
  }

  /** @param {typeof INDICES[number]} index @param {number} value */
  #value(index, value) {
    return fill(this.say[index].value, { value: plain(value) });
  }

  /** A length that the calculator took in millimetres, in the unit of this form. @param {number} millimetres */
  #length(millimetres) {
    const unit = this.dataset.unit ?? "mm";
    return `${plain(Number((millimetres / Number(this.dataset.mmPerUnit ?? 1)).toFixed(2)))} ${this.words.units[unit].short}`;
  }
}

/** @param {typeof INDICES[number]} index @param {number} value */
function number(index, value) {
  return value.toFixed(DIGITS[index]);
}

/** @param {typeof INDICES[number]} index @param {number} value */
function signed(index, value) {
  return (value > 0 ? "+" : value < 0 ? "\u2212" : "") + number(index, Math.abs(value));
}

/** @param {number} value */
function plain(value) {
  return String(value);
}

/** @param {HTMLElement} place @param {string[]} rows */
function list(place, rows) {
  place.replaceChildren(...rows.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
}

/** @param {string} name @param {Record<string, string | number>} attributes */
function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  return made;
}

customElements.define("footprint-widths", FootprintWidths);
