// @ts-check
/** Heel angles: shows what the calculator answers, both heels drawn as they stand below their legs. */

import { CalculatorForm } from "../../scripts/calculator-form.js";
import { fill, list, references, sentence } from "../../scripts/drawing.js";
import { typed } from "../../scripts/form-fields.js";
import { drawHeels } from "./heels.js";

/** @typedef {import("../../scripts/calculator-form.js").Quantity} Quantity */
/** @typedef {"outward" | "inward" | "straight"} Direction */
/** @typedef {Required<Quantity> & {direction: Direction, range_of: string, ruled_by: string, sources: string[]}} Angle */
/** @typedef {Quantity & {ruled_by: "method" | "click_error", sem: Quantity & {basis: string}, sources: string[]}} Limit */
/** @typedef {{line: Quantity, line_at: string, people: Quantity, of: Quantity, with_knee_pain: Quantity, population: string, source: string}} Share */
/** @typedef {Quantity & {limit_95_deg: Limit, larger_than_limit: boolean, how_common: Share[]}} Difference */

const SIDES = /** @type {const} */ (["left", "right"]);

class HeelAngle extends CalculatorForm {
  /** Decimal places of an angle. @type {{answer: number, page: number}} */
  #places = { answer: 0, page: 0 };

  connectedCallback() {
    this.#places = this.data("digits").rearfoot_angle_deg;
    super.connectedCallback();
  }

  /** The word "straight" says the angle too, and no angle has no direction. @override @param {Element} side */
  filled(side) {
    const text = (/** @type {string} */ key) => {
      const field = side.querySelector(`[data-field="${key}"]`);
      return field ? typed(field) : "";
    };
    const [angle, direction] = [text("angle_deg"), text("direction")];
    if (!angle && !direction) return "empty";
    return direction === "straight" || (angle && (direction || Number(angle.replace(",", ".")) === 0)) ? "full" : "half";
  }

  /** @override @param {any} result @param {Record<string, any>} input */
  show(result, input) {
    const angles = this.#angles(result);
    for (const side of SIDES) this.#write(`plain-${side}`, angles[side] ? this.#plain(side, angles[side]) : "");
    const notes = new Set(SIDES.flatMap((side) => result[side]?.notes ?? []));
    this.#write("notes", [...notes].map((key) => this.say.notes[key]).join(" "));
    this.piece("drawing").replaceChildren(this.#drawing(angles));
    this.piece("difference").hidden = !result.difference;
    if (result.difference) this.#difference(result.difference);
    this.#ranges(angles);
    this.#sums(angles, result.difference, input.sem_deg ?? this.#standardError());
  }

  get say() {
    return this.words.say;
  }

  /** @param {any} result @returns {Partial<Record<"left" | "right", Angle>>} */
  #angles(result) {
    return Object.fromEntries(SIDES.filter((side) => result[side]).map((side) => [side, result[side].rearfoot_angle_deg]));
  }

