/** Show the hazards of a step; they always stand before it, and the dangerous ones are read before it is shown. */

import { button, fold, make } from "./elements.js";
import { t } from "./language.js";

/** @import {Context} from "./context.js" */
/** @import {Caution} from "./types.js" */

const FOR_THE_TRAINED = new Set(["skilled", "fire"]);

/**
 * @param {Context} context
 * @param {{cautions: Caution[], competence: string}} step
 * @param {string} before  what they stand before
 * @returns {HTMLElement[]} the cautions in full, or folded with their names where they were read and acknowledged
 */
export function cautionsOf(context, step, before) {
  const known = new Set(context.subject().acknowledged);
  const areRead = FOR_THE_TRAINED.has(step.competence) && step.cautions.every((it) => known.has(it.id));
  if (!areRead || step.cautions.length === 0) return cautionPanels(step.cautions, before);
  const names = step.cautions.map((it) => it.name).join(", ");
  return [fold(t("Cautions: {names}", { names }), cautionPanels(step.cautions, before), { look: "folded-caution" })];
}

/** @param {Caution[]} cautions @param {string} before  what they stand before @returns {HTMLElement[]} */
export function cautionPanels(cautions, before) {
  if (cautions.length === 0) return [];
  const rows = cautions.map((it) => make("li", { class: "caution" }, make("h3", {}, t("Caution: {name}", { name: it.name })), make("p", {}, it.text), make("p", {}, it.defer)));
  return [make("section", { class: "stack" }, make("h2", {}, t(`Before you ${before}`)), make("ul", { class: "plain stack" }, rows))];
}

/**
 * @param {Context} context
 * @param {{cautions: Caution[], competence: string}} step
 * @returns {boolean} whether its cautions have to be read before the step is shown: once in a case for each of them
 */
export function mustBeRead(context, step) {
  const known = new Set(context.subject().acknowledged);
  return FOR_THE_TRAINED.has(step.competence) && step.cautions.some((it) => !known.has(it.id));
}

/** @param {Context} context @param {Caution[]} cautions @returns {HTMLElement} stands after them; the step is shown once it is pressed */
export function readButton(context, cautions) {
  const acknowledge = button(t("I have read this and will follow it"), () => {
    const before = context.subject();
    const acknowledged = [...new Set([...before.acknowledged, ...cautions.map((it) => it.id)])];
    context.change({ ...before, acknowledged });
    context.replace(location.hash);
  }, "main");
  acknowledge.id = "read";
  return acknowledge;
}
