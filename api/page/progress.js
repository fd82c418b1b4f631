/** Says that something is going on, once it takes long enough to wonder. */

import { t } from "./language.js";

const SOON_MS = 300;

/**
 * @template T
 * @param {HTMLElement} place
 * @param {Promise<T>} work
 * @returns {Promise<T>} what the work gives
 */
export async function showing(place, work) {
  const timer = setTimeout(() => place.replaceChildren(t("Working on it")), SOON_MS);
  try {
    return await work;
  } finally {
    clearTimeout(timer);
    place.replaceChildren();
  }
}
