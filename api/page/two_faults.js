/** Two faults at once: one line each, folded away unless such a pair is likelier than any single cause. */

import { fold, make } from "./elements.js";
import { t } from "./language.js";
import { percent } from "./say.js";

/** @import {Plan} from "./types.js" */

const WORTH_SAYING = 0.1;

/**
 * @param {Plan["pairs"]} pairs  likeliest first
 * @param {number} single  how likely the leading single cause is
 * @returns {HTMLElement[]} nothing where no pair is worth saying
 */
export function twoFaults(pairs, single) {
  const said = pairs.filter((it) => it.probability >= WORTH_SAYING);
  if (said.length === 0) return [];
  const leads = said.some((it) => it.probability > single);
  const first = leads ? make("p", {}, t("A pair is likelier than any single cause.")) : null;
  return [fold(t("Perhaps two faults at once"), [first, make("ul", {}, said.map((it) => make("li", {}, pairLine(it))))], { open: leads })];
}

/** @param {Plan["pairs"][0]} it @returns {string} */
function pairLine(it) {
  const names = it.causes.map((one) => (one.where ? `${one.name} (${one.where})` : one.name));
  return `${names.join(" + ")}: ${percent(it.probability)}`;
}
