// @ts-check
/** What the clinic file's schema says against a value, as a key of the form's own words with what belongs into them. */

/**
 * What is used of a part of the schema.
 * @typedef {object} Schema
 * @property {string} [pattern]
 * @property {number} [minLength]
 * @property {number} [maxLength]
 * @property {number} [minItems]
 * @property {number} [maxItems]
 * @property {Schema} [items]
 * @property {Record<string, Schema>} [properties]
 * @property {Record<string, Schema>} [patternProperties]
 * @property {string[]} [required]
 * @property {unknown[]} [examples]
 * @property {unknown} [const]
 */
/** @typedef {{words: string, gaps: Record<string, string | number>}} Fault */

/**
 * @param {Schema} schema
 * @param {string | string[]} value
 * @param {boolean} needed
 * @returns {Fault | null}
 */
export function fault(schema, value, needed) {
  if (value.length === 0) return needed || (schema.minItems ?? 0) > 0 ? { words: "missing", gaps: {} } : null;
  if (typeof value === "string") return faultOfText(schema, value);
  if (value.length > (schema.maxItems ?? Infinity)) return { words: "too_many", gaps: { most: schema.maxItems ?? "" } };
  for (const item of value) {
    const found = faultOfText(schema.items ?? {}, item);
    if (found) return found;
  }
  return null;
}

/** @param {Schema} schema @param {string} text @returns {Fault | null} */
function faultOfText(schema, text) {
  const letters = [...text].length;
  if (letters > (schema.maxLength ?? Infinity)) return { words: "too_long", gaps: { most: schema.maxLength ?? "" } };
  const fits = letters >= (schema.minLength ?? 0) && new RegExp(schema.pattern ?? "", "u").test(text);
  if (fits) return null;
  const example = schema.examples?.[0];
  return example ? { words: "wrong_form_example", gaps: { example: String(example) } } : { words: "wrong_form", gaps: {} };
}
