// @ts-check
/** The widths of a footprint: shows what the calculator answers, with a foot drawn in the person's own proportions. */

import { CalculatorForm } from "../../scripts/calculator-form.js";
import { element, fill, list, picture, sentence, shape } from "../../scripts/drawing.js";
import { typed } from "../../scripts/form-fields.js";
import { BOX, draw } from "./outline.js";

/** @typedef {import("../../scripts/calculator-form.js").Quantity} Quantity */
/** @typedef {{ball_mm: number, middle_mm: number, heel_mm: number, gap_mm?: number}} Widths */
/** @typedef {{key: string, label: string, position: string | null, compared: string}} BandMark */
/** @typedef {typeof INDICES[number]} Index */
/** @typedef {Required<Quantity> & {bands: BandMark[]}} Reading */
/** @typedef {{answer: number, page: number}} Places */

const SIDES = /** @type {const} */ (["left", "right"]);
const INDICES = /** @type {const} */ (["chippaux_smirak_index", "staheli_index"]);
/** What makes a percentage of an index; one of the two is a percentage already. */
const TO_PERCENT = { chippaux_smirak_index: 1, staheli_index: 100 };
/** Units of the drawing that the longest label takes. */
const LABEL = 78;

class FootprintWidths extends CalculatorForm {
  /** @type {any} */
  #bands;
  /** @type {Record<string, Places>} */
  #digits = {};

  connectedCallback() {
    this.#bands = this.data("bands");
    this.#digits = this.data("digits");
    super.connectedCallback();
  }

  /** A gap is asked for only where the middle is zero. @override */
  arrange() {
    for (const field of this.querySelectorAll("[data-when-zero]")) {
      const key = field.getAttribute("data-when-zero") ?? "";
      const other = field.closest("[data-group]")?.querySelector(`[data-field="${key}"]`);
      const text = other ? typed(other) : "";
      field.toggleAttribute("data-waiting", text === "" || Number(text.replace(",", ".")) !== 0);
    }
  }

  /**
   * @override
   * @param {any} result
   * @param {Record<string, any>} input
   */
  show(result, input) {
    for (const side of SIDES) this.#side(side, result[side], input[side]);
    this.#difference(result);
    this.#ranges(result, input);
    this.#others(result, input);
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
      : fill(this.say.plain, {
        csi: whole("chippaux_smirak_index", reading.chippaux_smirak_index.value), si: whole("staheli_index", reading.staheli_index.value),
      });
    part("plain").textContent = plain;
    part("note").hidden = reading.notes.length === 0;
    part("note").textContent = reading.notes.map((/** @type {string} */ key) => this.say[`note_${key}`]).join(" ");
    part("drawing").replaceChildren(this.#foot(side, widths, `${this.words.sides[side]}. ${plain}`));
  }

  /** @param {"left" | "right"} side @param {Widths} widths @param {string} title */
  #foot(side, widths, title) {
    const drawing = draw(side, { ball: widths.ball_mm, middle: widths.middle_mm, heel: widths.heel_mm });
    const values = { A: widths.ball_mm, B: widths.middle_mm, C: widths.heel_mm };
    // Room for the labels beside the outer edge; a heel wider than the ball reaches beyond the box.
    const ends = drawing.lines.flatMap(({ x1, x2 }) => [x1, x2]);
    const [least, most] = [Math.min(0, ...ends) - 6, Math.max(BOX.width, ...ends) + 6];
    const from = side === "left" ? least - LABEL : least;
    const svg = picture("foot-drawing", [from, 0, most - least + LABEL, BOX.height], title);
    const toes = drawing.toes.map(({ cx, cy, rx, ry }) => shape("ellipse", { cx, cy, rx, ry }));
    svg.append(shape("g", { class: "foot-drawing__toes" }, ...toes), shape("path", { class: "foot-drawing__print", d: drawing.outline }));
    for (const { name, x1, x2, y } of drawing.lines) {
      const width = shape("g", { class: "foot-drawing__width" });
      if (x1 < x2) width.append(shape("path", { d: `M${x1} ${y}H${x2}M${x1} ${y - 5}v10M${x2} ${y - 5}v10` }));
      const outer = side === "left" ? { x: x1 - 5, "text-anchor": "end" } : { x: x2 + 5, "text-anchor": "start" };
      width.append(shape("text", { ...outer, y: y + 6 }, `${name} ${this.#inUnit(values[name])}`));
      svg.append(width);
    }
    return svg;
  }

