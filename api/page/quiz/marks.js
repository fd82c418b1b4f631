/** Show how an answer was: by a word and a sign, never by colour alone, with the reason and where to read on. */

import { link, make } from "../elements.js";
import { inWords } from "./answer.js";

/** @import {Asked, Mark} from "./answer.js" */
/** @import {Say} from "./asked.js" */

/** @param {Asked} asked @param {Mark} mark @param {Say} say @returns {HTMLElement} */
export function markPanel(asked, mark, say) {
  const sign = mark.is_right ? "✓" : "✗";
  return make(
    "section",
    { class: mark.is_right ? "notice" : "error", tabindex: -1, "data-mark": mark.is_right ? "right" : "wrong" },
    make("p", { class: "mark-sign" }, `${sign} ${mark.is_right ? say("right") : say("wrong")}`),
    !mark.is_right && make("p", {}, say("rightIs", { said: inWords(asked, mark.right) })),
    mark.why && make("p", {}, mark.why),
    make("p", {}, mark.explanation),
    mark.references.map((it) => make("p", {}, link(`${say("more")}: ${entryName(it)}`, it, ""))),
  );
}

/** @param {string} address @returns {string} the entry of a reference page in words */
const entryName = (address) => (address.split("/").pop() ?? "").replaceAll("-", " ");
