// @ts-check
/**
 * Hands a file over that was made here: it goes to the downloads of this device.
 * @param {Blob} file
 * @param {string} name
 */
export function handOver(file, name) {
  const address = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken it by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
