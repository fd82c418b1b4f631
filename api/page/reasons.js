/** Show why: each reason in words, with the facts it stands on one tap further. */

import { fold, make } from "./elements.js";
import { t } from "./language.js";
import { closed, effectWord, sentence } from "./say.js";

/** @import {Reason} from "./types.js" */

/** @param {Reason[]} reasons @returns {HTMLElement} */
export function reasonList(reasons) {
  return make("ul", { class: "plain stack" }, reasons.map(row));
}

/** @param {Reason} it */
function row(it) {
  const facts = it.facts.length ? fold(t("What this stands on"), [make("ul", {}, it.facts.map((fact) => make("li", {}, sentence(fact))))], { look: "small" }) : null;
  return make("li", {}, make("p", {}, make("strong", {}, `${effectWord(it.effect)}: `), closed(sentence(it.says))), facts);
}
