// @ts-check
/** A programme week by week: bars with their minutes, and a plain record of what changes. No colour says good or bad. */

import { element, fill, picture, shape } from "../../scripts/drawing.js";
import { MEASURES, amount, ofBoth, told } from "./amounts.js";

/** @typedef {import("./amounts.js").Quantity} Quantity */
/** @template T @typedef {import("./amounts.js").Sides<T>} Sides */
/** @typedef {import("./amounts.js").Amounts} Amounts */
/** @typedef {import("./amounts.js").Words} Words */
/** @typedef {{amount: Quantity, percent: Quantity | null, reason: string | null}} Change */
/** @typedef {Amounts & {week: Quantity, phase: Quantity | null, sessions: Quantity, change: Record<string, Change | Sides<Change> | null> | null, reason: string | null}} Week */

const [TOP, BARS, BOTTOM] = [24, 72, 24];
/** Room that the minutes of one week need. */
const NUMBER = 30;
const WIDEST = 46;

/** Weeks that are alike because they belong together. @param {Week[]} weeks */
export function runsOf(weeks) {
  /** @type {Week[][]} */
  const runs = [];
  for (const week of weeks) {
    const run = runs[runs.length - 1];
    if (run && run[0].phase?.value === week.phase?.value) run.push(week);
    else runs.push([week]);
  }
  return runs;
}

/** @param {Words} words @param {Week[]} weeks @param {number} width of the picture in pixels */
export function drawWeeks({ say }, weeks, width) {
  const minutes = weeks.map(({ duration_s }) => Math.round(duration_s.value / 60));
  const rows = runsOf(weeks).map((run) => fill(say.weeks_row, { weeks: span(say, run), minutes: minutes[weeks.indexOf(run[0])] }));
  const column = Math.min(WIDEST, width / weeks.length);
  const highest = Math.max(...weeks.map(({ duration_s }) => duration_s.value));
  const starts = new Set(runsOf(weeks).map(([first]) => first));
  const every = Math.ceil(NUMBER / column);
  const box = { width: column * weeks.length, height: TOP + BARS + BOTTOM };
  const svg = picture("weeks", [0, 0, box.width, box.height], fill(say.weeks_alt, { rows: rows.join("; ") }));
  svg.setAttribute("width", String(box.width));
  weeks.forEach((week, at) => {
    const height = Math.max(1, (week.duration_s.value / highest) * BARS);
    const x = at * column;
    svg.append(shape("rect", { x: x + column * 0.12, y: TOP + BARS - height, width: column * 0.76, height }));
    const middle = { x: x + column / 2, "text-anchor": "middle" };
    if (every === 1 || starts.has(week)) svg.append(shape("text", { ...middle, y: TOP + BARS - height - 6 }, String(minutes[at])));
    if (at % every === 0) svg.append(shape("text", { ...middle, y: TOP + BARS + 18, class: "weeks__number" }, String(at + 1)));
  });
  return svg;
}

/** @param {Words} words @param {Week[]} weeks */
export function tellWeeks(words, weeks) {
  return runsOf(weeks).map((run) => {
    const [first] = run;
    const row = document.createElement("li");
    const sessions = fill(words.say.plain_days, { sessions: first.sessions.value });
    row.append(
      element("strong", `${span(words.say, run)}:`),
      ` ${sessions}; ${told(words, first)}. `,
      element("span", changes(words, first), "weeks__change"),
    );
    return row;
  });
}

/** @param {any} say @param {Week[]} run */
function span(say, run) {
  const [first, last] = [run[0].week.value, run[run.length - 1].week.value];
  return fill(first === last ? say.run_one : say.run_many, { first, last });
}

/** What differs from the week before, as a plain record. @param {Words} words @param {Week} week */
function changes(words, { week, change, reason }) {
  const { say } = words;
  if (!change) return say[reason ?? "no_earlier_week"];
  const rows = MEASURES.map((name) => ({ name, text: ofBoth(say, change[name], (one) => changed(words, /** @type {Change} */ (one))) }));
  const told_ = rows.filter(({ name, text }) => text && differs(change[name]));
  const before = week.value - 1;
  if (told_.length === 0) return fill(say.unchanged, { before });
  return fill(say.changed, { before, changes: told_.map(({ name, text }) => fill(say.measure, { measure: say.measures[name], amount: text })).join("; ") });
}

/** @param {Change | Sides<Change> | null} found */
function differs(found) {
  if (!found) return false;
  const parts = "left" in found ? [found.left, found.right] : [found];
  return parts.some((part) => part && part.amount.value !== 0);
}

/** @param {Words} words @param {Change} change */
function changed(words, { amount: by, percent, reason }) {
  const signed = `${sign(by.value)}${amount(words, { ...by, value: Math.abs(by.value) })}`;
  if (!percent) return fill(words.say.change_reason, { amount: signed, reason: words.say[reason ?? "nothing_before"] });
  return fill(words.say.change_percent, { amount: signed, percent: `${sign(percent.value)}${Math.abs(percent.value)}` });
}

/** @param {number} value */
function sign(value) {
  return value > 0 ? "+" : value < 0 ? "\u2212" : "";
}
