// @ts-check
/** Prints several pages of the site in one go: fetches them, sets them one behind another, and takes them away again. */

import { fill } from "../../scripts/drawing.js";

const PARTS = ".clinic-header, .sheet, .clinic-footer";
const NOT_ON_PAPER = "script, template, noscript, .print-bar, offline-badge";
/** Attributes that name an id of the same page. */
const POINTERS = ["for", "aria-labelledby", "aria-describedby"];

class PrintPack extends HTMLElement {
  /** @type {Record<string, string>} */
  #words = {};

  connectedCallback() {
    this.#words = JSON.parse(this.#part("words").textContent ?? "{}");
    const print = /** @type {HTMLButtonElement} */ (this.#part("print"));
    print.addEventListener("click", () => this.#print(print));
    this.#part("all").addEventListener("click", () => this.#tick(true));
    this.#part("none").addEventListener("click", () => this.#tick(false));
    for (const name of ["print", "all", "none"]) this.#part(name).hidden = false;
    addEventListener("afterprint", remove);
  }

  disconnectedCallback() {
    removeEventListener("afterprint", remove);
  }

  /** @param {HTMLButtonElement} button */
  async #print(button) {
    const chosen = this.#boxes().filter((box) => box.checked);
    if (!chosen.length) {
      this.#say(this.#words.choose ?? "", true);
      return;
    }
    button.disabled = true;
    this.#say(fill(this.#words.loading ?? "", { count: String(chosen.length) }));
    /** @type {HTMLInputElement[]} */
    const missing = [];
    const asked = chosen.map((box) => page(new URL(box.value, document.baseURI)).catch(() => void missing.push(box)));
    const pages = (await Promise.all(asked)).filter((one) => one !== undefined);
    button.disabled = false;
    if (missing.length) {
      const titles = chosen.filter((box) => missing.includes(box)).map((box) => box.parentElement?.textContent?.trim()).join(", ");
      this.#say(fill(this.#words.failed ?? "", { titles }), true);
      return;
    }
    remove();
    await Promise.all(pages.map(({ address, read }) => wear(address, read)));
    const sheets = document.createElement("div");
    sheets.className = "print-pack__sheets";
    sheets.append(...pages.map(({ read }, index) => sheet(read, `sheet-${index}-`)));
    document.body.append(sheets);
    this.#say("");
    print();
  }

  /** @param {boolean} on */
  #tick(on) {
    for (const box of this.#boxes()) box.checked = on;
  }

  /** @param {string} text @param {boolean} [fault] */
  #say(text, fault = false) {
    const status = this.#part("status");
    status.textContent = text;
    status.toggleAttribute("data-fault", fault);
  }

  #boxes() {
    return [.../** @type {NodeListOf<HTMLInputElement>} */ (this.querySelectorAll("fieldset input"))];
  }

  /** @param {string} name @returns {HTMLElement} */
  #part(name) {
    return /** @type {HTMLElement} */ (this.querySelector(`[data-part="${name}"]`));
  }
}

/**
 * One page of the site, read but not run.
 * @param {URL} address
 */
async function page(address) {
  const response = await fetch(address);
  if (!response.ok) throw new Error(`${address.pathname}: ${response.status}`);
  const read = new DOMParser().parseFromString(await response.text(), "text/html");
  if (!read.querySelector(".sheet")) throw new Error(`${address.pathname}: not a page of this site`);
  return { address, read };
}

/**
 * Load the styles that a page has and this one has not. One that does not come leaves its sheet plainer, not unread.
 * @param {URL} address
 * @param {Document} read
 */
async function wear(address, read) {
  const here = new Set([...document.styleSheets].map((style) => style.href));
  const wanted = [.../** @type {NodeListOf<HTMLLinkElement>} */ (read.querySelectorAll("link[rel=stylesheet]"))];
  const missing = wanted.map((link) => new URL(link.getAttribute("href") ?? "", address).href).filter((href) => !here.has(href));
  await Promise.all(
    missing.map(
      (href) =>
        new Promise((resolve) => {
          const link = document.createElement("link");
          link.rel = "stylesheet";
          link.href = href;
          link.addEventListener("load", resolve);
          link.addEventListener("error", resolve);
          document.head.append(link);
        }),
    ),
  );
}

/**
 * What a page prints, with ids of its own.
 * @param {Document} read
 * @param {string} before
 */
function sheet(read, before) {
  const made = document.createElement("section");
  made.className = "print-pack__sheet";
  made.append(...[...read.querySelectorAll(PARTS)].map((part) => document.importNode(part, true)));
  for (const unwanted of made.querySelectorAll(NOT_ON_PAPER)) unwanted.remove();
  for (const one of made.querySelectorAll("[id]")) one.id = before + one.id;
  for (const one of made.querySelectorAll("[name]")) one.setAttribute("name", before + one.getAttribute("name"));
  for (const name of POINTERS) {
    for (const one of made.querySelectorAll(`[${name}]`)) {
      one.setAttribute(name, (one.getAttribute(name) ?? "").split(" ").map((id) => before + id).join(" "));
    }
  }
  return made;
}

function remove() {
  document.querySelector(".print-pack__sheets")?.remove();
}

customElements.define("print-pack", PrintPack);
