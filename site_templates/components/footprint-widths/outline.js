// @ts-check
/**
 * The outline of a footprint without toes, drawn so that its three widths stand in the true proportion to each other.
 * A right foot seen from above, big toe at the left of the picture; a left foot is its mirror image.
 */

export const BOX = { width: 120, height: 258 };

/** @typedef {{ball: number, middle: number, heel: number}} Widths */
/** @typedef {[number, number]} Point */
/** @typedef {{name: "A" | "B" | "C", x1: number, x2: number, y: number}} WidthLine */
/** @typedef {{outline: string, toes: {cx: number, cy: number, rx: number, ry: number}[], lines: WidthLine[]}} Drawing */

/** Heights of the three widths in the box, top = toes. */
const ROWS = { ball: 86, middle: 152, heel: 214 };
const BALL_UNITS = 88;
const AXIS = 60;

const TOES = [
  { cx: 26, cy: 32, rx: 13, ry: 17 },
  { cx: 50, cy: 25, rx: 8.5, ry: 11 },
  { cx: 69, cy: 29, rx: 8, ry: 10 },
  { cx: 86, cy: 38, rx: 7.5, ry: 9 },
  { cx: 101, cy: 51, rx: 7, ry: 8.5 },
];

/**
 * @param {"left" | "right"} side
 * @param {Widths} widths in any one unit of length; the ball sets the scale
 * @returns {Drawing}
 */
export function draw(side, widths) {
  const scale = BALL_UNITS / widths.ball;
  const [middle, heel] = [widths.middle * scale, widths.heel * scale];
  const ball = { medial: AXIS - BALL_UNITS / 2, lateral: AXIS + BALL_UNITS / 2 };
  const back = { medial: AXIS + 3 - heel / 2, lateral: AXIS + 3 + heel / 2 };
  const waist = (ball.lateral + back.lateral) / 2 - 2;

  /** @type {Point[]} */
  const front = [[ball.medial, ROWS.ball], [31, 61], [56, 50], [86, 61], [ball.lateral, ROWS.ball]];
  /** @type {Point[]} */
  const rear = [
    [back.lateral, ROWS.heel], [AXIS + 3 + heel * 0.36, 240], [AXIS + 3, 251], [AXIS + 3 - heel * 0.36, 240],
    [back.medial, ROWS.heel],
  ];
  /** @type {Point[][]} */
  const loops = middle > 0
    ? [[...front, [waist, ROWS.middle], ...rear, [waist - middle, ROWS.middle]]]
    : [
      [...front, [90, 114], [58, 126], [28, 114]],
      [...rear, [AXIS + 3 - heel * 0.36, 189], [AXIS + 3, 179], [AXIS + 3 + heel * 0.36, 189]],
    ];

  /** @type {WidthLine[]} */
  const lines = [
    { name: "A", x1: ball.medial, x2: ball.lateral, y: ROWS.ball },
    { name: "B", x1: waist - middle, x2: waist, y: ROWS.middle },
    { name: "C", x1: back.medial, x2: back.lateral, y: ROWS.heel },
  ];
  const turn = side === "left" ? (/** @type {number} */ x) => BOX.width - x : (/** @type {number} */ x) => x;
  return {
    outline: loops.map((loop) => smooth(loop.map(([x, y]) => [turn(x), y]))).join(""),
    toes: TOES.map((toe) => ({ ...toe, cx: turn(toe.cx) })),
    lines: lines.map((line) => {
      const ends = [turn(line.x1), turn(line.x2)].sort((a, b) => a - b);
      return { ...line, x1: round(ends[0]), x2: round(ends[1]) };
    }),
  };
}

/**
 * A closed curve through the points (Catmull-Rom, written as cubic Bézier pieces).
 * @param {Point[]} points
 */
function smooth(points) {
  const at = (/** @type {number} */ index) => points[(index + points.length) % points.length];
  const pieces = points.map((point, index) => {
    const [before, next, after] = [at(index - 1), at(index + 1), at(index + 2)];
    const control = [
      point[0] + (next[0] - before[0]) / 6, point[1] + (next[1] - before[1]) / 6,
      next[0] - (after[0] - point[0]) / 6, next[1] - (after[1] - point[1]) / 6,
      next[0], next[1],
    ];
    return `C${control.map(round).join(" ")}`;
  });
  return `M${round(points[0][0])} ${round(points[0][1])}${pieces.join("")}Z`;
}

/** @param {number} value */
function round(value) {
  return Math.round(value * 10) / 10;
}
