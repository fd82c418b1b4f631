/** Names that nobody else makes. */

const BYTES = 16;

/** @returns {string} 32 hexadecimal digits; works where the address has no lock, too */
export function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(BYTES));
  return [...bytes].map((it) => it.toString(16).padStart(2, "0")).join("");
}
