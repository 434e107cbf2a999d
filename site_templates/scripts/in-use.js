// @ts-check
/**
 * Whether somebody would lose something if this page were left now: a calculation, a mark or a timer that is under way,
 * or something typed. Other pages of the same site on this device can see it, by a lock that the page holds meanwhile.
 */

const NAME = `treadleaf:${new URL("..", import.meta.url).pathname}:in-use`;
/** The search is no work of anybody's, nor is the size of printed letters. */
const NO_WORK = "[data-md-component=search] *, #large-letters, #__search, #__drawer";

/** What is under way on this page. @type {Set<object>} */
const running = new Set();
let typed = false;
/** Gives the lock back. @type {(() => void) | undefined} */
let release;

/** Fires `change` when this page comes into use or is free again. */
export const inUse = new EventTarget();

/** Something begins that must not be broken off. @returns {() => void} to call when it is over */
export function begin() {
  const step = {};
  running.add(step);
  update();
  return () => {
    if (running.delete(step)) update();
  };
}

/** Why this page should not be left; "" for nothing. @returns {"running" | "typed" | ""} */
export function whyStay() {
  if (running.size) return "running";
  return typed ? "typed" : "";
}

/** Whether another page of this site is in use. Unknown, and so false, where the browser has no locks. */
export async function usedElsewhere() {
  if (!navigator.locks) return false;
  const { held = [] } = await navigator.locks.query();
  return held.filter(({ name }) => name === NAME).length > (release ? 1 : 0);
}

function update() {
  if (!whyStay()) {
    release?.();
    release = undefined;
  } else if (!release && navigator.locks) {
    // Shared: any number of pages may be in use at once.
    void navigator.locks.request(NAME, { mode: "shared" }, () => new Promise((resolve) => (release = () => resolve(undefined))));
  }
  inUse.dispatchEvent(new Event("change"));
}

/** Whether a field holds something else than what the page came with. */
function look() {
  const fields = /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll(":is(input, textarea, select)"));
  const before = typed;
  typed = [...fields].some((field) => !field.matches(NO_WORK) && changed(field));
  if (typed !== before) update();
}

/** @param {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} field */
function changed(field) {
  if (field instanceof HTMLSelectElement) {
    const options = [...field.options];
    const first = options.some((option) => option.defaultSelected) ? undefined : options[0];
    return options.some((option) => option.selected !== (option.defaultSelected || option === first));
  }
  if (field instanceof HTMLInputElement && /^(?:checkbox|radio)$/.test(field.type)) return field.checked !== field.defaultChecked;
  return field.value !== field.defaultValue;
}

for (const kind of ["input", "change"]) addEventListener(kind, look);
addEventListener("reset", () => setTimeout(look)); // fields are put back after the event
addEventListener("load", look); // a browser may bring back what was typed before
look();
