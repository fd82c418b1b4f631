/** Show why: each reason in words, with the facts it stands on one tap further. */

import { fold, make } from "./elements.js";
import { t } from "./language.js";
import { closed, effectWord, sentence } from "./say.js";

/** @import {Reason} from "./types.js" */

/** @param {Reason[]} reasons @returns {HTMLElement} what each kind of reason says, the kind named once and each sentence once */
export function reasonList(reasons) {
  const kinds = [...new Set(reasons.map((it) => it.effect))];
  return make("ul", { class: "plain stack" }, kinds.map((effect) => group(effect, reasons.filter((it) => it.effect === effect))));
}

/** @param {string} effect @param {Reason[]} reasons */
function group(effect, reasons) {
  const sayings = [...new Set(reasons.map((it) => it.says))];
  const rows = sayings.map((says) => row(says, reasons.filter((it) => it.says === says)));
  return make("li", {}, make("p", {}, make("strong", {}, `${effectWord(effect)}:`)), make("ul", {}, rows));
}

/** @param {string} says @param {Reason[]} reasons  that all say it */
function row(says, reasons) {
  const facts = [...new Set(reasons.flatMap((it) => it.facts).filter(tellsMore))];
  const stands = facts.length ? fold(t("What this stands on"), [make("ul", {}, facts.map((fact) => make("li", {}, sentence(fact))))], { look: "small" }) : null;
  return make("li", {}, make("p", {}, closed(sentence(says))), stands);
}

/** @param {string} fact @returns {boolean} whether it says something of the parts it names */
function tellsMore(fact) {
  return fact.includes(":");
}