  /** @param {any} result */
  #difference({ left, right, difference }) {
    const line = this.piece("difference");
    line.hidden = !difference;
    if (!difference) return;
    line.textContent = fill(this.say.difference, {
      left: whole("chippaux_smirak_index", left.chippaux_smirak_index.value),
      right: whole("chippaux_smirak_index", right.chippaux_smirak_index.value),
      prints: difference.prints_needed.value,
    });
  }

  /** @param {any} result @param {Record<string, any>} input */
  #ranges(result, input) {
    this.piece("sure").textContent = fill(this.say.sure, {
      reading: this.#length(input.reading_mm ?? this.#standard("reading_mm")),
      edge: this.#length(input.edge_mm ?? this.#standard("edge_mm")),
    });
    const rows = SIDES.filter((side) => result[side]).map((side) => {
      const { gap } = result[side];
      const spans = fill(this.say.range, { side: this.words.sides[`${side}_short`], ...this.#spans(result[side], this.#percent, this.#inPercent) });
      return spans + (gap ? fill(this.say.range_gap, { low: this.#inUnit(gap.low), high: this.#length(gap.high) }) : "");
    });
    if (result.difference) rows.push(fill(this.say.range_difference, this.#spans(result.difference, this.#against, this.#against)));
    list(this.piece("ranges"), rows);
  }

  /** The error that counts when the person gave none, in millimetres: the form shows it in the empty field. @param {string} key */
  #standard(key) {
    const field = /** @type {HTMLInputElement} */ (this.querySelector(`[data-field="${key}"] input`));
    return Number(field.placeholder) * Number(this.dataset.mmPerUnit ?? 1);
  }

  /**
   * Both indices, each with its name, value and range.
   * @param {any} readings
   * @param {(index: Index, value: number) => string} ofEnd how an end of the range is told
   * @param {(index: Index, value: number) => string} ofValue how the value itself is told
   */
  #spans(readings, ofEnd, ofValue) {
    const [csi, si] = INDICES.map((index) => fill(this.say.from_to, {
      measure: this.say[index].short,
      value: ofValue(index, readings[index].value),
      low: ofEnd(index, readings[index].low),
      high: ofEnd(index, readings[index].high),
    }));
    return { csi, si };
  }

  /** @param {any} result @param {Record<string, any>} input */
  #others(result, input) {
    const readings = this.#readings(result);
    /** @type {Map<string, {index: string, yours: {side: string, where: string}[]}>} */
    const rows = new Map();
    let compared = "none";
    for (const { side, index, reading } of readings) {
      for (const mark of reading.bands) {
        const row = rows.get(mark.key) ?? { index, yours: [] };
        compared = mark.compared;
        // A print is not set beside what nobody here has read.
        if (mark.position && mark.label !== "from_memory") {
          const open = input[side].middle_mm === 0;
          row.yours.push({ side, where: this.say.position[open ? "open" : mark.position] });
        }
        rows.set(mark.key, row);
      }
    }
    this.piece("others-lead").textContent = this.say[`others_${compared}`];
    this.piece("others").replaceChildren(...[...rows].map(([key, row]) => this.#band(key, row)));
  }

  /** @param {string} key @param {{index: string, yours: {side: string, where: string}[]}} row */
  #band(key, row) {
    const band = this.#bands[key];
    const words = this.words.bands;
    const index = /** @type {Index} */ (row.index);
    const range = band.line === null
      ? fill(this.say.band_range, { low: published(index, band.low), high: this.#value(index, band.high) })
      : fill(band.line_at === "above" ? this.say.band_line : this.say.band_line_from, { line: this.#value(index, band.line) });
    const whom = [words.population[band.population], words.method[band.method], words.validity[band.validity]].map(sentence);
    const source = `${band.source_name} (${this.words.labels[band.label]}).`;
    const item = document.createElement("li");
    item.append(
      element("strong", fill(this.say.band, { measure: this.say[index].short, range })),
      element("span", [...whom, source].filter(Boolean).join(" ")),
      element("span", this.#yours(row.yours), "bands__yours"),
    );
    return item;
  }

  /** Where the prints lie beside a range; both feet in one word where it is the same. @param {{side: string, where: string}[]} yours */
  #yours(yours) {
    const places = new Set(yours.map(({ where }) => where));
    if (places.size === 1) return sentence(yours[0].where);
    return yours.map(({ side, where }) => sentence(`${this.words.sides[`${side}_short`]}: ${where}`)).join(" ");
  }

  /** @param {any} result @param {Record<string, any>} input */
  #sums(result, input) {
    list(this.piece("sums"), this.#readings(result).map(({ side, index, reading }) => {
      const widths = /** @type {Widths} */ (input[side]);
      const formula = fill(this.say[index].sum, {
        a: this.#length(widths.ball_mm), b: this.#length(widths.middle_mm), c: this.#length(widths.heel_mm),
        value: reading.value.toFixed(this.#digits[index].answer), percent: this.#percent(index, reading.value),
      });
      return fill(this.say.sum, { side: this.words.sides[side], formula });
    }));
  }

  /** @param {any} result @returns {{side: "left" | "right", index: Index, reading: Reading}[]} */
  #readings(result) {
    return SIDES.filter((side) => result[side]).flatMap((side) => INDICES.map((index) => ({ side, index, reading: result[side][index] })));
  }

  /** A published number, with the sign of a percentage. @param {Index} index @param {number} value */
  #value(index, value) {
    return fill(this.say[index].value, { value: published(index, value) });
  }

  /** With the digits that a page shows of this measure. @param {Index} index @param {number} value */
  #percent = (index, value) => (TO_PERCENT[index] * value).toFixed(this.#digits[index].page);

  /** @param {Index} index @param {number} value */
  #inPercent = (index, value) => fill(this.say[index].value, { value: this.#percent(index, value) });

  /** How far the left foot lies from the right one: lower or higher, never a bare sign. @param {Index} index @param {number} value */
  #against = (index, value) => {
    const apart = this.#percent(index, Math.abs(value));
    const way = Number(apart) === 0 ? "alike" : value < 0 ? "lower" : "higher";
    return fill(this.say.against[way], { value: apart });
  };

  /** A length that the calculator took in millimetres, in the unit of this form. @param {number} millimetres */
  #length(millimetres) {
    return `${this.#inUnit(millimetres)}\u00a0${this.words.units[this.dataset.unit ?? "mm"].short}`;
  }

  /** @param {number} millimetres */
  #inUnit(millimetres) {
    return String(Number((millimetres / Number(this.dataset.mmPerUnit ?? 1)).toFixed(2)));
  }
}

/** @param {Index} index @param {number} value */
function whole(index, value) {
  return (TO_PERCENT[index] * value).toFixed(0);
}

/** Every digit that was published, and none that the multiplication made. @param {Index} index @param {number} value */
function published(index, value) {
  return String(Number((TO_PERCENT[index] * value).toPrecision(12)));
}

customElements.define("footprint-widths", FootprintWidths);
