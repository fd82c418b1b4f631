/** What is true of the whole case and shown above everything: when automatic works again, and advice. */

import { clockOf, sayMoment } from "./clock.js";
import { make } from "./elements.js";

/** @import {Diagnosis} from "./types.js" */

/** @param {Diagnosis} answer @returns {HTMLElement[]} */
export function standing(answer) {
  return [...resuming(answer), ...advice(answer)];
}

/** @param {Diagnosis} answer */
function resuming(answer) {
  if (answer.resumes_at === null) return [];
  const moment = sayMoment(answer.resumes_at, answer.at);
  const asked = answer.at === null ? null : make("p", {}, `Seen from ${clockOf(answer.at)}.`);
  return [make("div", { class: "notice" }, make("p", {}, make("strong", {}, `Automatic works again at ${moment}.`)), asked)];
}

/** @param {Diagnosis} answer */
function advice(answer) {
  if (answer.advice.length === 0) return [];
  const says = answer.advice.map((it) => make("p", {}, it.says));
  return [make("section", { class: "caution", "aria-label": "Take note" }, make("h2", {}, "Take note"), says)];
}
