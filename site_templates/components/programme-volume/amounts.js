// @ts-check
/** Times and other amounts of a programme in words. */

import { fill } from "../../scripts/drawing.js";

/** @typedef {{value: number, unit: string}} Quantity */
/** @template T @typedef {{left: T | null, right: T | null}} Sides */
/** @typedef {{duration_s: Quantity, working_s: Sides<Quantity>, hold_s: Sides<Quantity>, repetitions: Sides<Quantity>, volume_load_kg: Quantity | null}} Amounts */
/** @typedef {{say: any, units: any}} Words */

/** Measures in the order in which they are told. */
export const MEASURES = /** @type {const} */ (["duration_s", "working_s", "hold_s", "repetitions", "volume_load_kg"]);

/**
 * Seconds as hours, minutes and seconds; what is nought is left out.
 * @param {any} say
 * @param {number} seconds
 */
export function time(say, seconds) {
  const whole = Math.floor(seconds / 60);
  const [hours, minutes, rest] = [Math.floor(whole / 60), whole % 60, Number((seconds - 60 * whole).toFixed(3))];
  const said = [
    hours ? fill(say.time.hours, { hours }) : "",
    minutes ? fill(say.time.minutes, { minutes }) : "",
    rest || !whole ? fill(say.time.seconds, { seconds: rest }) : "",
  ];
  return said.filter(Boolean).join(" ");
}

/** A point in a session as a clock shows it: minutes and seconds. @param {number} seconds */
export function clock(seconds) {
  const whole = Math.floor(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** @param {Words} words @param {Quantity} quantity */
export function amount({ say, units }, { value, unit }) {
  if (unit === "seconds") return time(say, value);
  return unit === "repetitions" ? String(value) : `${value}\u00a0${units[unit].short}`;
}

/**
 * What was measured of both feet or of either; both in one word where they are the same. Empty where there is none of it.
 * @template {object} T
 * @param {any} say
 * @param {T | Sides<T> | null} found
 * @param {(one: T) => string} shown
 */
export function ofBoth(say, found, shown) {
  if (!found) return "";
  if (!("left" in found)) return shown(found);
  const { left, right } = /** @type {Sides<T>} */ (found);
  if (!left && !right) return "";
  const said = { left: left ? shown(left) : say.none, right: right ? shown(right) : say.none };
  return said.left === said.right ? fill(say.both_feet, { amount: said.left }) : fill(say.left_right, said);
}

/** Every measure that there is any of, with its name. @param {Words} words @param {Amounts} amounts */
export function told(words, amounts) {
  const rows = MEASURES.map((name) => {
    const found = /** @type {Quantity | Sides<Quantity> | null} */ (amounts[name]);
    return { name, text: ofBoth(words.say, found, (one) => amount(words, one)) };
  });
  return rows.filter(({ text }) => text).map(({ name, text }) => fill(words.say.measure, { measure: words.say.measures[name], amount: text })).join("; ");
}
