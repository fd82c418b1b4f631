/** Show how typed words were read, so that a wrong reading is seen before it misleads. */

import { fold, make } from "./elements.js";

/** @import {Case} from "./types.js" */

/** @param {Case} subject @returns {HTMLElement[]} */
export function reading(subject) {
  if (subject.reading === null) return [];
  const { chips, corrections, note } = subject.reading;
  const slips = corrections.map((it) => make("p", { class: "soft" }, "Taken for a slip: ", make("q", {}, it.typed), " read as ", make("q", {}, it.taken_for), "."));
  const rows = chips.map((it) => make("li", {}, make("q", {}, it.words), `: ${it.meaning}`));
  return [
    ...(note ? [make("p", { class: "notice" }, note)] : []),
    ...slips,
    ...(rows.length ? [fold("How your words were read", [make("ul", {}, rows)], { look: "small" })] : []),
  ];
}
