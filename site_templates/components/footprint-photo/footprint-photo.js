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
import { Stage } from "./stage.js";

/** @typedef {import("./print-card.js").Print} Print */
/** @typedef {import("./kept-prints.js").Side} Side */
/** @typedef {{key: string, where: string, low?: {value: number}, high?: {value: number}}} Refusal */

const ACTION = "footprint_photo";
/** What may be put right by hand though no print was found. */
const BY_CORNERS = ["no_print", "over_sheet_edge", "sheet_not_possible", "cut_by_edge", "too_faint", "blurred", "print_too_small", "two_candidates"];

class FootprintPhoto extends HTMLElement {
  /** What is made of the element's parts once it stands on the page. @type {ReturnType<FootprintPhoto["parts"]>} */
  on = /** @type {any} */ (undefined);
  /** @type {ImageData | undefined} */
  #image;
  /** What was found in it, as it stands. @type {Print[]} */
  #prints = [];
  /** Counts questions: an answer to an earlier one is no longer wanted. */
  #turn = 0;
  #asking = false;
  /** Whether somebody has done adjusting and waits for the last answer. */
  #leaving = false;
  #sure = false;
  /** @type {(() => void) | undefined} */
  #end;

  connectedCallback() {
    this.on = this.parts();
    this.#listen();
    this.on.client.startWhenIdle();
    this.piece("tool").hidden = false;
    this.on.stage.step = "ask";
    this.#ready();
  }

