// @ts-check
/** Shows what this device has kept of the site, and deletes it when it is asked to. */

import { fill } from "../../scripts/drawing.js";
import { forget, truth } from "../../scripts/offline.js";

/** @typedef {import("../../scripts/offline.js").Count} Count */

class KeptHere extends HTMLElement {
  /** @type {Record<string, string>} */
  #words = {};
  #device = truth.of(this);
  #warned = false;

  connectedCallback() {
    this.#words = JSON.parse(this.#part("words").textContent ?? "{}");
    this.#device.addEventListener("change", () => this.#show());
    this.#part("delete").addEventListener("click", () => this.#delete());
    this.#show();
  }

  #show() {
    const { stage, pages, runtime } = this.#device.kept;
    const some = [pages, runtime].some((count) => count && count.whole + count.damaged > 0);
    this.#part("none").textContent = this.#words[stage === "kept" || stage === "none" ? "nothing" : "unknown"] ?? "";
    this.#part("none").hidden = some;
    this.#part("list").hidden = this.#part("delete").hidden = !some;
    if (some) this.#part("status").textContent = "";
    this.#part("pages").textContent = this.#row("pages", pages);
    this.#part("calculators").textContent = this.#row("calculators", runtime);
  }

  /** @param {string} key @param {Count | undefined} count */
  #row(key, count) {
    const { whole, listed, bytes } = count ?? { whole: 0, listed: 0, bytes: 0 };
    const kept = fill(this.#words[whole ? (whole < listed ? "some" : "all") : "no"] ?? "", { whole, listed });
    return fill(this.#words[key] ?? "", { kept, size: (bytes / 1e6).toFixed(1) });
  }

  async #delete() {
    const status = this.#part("status");
    if (!navigator.onLine && !this.#warned) {
      this.#warned = true;
      status.textContent = this.#words.offline ?? "";
      return;
    }
    const deleted = await forget();
    this.#part("none").hidden = true; // said once
    status.textContent = this.#words[deleted ? "deleted" : "failed"] ?? "";
    status.tabIndex = -1;
    status.focus(); // the button has gone
  }

  /** @param {string} name @returns {HTMLElement} */
  #part(name) {
    return /** @type {HTMLElement} */ (this.querySelector(`[data-part="${name}"]`));
  }
}

customElements.define("kept-here", KeptHere);
