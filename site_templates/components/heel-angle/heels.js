// @ts-check
/**
 * Two lower legs and heels seen from behind, the left foot at the left, each heel turned below the ankle by its angle.
 * Coordinates are those of the picture: x to the right, y down. A positive angle is outward, as the calculator has it.
 */

import { picture, shape } from "../../scripts/drawing.js";

/** @typedef {"left" | "right"} Side */
/** @typedef {Partial<Record<Side, {angle: number, label: string, name: string}>>} Heels */

/** Middle of each leg in a picture of both, with room for the toes outside; width and height of one foot's part of it. */
const MIDDLES = { left: 96, right: 256 };
const [WIDTH, HEIGHT] = [176, 250];
/** Where the heel turns: at the ankle. */
const PIVOT = 122;
const GROUND = 206;
/** How far the toes move outward for a degree of outward tilt, or inward for one of inward tilt; up to which tilt. */
const [TOES_OUT, TOES_IN, TOES_MOST] = [2.64, 1.63, 13];

// The right foot, upright, its middle at x = 0; a left foot is its mirror image. The outlines are the drawing kit's
// (heels.py), and a test compares them; the leg reaches beyond the top of the picture.
const LEG = "M-42-73.1c-1.9 10.5-6 25.2-6.8 37.9-.8 12.6 .1 25.4 2.1 38 2 12.7 6.5 25.8 10.1 37.9 3.4 11.3 8.5 23.1 10.9 32.5 1.7 7.1 3.7 13.6 3.2 19-.3 4.2-3.1 7.3-3.8 10.8-.6 3.3-.8 6.1-.3 9.5 .8 4.5 1.3 11.2 5.6 14.9 6.9 6 33.3 11.5 40 8.1 3.5-1.8 3.7-7.2 4.8-10.8 1.1-3.2 2.2-6 2.2-9.5 0-4.4-2.8-9.8-3.5-14.9-.8-5.2-1.4-10.6-.8-16.2 .6-6.2 2.7-12 4.7-19 2.6-8.9 7-19.6 10.2-29.8 3.3-10.6 7.3-21.4 9.5-32.5 2.2-11.4 3.5-23.1 3.4-35.3-.2-13-3.5-29.4-4.8-40.6";
const HEEL = "M-19.6 119.3c-.5 5.2-.2 12.7-1.5 19-1.4 6.4-4.8 12.6-6.8 18.9-2 6.3-4.6 12.6-5.2 19-.5 6.3-.8 14.2 1.9 19 2.5 4.3 7.4 7.3 12.2 9.2 5.4 2 12.7 1.6 19 1.6 6.3 0 13.6 .4 19-1.6 4.8-1.9 9.7-4.9 12.2-9.2 2.7-4.8 2.4-12.7 1.9-19-.6-6.4-3.2-12.7-5.2-19-2-6.3-5.4-12.5-6.8-18.9-1.3-6.3-1-13.8-1.5-19z";
const FOREFOOT = "M55.5 206c.8-1.7 2.5-4 2.8-6.1 .2-2.1-.4-4.5-1.2-6.3-.8-1.8-2.1-3.8-3.6-4.8-1.4-.9-3.5-1.1-5.2-1.1-1.6 0-3.5 .1-4.7 .9-1.3 .8-2.2 2.8-3 3.9 .1-1.9 1.4-5.6 .5-6.9-.9-1.1-3.4-1.3-5-1.3-1.5 0-3.3 .2-4.4 1.1-1.3 .9-2 3.3-2.8 4.6 .1-1.8 1.2-5 .4-6.3-.8-1.1-3.1-1.4-4.7-1.4-1.4 0-3.1 .3-4.2 1.2-1.2 1-1.8 3.6-2.6 5-8.6 2.6-27.9 4.7-31.3 9.4-1.8 2.3 0 5.9 0 8.1 19 0 50 0 69 0z";

/**
 * @param {Heels} heels in degrees; a side that is left out is not drawn
 * @param {string} title text alternative
 */
export function drawHeels(heels, title) {
  const sides = /** @type {Side[]} */ (Object.keys(MIDDLES)).filter((side) => heels[side]);
  const left = heels.left ? 0 : WIDTH;
  const svg = picture("heel-drawing", [left, 0, WIDTH * sides.length, HEIGHT], title);
  if (sides.length === 1) svg.classList.add("heel-drawing--one");
  svg.append(shape("path", { class: "heel-drawing__ground", d: `M${left + 6} ${GROUND + 1}h${WIDTH * sides.length - 12}` }));
  for (const side of sides) svg.append(foot(side, /** @type {Required<Heels>} */ (heels)[side]));
  return svg;
}

/** @param {Side} side @param {{angle: number, label: string, name: string}} heel */
function foot(side, { angle, label, name }) {
  const mirror = side === "left" ? -1 : 1;
  // A turn to the right in the picture's sense moves the bottom of a line to the left.
  const turn = `rotate(${-mirror * angle} 0 ${PIVOT})`;
  // The more a heel tilts outward, the more toes show beside it.
  const held = Math.max(-TOES_MOST, Math.min(TOES_MOST, angle));
  const toes = `scale(${mirror} 1) translate(${held * (held > 0 ? TOES_OUT : TOES_IN)} 0)`;
  const outline = shape("g", { transform: toes }, shape("path", { class: "heel-drawing__far", d: FOREFOOT }));
  // Both edges first, then both surfaces: where leg and heel meet no line is left.
  const skin = ["edge", "skin"].map((layer) => shape(
    "g", { class: `heel-drawing__${layer}` },
    shape("g", { transform: turn }, shape("path", { d: HEEL, transform: `scale(${mirror} 1)` })),
    shape("path", { d: LEG, transform: `scale(${mirror} 1)` }),
  ));
  return shape(
    "g", { transform: `translate(${MIDDLES[side]} 0)` }, outline, ...skin,
    shape("path", { class: "heel-drawing__leg-line", d: `M0 8V${GROUND - 4}` }),
    shape("path", { class: "heel-drawing__heel-line", d: `M0 ${PIVOT}V${GROUND - 4}`, transform: turn }),
    shape("text", { x: 0, y: GROUND + 20, "text-anchor": "middle" }, name),
    shape("text", { x: 0, y: GROUND + 38, "text-anchor": "middle", class: "heel-drawing__value" }, label),
  );
}
