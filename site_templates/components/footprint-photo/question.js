// @ts-check
/** What is asked before a photograph: which foot it shows, and what of a known size lies in it. */

import { MOST, SIDES } from "./kept-prints.js";

/** @typedef {"left" | "right" | "both"} Which */

export class Question {
  /** @param {HTMLElement} root  holds the choices `which` and `sheet` */
  constructor(root) {
    this.root = root;
  }

  /** @returns {Which} */
  get which() {
    return /** @type {Which} */ (this.#choices.find(({ checked }) => checked)?.value ?? "left");
  }

  set which(which) {
    for (const choice of this.#choices) choice.checked = choice.value === which;
  }

  get sheet() {
    return /** @type {HTMLSelectElement} */ (this.root.querySelector('[data-part="sheet"]')).value;
  }

  /** As the calculator wants it. */
  get fields() {
    return this.which === "both" ? { sheet: this.sheet, feet: 2 } : { sheet: this.sheet, foot: this.which };
  }

  /** Chooses the foot that comes next; no more prints of a foot than are compared. @param {import("./kept-prints.js").KeptPrints} kept */
  ready(kept) {
    const full = SIDES.filter((side) => kept.prints[side].length >= MOST);
    for (const choice of this.#choices) {
      choice.disabled = choice.value === "both" ? full.length > 0 : full.includes(/** @type {"left" | "right"} */ (choice.value));
    }
    // Whoever has both feet in one picture has them in the next as well.
    if (kept.next && (this.which !== "both" || full.length)) this.which = kept.next;
  }

  /** @returns {HTMLInputElement[]} */
  get #choices() {
    return [.../** @type {NodeListOf<HTMLInputElement>} */ (this.root.querySelectorAll('[data-part="which"] input'))];
  }
}
