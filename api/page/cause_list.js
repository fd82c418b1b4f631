/** Show the causes: name, likelihood in words and as a bar, reasons one tap away. */

import { fold, make } from "./elements.js";
import { t } from "./language.js";
import { reasonList } from "./reasons.js";
import { referenceLink } from "./reference_link.js";
import { likelihood, percent, sentence } from "./say.js";

/** @import {Cause} from "./types.js" */

const SHOWN_FIRST = 4;

/** @param {Cause[]} causes  best first @returns {HTMLElement[]} */
export function causeList(causes) {
  const first = causes.slice(0, SHOWN_FIRST);
  const rest = causes.slice(SHOWN_FIRST);
  const more = rest.length ? [fold(t("{count} less likely", { count: rest.length }), [make("ol", { class: "plain stack", start: SHOWN_FIRST + 1 }, rest.map(row))])] : [];
  return [make("ol", { class: "plain stack" }, first.map(row)), ...more];
}

/** @param {number} probability @returns {HTMLElement} */
export function odds(probability) {
  return make("p", { class: "odds" }, make("span", {}, sentence(likelihood(probability))), make("span", {}, percent(probability)));
}

/** @param {number} probability @returns {HTMLElement} a picture of what `odds` says, so it is left out of the reading order */
export function bar(probability) {
  const filled = make("span");
  filled.style.setProperty("--share", String(probability));
  return make("div", { class: "bar", "aria-hidden": "true" }, filled);
}

/** @param {Cause} it */
function row(it) {
  return make(
    "li",
    { class: "cause" },
    make("h2", { class: "name" }, it.name),
    make("p", { class: "soft" }, sentence(it.where)),
    bar(it.probability),
    odds(it.probability),
    fold(t("Why"), [reasonList(it.why), ...referenceLink("causes", it.id)], { look: "small" }),
  );
}
