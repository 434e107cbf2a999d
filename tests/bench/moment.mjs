// @ts-check
/** When the two pages begin, and how they tell what they took. */

const LOOK_MS = 2_000;
const { addEventListener, document, location } = globalThis;

/** At once, or on the address with #calm two seconds after the page is there. */
export async function chosenMoment() {
  if (location.hash !== "#calm") return;
  if (document.readyState !== "complete") {
    await new Promise((resolve) => addEventListener("load", resolve, { once: true }));
  }
  await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
}

/**
 * @param {"own" | "stock"} kind
 * @param {number} ms
 * @param {string} answer  as JSON, to be compared with the other's
 */
export async function tell(kind, ms, answer) {
  await fetch("time", { method: "POST", body: JSON.stringify({ kind, ms, answer }) });
}
