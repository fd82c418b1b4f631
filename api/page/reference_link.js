/** Lead from a cause or a check to all that is known of it. */

import { link, make } from "./elements.js";
import { t } from "./language.js";

const NO_ENTRY = "something-else";

/** @param {"causes" | "checks"} kind @param {string} id @returns {HTMLElement[]} a link, or nothing where there is no entry */
export function referenceLink(kind, id) {
  if (id === NO_ENTRY) return [];
  return [make("p", {}, link(t("More about this"), `/reference/${kind}/${encodeURIComponent(id)}`))];
}
