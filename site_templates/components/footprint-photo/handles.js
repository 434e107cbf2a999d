// @ts-check
/** Places of a photograph that a person sets: dragged with a finger under a glass, or moved by keys, buttons or numbers. */

import { asNumber } from "../../scripts/form-fields.js";

/** @typedef {import("./photo-view.js").Point} Point */
/** @typedef {import("./photo-view.js").PhotoView} PhotoView */

/** How far one press moves a place, in pixels of the picture; with Shift, and by the buttons beside the picture. */
const STEP = { key: 1, more: 10, button: 3 };
/** @type {Record<string, Point>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export class Handles {
  /** @type {Point[]} */
  #points = [];
  /** @type {HTMLButtonElement[]} */
  #buttons = [];
  /** The place that keys and numbers move. */
  #chosen = 0;
  #dragged = false;
  /** From where a finger took hold to the place itself. @type {Point} */
  #hold = [0, 0];

  /**
   * @param {PhotoView} view
   * @param {HTMLElement} panel  holds the numbers `across` and `down`, the buttons `data-way`, and what is chosen
   * @param {(points: Point[], done: boolean) => void} moved  called while a place moves, and when it has been let go
   */
  constructor(view, panel, moved) {
    this.view = view;
    this.panel = panel;
    this.moved = moved;
    for (const way of /** @type {NodeListOf<HTMLElement>} */ (panel.querySelectorAll("[data-way]"))) {
      way.addEventListener("click", () => this.#step(WAYS[way.dataset.way ?? ""], STEP.button));
    }
    for (const name of ["across", "down"]) this.#number(name).addEventListener("change", () => this.#typed());
  }

  /** The places that can be moved now; none hides all of it. @param {Point[]} points @param {string[]} names */
  set(points, names) {
    const same = points.length === this.#points.length && names.every((name, at) => this.#buttons[at]?.title === name);
    this.#points = points.map(([x, y]) => [x, y]);
    if (!same) {
      for (const button of this.#buttons) button.remove();
      this.#buttons = names.map((name, at) => this.#made(name, at));
      this.view.place.append(...this.#buttons);
      this.#chosen = 0;
    }
    this.panel.hidden = points.length === 0;
    // Under a hand that is moving something the glass stays.
    if (points.length === 0) this.view.lookAt(null);
    else this.#placed(!this.view.glass.hidden);
  }

  /** @param {string} name @param {number} at */
  #made(name, at) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", className: "photo-view__handle", title: name });
    button.setAttribute("aria-label", name);
    button.addEventListener("focus", () => {
      this.#chosen = at;
      this.#placed(button.matches(":focus-visible"));
    });
    button.addEventListener("blur", () => this.view.lookAt(null));
    button.addEventListener("keydown", (event) => {
      const way = WAYS[event.key];
      if (!way) return;
      event.preventDefault();
      this.#step(way, event.shiftKey ? STEP.more : STEP.key);
    });
    button.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      button.focus({ preventScroll: true });
      button.setPointerCapture(event.pointerId);
      const [finger, point] = [this.view.pointed(event), this.#points[at]];
      this.#hold = [point[0] - finger[0], point[1] - finger[1]];
      this.#dragged = false;
    });
    button.addEventListener("pointermove", (event) => {
      if (!button.hasPointerCapture(event.pointerId)) return;
      this.#dragged = true;
      const finger = this.view.pointed(event);
      this.#put(this.view.inside([finger[0] + this.#hold[0], finger[1] + this.#hold[1]]), false);
    });
    for (const end of /** @type {const} */ (["pointerup", "pointercancel"])) {
      button.addEventListener(end, () => {
        if (this.#dragged) this.moved(this.#points, true);
        this.#dragged = false;
        this.view.lookAt(null);
      });
    }
    return button;
  }

  /** @param {Point} way @param {number} step */
  #step([x, y], step) {
    const from = this.#points[this.#chosen];
    this.#put(this.view.inside([from[0] + x * step, from[1] + y * step]), true);
  }

  #typed() {
    const [x, y] = ["across", "down"].map((name) => asNumber(this.#number(name).value.trim()));
    if (typeof x === "number" && typeof y === "number") this.#put(this.view.inside([x, y]), true);
    else this.#placed(false);
  }

  /** @param {Point} point @param {boolean} done */
  #put(point, done) {
    this.#points[this.#chosen] = point;
    this.#placed(true);
    this.moved(this.#points.map(([x, y]) => [x, y]), done);
  }

  /** @param {boolean} closely  whether the chosen place is shown larger */
  #placed(closely) {
    this.#buttons.forEach((button, at) => {
      const [across, down] = this.view.share(this.#points[at]);
      button.style.left = `${100 * across}%`;
      button.style.top = `${100 * down}%`;
      button.setAttribute("aria-pressed", String(at === this.#chosen));
    });
    const [x, y] = this.#points[this.#chosen];
    this.#number("across").value = String(x);
    this.#number("down").value = String(y);
    const name = /** @type {HTMLElement} */ (this.panel.querySelector('[data-part="chosen"]'));
    name.textContent = this.#buttons[this.#chosen].title;
    this.view.lookAt(closely ? this.#points[this.#chosen] : null);
  }

  /** @param {string} name */
  #number(name) {
    return /** @type {HTMLInputElement} */ (this.panel.querySelector(`[data-part="${name}"]`));
  }
}

/**
 * So many points of a line, evenly apart along it, its ends among them: few enough to set by hand.
 * @param {Point[]} line
 * @param {number} count
 * @returns {Point[]}
 */
export function thinned(line, count) {
  const runs = [0];
  for (let at = 1; at < line.length; at += 1) {
    runs.push(runs[at - 1] + Math.hypot(line[at][0] - line[at - 1][0], line[at][1] - line[at - 1][1]));
  }
  const whole = runs[runs.length - 1];
  return [...Array(count).keys()].map((number) => {
    const wanted = (whole * number) / (count - 1);
    const next = Math.max(1, runs.findIndex((run) => run >= wanted));
    const part = (wanted - runs[next - 1]) / (runs[next] - runs[next - 1] || 1);
    const [one, other] = [line[next - 1], line[next]];
    return [one[0] + part * (other[0] - one[0]), one[1] + part * (other[1] - one[1])];
  });
}
