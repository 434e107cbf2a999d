// @ts-check
/** Where somebody is on the photograph page: one step in sight at a time, one sentence about it, and a bar while it works. */

import { fill } from "../../scripts/drawing.js";

/** @typedef {"ask" | "work" | "look" | "adjust" | "refused"} Step */

/** After so long it is said that an older device may need longer. */
const SLOW_MS = 6_000;
/** What takes the focus where the button that had it goes out of sight. @type {Record<string, string>} */
const NEXT = { work: "stop", refused: "another" };

export class Stage {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #slow;
  /** Whether there is a photograph. */
  full = false;

  /**
   * @param {HTMLElement} tool
   * @param {any} words
   * @param {import("../../scripts/calculator-client.js").Client} client
   */
  constructor(tool, words, client) {
    this.tool = tool;
    this.words = words;
    this.client = client;
    client.addEventListener("change", () => this.#state());
  }

  /** @returns {Step} */
  get step() {
    return /** @type {Step} */ (this.tool.dataset.step);
  }

  set step(step) {
    this.tool.dataset.step = step;
    for (const part of /** @type {NodeListOf<HTMLElement>} */ (this.tool.querySelectorAll("[data-in]"))) {
      part.hidden = !(part.dataset.in ?? "").split(" ").includes(step);
    }
    this.piece("view").hidden = !this.full || step === "ask";
    if (NEXT[step]) this.piece(NEXT[step]).focus({ preventScroll: true });
    this.#state();
  }

  /** @param {string} sentence @param {boolean} [isFault] */
  say(sentence, isFault = false) {
    const status = this.piece("status");
    if (status.textContent !== sentence) status.textContent = sentence;
    status.toggleAttribute("data-fault", isFault);
  }

  /** A question to the calculators is on its way. */
  works() {
    this.rests();
    this.say(this.client.state === "ready" ? this.words.say.looking : "");
    this.#slow = setTimeout(() => {
      if (this.client.state === "ready") this.say(this.words.say.slow);
    }, SLOW_MS);
    this.#state();
  }

  rests() {
    clearTimeout(this.#slow);
  }

  #state() {
    const { state, done, total } = this.client;
    const bar = /** @type {HTMLProgressElement} */ (this.piece("progress"));
    const waits = this.step === "work" || this.step === "adjust";
    bar.hidden = !waits || (this.step === "adjust" && state !== "loading");
    if (state !== "loading" || done >= total) bar.removeAttribute("value");
    else bar.value = done / total;
    if (!waits || !this.full) return;
    const { loading, starting } = this.words.calculator;
    if (state === "loading") this.say(total && done >= total ? starting : fill(loading, { size: Math.max(1, Math.round(total / 1e6)) }));
    else if (this.step === "work" && state === "ready") this.say(this.words.say.looking);
  }

  /** @param {string} name */
  piece(name) {
    return /** @type {HTMLElement} */ (this.tool.querySelector(`[data-part="${name}"]`));
  }
}
