// @ts-check
/** The form that writes a clinic file: reads its fields, says what is wrong beside them, and hands over the finished text. */

import { fill } from "../../scripts/drawing.js";
import { handOver } from "../../scripts/hand-over.js";
import { fault } from "./faults.js";
import { write } from "./toml.js";

/** @typedef {import("./faults.js").Schema} Schema */
/** @typedef {import("./toml.js").Values} Values */
/** @typedef {import("./toml.js").Table} Table */
/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Control */

const FILE = "clinic.toml";
const NOT_ON_ONE_LINE = /[\p{Cc}\u2028\u2029]+/gu;

class ClinicForm extends HTMLElement {
  /** @type {any} */
  #words;
  /** @type {Schema} */
  #schema = {};
  #rows = 0;

  connectedCallback() {
    this.#words = this.#data("words");
    this.#schema = this.#data("schema");
    const form = /** @type {HTMLFormElement} */ (this.querySelector("form"));
    const button = /** @type {HTMLButtonElement} */ (this.#piece("write"));
    button.type = "submit";
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#write();
    });
    const today = this.#piece("today");
    today.addEventListener("click", () => this.#show(this.#data("values")));
    button.hidden = today.hidden = false;
    for (const list of this.querySelectorAll('[data-kind="tables"], [data-kind="notes"]')) this.#growing(list);
    for (const picker of this.querySelectorAll('[data-part="picker"]')) mirrored(/** @type {HTMLInputElement} */ (picker));
  }

  /** @param {string} name @returns {any} */
  #data(name) {
    return JSON.parse(this.#piece(name).textContent ?? "null");
  }

  /** @param {string} name @returns {HTMLElement} */
  #piece(name) {
    const found = this.querySelector(`[data-part="${name}"]`);
    if (!(found instanceof HTMLElement)) throw new Error(`the clinic form has no part ${name}`);
    return found;
  }

  /** @param {Element} list */
  #growing(list) {
    const button = /** @type {HTMLElement} */ (list.querySelector('[data-part="add"]'));
    button.hidden = false;
    button.addEventListener("click", () => control(this.#add(list)).focus());
    list.addEventListener("click", (event) => {
      const pressed = event.target instanceof Element ? event.target.closest('[data-part="remove"]') : null;
      if (!pressed) return;
      pressed.closest('[data-part="row"]')?.remove();
      button.focus();
    });
  }

  /** One more empty table. @param {Element} list @returns {Element} */
  #add(list) {
    this.#rows += 1;
    const made = /** @type {HTMLTemplateElement} */ (list.querySelector("template")).content.cloneNode(true);
    const row = /** @type {Element} */ (/** @type {DocumentFragment} */ (made).querySelector('[data-part="row"]'));
    for (const element of row.querySelectorAll("[id], [for], [aria-describedby]")) {
      for (const name of ["id", "for", "aria-describedby"]) {
        const given = element.getAttribute(name);
        if (given) element.setAttribute(name, given.replaceAll("NUMBER", String(this.#rows)));
      }
    }
    const rows = /** @type {Element} */ (list.querySelector('[data-part="rows"]'));
    const legend = /** @type {Element} */ (row.querySelector("legend"));
    legend.textContent = (legend.textContent ?? "").replace("NUMBER", String(rows.children.length + 1));
    rows.append(row);
    return row;
  }

  #write() {
    this.#clearFaults();
    const { values, wrong } = this.#read();
    const result = this.#piece("result");
    result.hidden = wrong.length > 0;
    if (wrong.length > 0) {
      this.#say(fill(this.#words[wrong.length === 1 ? "one_fault" : "faults"], { count: wrong.length }), true);
      // The first on the page: the schema has an order of its own.
      /** @type {Control} */ (this.querySelector("[aria-invalid]")).focus();
      return;
    }
    const text = `${this.#words.head.map((/** @type {string} */ row) => `${row}\n`).join("")}${write(values)}`;
    this.#piece("text").textContent = text;
    handOver(new Blob([text], { type: "application/toml" }), FILE);
    this.#say(this.#words.written);
  }

  /** Everything that is filled in, and the fields with which something is wrong. */
  #read() {
    /** @type {Values} */
    const values = {};
    /** @type {Element[]} */
    const wrong = [];
    for (const [name, schema] of Object.entries(this.#schema.properties ?? {})) {
      const needed = (this.#schema.required ?? []).includes(name);
      if (typeof schema.const === "number") values[name] = schema.const;
      const place = this.#place(name);
      if (!place) continue;
      const value = this.#value(place, schema, needed, wrong);
      if (!isEmpty(value)) values[name] = value;
    }
    return { values, wrong };
  }

  /** Where a key of the file's own top level stands in the form. @param {string} name */
  #place(name) {
    return this.querySelector(`form [data-key="${name}"]:not([data-kind="table"] *, [data-part="row"] *)`);
  }

  /** @param {Element} place @param {Schema} schema @param {boolean} needed @param {Element[]} wrong */
  #value(place, schema, needed, wrong) {
    const rows = [...place.querySelectorAll('[data-part="row"]')];
    switch (place.getAttribute("data-kind")) {
      case "table":
        return this.#table(place, schema, wrong);
      case "tables":
        return rows.map((row) => this.#table(row, schema.items ?? {}, wrong, true)).filter((table) => !isEmpty(table));
      case "notes":
        return this.#notes(rows, Object.values(schema.patternProperties ?? {})[0], wrong);
      default: {
        const value = read(place);
        this.#test(place, fault(schema, value, needed), wrong);
        return value;
      }
    }
  }

  /** @param {Element} place @param {Schema} schema @param {Element[]} wrong @param {boolean} [mayBeEmpty] */
  #table(place, schema, wrong, mayBeEmpty = false) {
    /** @type {Table} */
    const table = {};
    const fields = Object.entries(schema.properties ?? {}).map(([name, inner]) => {
      const field = /** @type {Element} */ (place.querySelector(`[data-key="${name}"]`));
      const value = read(field);
      if (!isEmpty(value)) table[name] = value;
      return { name, inner, field, value };
    });
    if (mayBeEmpty && isEmpty(table)) return table;
    for (const { name, inner, field, value } of fields) {
      this.#test(field, fault(inner, value, (schema.required ?? []).includes(name)), wrong);
    }
    return table;
  }

  /** @param {Element[]} rows @param {Schema} schema @param {Element[]} wrong */
  #notes(rows, schema, wrong) {
    /** @type {Table} */
    const notes = {};
    for (const row of rows) {
      const [page, text] = ["page", "text"].map((name) => /** @type {Element} */ (row.querySelector(`[data-key="${name}"]`)));
      const [address, note] = [read(page), read(text)].map(String);
      if (!note) continue;
      this.#test(page, address in notes ? { words: "twice", gaps: {} } : null, wrong);
      this.#test(text, fault(schema, note, true), wrong);
      notes[address] = note;
    }
    return notes;
  }

  /** @param {Element} field @param {import("./faults.js").Fault | null} found @param {Element[]} wrong */
  #test(field, found, wrong) {
    if (!found) return;
    wrong.push(field);
    const told = /** @type {HTMLElement} */ (field.querySelector(".clinic-form__fault"));
    told.textContent = fill(this.#words[found.words], found.gaps);
    told.hidden = false;
    control(field).setAttribute("aria-invalid", "true");
  }

  #clearFaults() {
    for (const told of this.querySelectorAll(".clinic-form__fault")) told.setAttribute("hidden", "");
    for (const typed of this.querySelectorAll("[aria-invalid]")) typed.removeAttribute("aria-invalid");
  }

  /** Fill the form in with the values of a clinic file. @param {Record<string, any>} values */
  #show(values) {
    /** @type {HTMLFormElement} */ (this.querySelector("form")).reset();
    this.#clearFaults();
    for (const row of this.querySelectorAll('[data-part="row"]')) row.remove();
    for (const [name, value] of Object.entries(values)) {
      const place = this.#place(name);
      if (!place) continue;
      switch (place.getAttribute("data-kind")) {
        case "table":
          showTable(place, value);
          break;
        case "tables":
          for (const table of value) showTable(this.#add(place), table);
          break;
        case "notes":
          for (const [page, text] of Object.entries(value)) showTable(this.#add(place), { page, text });
          break;
        default:
          show(place, value);
      }
    }
    this.#say(this.#words.shown);
  }

  /** @param {string} sentence @param {boolean} [isFault] */
  #say(sentence, isFault = false) {
    const status = this.#piece("status");
    status.textContent = sentence;
    status.toggleAttribute("data-fault", isFault);
  }
}

