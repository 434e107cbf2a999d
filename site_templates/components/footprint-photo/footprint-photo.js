// @ts-check
/** Footprints from photographs: one is chosen, looked at, put right by hand where it must be, kept as lines, let go of. */

import { clients } from "../../scripts/calculator-client.js";
import { Failure } from "../../scripts/calculator-protocol.js";
import { fill } from "../../scripts/drawing.js";
import { begin } from "../../scripts/in-use.js";
import { Adjust } from "./adjust.js";
import { KeptPrints, SIDES } from "./kept-prints.js";
import { FileRefused, pixelsOf } from "./photo-file.js";
import { PhotoView } from "./photo-view.js";
import { Told } from "./print-card.js";
import { Question } from "./question.js";

/** @typedef {import("./print-card.js").Print} Print */
/** @typedef {{key: string, where: string, low?: {value: number}, high?: {value: number}}} Refusal */
/** @typedef {"ask" | "work" | "look" | "adjust" | "refused"} Step */

const ACTION = "footprint_photo";
/** What takes the focus where the button that had it goes out of sight. @type {Record<string, string>} */
const NEXT = { work: "stop", refused: "another" };
/** After so long it is said that an older device may need longer. */
const SLOW_MS = 6_000;
/** What may be put right by hand though no print was found. */
const BY_CORNERS = ["no_print", "over_sheet_edge", "sheet_not_possible", "cut_by_edge", "too_faint", "blurred", "print_too_small", "two_candidates"];

class FootprintPhoto extends HTMLElement {
  /** What is made of the element's parts once it stands on the page. @type {ReturnType<FootprintPhoto["parts"]>} */
  on = /** @type {any} */ (undefined);
  /** @type {ImageData | undefined} */
  #image;
  /** What was found in it, before any hand moved anything, and as it stands. @type {Print[]} */
  #prints = [];
  #turn = 0;
  /** @type {(() => void) | undefined} */
  #end;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #slow;
  #sure = false;

