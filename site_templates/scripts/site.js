// @ts-check
/**
 * What every page needs: the theme's script is fetched when somebody wants to search, not with the page,
 * a button prints, and what is folded opens for printing.
 */

const opener = /** @type {HTMLButtonElement | null} */ (document.querySelector(".search-opener"));
const toggle = /** @type {HTMLInputElement | null} */ (document.getElementById("__search"));

if (opener && toggle) {
  opener.hidden = false;
  opener.addEventListener("click", () => openSearch(opener, toggle));
  document.addEventListener("keydown", (event) => {
    const typing = event.target instanceof Element && event.target.closest("input, textarea, select, [contenteditable]");
    if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      openSearch(opener, toggle);
    }
  });
  toggle.addEventListener("change", () => {
    if (!toggle.checked) opener.focus();
  });
}

/** @type {Promise<void> | undefined} */
let loading;

/**
 * @param {HTMLButtonElement} button
 * @param {HTMLInputElement} switched
 */
async function openSearch(button, switched) {
  button.setAttribute("aria-busy", "true");
  loading ??= loadTheme(button.dataset.bundle ?? "");
  try {
    await loading;
  } catch {
    loading = undefined;
    return;
  } finally {
    button.removeAttribute("aria-busy");
  }
  if (!switched.checked) switched.click();
  /** @type {HTMLInputElement | null} */ (document.querySelector("[data-md-component=search-query]"))?.focus();
}

/**
 * @param {string} address
 * @returns {Promise<void>}
 */
function loadTheme(address) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = address;
    script.addEventListener("load", () => {
      document.documentElement.classList.replace("no-js", "js");
      // The theme waits for this event, which is long past.
      document.dispatchEvent(new Event("DOMContentLoaded"));
      resolve();
    });
    script.addEventListener("error", () => {
      script.remove();
      reject(new Error("search could not be loaded"));
    });
    document.head.append(script);
  });
}

for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (document.querySelectorAll("[data-print]"))) {
  button.hidden = false;
  button.addEventListener("click", () => print());
}

/** @type {HTMLDetailsElement[]} */
let opened = [];
addEventListener("beforeprint", () => {
  opened = [.../** @type {NodeListOf<HTMLDetailsElement>} */ (document.querySelectorAll("details:not([open])"))];
  for (const folded of opened) folded.open = true;
});
addEventListener("afterprint", () => {
  for (const folded of opened) folded.open = false;
});