/** What one field holds: a text, or a list of texts. @param {Element} field @returns {string | string[]} */
function read(field) {
  const kind = field.getAttribute("data-kind");
  if (kind === "choices") return [.../** @type {NodeListOf<HTMLInputElement>} */ (field.querySelectorAll("input:checked"))].map((box) => box.value);
  const text = control(field).value;
  if (kind === "lines") return text.split("\n").map(onOneLine).filter(Boolean);
  return kind === "paragraph" ? text.trim() : onOneLine(text);
}

/** @param {Element} field @param {any} value */
function show(field, value) {
  if (field.getAttribute("data-kind") === "choices") {
    for (const box of field.querySelectorAll("input")) box.checked = value.includes(box.value);
    return;
  }
  const typed = control(field);
  typed.value = Array.isArray(value) ? value.join("\n") : value;
  typed.dispatchEvent(new Event("input"));
}

/** @param {Element} place @param {Record<string, any>} table */
function showTable(place, table) {
  for (const [name, value] of Object.entries(table)) {
    const field = place.querySelector(`[data-key="${name}"]`);
    if (field) show(field, value);
  }
}

/** The first thing in a field that can be typed into or ticked. @param {Element} field @returns {Control} */
function control(field) {
  return /** @type {Control} */ (field.querySelector("input, select, textarea"));
}

/** A colour that is picked is typed, and the other way round. @param {HTMLInputElement} picker */
function mirrored(picker) {
  const typed = /** @type {HTMLInputElement} */ (picker.previousElementSibling);
  picker.addEventListener("input", () => {
    typed.value = picker.value;
  });
  typed.addEventListener("input", () => {
    if (/^#[0-9a-f]{6}$/i.test(typed.value.trim())) picker.value = typed.value.trim();
  });
}

/** @param {string} text */
function onOneLine(text) {
  return text.replace(NOT_ON_ONE_LINE, " ").trim();
}

/** @param {string | string[] | object} value */
function isEmpty(value) {
  return (typeof value === "string" || Array.isArray(value) ? value : Object.keys(value)).length === 0;
}

customElements.define("clinic-form", ClinicForm);
