// @ts-check
/** The drawings of a card as a picture file that needs no page: lines and numbers, nothing of a photograph. */

import { shape } from "../../scripts/drawing.js";
import { handOver } from "../../scripts/hand-over.js";

const STYLE = `
text { font: 12px system-ui, sans-serif; fill: #1f2427; }
path { fill: none; stroke: #1f2427; stroke-width: 1; }
.print-drawing__print { fill: #cfdde2; fill-rule: evenodd; stroke-width: 1.5; }
.print-drawing__toes { stroke-dasharray: 3 2; }
.print-drawing__thirds, .print-drawing__axis { stroke-dasharray: 6 4; }
.print-drawing__width { stroke-width: 2.5; }`;
const ROW = 17;
const HEAD = 24;
const LETTERS = 84; // of a line below the drawings
/** Pixels of the picture in one unit of the drawing. */
const SHARP = 2;

/** Hands the drawings of a card over as a picture. @param {HTMLElement} card @param {string} name */
export async function save(card, name) {
  handOver(await pixels(drawn(card)), name);
}

/** A drawing as a picture that every device can show. @param {SVGSVGElement} svg @returns {Promise<Blob>} */
async function pixels(svg) {
  const { width, height } = svg.viewBox.baseVal;
  svg.setAttribute("width", String(SHARP * width));
  svg.setAttribute("height", String(SHARP * height));
  const image = new Image();
  image.src = `data:image/svg+xml,${encodeURIComponent(new XMLSerializer().serializeToString(svg))}`;
  await image.decode();
  const canvas = Object.assign(document.createElement("canvas"), { width: SHARP * width, height: SHARP * height });
  canvas.getContext("2d")?.drawImage(image, 0, 0);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the drawing could not be written"))), "image/png");
  });
}

/** All of a card in one drawing. @param {HTMLElement} card @returns {SVGSVGElement} */
export function drawn(card) {
  const sides = [...card.querySelectorAll("[data-side]:not([hidden])")];
  const drawings = sides.map((side) => /** @type {SVGSVGElement} */ (side.querySelector("svg.print-drawing")));
  const boxes = drawings.map(({ viewBox }) => viewBox.baseVal);
  const wide = Math.max(560, ...boxes.map((box) => box.width * sides.length));
  const deep = HEAD + Math.max(...boxes.map((box) => box.height));
  const rows = [
    new Date().toLocaleDateString(document.documentElement.lang, { dateStyle: "long" }),
    ...sides.flatMap((side) => [`${said(side, "h4")}. ${said(side, '[data-part="plain"]')}`, [...side.querySelectorAll('[data-part="widths"] li')].map(words).join(" · ")]),
    ...[...card.querySelectorAll('[data-part="difference"]:not([hidden]), .result-card__caution')].map(words),
  ].flatMap(lines);
  const high = deep + ROW * (rows.length + 1);
  const svg = /** @type {SVGSVGElement} */ (shape("svg", { viewBox: `0 0 ${wide} ${high}` }, shape("style", {}, STYLE)));
  svg.append(shape("rect", { width: wide, height: high, fill: "#ffffff" }));
  drawings.forEach((drawing, at) => {
    const middle = ((at + 0.5) * wide) / sides.length;
    const move = `translate(${middle - boxes[at].x - boxes[at].width / 2} ${HEAD - boxes[at].y})`;
    svg.append(shape("text", { x: middle, y: 17, "text-anchor": "middle", "font-weight": 700 }, said(sides[at], "h4")));
    svg.append(shape("g", { transform: move }, ...[...drawing.childNodes].map((node) => node.cloneNode(true))));
  });
  rows.forEach((text, at) => svg.append(shape("text", { x: 10, y: deep + ROW * (at + 1) }, text)));
  return svg;
}

/** What an element says, without the numbers of its sources. @param {Element} element */
function words(element) {
  const plain = /** @type {Element} */ (element.cloneNode(true));
  for (const mark of plain.querySelectorAll("sup")) mark.remove();
  return (plain.textContent ?? "").replace(/\s+([.,])/g, "$1");
}

/** @param {Element} side @param {string} where */
function said(side, where) {
  return side.querySelector(where)?.textContent ?? "";
}

/** A sentence cut into lines between words. @param {string} text */
function lines(text) {
  const found = [""];
  for (const word of text.trim().split(/\s+/)) {
    const last = found[found.length - 1];
    if (last && last.length + word.length >= LETTERS) found.push(word);
    else found[found.length - 1] = last ? `${last} ${word}` : word;
  }
  return found;
}
