// @ts-check
/** A session drawn from start to end: one row for each foot, wrapped into lines of equal length like lines of writing. */

import { picture, shape } from "../../scripts/drawing.js";
import { clock } from "./amounts.js";

/** @typedef {import("./amounts.js").Quantity} Quantity */
/** @typedef {{kind: string, side: "left" | "right" | "both" | "none", drill: string | null, start_s: Quantity, duration_s: Quantity, repetitions: Quantity | null}} Step */
/** @typedef {{width: number, title: string, left: string, right: string}} Look */

/** Seconds that one line may hold, and seconds from mark to mark. */
const LINES = [60, 120, 180, 300, 600, 900, 1200, 1800, 3600, 7200];
const MARKS = [15, 30, 60, 120, 300, 600, 1200];
/** Lines that a session is wrapped into at most: more where the picture is narrow. */
const MOST_LINES = { wide: 2, narrow: 4 };
const NARROW = 480;
const ONE_LINE_S = 180;

/** Room at the left for the names of the feet and at the right for the last mark; height of a foot's row, of a line with its marks, and of the gap below it. */
const NAMES = 48;
const END = 24;
const ROW = 22;
const LINE = 2 * ROW + 24;
const GAP = 12;
/** Room that a mark's time needs. */
const TIME = 56;
/** A bar as wide as this has room for its number. */
const NUMBER = 14;
/** Ways to fill a bar: exercises in turn, so that neighbours differ without colour too. */
export const FILLS = 3;

/** Exercises of a session in the order in which they first come. @param {Step[]} steps */
export function drillsOf(steps) {
  return [...new Set(steps.flatMap(({ drill }) => (drill ? [drill] : [])))];
}

/**
 * @param {Step[]} steps
 * @param {Look} look width of the picture in pixels, its text alternative, and names of the feet
 */
export function drawSession(steps, { width, title, left, right }) {
  const last = steps[steps.length - 1];
  const total = last.start_s.value + last.duration_s.value;
  const length = lineFor(total, width);
  const lines = Math.ceil(total / length);
  const drills = drillsOf(steps);
  const perSecond = (width - NAMES - END) / length;
  const mark = MARKS.find((seconds) => seconds * perSecond >= TIME) ?? length;
  const svg = picture("session", [0, 0, width, lines * LINE + (lines - 1) * GAP], title);
  for (let at = 0; at < lines; at += 1) {
    const from = at * length;
    const until = Math.min(from + length, total);
    const line = shape("g", { transform: `translate(${NAMES} ${at * (LINE + GAP)})` });
    line.append(...frame({ from, until, mark, perSecond, left, right }));
    for (const step of steps) {
      const [start, end] = [Math.max(step.start_s.value, from), Math.min(step.start_s.value + step.duration_s.value, until)];
      if (step.drill && start < end) {
        line.append(bar(step, drills.indexOf(step.drill), (start - from) * perSecond, (end - start) * perSecond));
      }
    }
    svg.append(line);
  }
  return svg;
}

/** Length of a line: a short session in one, a longer one in a few. @param {number} total @param {number} width */
function lineFor(total, width) {
  const most = total <= ONE_LINE_S ? 1 : MOST_LINES[width < NARROW ? "narrow" : "wide"];
  return LINES.find((length) => Math.ceil(total / length) <= most) ?? LINES[LINES.length - 1];
}

/** Names of the feet, the two rows and the marks below them. @param {{from: number, until: number, mark: number, perSecond: number, left: string, right: string}} line */
function frame({ from, until, mark, perSecond, left, right }) {
  const end = (until - from) * perSecond;
  const marks = [];
  for (let second = from; second <= until; second += mark) {
    const x = (second - from) * perSecond;
    marks.push(
      shape("path", { class: "session__mark", d: `M${x} ${2 * ROW}v5` }),
      shape("text", { x, y: 2 * ROW + 20, "text-anchor": "middle" }, clock(second)),
    );
  }
  return [
    shape("text", { x: -NAMES, y: ROW - 6 }, left),
    shape("text", { x: -NAMES, y: 2 * ROW - 6 }, right),
    shape("path", { class: "session__row", d: `M0 ${ROW / 2}H${end}M0 ${1.5 * ROW}H${end}` }),
    ...marks,
  ];
}

/** @param {Step} step @param {number} drill @param {number} x @param {number} width */
function bar({ side }, drill, x, width) {
  const [y, height] = side === "both" ? [0, 2 * ROW] : [side === "left" ? 0 : ROW, ROW];
  const made = shape("g", { class: `session__work session__work--${drill % FILLS}` });
  made.append(shape("rect", { x, y: y + 2, width, height: height - 4 }));
  if (width >= NUMBER) made.append(shape("text", { x: x + width / 2, y: y + height / 2 + 6, "text-anchor": "middle" }, String(drill + 1)));
  return made;
}