  connectedCallback() {
    this.on = this.parts();
    this.#listen();
    this.on.client.addEventListener("change", () => this.#showState());
    this.on.client.startWhenIdle();
    this.piece("tool").hidden = false;
    this.#step("ask");
    this.#ready();
  }

  parts() {
    const words = this.data("words");
    const told = new Told(words, this.data("digits"));
    const view = new PhotoView(this.piece("view"));
    const client = clients.of(this);
    return {
      client, words, told, view, limits: this.data("limits"), question: new Question(this.piece("tool")),
      kept: new KeptPrints(this.piece("result"), told, (action, input) => client.ask(action, input), () => this.#ready()),
      adjust: new Adjust(this.piece("adjust"), view, words.say, (fields) => void this.#measure(fields)),
    };
  }

  #listen() {
    const press = (/** @type {string} */ name, /** @type {() => void} */ act) => this.piece(name).addEventListener("click", act);
    const file = /** @type {HTMLInputElement} */ (this.piece("file"));
    press("choose", () => file.click());
    file.addEventListener("change", () => {
      const [chosen] = file.files ?? [];
      if (chosen) void this.#take(chosen);
      file.value = ""; // the same picture may be chosen again
    });
    press("stop", () => {
      this.on.client.cancel();
      this.#letGo(this.on.words.say.stopped);
    });
    press("keep", () => this.#keep());
    press("another", () => this.#letGo());
    press("swap", () => this.#swap());
    press("change", () => this.#change());
    press("both", () => {
      this.on.question.which = "both";
      void this.#measure({});
    });
    press("done", () => this.#look());
    press("retry", () => (this.#image ? void this.#measure(this.on.adjust.fields) : this.#letGo()));
    press("clear", () => this.#clear());
    press("save", async () => (await import("./saved-drawing.js")).save(this.piece("result"), this.on.words.say.file));
    this.piece("tool").addEventListener("focusin", () => this.on.client.start().catch(() => {}), { once: true });
  }

  /** @param {File} file */
  async #take(file) {
    this.#end ??= begin();
    this.#forget();
    const turn = this.#turn;
    this.#step("work");
    this.#say(this.on.words.say.opening);
    try {
      const image = await pixelsOf(file, this.on.limits);
      if (turn !== this.#turn) return;
      this.#image = image;
      this.on.view.show(image);
      await this.#measure({});
    } catch (refused) {
      if (!(refused instanceof FileRefused)) throw refused;
      if (turn === this.#turn) this.#letGo(fill(this.on.words.files[refused.key], { high: refused.high ?? "" }), true);
    }
  }

  /** Asks about the photograph. @param {Record<string, any>} fields  what a hand has set */
  async #measure(fields) {
    const image = this.#image;
    if (!image) return;
    const turn = ++this.#turn;
    const adjusting = this.#at === "adjust";
    if (!adjusting) this.#step("work");
    this.#working();
    try {
      const { width, height, data } = image;
      const input = { width, height, ...this.on.question.fields, ...fields };
      const answer = await this.on.client.ask(ACTION, input, { pixels: data.slice().buffer });
      if (turn !== this.#turn) return;
      this.#say("");
      if (!answer.ok) this.#refused(/** @type {Refusal} */ (answer.refusal), adjusting);
      else this.#found(/** @type {any} */ (answer.result), adjusting);
    } catch (thrown) {
      const { reason } = Failure.from(thrown, "start_failed");
      if (turn !== this.#turn || reason === "cancelled") return;
      this.on.adjust.close();
      this.#step("refused");
      this.#say(this.on.words.calculator.failed[reason], true);
      for (const name of ["both", "change"]) this.piece(name).hidden = true;
      this.piece("retry").hidden = reason === "too_old";
    } finally {
      if (turn === this.#turn) clearTimeout(this.#slow);
    }
  }

  #working() {
    clearTimeout(this.#slow);
    this.#say(this.on.client.state === "ready" ? this.on.words.say.looking : "");
    this.#slow = setTimeout(() => {
      if (this.on.client.state === "ready") this.#say(this.on.words.say.slow);
    }, SLOW_MS);
    this.#showState();
  }

  /** @param {any} result @param {boolean} adjusting */
  #found(result, adjusting) {
    this.#prints = result.prints ?? [result];
    this.on.view.draw(this.#prints);
    if (adjusting) this.on.adjust.found(this.#prints);
    else this.#look();
  }

  /** Shows what was found, and asks whether it is right. */
  #look() {
    if (!this.#prints.length) return this.#letGo();
    this.on.adjust.close();
    this.on.view.near(this.#prints);
    this.#step("look");
    const { say, sides } = this.on.words;
    const feet = this.#prints.map(({ foot }) => foot);
    const both = feet.length === 2;
    this.piece("swap").hidden = !both;
    this.piece("feet").textContent = both ? fill(say.both_found, { left: sides.left, right: sides.right }) : "";
    this.piece("plain").textContent = this.#prints.map((print) => this.on.told.plain(print)).join(" ");
    this.on.told.warnings(this.piece("warnings"), [...new Set(this.#prints.flatMap(({ warnings }) => warnings))]);
    this.piece("view").scrollIntoView({ block: "nearest" });
    this.piece("question").focus({ preventScroll: true });
  }

  /** @param {Refusal} refusal @param {boolean} adjusting */
  #refused({ key, low, high }, adjusting) {
    const sentence = fill(this.on.words.refusals[key] ?? this.on.words.refusals.internal, { low: low?.value ?? "", high: high?.value ?? "" });
    if (!adjusting) {
      this.#prints = [];
      this.on.view.draw([]);
      this.#step("refused");
    }
    this.#say(sentence, true);
    if (adjusting) return;
    this.piece("both").hidden = key !== "more_prints" || this.on.question.which === "both";
    this.piece("change").hidden = this.on.question.sheet === "none" || !BY_CORNERS.includes(key);
  }

  #change() {
    if (!this.#image) return;
    this.#step("adjust");
    this.on.adjust.open(this.#prints, this.on.question.sheet);
  }

  #swap() {
    this.#prints.reverse();
    this.piece("feet").textContent = this.on.words.say.swapped;
  }

  #keep() {
    if (this.#prints.length === 2) SIDES.forEach((side, at) => this.on.kept.add(side, { ...this.#prints[at], foot: side }));
    else this.on.kept.add(/** @type {"left" | "right"} */ (this.on.question.which), this.#prints[0]);
    void this.on.kept.show();
    this.#letGo(this.on.words.say.kept);
    this.#ready();
    this.piece("tool").scrollIntoView({ block: "nearest" });
  }

  /** Forgets the photograph and waits for another. @param {string} [sentence] @param {boolean} [isFault] */
  #letGo(sentence = "", isFault = false) {
    this.#forget();
    this.#step("ask");
    this.#say(sentence, isFault);
    this.piece("choose").focus({ preventScroll: true });
  }

  #forget() {
    this.#turn += 1;
    this.#image = undefined;
    this.#prints = [];
    clearTimeout(this.#slow);
    this.on.view.empty();
    this.on.adjust.close();
    this.piece("retry").hidden = true;
  }

  /** Everything from the beginning; asked for twice, because prints are lost. */
  #clear() {
    if (this.on.kept.count && !this.#sure) {
      this.#sure = true;
      this.#say(this.on.words.say.start_over_sure, true);
      return;
    }
    this.on.client.cancel();
    this.on.kept.clear();
    void this.on.kept.show();
    this.#letGo(this.on.words.say.cleared);
    this.#end?.();
    this.#end = undefined;
    this.#ready();
  }

  /** Which foot comes next, and how many prints there are. */
  #ready() {
    const { kept, question } = this.on;
    question.ready(kept);
    /** @type {HTMLButtonElement} */ (this.piece("choose")).disabled = !kept.next;
    this.piece("clear").hidden = kept.count === 0;
    const [left, right] = SIDES.map((side) => kept.prints[side].length);
    this.piece("count").textContent = kept.next ? fill(this.on.words.say.count, { left, right }) : this.on.words.say.full;
    this.piece("count").hidden = kept.count === 0;
  }

  /** @returns {Step} */
  get #at() {
    return /** @type {Step} */ (this.piece("tool").dataset.step);
  }

  /** @param {Step} step */
  #step(step) {
    this.#sure = false;
    this.piece("tool").dataset.step = step;
    for (const part of /** @type {NodeListOf<HTMLElement>} */ (this.piece("tool").querySelectorAll("[data-in]"))) {
      part.hidden = !(part.dataset.in ?? "").split(" ").includes(step);
    }
    this.piece("view").hidden = !this.#image || step === "ask";
    if (NEXT[step]) this.piece(NEXT[step]).focus({ preventScroll: true });
    this.#showState();
  }

  #showState() {
    const { state, done, total } = this.on.client;
    const bar = /** @type {HTMLProgressElement} */ (this.piece("progress"));
    const waits = this.#at === "work" || this.#at === "adjust";
    bar.hidden = !waits || (this.#at === "adjust" && state !== "loading");
    if (state !== "loading" || done >= total) bar.removeAttribute("value");
    else bar.value = done / total;
    if (waits && state === "loading" && this.#image) {
      const { loading, starting } = this.on.words.calculator;
      this.#say(total && done >= total ? starting : fill(loading, { size: Math.max(1, Math.round(total / 1e6)) }));
    } else if (this.#at === "work" && state === "ready" && this.#image) this.#say(this.on.words.say.looking);
  }

  /** @param {string} sentence @param {boolean} [isFault] */
  #say(sentence, isFault = false) {
    const status = this.piece("status");
    if (status.textContent !== sentence) status.textContent = sentence;
    status.toggleAttribute("data-fault", isFault);
  }

  /** @param {string} name @returns {any} */
  data(name) {
    return JSON.parse(this.piece(name).textContent ?? "null");
  }

  /** @param {string} name @returns {HTMLElement} */
  piece(name) {
    return /** @type {HTMLElement} */ (this.querySelector(`[data-part="${name}"]`));
  }
}

customElements.define("footprint-photo", FootprintPhoto);