  /** Shows a paragraph, or hides it where there is nothing to say. @param {string} name @param {string} text */
  #write(name, text) {
    const place = this.piece(name);
    place.hidden = text === "";
    place.textContent = text;
  }

  /** @param {"left" | "right"} side @param {Angle | undefined} angle */
  #plain(side, angle) {
    if (!angle) return "";
    return fill(this.say.plain[this.#direction(angle.value)], { side: this.words.sides[side], value: this.#size(angle.value) });
  }

  /** @param {Partial<Record<"left" | "right", Angle>>} angles */
  #drawing(angles) {
    const heels = Object.entries(angles).map(([side, { value }]) => [side, {
      angle: value,
      name: this.words.sides[`${side}_short`],
      label: this.#direction(value) === "straight" ? this.say.straight_below : this.#words(value, "two_parts"),
    }]);
    const said = SIDES.filter((side) => angles[side]).map((side) => this.#plain(side, angles[side]));
    return drawHeels(Object.fromEntries(heels), [this.say.drawing_alt, ...said].join(" "));
  }

  /** An angle with its direction as a word, never a bare sign. @param {number} value @param {"two_parts" | "in_words"} wording */
  #words(value, wording) {
    return fill(this.say[wording], { value: this.#size(value), direction: this.say.directions[this.#direction(value)] });
  }

  /** How large an angle is, without its direction. @param {number} value @param {number} [places] as many as a page shows, unless told otherwise */
  #size(value, places = this.#places.page) {
    return Number(Math.abs(value).toFixed(places));
  }

  /** What is nought to the digits shown has no direction. @param {number} value @returns {Direction} */
  #direction(value) {
    if (this.#size(value) === 0) return "straight";
    return value > 0 ? "outward" : "inward";
  }

  /** @param {Difference} difference */
  #difference({ value, limit_95_deg: limit, larger_than_limit: larger, how_common: shares }) {
    const further = { outward: "left", inward: "right", straight: "neither" }[this.#direction(value)];
    // Two numbers that would read alike are shown as exactly as they were compared.
    const places = this.#size(value) === this.#size(limit.value) ? this.#places.answer : this.#places.page;
    this.piece("more-outward").textContent = fill(this.say.more_outward[further], { value: this.#size(value, places) });
    this.piece("limit").replaceChildren(
      fill(this.say.limit[limit.ruled_by], { value: this.#size(limit.value, places) }), ...references(limit.sources),
      ...(limit.ruled_by === "method" ? [` ${this.#basis(limit)}`] : []),
      ` ${larger ? this.say.limit.larger : this.say.limit.not_larger}`,
    );
    const counts = shares.map(({ people, of, line, line_at }) =>
      fill(this.say.how_common[line_at], { people: people.value, of: of.value, line: line.value }));
    const whom = new Map(shares.map((share) => [share.population, share]));
    this.piece("common").replaceChildren(
      ...counts.map((text) => `${text} `),
      ...[...whom].flatMap(([population, { with_knee_pain, of, source }]) => [
        fill(this.say.how_common[population], { with_knee_pain: with_knee_pain.value, of: of.value }), ...references([source]),
      ]),
    );
  }

  /** Where the size of the method's error comes from. @param {Limit} limit */
  #basis({ sem }) {
    return fill(this.say.basis[sem.basis], { value: sem.value });
  }

  /** @param {Partial<Record<"left" | "right", Angle>>} angles */
  #ranges(angles) {
    const given = told(angles);
    list(this.piece("ranges"), given.map(({ side, angle }) => fill(this.say.range, {
      side: this.words.sides[side],
      value: this.#words(angle.value, "in_words"),
      low: this.#words(angle.low, "in_words"),
      high: this.#words(angle.high, "in_words"),
    })));
    const [{ angle }] = given;
    this.piece("sure").replaceChildren(
      fill(this.say.sure, { range_of: fill(this.say.range_of[angle.range_of], { value: this.#size((angle.high - angle.low) / 2) }) }),
      ...references(angle.sources),
    );
  }

  /** The standard error that counts when none was typed: the form shows it in the empty field. */
  #standardError() {
    const field = /** @type {HTMLInputElement} */ (this.querySelector('[data-field="sem_deg"] input'));
    return Number(field.placeholder);
  }

  /** Every number here is as exact as the calculator gives it. @param {Partial<Record<"left" | "right", Angle>>} angles @param {Difference | null} difference @param {number} sem */
  #sums(angles, difference, sem) {
    const rows = told(angles).map(({ side, angle: { value, low, high, ruled_by } }) => fill(this.say.reach[ruled_by], {
      side: this.words.sides[side], value: signed(value), sem, low: signed(low), high: signed(high),
    }));
    if (difference && angles.left && angles.right) {
      const { limit_95_deg: limit } = difference;
      rows.push(
        sentence(fill(this.say.sum_difference, {
          left: signed(angles.left.value), right: signed(angles.right.value), value: signed(difference.value),
        })),
        fill(this.say.formula[limit.ruled_by], { sem: limit.sem.value, value: limit.value }),
      );
    }
    list(this.piece("sums"), rows);
  }
}

/** The angles that there are, with their sides. @param {Partial<Record<"left" | "right", Angle>>} angles */
function told(angles) {
  return SIDES.flatMap((side) => (angles[side] ? [{ side, angle: angles[side] }] : []));
}

/** @param {number} value */
function signed(value) {
  return value < 0 ? `(\u2212${Math.abs(value)})` : String(value);
}

customElements.define("heel-angle", HeelAngle);
