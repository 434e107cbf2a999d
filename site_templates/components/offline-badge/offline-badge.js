// @ts-check
/** Says what works on this device without a connection, and keeps the rest when it is asked to. */

import { fill } from "../../scripts/drawing.js";
import { keepCalculators, truth, tryAgain } from "../../scripts/offline.js";

/** @typedef {import("../../scripts/offline.js").Kept} Kept */

class OfflineBadge extends HTMLElement {
  /** @type {any} */
  #words = {};
  #device = truth.of(this);

  connectedCallback() {
    this.#words = JSON.parse(this.#part("words").textContent ?? "{}");
    this.#device.addEventListener("change", () => this.#show());
    this.#part("keep").addEventListener("click", () => this.#keep());
    this.#show();
  }

  #show() {
    const { kept } = this.#device;
    const { stage, pages, runtime, keeping, reason } = kept;
    const says = this.#part("says");
    const words = [this.#words[keyOf(kept)]];
    if (reason) words.push(this.#words.failed[reason]);
    else if (stage !== "none" && this.hasAttribute("data-staff")) words.push(this.#words.staff);
    const text = fill(words.join(" "), {
      whole: String(pages?.whole ?? 0),
      listed: String(pages?.listed ?? 0),
      size: megabytes(runtime?.bytes ?? 0),
    });
    if (says.textContent !== text) says.textContent = text; // said once, and not at each step of the way
    says.hidden = false;
    this.dataset.kept = amountOf(kept);
    const progress = /** @type {HTMLProgressElement} */ (this.#part("progress"));
    progress.hidden = !keeping;
    if (keeping) progress.value = keeping.done / keeping.total;
    const button = this.#part("keep");
    button.hidden = Boolean(keeping) || !(stage === "none" || stage === "unknown" || (pages && this.dataset.kept !== "all")) || /^(unsupported|blocked)$/.test(reason ?? "");
    const offer = this.#words[reason ? (runtime ? "again_size" : "again") : runtime ? "keep" : "keep_all"];
    button.textContent = fill(offer, { size: megabytes(runtime?.bytes ?? 0) });
  }

  async #keep() {
    const says = this.#part("says");
    // From now on somebody listens; before, it would have spoken on every page. The button goes, so the focus moves here.
    says.setAttribute("role", "status");
    says.tabIndex = -1;
    says.focus();
    const { stage, pages } = this.#device.kept;
    if (stage === "unknown" || (stage === "kept" && pages && pages.whole < pages.listed)) await tryAgain();
    await keepCalculators();
  }

  /** @param {string} name @returns {HTMLElement} */
  #part(name) {
    return /** @type {HTMLElement} */ (this.querySelector(`[data-part="${name}"]`));
  }
}

/** The words for what is kept. @param {Kept} kept */
function keyOf({ stage, pages, runtime, keeping }) {
  if (stage !== "kept" || !pages || !runtime) return stage;
  if (keeping) return "keeping";
  if (pages.whole < pages.listed) return pages.whole ? "some" : "none";
  return runtime.whole < runtime.listed ? "pages" : "all";
}

/** @param {Kept} kept @returns {"all" | "some" | "nothing"} */
function amountOf({ pages, runtime }) {
  if (!pages || !runtime || !pages.whole) return "nothing";
  return pages.whole === pages.listed && runtime.whole === runtime.listed ? "all" : "some";
}

/** @param {number} bytes */
function megabytes(bytes) {
  return (bytes / 1e6).toFixed(1);
}

customElements.define("offline-badge", OfflineBadge);
