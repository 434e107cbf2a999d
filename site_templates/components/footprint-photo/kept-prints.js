// @ts-check
/** The prints that a person has kept: up to three a foot, shown side by side, and what the feet differ by. */

import { element, fill, list, references } from "../../scripts/drawing.js";
import { drawings, MAIN, mainIndex } from "./print-card.js";

/** @typedef {import("./print-card.js").Print} Print */
/** @typedef {import("./print-card.js").Told} Told */
/** @typedef {"left" | "right"} Side */
/** @typedef {{value: number, unit: string}} Quantity */

export const SIDES = /** @type {const} */ (["left", "right"]);
export const MOST = 3;
/** From how many times the other's length on two prints are asked about: our own line, to catch a wrong sheet. */
const UNLIKE = 1.1;
const NO_SOURCE = "common_practice";

export class KeptPrints {
  /** @type {Record<Side, Print[]>} */
  prints = { left: [], right: [] };
  /** Which print of a foot is shown. @type {Record<Side, number>} */
  #shown = { left: 0, right: 0 };

  /**
   * @param {HTMLElement} card
   * @param {Told} told
   * @param {(action: string, input: any) => Promise<any>} ask
   * @param {() => void} changed  a print was taken away
   */
  constructor(card, told, ask, changed) {
    this.card = card;
    this.told = told;
    this.ask = ask;
    this.changed = changed;
  }

  get count() {
    return this.prints.left.length + this.prints.right.length;
  }

  /** The foot that has fewer prints; the left one of two alike. @returns {Side | undefined} */
  get next() {
    const [left, right] = SIDES.map((side) => this.prints[side].length);
    if (left >= MOST && right >= MOST) return undefined;
    return right < left ? "right" : "left";
  }

  /** @param {Side} side @param {Print} print */
  add(side, print) {
    this.#shown[side] = this.prints[side].push(print) - 1;
  }

  clear() {
    this.prints = { left: [], right: [] };
    this.#shown = { left: 0, right: 0 };
  }

  /** Shows all of it again. */
  async show() {
    this.card.hidden = this.count === 0;
    if (this.count === 0) return;
    const { told } = this;
    const there = SIDES.filter((side) => this.prints[side].length);
    const prints = there.map((side) => this.#of(side));
    const named = (/** @type {(print: Print) => string} */ say, between = ": ") =>
      there.map((side, at) => `${told.words.sides[side]}${between}${say(prints[at])}`);
    const drawn = drawings(prints, named((print) => told.plain(print), ". "));
    for (const side of SIDES) this.#side(side, drawn[there.indexOf(side)]);
    list(this.#piece("sums"), named((print) => told.sum(print)));
    list(this.#piece("causes"), named((print) => told.cause(print)));
    this.#piece("numbers").replaceChildren(told.table(prints, there.map((side) => told.words.sides[`${side}_short`])));
    const long = prints.map(({ lengths }) => lengths?.toeless_mm ?? 0);
    this.#piece("unlike").hidden = !(Math.min(...long) > 0 && Math.max(...long) > UNLIKE * Math.min(...long));
    await this.#compare(there);
  }

  /** @param {Side} side @returns {Print} */
  #of(side) {
    return this.prints[side][this.#shown[side]];
  }

  /** @param {Side} side @param {Node | undefined} drawn */
  #side(side, drawn) {
    const place = /** @type {HTMLElement} */ (this.card.querySelector(`[data-side="${side}"]`));
    const part = (/** @type {string} */ name) => /** @type {HTMLElement} */ (place.querySelector(`[data-part="${name}"]`));
    place.hidden = !drawn;
    if (!drawn) return;
    const print = this.#of(side);
    part("drawing").replaceChildren(drawn);
    part("main").textContent = this.told.main(print);
    part("plain").textContent = this.told.plain(print);
    list(part("widths"), this.told.widths(print));
    this.told.warnings(part("warnings"), print.warnings);
    part("tries").replaceChildren(...this.#tries(side));
  }

  /** A button for each print of a foot, and one that takes the shown one away. @param {Side} side */
  #tries(side) {
    const { say } = this.told;
    const shown = [...this.prints[side].keys()].map((at) => {
      const button = this.#button(fill(say.try, { number: at + 1 }), () => { this.#shown[side] = at; });
      button.setAttribute("aria-pressed", String(at === this.#shown[side]));
      return button;
    });
    const away = this.#button(say.remove, () => {
      this.prints[side].splice(this.#shown[side], 1);
      this.#shown[side] = Math.max(0, this.prints[side].length - 1);
      this.changed();
    });
    away.setAttribute("aria-label", fill(say.remove_of, { foot: this.told.words.sides[side], number: this.#shown[side] + 1 }));
    return [...(shown.length > 1 ? shown : []), away];
  }

  /** @param {string} text @param {() => void} act */
  #button(text, act) {
    const button = /** @type {HTMLButtonElement} */ (element("button", text, "button button--quiet"));
    button.type = "button";
    button.addEventListener("click", () => {
      act();
      void this.show();
    });
    return button;
  }

  /** @param {Side[]} there */
  async #compare(there) {
    const feet = Object.fromEntries(there.map((side) => [side, { now: this.prints[side].map(reading) }]));
    const answer = await this.ask("footprint_comparison", { measure: MAIN, ...feet }).catch(() => null);
    const result = answer?.ok ? answer.result : null;
    this.#difference(result);
    this.#own(result?.own ?? null);
  }

  /** Left against right, and whether measuring alone makes as much. @param {any} result */
  #difference(result) {
    const line = this.#piece("difference");
    const { difference } = result ?? {};
    line.hidden = !difference;
    if (!difference) return;
    const { say } = this.told;
    const { limit_95: limit, larger_than_limit: larger } = difference;
    const text = fill(say.difference, {
      left: this.told.percent(result.left.now.value), right: this.told.percent(result.right.now.value), apart: this.#points(difference),
    });
    line.replaceChildren(text, " ", fill(say.limit[limit.ruled_by], { limit: this.#points(limit) }), ...references(limit.sources.filter((/** @type {string} */ key) => key !== NO_SOURCE)), " ",
      say[larger ? "larger" : "within"], ...(this.count < 2 * MOST ? [" ", say.few] : []));
  }

  /** How far this person's own prints lie apart. @param {any} own */
  #own(own) {
    const line = this.#piece("own");
    line.hidden = !own;
    if (!own) return;
    line.textContent = fill(this.told.say.own, { own: this.#points(own.own), method: this.#points(own.method) });
  }

  /** How far apart, in parts of a hundred. @param {Quantity} one */
  #points({ value }) {
    return this.told.percent(Math.abs(value));
  }

  /** @param {string} name */
  #piece(name) {
    return /** @type {HTMLElement} */ (this.card.querySelector(`[data-part="${name}"]`));
  }
}

/** @param {Print} print */
function reading(print) {
  const { value, low, high } = mainIndex(print);
  return { value, low, high };
}
