// @ts-check
/** What a person may put right in a photograph: corners of the sheet, toe line, axis, edge. The answer follows at once. */

import { fill } from "../../scripts/drawing.js";
import { Handles, thinned } from "./handles.js";

/** @typedef {import("./photo-view.js").Point} Point */
/** @typedef {import("./print-card.js").Print} Print */
/** @typedef {{corners?: Point[], toe_line?: Point[], axis?: Point[], threshold_percent?: number}} Fields  as the calculator names them */
/** @typedef {"corners" | "toe_line" | "axis" | "threshold_percent"} Group */

/** How long after a press the calculators are asked: a key that is held down asks once. */
const PAUSE_MS = 250;
const TOE_POINTS = 5;
/** Where corners wait that nobody has found, in parts of the picture. */
const UNFOUND = /** @type {const} */ ([[0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]]);

export class Adjust {
  /** @type {Fields} */
  fields = {};
  /** @type {Fields[]} */
  #before = [];
  /** @type {Print[]} */
  #prints = [];
  #sheet = "none";
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;

  /**
   * @param {HTMLElement} panel
   * @param {import("./photo-view.js").PhotoView} view
   * @param {any} say
   * @param {(fields: Fields) => void} ask
   */
  constructor(panel, view, say, ask) {
    this.panel = panel;
    this.view = view;
    this.say = say;
    this.ask = ask;
    this.handles = new Handles(view, this.#piece("place"), (points, done) => this.#moved(points, done));
    for (const choice of this.#choices) choice.addEventListener("change", () => this.#show());
    const edge = this.#edge;
    edge.addEventListener("input", () => this.#set({ threshold_percent: Number(edge.value) }));
    this.#piece("undo").addEventListener("click", () => this.#back(this.#before.pop()));
    this.#piece("as-found").addEventListener("click", () => {
      this.#before.push(this.fields);
      this.#back({});
    });
  }

  /** @param {Print[]} prints  what was found; none where nothing was @param {string} sheet */
  open(prints, sheet) {
    this.fields = {};
    this.#before = [];
    this.#prints = prints;
    this.#sheet = sheet;
    const can = this.#can();
    for (const choice of this.#choices) {
      const there = can.includes(/** @type {Group} */ (choice.value));
      /** @type {HTMLElement} */ (choice.closest("label")).hidden = !there;
      choice.checked = choice.value === can[0];
    }
    this.#show();
    this.#choices.find(({ checked }) => checked)?.focus({ preventScroll: true });
  }

  /** @returns {Group[]} */
  #can() {
    const [only] = this.#prints;
    return [
      ...(only && this.#prints.length === 1 ? /** @type {const} */ (["toe_line", "axis"]) : []),
      ...(this.#sheet === "none" ? [] : /** @type {const} */ (["corners"])),
      ...(only ? /** @type {const} */ (["threshold_percent"]) : []),
    ];
  }

  /** A new answer: what no hand has set moves with it. @param {Print[]} prints */
  found(prints) {
    const first = this.#prints.length === 0;
    this.#prints = prints;
    if (first) for (const choice of this.#choices) /** @type {HTMLElement} */ (choice.closest("label")).hidden = !this.#can().includes(/** @type {Group} */ (choice.value));
    this.#show();
  }

  /** Asks at once about what was changed a moment ago. */
  flush() {
    if (this.#pause !== undefined) this.#asks();
  }

  close() {
    clearTimeout(this.#pause);
    this.#pause = undefined;
    this.handles.set([], []);
    this.view.guide([], false);
  }

  /** @returns {HTMLInputElement[]} */
  get #choices() {
    return [...this.#piece("group").querySelectorAll("input")];
  }

  get #edge() {
    return /** @type {HTMLInputElement} */ (this.#piece("edge-share"));
  }

  /** @returns {Group} */
  get #group() {
    return /** @type {Group} */ (this.#choices.find(({ checked }) => checked)?.value ?? "corners");
  }

  #show() {
    const group = this.#group;
    if (group === "corners") this.view.showAll();
    else this.view.near(this.#prints);
    const [points, names] = this.#places(group);
    this.#piece("edge").hidden = group !== "threshold_percent";
    this.#edge.value = String(this.fields.threshold_percent ?? this.#edge.defaultValue);
    this.#piece("hint").textContent = this.say.hints[group === "corners" && this.#sheet === "scale" ? "dots" : group];
    this.handles.set(points, names);
    this.view.guide(points, group === "corners");
    /** @type {HTMLButtonElement} */ (this.#piece("undo")).disabled = this.#before.length === 0;
    /** @type {HTMLButtonElement} */ (this.#piece("as-found")).disabled = Object.keys(this.fields).length === 0;
  }

  /** Where the handles of a group stand, and what each is called. @param {Group} group @returns {[Point[], string[]]} */
  #places(group) {
    const [print] = this.#prints;
    const [width, height] = this.view.size;
    const numbered = (/** @type {string} */ name, /** @type {Point[]} */ points) =>
      /** @type {[Point[], string[]]} */ ([points, [...points.keys()].map((at) => fill(name, { number: at + 1 }))]);
    switch (group) {
      case "corners":
        return numbered(this.say.handles[this.#sheet === "scale" ? "dot" : "corner"], this.fields.corners ?? print?.corners
          ?? UNFOUND.map(([x, y]) => /** @type {Point} */ ([x * width, y * height])));
      case "toe_line":
        return numbered(this.say.handles.toe_line, this.fields.toe_line ?? thinned(print.toe_line, TOE_POINTS).map((at) => this.view.inside(at)));
      case "axis":
        return [this.fields.axis ?? [print.axis.heel, print.axis.second_toe ?? print.lines.axis[1]], [this.say.handles.heel, this.say.handles.second_toe]];
      default:
        return [[], []];
    }
  }

  /** @param {Point[]} points @param {boolean} done */
  #moved(points, done) {
    this.view.guide(points, this.#group === "corners");
    if (done) this.#set({ [this.#group]: points });
  }

  /** @param {Fields} change */
  #set(change) {
    // What follows within a moment belongs to the same step back.
    if (this.#pause === undefined) this.#before.push(this.fields);
    this.fields = { ...this.fields, ...change };
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => this.#asks(), PAUSE_MS);
  }

  /** @param {Fields | undefined} fields */
  #back(fields) {
    if (!fields) return;
    this.fields = fields;
    this.#show();
    this.#asks();
  }

  #asks() {
    clearTimeout(this.#pause);
    this.#pause = undefined;
    this.ask(this.fields);
  }

  /** @param {string} name @returns {HTMLElement} */
  #piece(name) {
    return /** @type {HTMLElement} */ (this.panel.querySelector(`[data-part="${name}"]`));
  }
}
