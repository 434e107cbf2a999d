// @ts-check
/** Writes plain values as TOML: what stands alone first, tables after, because a key below a table belongs to the table. */

/** @typedef {string | number | string[]} Plain */
/** @typedef {Record<string, Plain>} Table */
/** @typedef {Record<string, Plain | Table | Table[]>} Values */

/**
 * @param {Values} values
 * @returns {string}
 */
export function write(values) {
  const rows = Object.entries(values);
  const tables = rows.filter(([, value]) => isTable(value) || isTables(value));
  const plain = rows.filter((row) => !tables.includes(row));
  const blocks = [plain.map(([name, value]) => pair(name, /** @type {Plain} */ (value)))];
  for (const [name, value] of tables) {
    if (isTables(value)) for (const table of value) blocks.push([`[[${key(name)}]]`, ...pairs(table)]);
    else blocks.push([`[${key(name)}]`, ...pairs(/** @type {Table} */ (value))]);
  }
  return `${blocks.map((block) => block.join("\n")).join("\n\n")}\n`;
}

/** @param {Table} table */
function pairs(table) {
  return Object.entries(table).map(([name, value]) => pair(name, value));
}

/** @param {string} name @param {Plain} value */
function pair(name, value) {
  return `${key(name)} = ${plainly(value)}`;
}

/** @param {string} name */
function key(name) {
  return /^[A-Za-z0-9_-]+$/.test(name) ? name : quoted(name);
}

/** @param {Plain} value @returns {string} */
function plainly(value) {
  if (Array.isArray(value)) return `[${value.map(plainly).join(", ")}]`;
  return typeof value === "number" ? String(value) : quoted(value);
}

/**
 * A basic string. What JSON escapes, TOML reads alike; it also wants the delete character escaped, and no half of a pair.
 * @param {string} text
 */
function quoted(text) {
  return JSON.stringify(text.replace(/\p{Surrogate}/gu, "\ufffd")).replaceAll("\x7f", "\\u007f");
}

/** @param {Plain | Table | Table[]} value @returns {value is Table} */
function isTable(value) {
  return typeof value === "object" && !Array.isArray(value);
}

/** @param {Plain | Table | Table[]} value @returns {value is Table[]} */
function isTables(value) {
  return Array.isArray(value) && value.length > 0 && typeof value[0] === "object";
}
