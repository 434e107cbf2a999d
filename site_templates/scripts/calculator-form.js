// @ts-check
/**
 * A worksheet that becomes a calculator: reads the fields, asks the worker, says what is going on.
 * A component extends it and shows the answer in its own way.
 */

import { client, clients } from "./calculator-client.js";
import { Failure } from "./calculator-protocol.js";
import { fill } from "./drawing.js";
import { asNumber, control, nameOf, placeOf, read, typed } from "./form-fields.js";

/** @typedef {{value: number, unit: string, low?: number, high?: number}} Quantity */
/** @typedef {{key: string, where: string, low?: Quantity, high?: Quantity}} Refusal */
/** @typedef {{ok: true, result: any} | {ok: false, refusal: Refusal}} Answer */

const PAUSE_MS = 400;

export class CalculatorForm extends HTMLElement {
  /** @type {any} */
  words = {};
  /** @type {import("./calculator-client.js").Client} */
  #client = client;
  #asked = 0;
  #answered = false;
  #wanted = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;

  connectedCallback() {
    this.#client = clients.of(this);
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
    form.addEventListener("focusin", () => this.#client.start().catch(() => {}), { once: true });
    form.addEventListener("input", () => this.changed());
    clear.addEventListener("click", () => {
      this.restart();
      this.arrange();
      this.#forget();
      const first = form.querySelector("[data-field]");
      if (first) control(first)?.focus();
    });
    this.button("retry").addEventListener("click", () => this.#retry());
    this.#client.addEventListener("change", () => this.#showState());
    this.arrange();
    this.#showState();
    this.#client.startWhenIdle();
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

  /** Shows and hides what depends on what was typed. Nothing does, unless a component says so. */
  arrange() {}

  /** Puts the sheet back to how it was before anything was typed. */
  restart() {
    this.form.reset();
  }

  /** Something was typed, chosen, added or taken away. */
  changed() {
    this.#asked += 1; // an answer to what stood here before is no longer wanted
    this.arrange();
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => this.ask(false), PAUSE_MS);
  }

  /** What was typed, as the calculator wants it: numbers where they are numbers, else the text itself, to be refused with its place. */
  input() {
    const perUnit = Number(this.dataset.mmPerUnit ?? 1);
    return read(this.form, ({ dataset: { kind } }, text) => {
      if (kind === "choice" || kind === "word") return text;
      if (kind !== "length") return asNumber(text);
      const unit = this.words.units[this.dataset.unit ?? "mm"].short;
      const number = asNumber(text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text);
      return typeof number === "number" ? number * perUnit : number;
    });
  }

  /** Whether it can be worked out unasked: one side at least is filled in, and none is half filled in. */
  complete() {
    const sides = [...this.querySelectorAll("fieldset[data-group]")].map((side) => this.filled(side));
    return sides.includes("full") && !sides.includes("half");
  }

  /** How far one side is filled in. @param {Element} side @returns {"empty" | "half" | "full"} */
  filled(side) {
    const given = [...side.querySelectorAll("[data-field]:not([data-optional])")].map((field) => typed(field) !== "");
    if (given.every(Boolean)) return "full";
    return given.some(Boolean) ? "half" : "empty";
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
    this.#say(this.#client.state === "ready" ? this.words.calculator.working : "");
    this.#showState();
    try {
      const answer = /** @type {Answer} */ (await this.#client.ask(this.dataset.action ?? "", input));
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
    const sentence = fill(this.#reason(refusal), this.#limits(refusal));
    const place = placeOf(this.form, refusal.where);
    const fault = place?.querySelector(":scope > .field__fault");
    if (!place || !fault) {
      this.#say(sentence, true);
      return;
    }
    fault.textContent = sentence;
    fault.toggleAttribute("hidden", false);
    const typedInto = control(place);
    const invalid = place.hasAttribute("data-field") && place.getAttribute("role") !== "radiogroup" ? typedInto : place;
    if (!place.matches("[data-row], [data-rows]")) invalid?.setAttribute("aria-invalid", "true");
    const folded = place.closest("details");
    if (folded) folded.open = true;
    if (pressed) typedInto?.focus();
    this.#say(`${nameOf(place)}: ${sentence}`, true);
  }

  /** The words of a refusal: what is missing is said by its own name, where a component has one for it. @param {Refusal} refusal */
  #reason({ key, where }) {
    const name = where.split(".").filter((step) => !/^\d+$/.test(step)).pop() ?? "";
    const own = key === "missing" ? this.words.say.missing?.[name] : undefined;
    return own ?? this.words.refusals[key] ?? this.words.refusals.internal;
  }

  /** The limits of a refusal in the unit that the person types in. @param {Refusal} refusal */
  #limits(refusal) {
    const given = refusal.low?.unit ?? "";
    const unit = given === "mm" ? this.dataset.unit ?? given : given;
    const perUnit = given === "mm" ? Number(this.dataset.mmPerUnit ?? 1) : 1;
    const shown = (/** @type {Quantity | undefined} */ limit) => (limit ? Number((limit.value / perUnit).toFixed(2)) : "");
    return { low: shown(refusal.low), high: shown(refusal.high), unit: this.words.units[unit]?.short ?? unit };
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
    else this.#client.start().catch((failure) => this.#fail(failure));
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
    for (const invalid of this.querySelectorAll("[aria-invalid]")) invalid.removeAttribute("aria-invalid");
  }

  #showState() {
    const { state, done, total } = this.#client;
    const bar = /** @type {HTMLProgressElement} */ (this.piece("progress"));
    bar.hidden = state !== "loading";
    if (state === "loading") {
      // Everything is here and Python starts: how long that takes nobody can say.
      if (this.#arrived) bar.removeAttribute("value");
      else bar.value = total ? done / total : 0;
      // Announced once, not at every step; the bar itself carries the share.
      if (total) this.#say(this.#loading());
      this.button("retry").hidden = true;
      return;
    }
    if (this.#onTheWay.includes(this.piece("status").textContent ?? "")) this.#say("");
    // Whoever asked is told by the answer itself.
    if (this.#wanted) return;
    if (state === "failed") this.#fail(this.#client.failure);
    else if (state === "ready" && this.complete() && !this.#answered) this.ask(false);
  }

  get #arrived() {
    const { done, total } = this.#client;
    return total > 0 && done >= total;
  }

  /** What is said while the calculator arrives, and then while it starts. */
  get #onTheWay() {
    const { loading, starting } = this.words.calculator;
    return [fill(loading, { size: Math.max(1, Math.round(this.#client.total / 1e6)) }), starting];
  }

  #loading() {
    return this.#onTheWay[this.#arrived ? 1 : 0];
  }

  /** @param {string} sentence @param {boolean} [isFault] */
  #say(sentence, isFault = false) {
    const status = this.piece("status");
    if (status.textContent !== sentence) status.textContent = sentence;
    status.toggleAttribute("data-fault", isFault);
    this.piece("state").hidden = sentence === "" && this.piece("progress").hidden;
  }
}
