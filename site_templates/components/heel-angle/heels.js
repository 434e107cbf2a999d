// @ts-check
/**
 * Two lower legs and heels seen from behind, the left foot at the left, each heel turned below the ankle by its angle.
 * Coordinates are those of the picture: x to the right, y down. A positive angle is outward, as the calculator has it.
 */

import { picture, shape } from "../../scripts/drawing.js";

/** @typedef {"left" | "right"} Side */
/** @typedef {Partial<Record<Side, {angle: number, label: string, name: string}>>} Heels */

/** Middle of each leg in a picture of both; width and height of one foot's part of it. */
const MIDDLES = { left: 80, right: 240 };
const [WIDTH, HEIGHT] = [160, 250];
/** Where the heel turns: at the ankle. */
const PIVOT = 122;
const GROUND = 206;

// The right foot, upright, its middle at x = 0; a left foot is its mirror image. The leg is open where the heel joins it,
// and reaches beyond the top of the picture.
const LEG = "M-17 125C-19 119-22 116-22 110C-21 104-16 99-17 92C-24 72-37 44-34-8H35C38 44 25 72 18 92C18 99 25 105 25 113C24 118 19 120 17 125";
const HEEL = "M-15 112C-17 128-24 142-25 164C-27 188-22 206 0 206C22 206 27 188 25 164C24 142 17 128 15 112Z";
const FOREFOOT = "M6 206C10 188 26 176 42 180C56 184 60 200 54 206Z";

/**
 * @param {Heels} heels in degrees; a side that is left out is not drawn
 * @param {string} title text alternative
 */
export function drawHeels(heels, title) {
  const sides = /** @type {Side[]} */ (Object.keys(MIDDLES)).filter((side) => heels[side]);
  const left = Math.min(...sides.map((side) => MIDDLES[side])) - WIDTH / 2;
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
  const outline = shape("g", { transform: `scale(${mirror} 1)` }, shape("path", { class: "heel-drawing__far", d: FOREFOOT }));
  const heel = shape("g", { transform: turn }, shape("path", { d: HEEL, transform: `scale(${mirror} 1)` }));
  const leg = shape("path", { d: LEG, transform: `scale(${mirror} 1)` });
  return shape(
    "g", { transform: `translate(${MIDDLES[side]} 0)` }, outline, shape("g", { class: "heel-drawing__skin" }, heel, leg),
    shape("path", { class: "heel-drawing__leg-line", d: `M0 8V${GROUND - 4}` }),
    shape("path", { class: "heel-drawing__heel-line", d: `M0 ${PIVOT}V${GROUND - 4}`, transform: turn }),
    shape("text", { x: 0, y: GROUND + 20, "text-anchor": "middle" }, name),
    shape("text", { x: 0, y: GROUND + 38, "text-anchor": "middle", class: "heel-drawing__value" }, label),
  );
}
