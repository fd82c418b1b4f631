/** The next question in words to read out to a caller; and what leads now. */

import { causeList } from "../cause_list.js";
import { cautionPanels } from "../cautions.js";
import { make } from "../elements.js";
import { english, t } from "../language.js";
import { closed, competenceWord, sentence, time } from "../say.js";
import { stillEnglish } from "../still_english.js";
import { twoFaults } from "../two_faults.js";

/** @import {Check, Diagnosis, Plan} from "../types.js" */
/** @import {CaseRow, Desk} from "./desk.js" */
/** @import {Names} from "./names.js" */

/**
 * @param {Desk} desk
 * @param {CaseRow} found
 * @param {Diagnosis|null} answer
 * @returns {Node[]} what to ask
 */
export function now(desk, found, answer) {
  if (answer === null || answer.causes.length === 0) return [make("p", {}, t("No symptom is known yet. Ask what should move and what it does instead, and note it as a new call."))];
  return [
    remote(desk, found),
    ...(found.status === "closed" ? [make("p", { class: "notice" }, t("The case is closed."))] : [answer.next[0] ? question(desk, answer.next[0]) : noQuestion(found)]),
  ];
}

/** @param {Diagnosis|null} answer @param {Plan|null} plan @param {Names} names @returns {Node[]} the causes, then what the plan says of them */
export function leading(answer, plan, names) {
  if (answer === null || answer.causes.length === 0) return [];
  return [make("h2", {}, t("Causes")), ...causeList(answer.causes), ...toRepair(answer), ...planned(answer, plan, names)];
}

/** @param {Desk} desk @param {CaseRow} found */
function remote(desk, found) {
  const box = /** @type {HTMLInputElement} */ (make("input", { type: "checkbox", checked: found.remote_mode === true }));
  box.addEventListener("change", () => void desk.add([{ kind: "remote-mode", on: box.checked }]));
  return make("label", { class: "choice" }, box, make("span", {}, t("A caller is there: ask only what anybody can do safely")));
}

/** @param {Desk} desk @param {Check} it */
function question(desk, it) {
  const doubt = /** @type {HTMLInputElement} */ (make("input", { type: "checkbox" }));
  const give = (/** @type {string} */ outcome) => void desk.add([{ kind: "answer", check: it.check, part: it.part, outcome, ...(doubt.checked ? { certainty: "think-so" } : {}) }]);
  const choice = (/** @type {string} */ id, /** @type {string} */ label) => make("button", { type: "button", class: "row", value: id, onclick: () => give(id) }, label);
  return make(
    "section",
    { class: "read-out", "data-check": it.check, "aria-label": t("Read this out") },
    ...cautionPanels(it.cautions, "check"),
    make("p", { class: "soft" }, `${sentence(it.where)}. ${time(it.minutes, it.walk_minutes)}.`),
    make("h2", { class: "question" }, it.question),
    make("p", english(), it.how),
    make("p", {}, make("strong", {}, t("Expected there: ")), make("span", english(), closed(it.expect))),
    make("div", { class: "stack answers", role: "group", "aria-label": t("The caller says") }, it.outcomes.map((one) => choice(one.id, one.label))),
    make("div", { class: "pair" }, choice("not-sure", t("Not sure")), choice("cannot", t("Cannot do it"))),
    make("label", { class: "choice quiet" }, doubt, make("span", {}, t("The caller only thinks so: let it count less"))),
    make("p", { class: "soft", ...english() }, it.why_now),
    ...stillEnglish(),
  );
}

/** @param {CaseRow} found */
function noQuestion(found) {
  const says = found.remote_mode ? t("Nothing is left that a caller can do safely. Send somebody, or take the tick away to see what they would check.") : t("No check is left that would tell more.");
  return make("p", { class: "notice" }, says);
}

/** @param {Diagnosis} answer @returns {Node[]} */
function toRepair(answer) {
  if (!answer.repair) return [];
  const says = t("{name}, {where}. Send somebody who may do it: {who}.", { name: answer.repair.name, where: answer.repair.where, who: competenceWord(answer.repair.competence) });
  return [make("p", { class: "notice" }, make("strong", {}, t("Sure enough to repair: ")), says)];
}

/** @param {Diagnosis} answer @param {Plan|null} plan @param {Names} names @returns {Node[]} */
function planned(answer, plan, names) {
  if (plan === null) return [];
  const { step, doubtful, pairs } = plan;
  const says = `${step.name}${step.where ? `, ${step.where}` : ""} (${t("about {length} to a proved repair", { length: time(step.minutes) })})`;
  const named = pairs.map((it) => ({ ...it, causes: it.causes.map((one) => ({ ...one, name: names.cause(one.id) })) }));
  return [
    make("section", { class: "notice", "data-plan": true, "aria-label": t("Best step now") }, make("h2", {}, t("Best step now")), make("p", {}, says), make("p", english(), step.says)),
    ...doubtful.map((it) => make("p", { class: "notice" }, make("strong", {}, t("Look again: ")), make("span", english(), it.says))),
    ...twoFaults(named, answer.causes[0].probability),
  ];
}
