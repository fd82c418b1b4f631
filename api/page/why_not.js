/** Ask why a cause is not suspected. */

import { button, fold, make } from "./elements.js";
import { t } from "./language.js";
import { reasonList } from "./reasons.js";
import { requestOf } from "./request.js";
import { likelihood, percent } from "./say.js";
import { causeNames } from "./known.js";
import { trying } from "./trouble.js";

/** @import {Context} from "./context.js" */
/** @import {WhyNot} from "./types.js" */

/** @param {Context} context @param {number} count  steps that count @returns {HTMLElement} */
export function whyNot(context, count) {
  const inside = make("div", { class: "stack" });
  const box = /** @type {HTMLDetailsElement} */ (fold(t("Why not another cause?"), [inside]));
  box.addEventListener("toggle", () => {
    if (box.open && !inside.hasChildNodes()) void trying(context, inside, async () => inside.replaceChildren(...(await chooser(context, count))));
  });
  return box;
}

/** @param {Context} context @param {number} count */
async function chooser(context, count) {
  const names = await context.fetch(causeNames());
  const select = /** @type {HTMLSelectElement} */ (make("select", { id: "why-not" }, names.map((it) => make("option", { value: it.id }, it.name))));
  const says = make("div", { "aria-live": "polite" });
  const ask = () =>
    trying(context, says, async () => {
      const answer = await context.ask({ ...requestOf(context.subject(), count), why_not: [select.value] });
      says.replaceChildren(...answer.why_not.map(explained));
    });
  return [make("div", { class: "field" }, make("label", { for: "why-not" }, t("Cause")), select), button(t("Why not this?"), () => void ask()), says];
}

/** @param {WhyNot} it */
function explained(it) {
  if (it.why.length) return make("div", {}, reasonList(it.why));
  return make("p", {}, t("It is among the causes: {likely}, {percent}. Its reasons are shown with it.", { likely: likelihood(it.probability), percent: percent(it.probability) }));
}