  parts() {
    const words = this.data("words");
    const told = new Told(words, this.data("digits"));
    const view = new PhotoView(this.piece("view"));
    const client = clients.of(this);
    const tool = this.piece("tool");
    return {
      client, words, told, view, limits: this.data("limits"), question: new Question(tool), stage: new Stage(tool, words, client),
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
    press("another", () => {
      this.#letGo();
      file.click();
    });
    press("swap", () => this.#swap());
    press("change", () => this.#change());
    for (const which of /** @type {const} */ (["left", "right", "both"])) press(`is-${which}`, () => this.#askAs(which));
    press("done", () => this.#done());
    press("retry", () => (this.#image ? void this.#measure(this.on.adjust.fields) : this.#letGo()));
    press("clear", () => this.#clear());
    press("save", async () => {
      const { save } = await import("./saved-drawing.js");
      await save(this.piece("result"), this.on.words.say.file);
      this.piece("saved").textContent = this.on.words.say.saved;
    });
    this.piece("tool").addEventListener("focusin", () => this.on.client.start().catch(() => {}), { once: true });
    addEventListener("beforeunload", (event) => {
      if (this.on.kept.count) event.preventDefault(); // the browser asks whether to leave
    });
  }

  /** @param {File} file */
  async #take(file) {
    this.#end ??= begin();
    this.#forget();
    const turn = this.#turn;
    this.on.stage.step = "work";
    this.on.stage.say(this.on.words.say.opening);
    try {
      const image = await pixelsOf(file, this.on.limits);
      if (turn !== this.#turn) return;
      this.#image = image;
      this.on.stage.full = true;
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
    const { stage, client, question, words } = this.on;
    const turn = ++this.#turn;
    if (stage.step !== "adjust") stage.step = "work";
    stage.works();
    this.#asking = true;
    try {
      const { width, height, data } = image;
      const input = { width, height, ...question.fields, ...fields };
      const answer = await client.ask(ACTION, input, { pixels: data.slice().buffer });
      if (turn !== this.#turn) return;
      this.#asking = false;
      stage.say("");
      if (!answer.ok) this.#refused(/** @type {Refusal} */ (answer.refusal));
      else this.#found(/** @type {any} */ (answer.result));
    } catch (thrown) {
      const { reason } = Failure.from(thrown, "start_failed");
      if (turn !== this.#turn || reason === "cancelled") return;
      this.on.adjust.close();
      stage.step = "refused";
      stage.say(words.calculator.failed[reason], true);
      this.#offer(["is-left", "is-right", "is-both", "change"], []);
      this.piece("retry").hidden = reason === "too_old";
    } finally {
      if (turn === this.#turn) stage.rests();
    }
  }

  /** The same photograph, of another foot than was said. @param {"left" | "right" | "both"} which */
  #askAs(which) {
    this.on.question.which = which;
    void this.#measure({});
  }

  /** @param {any} result */
  #found(result) {
    this.#prints = result.prints ?? [result];
    this.on.view.draw(this.#prints);
    if (this.on.stage.step === "adjust" && !this.#leaving) this.on.adjust.found(this.#prints);
    else this.#look();
  }

  /** Shows what was found, and asks whether it is right. */
  #look() {
    if (!this.#prints.length) return this.#letGo();
    const { say, sides } = this.on.words;
    const { told, view, question, stage } = this.on;
    this.#leaving = false;
    this.on.adjust.close();
    view.near(this.#prints, true);
    stage.step = "look";
    const both = this.#prints.length === 2;
    const warnings = [...new Set(this.#prints.flatMap((print) => print.warnings))];
    const other = question.which === "left" ? "is-right" : "is-left";
    this.#offer(["swap", "is-left", "is-right"], both ? ["swap"] : warnings.includes("other_foot") ? [other] : []);
    this.piece("question").textContent = fill(say.question, { foot: both ? say.feet.both : sides[question.which] });
    this.piece("look-for").textContent = `${say.look_for}${this.#prints[0].corners ? ` ${say.look_for_sheet}` : ""}`;
    this.piece("feet").textContent = both ? say.both_found : "";
    this.piece("plain").textContent = this.#prints.map((print) => told.plain(print)).join(" ");
    told.warnings(this.piece("warnings"), warnings);
    this.piece("view").scrollIntoView({ block: "nearest" });
    this.piece("question").focus({ preventScroll: true });
  }

  /** @param {Refusal} refusal */
  #refused({ key, where, low, high }) {
    const { words, stage, question } = this.on;
    const alone = key === "no_print" && where === "feet";
    const sentence = alone ? words.say.one_only : words.refusals[key] ?? words.refusals.internal;
    this.#leaving = false;
    if (stage.step !== "adjust") {
      this.#prints = [];
      this.on.view.draw([]);
      this.on.view.showAll();
      stage.step = "refused";
      this.#offer(["is-left", "is-right", "is-both", "change"], [
        ...(alone ? ["is-left", "is-right"] : []),
        ...(key === "more_prints" && question.which !== "both" ? ["is-both"] : []),
        ...(question.sheet !== "none" && BY_CORNERS.includes(key) && !alone ? ["change"] : []),
      ]);
    }
    stage.say(fill(sentence, { low: low?.value ?? "", high: high?.value ?? "" }), true);
  }

  /** Which of some buttons there are now. @param {string[]} names @param {string[]} wanted */
  #offer(names, wanted) {
    for (const name of names) this.piece(name).hidden = !wanted.includes(name);
  }

  #change() {
    if (!this.#image) return;
    this.on.stage.step = "adjust";
    this.on.adjust.open(this.#prints, this.on.question.sheet);
    this.piece("view").scrollIntoView({ block: "start" });
  }

  /** The last change is answered first: what is kept is what was set. */
  #done() {
    this.on.adjust.flush();
    this.#leaving = this.#asking;
    if (!this.#asking) this.#look();
  }

  #swap() {
    this.#prints.reverse();
    this.piece("feet").textContent = this.on.words.say.swapped;
  }

  #keep() {
    const { kept, question, words } = this.on;
    if (this.#prints.length === 2) SIDES.forEach((side, at) => kept.add(side, { ...this.#prints[at], foot: side }));
    else kept.add(/** @type {Side} */ (question.which), { ...this.#prints[0], foot: question.which });
    void kept.show();
    const both = SIDES.every((side) => kept.prints[side].length);
    this.#letGo(both ? words.say.kept_both : words.say.kept);
    this.#ready();
    this.piece(both ? "result" : "tool").scrollIntoView({ block: both ? "start" : "nearest" });
    if (both) this.piece("result").focus({ preventScroll: true });
  }

  /** Forgets the photograph and waits for another. @param {string} [sentence] @param {boolean} [isFault] */
  #letGo(sentence = "", isFault = false) {
    this.#forget();
    this.on.stage.step = "ask";
    this.on.stage.say(sentence, isFault);
    this.piece("choose").focus({ preventScroll: true });
  }

  #forget() {
    this.#turn += 1;
    this.#image = undefined;
    this.#prints = [];
    this.#asking = this.#leaving = this.#sure = this.on.stage.full = false;
    this.on.stage.rests();
    this.on.view.empty();
    this.on.adjust.close();
    this.piece("retry").hidden = true;
  }

  /** Everything from the beginning; asked for twice, because prints are lost. */
  #clear() {
    const { kept, words, client } = this.on;
    if (kept.count && !this.#sure) {
      this.#sure = true;
      this.on.stage.say(words.say.start_over_sure, true);
      return;
    }
    client.cancel();
    kept.clear();
    void kept.show();
    this.#letGo(words.say.cleared);
    this.#end?.();
    this.#end = undefined;
    this.#ready();
  }

  /** Which foot comes next, and how many prints there are. */
  #ready() {
    const { kept, question, words } = this.on;
    question.ready(kept);
    /** @type {HTMLButtonElement} */ (this.piece("choose")).disabled = !kept.next;
    this.piece("clear").hidden = this.piece("count").hidden = kept.count === 0;
    this.piece("saved").textContent = "";
    const [left, right] = SIDES.map((side) => kept.prints[side].length);
    this.piece("count").textContent = kept.next ? fill(words.say.count, { left, right }) : words.say.full;
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
