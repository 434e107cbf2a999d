// @ts-check
/** Phases, blocks and exercises of the form: rows that buttons add and take away, each with names and numbers of its own. */

import { fill } from "../../scripts/drawing.js";
import { control, pathOf, typed } from "../../scripts/form-fields.js";

/** @typedef {"phases" | "blocks" | "parts"} Kind */

/** What a new row of each kind starts with. @type {Record<Kind, Kind | undefined>} */
const INSIDE = { phases: "blocks", blocks: "parts", parts: undefined };

export class ProgrammeRows {
  #root;
  #form;
  #say;

  /**
   * @param {HTMLElement} root holds the form and a template for each kind of row
   * @param {HTMLFormElement} form
   * @param {any} say
   */
  constructor(root, form, say) {
    this.#root = root;
    this.#form = form;
    this.#say = say;
  }

  /** One phase with one block of one exercise. */
  startOver() {
    const phases = this.#lists(this.#form, "phases")[0];
    for (const row of rowsOf(phases)) row.remove();
    phases.append(this.#fresh("phases"));
  }

  /**
   * Adds a row at the end of the list that a button belongs to, and goes to its first field. A phase starts as a copy.
   * @param {HTMLElement} button
   */
  add(button) {
    const kind = /** @type {Kind} */ (button.dataset.add);
    const within = button.closest("[data-row]") ?? this.#form;
    const list = this.#lists(within, kind)[0];
    const last = rowsOf(list).pop();
    const row = kind === "phases" && last ? copyOf(last) : this.#fresh(kind);
    list.append(row);
    focusFirst(row);
  }

  /** Takes the row of a button away, and goes to the row before it. @param {HTMLElement} button */
  remove(button) {
    const row = /** @type {HTMLElement} */ (button.closest("[data-row]"));
    const next = row.nextElementSibling ?? row.previousElementSibling;
    row.remove();
    if (next) focusFirst(next);
  }

  /** Gives every row its number and every field a name of its own, and shows what goes with what was chosen. */
  arrange() {
    const phases = this.#lists(this.#form, "phases")[0];
    // One phase alone is no phase: its blocks and weeks are the programme's own.
    const numbered = rowsOf(phases).length > 1;
    phases.dataset.rows = numbered ? "phases" : "";
    for (const list of this.#lists(this.#form)) this.#number(list);
    for (const way of /** @type {NodeListOf<HTMLSelectElement>} */ (this.#form.querySelectorAll("[data-way]"))) showWay(way);
    for (const change of this.#form.querySelectorAll('[data-field="change_s"]')) {
      const sides = change.parentElement?.querySelector('[data-field="sides"]');
      change.toggleAttribute("data-waiting", !!sides && typed(sides) === "both");
    }
    for (const field of this.#form.querySelectorAll("[data-row] .field")) name(field);
  }

  /** @param {Kind} kind @returns {HTMLElement} */
  #fresh(kind) {
    const template = /** @type {HTMLTemplateElement} */ (this.#root.querySelector(`template[data-part="${kind}"]`));
    const row = /** @type {HTMLElement} */ (/** @type {Element} */ (template.content.firstElementChild).cloneNode(true));
    const inside = INSIDE[kind];
    if (inside) this.#lists(row, inside)[0].append(this.#fresh(inside));
    return row;
  }

  /** @param {Element} within @param {Kind} [kind] @returns {HTMLElement[]} */
  #lists(within, kind) {
    return [...within.querySelectorAll(kind ? `[data-list="${kind}"]` : "[data-list]")].filter((list) => list instanceof HTMLElement);
  }

  /** @param {HTMLElement} list */
  #number(list) {
    const kind = /** @type {Kind} */ (list.dataset.list);
    const rows = rowsOf(list);
    // A phase alone, or a block alone with one exercise, is no box around a box.
    const inside = INSIDE[kind];
    const plain = rows.length === 1 && inside !== undefined && (kind === "phases" || rowsOf(this.#lists(rows[0], inside)[0]).length === 1);
    list.classList.toggle("rows--single", plain);
    rows.forEach((row, at) => {
      const legend = row.querySelector("legend");
      if (legend) {
        legend.textContent = fill(this.#say.rows[kind], { number: at + 1 });
        legend.hidden = plain;
      }
      const remove = row.querySelector(`:scope > .row__remove > [data-remove="${kind}"]`);
      remove?.toggleAttribute("hidden", rows.length === 1);
    });
    const add = list.nextElementSibling?.querySelector("[data-add]");
    add?.toggleAttribute("disabled", rows.length >= Number(list.dataset.most));
  }
}

/** @param {Element} list @returns {Element[]} */
export function rowsOf(list) {
  return [...list.children].filter((child) => child.hasAttribute("data-row"));
}

/** A row with everything that was typed into it: what was chosen does not come along by itself. @param {Element} row */
function copyOf(row) {
  const copy = /** @type {HTMLElement} */ (row.cloneNode(true));
  const chosen = row.querySelectorAll("select");
  copy.querySelectorAll("select").forEach((select, at) => {
    select.value = chosen[at].value;
  });
  return copy;
}

/** @param {Element} row */
function focusFirst(row) {
  const field = row.querySelector("[data-field]");
  if (field) control(field)?.focus();
}

/** Fields of the way that is not chosen are out of sight and not sent. @param {HTMLSelectElement} way */
function showWay(way) {
  for (const fields of way.closest("[data-row]")?.querySelectorAll("[data-of-way]") ?? []) {
    fields.toggleAttribute("data-waiting", fields.getAttribute("data-of-way") !== way.value);
  }
}

/** Ties label, control and fault of one field together by names that occur once in the page. @param {Element} field */
function name(field) {
  const found = control(field);
  if (!found) return;
  const own = field.hasAttribute("data-field") ? "" : "-way";
  found.id = `${field.closest("programme-volume")?.id || "programme_volume"}-${pathOf(field).replaceAll(".", "-")}${own}`;
  field.querySelector(".field__label")?.setAttribute("for", found.id);
  const fault = field.querySelector(".field__fault");
  if (fault) {
    fault.id = `${found.id}-fault`;
    found.setAttribute("aria-describedby", fault.id);
  }
}
