// @ts-check
/** The drawings of a card as a picture file that needs no page: lines and numbers, nothing of a photograph. */

import { shape } from "../../scripts/drawing.js";

const STYLE = `
text { font: 12px system-ui, sans-serif; fill: #1f2427; }
path { fill: none; stroke: #1f2427; stroke-width: 1; }
.print-drawing__print { fill: #cfdde2; fill-rule: evenodd; stroke-width: 1.5; }
.print-drawing__toes { stroke-dasharray: 3 2; }
.print-drawing__thirds, .print-drawing__axis { stroke-dasharray: 6 4; }
.print-drawing__width { stroke-width: 2.5; }`;
const ROW = 17;
const LETTERS = 84; // of a line below the drawings

/**
 * Hands the drawings over as a file. It is made here, and goes to the downloads of this device.
 * @param {HTMLElement} card
 * @param {string} name
 */
export function save(card, name) {
  const address = URL.createObjectURL(new Blob([made(card)], { type: "image/svg+xml" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken it by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** @param {HTMLElement} card */
function made(card) {
  const sides = [...card.querySelectorAll("[data-side]:not([hidden])")];
  const drawings = sides.map((side) => /** @type {SVGSVGElement} */ (side.querySelector("svg.print-drawing")));
  const boxes = drawings.map(({ viewBox }) => viewBox.baseVal);
  const wide = Math.max(520, ...boxes.map((box) => box.width * sides.length));
  const deep = Math.max(...boxes.map((box) => box.height));
  const rows = [
    new Date().toLocaleDateString(document.documentElement.lang, { dateStyle: "long" }),
    ...sides.flatMap((side) => [said(side, "h4"), said(side, '[data-part="plain"]'), ...[...side.querySelectorAll('[data-part="widths"] li')].map((row) => row.textContent ?? "")]),
    ...[...card.querySelectorAll('[data-part="difference"]:not([hidden]), .result-card__caution')].map((part) => part.textContent ?? ""),
  ].flatMap(lines);
  const svg = shape("svg", { viewBox: `0 0 ${wide} ${deep + ROW * (rows.length + 1)}` }, shape("style", {}, STYLE));
  drawings.forEach((drawing, at) => {
    const [left, top] = [(at * wide) / sides.length - boxes[at].x + (wide / sides.length - boxes[at].width) / 2, -boxes[at].y];
    svg.append(shape("g", { transform: `translate(${left} ${top})` }, ...[...drawing.childNodes].map((node) => node.cloneNode(true))));
  });
  rows.forEach((text, at) => svg.append(shape("text", { x: 10, y: deep + ROW * (at + 1) }, text)));
  return new XMLSerializer().serializeToString(svg);
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
