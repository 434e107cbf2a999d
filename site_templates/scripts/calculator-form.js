// @ts-check
/**
 * A worksheet that becomes a calculator: reads the fields, asks the worker, says what is going on.
 * A component extends it and shows the answer in its own way.
 */

import { client } from "./calculator-client.js";
import { Failure } from "./calculator-protocol.js";

/** @typedef {{value: number, unit: string, low?: number, high?: number}} Quantity */
/** @typedef {{key: string, where: string, low?: Quantity, high?: Quantity}} Refusal */
/** @typedef {{ok: true, result: any} | {ok: false, refusal: Refusal}} Answer */

const PAUSE_MS = 400;

export class CalculatorForm extends HTMLElement {
  /** @type {any} */
  words = {};
  #asked = 0;
  #answered = false;
  #wanted = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;

  connectedCallback() {
    this.words = this.data("words");
    const form = this.form;
    const run = this.button("run");
    const clear = this.button("clear");
    run.type = "submit";
    run.hidden = clear.hidden = false;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.ask(true);
    });
    form.addEventListener("focusin", () => client.start().catch(() => {}), { once: true });
    form.addEventListener("input", () => {
      this.#asked += 1; // an answer to what stood here before is no longer wanted
      this.#showWhenZero();
      clearTimeout(this.#pause);
      this.#pause = setTimeout(() => this.ask(false), PAUSE_MS);
    });
    clear.addEventListener("click", () => {
      form.reset();
      this.#showWhenZero();
      this.#forget();
      /** @type {HTMLInputElement | null} */ (form.querySelector("input"))?.focus();
    });
    this.button("retry").addEventListener("click", () => this.#retry());
    client.addEventListener("change", () => this.#showState());
    this.#showWhenZero();
    this.#showState();
    client.startWhenIdle();
    // A browser may bring back what was typed before the page was left.
    if (this.complete()) this.ask(false);
  }

  /** @returns {HTMLFormElement} */
  get form() {
    return /** @type {HTMLFormElement} */ (this.querySelector("form"));
  }

  /** @param {string} name @returns {any} */
  data(name) {
    return JSON.parse(this.piece(name).textContent ?? "null");
  }

  /** @param {string} name @returns {HTMLElement} */
  piece(name) {
    const found = this.querySelector(`[data-part="${name}"]`);
    if (!(found instanceof HTMLElement)) throw new Error(`${this.tagName} has no part ${name}`);
    return found;
  }

  /** @param {string} name @returns {HTMLButtonElement} */
  button(name) {
    return /** @type {HTMLButtonElement} */ (this.piece(name));
  }

  /** What was typed, as the calculator wants it: numbers where they are numbers, else the text itself, to be refused with its place. */
  input() {
    const perUnit = Number(this.dataset.mmPerUnit ?? 1);
    /** @type {Record<string, any>} */
    const input = {};
    for (const field of this.querySelectorAll("[data-field]")) {
      const typed = /** @type {HTMLInputElement} */ (field.querySelector("input"));
      const text = typed.value.trim();
      if (!text || field.hasAttribute("data-waiting")) continue;
      const { field: key = "", kind } = /** @type {HTMLElement} */ (field).dataset;
      const group = field.closest("[data-group]")?.getAttribute("data-group") ?? "";
      const unit = kind === "length" ? this.words.units[this.dataset.unit ?? "mm"].short : "";
      const number = asNumber(unit && text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text);
      const value = kind === "length" && typeof number === "number" ? number * perUnit : number;
      if (group) (input[group] ??= {})[key] = value;
      else input[key] = value;
    }
    return input;
  }

  /** Whether every field that is shown in at least one group is filled in, and no group is half filled in. */
  complete() {
    const groups = [...this.querySelectorAll("fieldset[data-group]")].map((group) =>
      [...group.querySelectorAll("[data-field]:not([data-when-zero])")].map(
        (field) => /** @type {HTMLInputElement} */ (field.querySelector("input")).value.trim() !== "",
      ),
    );
    return groups.some((group) => group.every(Boolean)) && groups.every((group) => group.every(Boolean) || !group.some(Boolean));
  }

  /** @param {boolean} pressed whether the person asked; otherwise it is only worked out when the sheet is complete */
  async ask(pressed) {
    clearTimeout(this.#pause);
    if (!pressed && !this.complete()) {
      if (this.#answered || this.#wanted) this.#forget();
      return;
    }
    const turn = ++this.#asked;
    const input = this.input();
    this.#wanted = true;
    this.#say(client.state === "ready" ? this.words.calculator.working : "");
    this.#showState();
    try {
      const answer = /** @type {Answer} */ (await client.ask(this.dataset.action ?? "", input));
      if (turn === this.#asked) this.#answer(answer, input, pressed);
    } catch (failure) {
      if (turn === this.#asked) this.#fail(failure);
    }
  }

  /**
   * Shows a result. A component fills its card here.
   * @param {any} result
   * @param {Record<string, any>} input
   */
  show(result, input) {
    throw new Error(`${this.tagName} shows no result: ${Object.keys(result)} for ${Object.keys(input)}`);
  }

  /** @param {Answer} answer @param {Record<string, any>} input @param {boolean} pressed */
  #answer(answer, input, pressed) {
    this.#wanted = false;
    this.#clearFaults();
    const card = this.piece("result");
    if (answer.ok) {
      this.show(answer.result, input);
      this.toggleAttribute("data-answered", true);
      card.hidden = false;
      this.#answered = true;
      this.#say(this.words.calculator.answered);
      if (pressed) card.scrollIntoView({ block: "nearest" });
    } else {
      this.#hideAnswer();
      this.#refuse(answer.refusal, pressed);
    }
  }

  /** @param {Refusal} refusal @param {boolean} pressed */
  #refuse(refusal, pressed) {
    const field = this.#field(refusal.where);
    const nothing = !field && refusal.key === "missing";
    const words = this.words.refusals[nothing ? "missing_foot" : refusal.key] ?? this.words.refusals.internal;
    const sentence = fill(words, this.#limits(refusal));
    if (!field) {
      this.#say(sentence);
      return;
    }
    const typed = /** @type {HTMLInputElement} */ (field.querySelector("input"));
    const fault = /** @type {HTMLElement} */ (field.querySelector(".field__fault"));
    fault.textContent = sentence;
    fault.hidden = false;
    typed.setAttribute("aria-invalid", "true");
    const folded = field.closest("details");
    if (folded) folded.open = true;
    if (pressed) typed.focus();
    this.#say(`${this.#place(field)}: ${sentence}`);
  }

  /** The limits of a refusal in the unit that the person types in. @param {Refusal} refusal */
  #limits(refusal) {
    const given = refusal.low?.unit ?? "";
    const unit = given === "mm" ? this.dataset.unit ?? given : given;
    const perUnit = given === "mm" ? Number(this.dataset.mmPerUnit ?? 1) : 1;
    const shown = (/** @type {Quantity | undefined} */ limit) => (limit ? Number((limit.value / perUnit).toFixed(2)) : "");
    return { low: shown(refusal.low), high: shown(refusal.high), unit: this.words.units[unit]?.short ?? unit };
  }

  /** @param {string} where @returns {Element | null} */
  #field(where) {
    const [first, second] = where.split(".");
    const [group, key] = second ? [first, second] : ["", first];
    return this.querySelector(`[data-group="${CSS.escape(group)}"] [data-field="${CSS.escape(key)}"]`);
  }

  /** @param {Element} field */
  #place(field) {
    const side = field.closest("fieldset")?.querySelector("legend")?.textContent ?? "";
    const label = field.querySelector("label")?.textContent ?? "";
    return [side, label.trim()].filter(Boolean).join(", ");
  }

  /** @param {unknown} failure */
  #fail(failure) {
    const reason = failure instanceof Failure ? failure.reason : "start_failed";
    if (reason === "cancelled") return;
    this.#hideAnswer();
    this.#say(this.words.calculator.failed[reason]);
    this.button("retry").hidden = reason === "too_old";
    this.piece("progress").hidden = true;
  }

  #hideAnswer() {
    this.piece("result").hidden = true;
    this.toggleAttribute("data-answered", false);
    this.#answered = false;
  }

  #retry() {
    this.button("retry").hidden = true;
    if (this.#wanted) this.ask(true);
    else client.start().catch((failure) => this.#fail(failure));
  }

  #forget() {
    this.#asked += 1;
    this.#wanted = false;
    this.#hideAnswer();
    this.#clearFaults();
    this.#say("");
    this.#showState();
  }

  #clearFaults() {
    for (const fault of this.querySelectorAll(".field__fault")) {
      fault.textContent = "";
      fault.setAttribute("hidden", "");
    }
    for (const typed of this.querySelectorAll("[aria-invalid]")) typed.removeAttribute("aria-invalid");
  }

  #showWhenZero() {
    for (const field of this.querySelectorAll("[data-when-zero]")) {
      const key = field.getAttribute("data-when-zero") ?? "";
      const other = field.closest("[data-group]")?.querySelector(`[data-field="${key}"] input`);
      const value = other instanceof HTMLInputElement ? other.value.trim() : "";
      field.toggleAttribute("data-waiting", value === "" || Number(value.replace(",", ".")) !== 0);
    }
  }

  #showState() {
    const { state, done, total } = client;
    const bar = /** @type {HTMLProgressElement} */ (this.piece("progress"));
    bar.hidden = state !== "loading";
    if (state === "loading") {
      bar.value = total ? done / total : 0;
      // Announced once, not at every step; the bar itself carries the share.
      if (total) this.#say(this.#loading());
      this.button("retry").hidden = true;
      return;
    }
    if (this.piece("status").textContent === this.#loading()) this.#say("");
    // Whoever asked is told by the answer itself.
    if (this.#wanted) return;
    if (state === "failed") this.#fail(client.failure);
    else if (state === "ready" && this.complete() && !this.#answered) this.ask(false);
  }

  #loading() {
    return fill(this.words.calculator.loading, { size: Math.max(1, Math.round(client.total / 1e6)) });
  }

  /** @param {string} sentence */
  #say(sentence) {
    const status = this.piece("status");
    if (status.textContent !== sentence) status.textContent = sentence;
    this.piece("state").hidden = sentence === "" && this.piece("progress").hidden;
  }
}

/**
 * A number as people write it, with a point or a comma; any other text as it is, for the calculator to refuse.
 * @param {string} text
 */
function asNumber(text) {
  return /^-?\d*[.,]?\d+$|^-?\d+[.,]$/.test(text) ? Number(text.replace(",", ".")) : text;
}

/**
 * A sentence with its named gaps filled.
 * @param {string} sentence
 * @param {Record<string, string | number>} values
 */
export function fill(sentence, values) {
  return sentence.replace(/\{(\w+)\}/g, (gap, name) => (name in values ? String(values[name]) : gap));
}
