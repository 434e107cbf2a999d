// @ts-check
/** Programme volume: a form of blocks and exercises, and what they add up to, drawn from the calculator's own timeline. */

import { CalculatorForm } from "../../scripts/calculator-form.js";
import { element, fill, list, shape } from "../../scripts/drawing.js";
import { typed } from "../../scripts/form-fields.js";
import { clock, time, told } from "./amounts.js";
import { ProgrammeRows } from "./programme-rows.js";
import { FILLS, drawSession, drillsOf } from "./timeline.js";
import { drawWeeks, tellWeeks } from "./weeks.js";

/** @typedef {import("./amounts.js").Amounts} Amounts */
/** @typedef {import("./timeline.js").Step} Step */
/** @typedef {{session: Amounts & {drills: Record<string, Amounts>}, timeline: Step[], weeks?: {value: number}, blocks: any[]}} Phase */

/** Room around a picture inside the card, the narrowest that can be read, and the width on a sheet of paper, in pixels. */
const [CARD_EDGE, NARROWEST, ON_PAPER] = [48, 270, 700];
/** A change of width that is redrawn: more than a scroll bar that comes and goes. */
const OTHER_WIDTH = 24;

class ProgrammeVolume extends CalculatorForm {
  /** @type {ProgrammeRows | undefined} */
  #rows;
  /** Draws the pictures of the answer that is shown. @type {((width: number) => void) | undefined} */
  #draw;
  #drawnAt = 0;

