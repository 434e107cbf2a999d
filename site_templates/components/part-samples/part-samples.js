// @ts-check
/**
 * Shows each component of the page in every state of its list of samples. Nothing is calculated here: the answers were
 * asked for when the site was built. This script comes before those of the components, which then find their stand-in.
 */

import { clients } from "../../scripts/calculator-client.js";
import { Failure } from "../../scripts/calculator-protocol.js";
import { control, placeOf } from "../../scripts/form-fields.js";
import { truth } from "../../scripts/offline.js";

/** @typedef {{key: string, title: string, client: "asleep" | "loading" | "starting" | "ready" | "failed", reason: string, typed: [path: string, text: string][], tick: Record<string, string>, press: string[], open: boolean, kept: import("../../scripts/offline.js").Kept, answer?: any}} Sample */

/** Attributes that name an element of the same sample. */
const NAMING = ["id", "for", "name", "aria-labelledby", "aria-describedby"];
const ARRIVED = { done: 2_100_000, total: 5_400_000 };

/** In the calculators' place: it is in the state that its sample says, and stays there. */
class Standin extends EventTarget {
  done = ARRIVED.done;
  total = ARRIVED.total;

  /** @param {Sample} sample */
  constructor({ client, reason, answer }) {
    super();
    this.state = client === "starting" ? "loading" : client;
    if (client === "starting") this.done = this.total;
    this.failure = client === "failed" ? new Failure(/** @type {any} */ (reason)) : undefined;
    this.answer = answer;
  }

  start() {
    return this.failure ? Promise.reject(this.failure) : Promise.resolve();
  }

  startWhenIdle() {}

  cancel() {}

  /** @returns {Promise<any>} */
  ask() {
    if (this.failure) return Promise.reject(this.failure);
    return this.state === "ready" && this.answer ? Promise.resolve(this.answer) : new Promise(() => {});
  }
}

/** @type {WeakMap<Element, Sample>} */
const samples = new WeakMap();
const shared = clients.of;
clients.of = (component) => {
  const sample = samples.get(component);
  return sample ? new Standin(sample) : shared(component);
};

const real = truth.of;
truth.of = (teller) => {
  const sample = samples.get(teller);
  return sample ? Object.assign(new EventTarget(), { kept: sample.kept }) : real(teller);
};

for (const live of document.querySelectorAll('[data-part="live"]')) live.toggleAttribute("hidden", false);

/** @type {[HTMLElement, Sample][]} */
const shown = [];
for (const place of document.querySelectorAll("[data-samples]")) {
  const list = /** @type {Sample[]} */ (JSON.parse(place.querySelector('[data-part="samples"]')?.textContent ?? "[]"));
  const index = place.querySelector('[data-part="index"]');
  const first = /** @type {HTMLElement} */ (place.querySelector(".sample"));
  const plain = first.cloneNode(true);
  list.forEach((sample, at) => {
    const figure = at === 0 ? first : renamed(/** @type {HTMLElement} */ (plain.cloneNode(true)), sample.key);
    figure.id = `${place.getAttribute("data-samples")}.${sample.key}`;
    entitle(figure, sample.title);
    const component = /** @type {HTMLElement} */ (figure.lastElementChild);
    component.id ||= `${figure.id}.sheet`;
    samples.set(component, sample);
    shown.push([component, sample]);
    if (at > 0) place.append(figure);
    const link = document.createElement("a");
    link.href = `#${figure.id}`;
    link.textContent = sample.title;
    const row = document.createElement("li");
    row.append(link);
    index?.append(row);
  });
}

// The components' own scripts come after this one.
addEventListener("DOMContentLoaded", () => {
  for (const [component, sample] of shown) {
    addRows(component, sample.typed.map(([path]) => path));
    for (const [path, text] of sample.typed) type(component, path, text);
    for (const [name, value] of Object.entries(sample.tick)) {
      const choice = component.querySelector(`input[name^="${name}"][value="${value}"]`);
      if (choice instanceof HTMLInputElement) choice.checked = true;
    }
    for (const name of sample.press) pieceOf(component, name).click();
    if (sample.open) for (const folded of component.querySelectorAll("details")) folded.open = true;
  }
  setTimeout(settle);
});

/** Pressing has moved the page and the focus: back to where the visitor wanted to be. */
function settle() {
  if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
  scrollTo(0, 0);
  document.getElementById(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView();
}

/** Its title also names the cards in it, of which there are many on the page. @param {HTMLElement} figure @param {string} title */
function entitle(figure, title) {
  const caption = /** @type {HTMLElement} */ (figure.querySelector("figcaption"));
  caption.textContent = title;
  caption.id = `${figure.id}.title`;
  for (const card of figure.querySelectorAll("section[aria-labelledby]")) {
    card.setAttribute("aria-labelledby", `${caption.id} ${card.getAttribute("aria-labelledby")}`);
  }
}

/** A copy with names of its own. @param {HTMLElement} figure @param {string} key */
function renamed(figure, key) {
  const named = NAMING.map((name) => `[${name}]`).join();
  for (const root of [figure, ...[...figure.querySelectorAll("template")].map(({ content }) => content)]) {
    for (const element of root.querySelectorAll(named)) {
      for (const name of NAMING) {
        const given = element.getAttribute(name);
        if (given) element.setAttribute(name, given.split(" ").map((one) => `${one}.${key}`).join(" "));
      }
    }
  }
  return figure;
}

/** @param {HTMLElement} component @param {string} name */
function pieceOf(component, name) {
  return /** @type {HTMLElement} */ (component.querySelector(`[data-part="${name}"]`));
}

/**
 * Adds the rows in which fields stand, the outer ones first: a list that has one row has another name.
 * @param {HTMLElement} component
 * @param {string[]} paths
 */
function addRows(component, paths) {
  const steps = paths.map((path) => path.split("."));
  const deepest = Math.max(0, ...steps.map(({ length }) => length));
  for (let depth = 1; depth < deepest; depth += 1) {
    for (const path of steps.filter((row) => /^[1-9]\d*$/.test(row[depth] ?? ""))) {
      const list = path.slice(0, depth).join(".");
      if (placeOf(component, `${list}.${path[depth]}`)) continue;
      const rows = placeOf(component, list) ?? component.querySelector(`[data-list="${list}"]`);
      /** @type {HTMLElement | null | undefined} */ (rows?.nextElementSibling?.querySelector("[data-add]"))?.click();
    }
  }
}

/**
 * @param {HTMLElement} component
 * @param {string} path
 * @param {string} text
 */
function type(component, path, text) {
  const steps = path.split(".");
  // An exercise is timed until somebody says that it is counted.
  if (steps[steps.length - 1] === "reps") {
    const way = placeOf(component, steps.slice(0, -1).join("."))?.querySelector("select[data-way]");
    if (way instanceof HTMLSelectElement) set(way, "counted");
  }
  const place = placeOf(component, path);
  if (!place) throw new Error(`no field ${path} in ${component.id}`);
  const choice = place.querySelector(`input[type="radio"][value="${text}"]`);
  if (choice instanceof HTMLInputElement) choice.checked = true;
  const field = choice ?? control(place);
  if (field) set(/** @type {HTMLInputElement} */ (field), text);
}

/** @param {HTMLInputElement | HTMLSelectElement} field @param {string} text */
function set(field, text) {
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
