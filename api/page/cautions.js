/** Show the hazards of a step; they always stand before it. */

import { make } from "./elements.js";

/** @import {Caution} from "./types.js" */

/** @param {Caution[]} cautions @param {string} before  what they stand before @returns {HTMLElement[]} */
export function cautionPanels(cautions, before) {
  if (cautions.length === 0) return [];
  const rows = cautions.map((it) => make("li", { class: "caution" }, make("h3", {}, `Caution: ${it.name}`), make("p", {}, it.text), make("p", {}, it.defer)));
  return [make("section", { class: "stack" }, make("h2", {}, `Before you ${before}`), make("ul", { class: "plain stack" }, rows))];
}