  connectedCallback() {
    const { say } = this.data("words");
    this.#rows = new ProgrammeRows(this, this.form, say);
    this.#rows.startOver();
    this.form.hidden = false;
    this.toggleAttribute("data-live", true);
    this.form.addEventListener("click", (event) => {
      const button = event.target instanceof Element ? event.target.closest("[data-add], [data-remove]") : null;
      if (!(button instanceof HTMLElement)) return;
      if (button.dataset.add) this.#rows?.add(button);
      else this.#rows?.remove(button);
      this.changed();
    });
    super.connectedCallback();
    // Text in a picture is as large as beside it at one width only.
    new ResizeObserver(() => this.#redraw()).observe(this);
    addEventListener("beforeprint", () => this.#redraw(ON_PAPER));
    addEventListener("afterprint", () => this.#redraw());
  }

  /** @override */
  arrange() {
    this.#rows?.arrange();
  }

  /** @override */
  restart() {
    super.restart();
    this.#rows?.startOver();
  }

  /** Every field in sight that must be filled in is, and each repetition takes some time. @override */
  complete() {
    const inSight = [...this.form.querySelectorAll("[data-field]")].filter((field) => !field.closest("[data-waiting]"));
    const timed = [...this.form.querySelectorAll('[data-of-way="counted"]:not([data-waiting])')].every((counted) =>
      ["up_s", "hold_s", "down_s"].some((key) => {
        const field = counted.querySelector(`[data-field="${key}"]`);
        return field && typed(field) !== "";
      }));
    return timed && inSight.every((field) => field.hasAttribute("data-optional") || typed(field) !== "");
  }

  /** @override @param {any} result @param {Record<string, any>} input */
  show(result, input) {
    /** @type {Phase[]} */
    const phases = result.phases
      ? result.phases.map((/** @type {Phase} */ phase, /** @type {number} */ at) => ({ ...phase, blocks: input.phases[at].blocks }))
      : [{ session: result.session, timeline: result.timeline, blocks: input.blocks }];
    this.toggleAttribute("data-phases", phases.length > 1);
    this.#draw = (width) => {
      this.#drawnAt = width;
      this.piece("sessions").replaceChildren(...phases.map((phase, at) => this.#session(phase, at, phases)));
      this.piece("bars").replaceChildren(element("p", this.say.weeks_axis, "result-card__unit"), drawWeeks(this.words, result.weeks, width));
    };
    this.#draw(this.#width());
    this.piece("weeks").replaceChildren(...tellWeeks(this.words, result.weeks));
    this.piece("total").textContent = fill(this.say.total, {
      sessions: result.total.sessions.value, weeks: result.total.weeks.value, amounts: told(this.words, result.total),
    });
    this.piece("drills").replaceChildren(...phases.flatMap((phase, at) => this.#drills(phase, at)));
    this.piece("steps").replaceChildren(...phases.flatMap((phase, at) => this.#steps(phase, at)));
    this.#doses(new Set(phases.flatMap(({ timeline }) => drillsOf(timeline))));
  }

  get say() {
    return this.words.say;
  }

  /** Width of a picture in this card, in pixels: text in it is then as large as beside it. */
  #width() {
    return Math.max(NARROWEST, this.clientWidth - CARD_EDGE);
  }

  /** The pictures anew, where what they were drawn for is much wider or narrower now. */
  #redraw(width = this.#width()) {
    if (Math.abs(width - this.#drawnAt) >= OTHER_WIDTH) this.#draw?.(width);
  }

  /** The name of a phase, where there are several. @param {Phase} phase @param {number} at */
  #heading({ weeks }, at) {
    if (!weeks) return [];
    const words = weeks.value === 1 ? this.say.phase_weeks_one : this.say.phase_weeks_many;
    return [element("h4", fill(words, { number: at + 1, weeks: weeks.value }))];
  }

  /** One session: a sentence, the picture, and which exercise is which, where that is not as in the phase before. @param {Phase} phase @param {number} at @param {Phase[]} all */
  #session(phase, at, all) {
    const { session, timeline } = phase;
    const before = at > 0 ? drillsOf(all[at - 1].timeline).join() : "";
    const said = this.#plain(session);
    const { left_short: left, right_short: right } = this.words.sides;
    const drawn = drawSession(timeline, { width: this.#drawnAt, title: fill(this.say.timeline_alt, { sentence: said }), left, right });
    const key = element("ol", "", "session-key");
    key.append(...drillsOf(timeline).map((drill, number) => {
      const swatch = shape("svg", { class: "session-key__swatch", viewBox: "0 0 20 20", "aria-hidden": "true" });
      swatch.append(shape("g", { class: `session__work session__work--${number % FILLS}` }, shape("rect", { x: 1, y: 1, width: 18, height: 18 })));
      const row = element("li", "");
      row.append(swatch, ` ${number + 1} ${this.#drill(drill)}`);
      return row;
    }));
    const plan = element("div", "", "print-only");
    const rows = element("ul", "");
    list(rows, phase.blocks.map((block, number) => this.#block(block, number)));
    plan.append(rows);
    const whole = element("div", "", "programme__phase");
    whole.append(...this.#heading(phase, at), element("p", said, "result-card__plain"), plan, drawn);
    if (drillsOf(timeline).join() !== before) whole.append(element("p", this.say.timeline_key, "result-card__unit"), key);
    return whole;
  }

  /** @param {Amounts} session */
  #plain({ duration_s, working_s: { left, right } }) {
    const each = { left: time(this.say, left?.value ?? 0), right: time(this.say, right?.value ?? 0) };
    const words = each.left === each.right ? this.say.plain_alike : this.say.plain_apart;
    return fill(words, { time: time(this.say, duration_s.value), each: each.left, ...each });
  }

  /** A block as it was typed, for the printed page: the form itself does not print. @param {any} block @param {number} at */
  #block(block, at) {
    const parts = block.parts.map((/** @type {any} */ part) => {
      const words = part.seconds ? this.say.plan_timed : this.say.plan_counted;
      const tempo = ["up_s", "hold_s", "down_s"].filter((key) => part[key])
        .map((key) => fill(this.say.plan_field, { field: this.say.fields[key], amount: time(this.say, part[key]) }));
      const load = part.load_kg ? [fill(this.say.plan_field, { field: this.say.fields.load_kg, amount: `${part.load_kg}\u00a0${this.words.units.kg.short}` })] : [];
      const much = fill(words, { drill: this.#drill(part.drill), time: time(this.say, part.seconds ?? 0), repetitions: part.reps ?? 0 });
      return [much, ...tempo, ...load].join(", ");
    });
    const pauses = ["rest_s", "change_s"].filter((key) => block[key])
      .map((key) => fill(this.say.plan_field, { field: this.say.fields[key], amount: time(this.say, block[key]) }));
    const how = fill(this.say.plan_sets, { sets: block.sets, sides: this.say.sides[block.sides] });
    return fill(this.say.plan_block, { number: at + 1, parts: parts.join("; "), how: [how, ...pauses].join("; ") });
  }

  /** @param {Phase} phase @param {number} at */
  #drills(phase, at) {
    const rows = element("ul", "");
    list(rows, Object.entries(phase.session.drills).map(([drill, amounts]) =>
      fill(this.say.drill_row, { drill: this.#drill(drill), amounts: told(this.words, amounts) })));
    return [...this.#heading(phase, at), rows];
  }

  /** @param {Phase} phase @param {number} at */
  #steps(phase, at) {
    const rows = element("ol", "", "programme__steps");
    list(rows, phase.timeline.map(({ kind, side, drill, start_s, duration_s, repetitions }) => {
      const from = clock(start_s.value);
      const lasting = time(this.say, duration_s.value);
      if (!drill) return fill(this.say.pause, { from, what: this.say.kinds[kind], time: lasting });
      const words = repetitions ? this.say.step_counted : this.say.step;
      return fill(words, { from, side: this.say.sides[side], what: this.#drill(drill), time: lasting, repetitions: repetitions?.value ?? 0 });
    }));
    return [...this.#heading(phase, at), rows];
  }

  /** Doses of the exercises in this programme, for reading only. @param {Set<string>} drills */
  #doses(drills) {
    const found = /** @type {HTMLElement[]} */ ([...this.piece("doses").querySelectorAll("[data-drill]")]);
    for (const row of found) row.hidden = !drills.has(row.dataset.drill ?? "");
    const without = [...drills].filter((drill) => !found.some((row) => row.dataset.drill === drill));
    this.piece("no-dose").hidden = without.length === 0;
    this.piece("no-dose").textContent = without.map((drill) => fill(this.say.no_dose, { drill: this.#drill(drill) })).join(" ");
  }

  /** @param {string} key */
  #drill(key) {
    return this.words.drills[key];
  }
}

customElements.define("programme-volume", ProgrammeVolume);
