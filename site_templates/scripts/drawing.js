// @ts-check
/** What result cards are made of: elements, lists, shapes of a picture, and references to the page's sources. */

const SVG = "http://www.w3.org/2000/svg";

/** @param {string} name @param {string} text @param {string} [className] */
export function element(name, text, className = "") {
  return Object.assign(document.createElement(name), { textContent: text, className });
}

/** @param {string} name @param {Record<string, string | number>} attributes @param {...(Node | string)} inside */
export function shape(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...inside);
  return made;
}

/**
 * A picture with its text alternative.
 * @param {string} className
 * @param {[number, number, number, number]} box left, top, width and height, in the picture's own units
 * @param {string} title
 */
export function picture(className, box, title) {
  return shape("svg", { class: className, viewBox: box.join(" "), role: "img", "aria-label": title });
}

/** @param {HTMLElement} place @param {string[]} rows */
export function list(place, rows) {
  place.replaceChildren(...rows.map((text) => element("li", text)));
}

/** A phrase as a sentence of its own. @param {string} phrase */
export function sentence(phrase) {
  return phrase && `${phrase[0].toUpperCase()}${phrase.slice(1)}.`;
}

/**
 * The numbers of sources as they stand in the page's own list, each a link to it.
 * @param {string[]} keys
 */
export function references(keys) {
  const numbers = keys.map((key) => {
    const source = document.getElementById(`source-${key}`);
    if (!source?.parentElement) throw new Error(`the page lists no source ${key}`);
    return { number: [...source.parentElement.children].indexOf(source) + 1, href: `#${source.id}` };
  });
  return numbers.sort((one, other) => one.number - other.number).map(({ number, href }) => {
    const made = element("sup", "", "reference");
    made.append(Object.assign(document.createElement("a"), { href, textContent: String(number) }));
    return made;
  });
}

/**
 * A sentence with its named gaps filled.
 * @param {string} words
 * @param {Record<string, string | number>} values
 */
export function fill(words, values) {
  return words.replace(/\{(\w+)\}/g, (gap, name) => (name in values ? String(values[name]) : gap));
}
