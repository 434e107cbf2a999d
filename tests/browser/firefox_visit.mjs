// Visits the check with Firefox over WebDriver BiDi and says what stood there, in two visits.
//
//     node firefox_visit.mjs FIREFOX URL  < typed.json
//
// Standard input has one line of JSON, the texts to type by the ids of their fields. After the first visit it prints a
// line of JSON and waits for a second line of input, upon which it visits again: the server may be gone by then.

import { createInterface } from "node:readline";
import puppeteer from "puppeteer-core";

const [firefox, address] = process.argv.slice(2);
if (firefox === undefined || address === undefined) throw new Error("the program and the address are missing");

const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();

/** @returns {Promise<string>} */
async function nextLine() {
  const { value, done } = await lines.next();
  if (done) throw new Error("the standard input has ended");
  return value;
}

/**
 * Types, presses, and reads the card and how far the site is kept on the device.
 * @param {import("puppeteer-core").Browser} browser
 * @param {string} url
 * @param {Record<string, string>} typed
 */
async function visit(browser, url, typed) {
  const page = await browser.newPage();
  /** @type {string[]} */
  const troubles = [];
  page.on("pageerror", (error) => troubles.push(String(error)));
  await page.goto(url);
  for (const [id, text] of Object.entries(typed)) await page.type(`#${id}`, text);
  await page.click('[data-part="run"]');
  await page.waitForSelector('[data-part="result"]:not([hidden])', { timeout: 60_000 });
  await page.waitForSelector('html[data-calculators="kept"]', { timeout: 60_000 });
  const sides = await page.$$eval("[data-side]:not([hidden])", (all) => all.map((side) => side.textContent));
  const ranges = await page.$eval('[data-part="ranges"]', (list) => list.textContent);
  await page.close();
  return { sides, ranges, troubles };
}

const browser = await puppeteer.launch({ browser: "firefox", executablePath: firefox, headless: true });
try {
  const typed = JSON.parse(await nextLine());
  for (;;) {
    console.log(JSON.stringify(await visit(browser, address, typed)));
    if ((await nextLine()) === "enough") break;
  }
} finally {
  await browser.close();
}
process.exit(0);
