// @ts-check
/**
 * The fields of a worksheet: where each stands in a calculator's input, what was typed, and which one a refusal means.
 *
 * A field carries `data-field`, a group of them `data-group` (empty: the input's own top level), a list `data-rows` and
 * each of its members `data-row`. What stands inside `data-waiting` is out of sight and not part of the input.
 */

/** @typedef {HTMLInputElement | HTMLSelectElement} Control */

/**
 * Where a field or a row stands, as the calculator names it: "left.ball_mm", "blocks.0.parts.1.seconds".
 * @param {Element} element
 */
export function pathOf(element) {
  const steps = [];
  for (let at = /** @type {HTMLElement | null} */ (element); at; at = at.parentElement) {
    const { field, group, rows, row } = at.dataset;
    if (row !== undefined && listOf(at)) steps.unshift(listOf(at), indexOf(at));
    else if (field ?? group) steps.unshift(field ?? group);
    else if (rows !== undefined && at === element) steps.unshift(rows);
  }
  return steps.join(".");
}

/** The name of the list that a row belongs to; a list without a name leaves no trace in a path. @param {HTMLElement} row */
function listOf(row) {
  return /** @type {HTMLElement | null} */ (row.parentElement?.closest("[data-rows]"))?.dataset.rows;
}

/** @param {Element} row */
function indexOf(row) {
  return [...(row.parentElement?.children ?? [])].filter((other) => other.hasAttribute("data-row")).indexOf(row);
}

/**
 * Everything that was typed, as a calculator's input: objects, lists and what `valueOf` makes of each text.
 * @param {Element} root
 * @param {(field: HTMLElement, text: string) => unknown} valueOf
 */
export function read(root, valueOf) {
  /** @type {Record<string, any>} */
  const input = {};
  for (const element of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll("[data-row], [data-field]"))) {
    if (element.closest("[data-waiting]")) continue;
    const steps = pathOf(element).split(".");
    if (element.hasAttribute("data-row")) {
      // A row that nothing was typed into is still a row.
      if (listOf(element)) place(input, steps, {});
      continue;
    }
    const text = typed(element);
    if (text) place(input, steps, valueOf(element, text));
  }
  return input;
}

/** @param {any} into @param {string[]} steps @param {unknown} value */
function place(into, steps, value) {
  steps.slice(0, -1).forEach((step, at) => {
    into = into[step] ??= /^\d+$/.test(steps[at + 1]) ? [] : {};
  });
  into[steps[steps.length - 1]] = value;
}

/** What was typed into a field, or chosen in it. @param {Element} field */
export function typed(field) {
  const chosen = /** @type {Control | null} */ (field.querySelector("input:checked, select, input:not([type=radio])"));
  return chosen?.value.trim() ?? "";
}

/** The control of a field that takes the focus. @param {Element} field @returns {Control | null} */
export function control(field) {
  return field.querySelector("input:checked") ?? field.querySelector("select, input");
}

/**
 * The field that a refusal means, or the row or list where it means more than one field.
 * @param {Element} root
 * @param {string} where
 * @returns {HTMLElement | undefined}
 */
export function placeOf(root, where) {
  const places = /** @type {HTMLElement[]} */ ([...root.querySelectorAll("[data-field], [data-row], [data-rows]")]);
  return places.find((found) => !found.closest("[data-waiting]") && pathOf(found) === where);
}

/** What a person would call a field: the names of what it stands in, and its own. @param {Element} field */
export function nameOf(field) {
  const names = [];
  for (let at = field.parentElement?.closest("fieldset"); at; at = at.parentElement?.closest("fieldset")) {
    const legend = at.querySelector("legend");
    if (legend && !legend.hidden) names.unshift(legend.textContent?.trim() ?? "");
  }
  names.push(field.querySelector(".field__label, legend")?.textContent?.trim() ?? "");
  return [...new Set(names)].filter(Boolean).join(", ");
}

/**
 * A number as people write it, with a point or a comma; any other text as it is, for the calculator to refuse.
 * @param {string} text
 */
export function asNumber(text) {
  return /^-?\d*[.,]?\d+$|^-?\d+[.,]$/.test(text) ? Number(text.replace(",", ".")) : text;
}
