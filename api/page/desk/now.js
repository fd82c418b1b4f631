/** What leads now, and the next question in words to read out to a caller. */

import { causeList } from "../cause_list.js";
import { cautionPanels } from "../cautions.js";
import { button, make } from "../elements.js";
import { closed, competenceWord, sentence, time } from "../say.js";

/** @import {Check, Diagnosis} from "../types.js" */
/** @import {CaseRow, Desk} from "./desk.js" */

/**
 * @param {Desk} desk
 * @param {CaseRow} found
 * @param {Diagnosis|null} answer
 * @param {boolean} onlyByPhone  whether only what a caller can do is asked
 * @param {(only: boolean) => void} choose
 * @returns {Node[]}
 */
export function now(desk, found, answer, onlyByPhone, choose) {
  if (answer === null || answer.causes.length === 0) return [make("p", {}, "No symptom is known yet. Ask what should move and what it does instead, and note it as a new call.")];
  const asked = answer.next.filter((it) => !onlyByPhone || isForCaller(it));
  const closedNow = found.status === "closed";
  return [
    remote(onlyByPhone, choose),
    ...(closedNow ? [make("p", { class: "notice" }, "The case is closed.")] : [asked[0] ? question(desk, asked[0]) : noQuestion(answer)]),
    ...(answer.repair ? [make("p", { class: "notice" }, make("strong", {}, "Sure enough to repair: "), `${answer.repair.name}, ${answer.repair.where}. Send somebody who may do it: ${competenceWord(answer.repair.competence)}.`)] : []),
    make("h2", {}, "Causes"),
    ...causeList(answer.causes),
  ];
}

/** @param {Check} it @returns {boolean} whether a caller without training can do it and nothing can hurt them */
function isForCaller(it) {
  return it.competence === "ordinary" && it.cautions.length === 0;
}

/** @param {boolean} only @param {(only: boolean) => void} choose */
function remote(only, choose) {
  const box = /** @type {HTMLInputElement} */ (make("input", { type: "checkbox", checked: only }));
  box.addEventListener("change", () => choose(box.checked));
  return make("label", { class: "choice" }, box, make("span", {}, "A caller is there: ask only what anybody can do safely"));
}

/** @param {Desk} desk @param {Check} it */
function question(desk, it) {
  const give = (/** @type {string} */ outcome) => void desk.add([{ kind: "answer", check: it.check, part: it.part, outcome }]);
  const choice = (/** @type {string} */ id, /** @type {string} */ label) => make("button", { type: "button", class: "row", value: id, onclick: () => give(id) }, label);
  return make(
    "section",
    { class: "read-out", "data-check": it.check, "aria-label": "Read this out" },
    ...cautionPanels(it.cautions, "check"),
    make("p", { class: "soft" }, `${sentence(it.where)}. ${time(it.minutes, it.walk_minutes)}.`),
    make("h2", { class: "question" }, it.question),
    make("p", {}, it.how),
    make("p", {}, make("strong", {}, "Expected there: "), closed(it.expect)),
    make("div", { class: "stack", role: "group", "aria-label": "The caller says" }, it.outcomes.map((one) => choice(one.id, one.label))),
    make("div", { class: "pair" }, choice("not-sure", "Not sure"), choice("cannot", "Cannot do it")),
    make("p", { class: "soft" }, it.why_now),
  );
}

/** @param {Diagnosis} answer */
function noQuestion(answer) {
  const says = answer.next.length ? "Nothing is left that a caller can do safely. Send somebody, or take the tick away to see what they would check." : "No check is left that would tell more.";
  return make("p", { class: "notice" }, says);
}
